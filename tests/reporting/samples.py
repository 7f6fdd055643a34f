"""A realistic household for the papers. Names, prices and amounts are invented; the sums stand beside the numbers."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

from raworder.trade.cuts import Measure, Part
from raworder.trade.dogs import Care
from raworder.trade.plan import LotUse
from raworder.trade.scenario import Variety
from tests import builders as b

HOLLOW, FENWICK = "Hollow Lane Butcher", "Fenwick Wholesale"

CUTS = (
    b.a_cut(
        "chicken neck",
        species="chicken",
        kind="neck",
        parts={Part.MUSCLE: "64/100", Part.BONE: "36/100"},
        fat="8/100",
        cautions=("edible-bone",),
    ),
    b.a_cut("beef trim"),
    b.a_cut("beef heart", kind="heart", rich=True, fat="4/100"),
    b.a_cut("turkey thigh boneless", species="turkey", kind="muscle", fat="4/100"),
    b.a_cut("lamb liver", species="lamb", kind="liver", parts={Part.LIVER: 1}, fat="5/100"),
    b.a_cut("beef kidney", kind="kidney", parts={Part.OTHER_ORGAN: 1}, fat="3/100"),
    b.a_cut(
        "kale",
        species="plant",
        kind="leafy vegetable",
        parts={Part.VEGETABLES: 1},
        fat="1/100",
        cautions=("brassica",),
    ),
    b.a_cut("blueberry", species="plant", kind="berry", parts={Part.BERRIES: 1}, fat=0),
)

BARF = (
    b.a_target(Part.MUSCLE, "66/100", "74/100"),
    b.a_target(Part.BONE),
    b.a_target(Part.LIVER, "4/100", "6/100"),
    b.a_target(Part.OTHER_ORGAN, "4/100", "6/100"),
    b.a_target(Part.VEGETABLES, "5/100", "7/100"),
    b.a_target(Part.BERRIES, "1/100", "3/100"),
)
CAPS = (b.a_cap(), b.a_cap(Measure.FAT, "", "15/100"))

DOGS = (
    # 2.5 % of 22 kg is 550 g a day, 7700 g in 14 days
    b.a_dog(
        "Maple",
        weight_g=22_000,
        daily_g=550,
        ration_says="2.5 % of 22 kg, 550 g a day",
        targets=(*b.prey_model(), b.a_target(Part.VEGETABLES, 0, 0), b.a_target(Part.BERRIES, 0, 0)),
        targets_named="prey model",
        caps=CAPS,
        owner="Ines",
    ),
    # 5 % of 8 kg is 400 g a day, 5200 g in 13 days
    b.a_dog(
        "Juniper",
        weight_g=8_000,
        daily_g=400,
        days=13,
        ration_says="5 % of 8 kg, 400 g a day",
        targets=BARF,
        targets_named="BARF",
        caps=(*CAPS, b.a_cap(Measure.SPECIES, "chicken", "40/100")),
        owner="Tomas",
        puppy=True,
    ),
    b.a_dog_in_care(
        "Sorrel",
        {"turkey thigh boneless": 2_800, "lamb liver": 140},
        care=Care.PREGNANT,
        weight_g=9_000,
        owner="Ines",
    ),
)

CAUTIONS = (
    b.a_caution(
        "raw-meat-hygiene", "standing", ("Clean hands", "Germs stay on hands.", "wash hands and boards"), "home"
    ),
    b.a_caution("never-cooked-bone", "standing", ("Cooked bone", "It splinters.", "feed no cooked bone"), "bowl"),
    b.a_caution(
        "raw-pork", "cut", ("Raw pork", "It can carry worms.", "ask where it is from"), "shop", "invented pork"
    ),
    b.a_caution(
        "edible-bone", "cut", ("Raw bone", "It can choke a dog.", "stay with the dog"), "bowl", "invented bones"
    ),
    b.a_caution("brassica", "cut", ("Cabbage family", "It swells.", "keep to a small part of the food"), "bowl"),
    b.a_caution("liver-near-limit", "rule", ("Liver at its limit", "It is rich.", "give no more liver"), "bowl"),
    b.a_caution("puppy", "rule", ("Growing dog", "It grows.", "weigh every week"), "home"),
    b.a_caution("vet-care", "rule", ("Under care", "Nothing is computed.", "give what was prescribed"), "bowl"),
    b.a_caution("unusual-ration", "rule", ("Unusual ration", "It may be a slip.", "weigh the dog again"), "home"),
)

HOUSEHOLD = replace(
    b.a_scenario(
        title="Three dogs, two shops (invented)",
        dogs=DOGS,
        cuts=CUTS,
        suppliers=(
            b.a_supplier(
                HOLLOW,
                delivery="6.50",
                minimum_order=40,
                free_delivery_from=90,
                sales_tax="7/100",
                list_date=date(2027, 1, 20),
            ),
            b.a_supplier(FENWICK, delivery="4.00", free_delivery_from=25),
        ),
        offers=(
            b.an_offer(
                "chicken neck",
                supplier=HOLLOW,
                key="neck",
                item="Chicken necks, skin off, frozen",
                code="CN-01",
                breaks={3: "2.25"},
            ),
            b.an_offer_by_weight("beef trim", supplier=HOLLOW, key="trim", code="B-12", breaks_g={5_000: "5.90"}),
            b.an_offer("lamb liver", supplier=HOLLOW, key="liver", pack_g=400, price="1.90", code="L-3"),
            b.an_offer_by_weight("beef kidney", supplier=HOLLOW, key="kidney", unit_g=50, price_per_kg="3.60"),
            b.an_offer("turkey thigh boneless", supplier=FENWICK, key="turkey", price="7.80"),
            b.an_offer("kale", supplier=FENWICK, key="kale", pack_g=200, price="1.20", item="Curly kale"),
            b.an_offer("blueberry", supplier=FENWICK, key="berry", pack_g=250, price="2.60"),
        ),
        on_hand=(
            b.on_hand("beef heart", 400, date(2027, 1, 10)),
            b.on_hand("beef heart", 500, date(2026, 12, 20)),
            b.on_hand("chicken neck", 600),
        ),
        room_g=20_000,
        budget=100,
        variety=Variety(least_species=2, least_share=Fraction(1, 20), most_share=Fraction(3, 4)),
    ),
    cautions=CAUTIONS,
)

HOUSEHOLD_PLAN = b.a_plan(
    lines=(
        b.a_line("neck", 3, "6.75"),  # 3 x 2.25
        b.a_line("trim", 6_684, "39.44"),  # 6.684 kg x 5.90 is 39.4356
        b.a_line("liver", 3, "5.70"),
        b.a_line("kidney", 13, "2.34"),  # 650 g x 3.60
        b.a_line("turkey", 3, "23.40"),
        b.a_line("kale", 2, "2.40"),
        b.a_line("berry", 1, "2.60"),
    ),
    bills=(
        # 6.75 + 39.44 + 5.70 + 2.34; 7 % of 54.23 is 3.7961; together 64.53
        b.a_bill(HOLLOW, "54.23", delivery="6.50", tax="3.80"),
        b.a_bill(FENWICK, "28.40"),  # 92.93 in all
    ),
    portions=b.portions_g(
        {
            # bone 0.36 x 2140 is 770.4 of 7700, 10.0 %; heart 10 %, at its cap
            "Maple": {
                "chicken neck": 2_140,
                "beef trim": 4_020,
                "beef heart": 770,
                "lamb liver": 385,
                "beef kidney": 385,
            },
            # liver 312 of 5200, 6 %, at its limit; kale 7 % and berries 3 %, at theirs
            "Juniper": {
                "chicken neck": 1_444,
                "beef trim": 2_664,
                "lamb liver": 312,
                "beef kidney": 260,
                "kale": 364,
                "blueberry": 156,
            },
            "Sorrel": {"turkey thigh boneless": 2_800, "lamb liver": 140},
        }
    ),
    leftovers=(
        b.a_leftover("chicken neck", bought_g=16, worth="0.04"),  # 600 + 3000 - 3584; 16 x 6.75 / 3000
        b.a_leftover("beef heart", on_hand_g=130),  # 900 - 770
        b.a_leftover("turkey thigh boneless", bought_g=200, worth="1.56"),  # 200 x 23.40 / 3000
        b.a_leftover("lamb liver", bought_g=363, worth="1.72"),  # 1200 - 837; 363 x 5.70 / 1200 is 1.72425
        b.a_leftover("beef kidney", bought_g=5, worth="0.02"),  # 650 - 645; 5 x 2.34 / 650
        b.a_leftover("kale", bought_g=36, worth="0.21"),  # 400 - 364; 36 x 2.40 / 400 is 0.216; 4.53 together
        b.a_leftover("blueberry", bought_g=94, worth="0.98"),  # 250 - 156; 94 x 2.60 / 250
    ),
    lots_used=(LotUse(0, 270), LotUse(1, 500), LotUse(2, 600)),
    # before rounding: (6.75 + 39.4356 + 5.70 + 2.34) x 1.07 + 6.50 + 28.40
    proof=b.a_proof("92.921392"),
)
