"""Builders: one function for each noun, every argument with a default, so that a test states only what matters.

All names, prices and amounts are invented. `SMALL` is a scenario that touches every rule and `SMALL_PLAN` a plan for it
that was worked out by hand; the sums stand beside the numbers.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from raworder.trade.bags import Bag, Filling, Mix, Portioning, Station
from raworder.trade.cuts import Cut, Measure, Part, SpeciesShare, Subject
from raworder.trade.dogs import Cap, Care, Dog, Target, VetAmount
from raworder.trade.nutrients import Analysis
from raworder.trade.plan import Bill, Leftover, LotUse, OrderLine, Plan, Portion, Proof
from raworder.trade.rounding import half_up, split_evenly
from raworder.trade.scenario import Batch, Caution, CautionPlace, Offer, OnHand, PriceStep, Scenario, Supplier, Variety
from raworder.trade.units import Currency

Number = int | str | Decimal | Fraction
"""A number as a test likes to write it: `5`, `"2.40"`, `"3/5"`; never a float."""

EUR = Currency("EUR", 2)
STARTS = date(2027, 2, 6)
HOLLOW_LANE = "Hollow Lane Butcher"
FENWICK = "Fenwick Wholesale"
TIDEWELL = "Tidewell Farm"


def a_cut(
    name: str = "beef trim",
    *,
    species: str | Mapping[str, Number | None] = "beef",
    kind: str = "trim",
    parts: Mapping[Part, Number] | None = None,
    fat: Number = "1/8",
    rich: bool = False,
    piece_g: int | None = None,
    ingredients: Iterable[Cut] = (),
    cautions: Iterable[str] = (),
    source: str = "invented",
    kcal: Number | None = None,
) -> Cut:
    """A boneless cut of one species; `species` maps to shares (None: unknown) where it is a mixed product.

    `kcal` is the energy in 100 g of it; left out, nobody knows it.
    """
    shares: Mapping[str, Number | None] = {species: 1} if isinstance(species, str) else species
    return Cut(
        name=name,
        species=tuple(SpeciesShare(one, None if much is None else Fraction(much)) for one, much in shares.items()),
        kind=kind,
        parts=tuple((part, Fraction(much)) for part, much in (parts or {Part.MUSCLE: 1}).items()),
        fat_share=Fraction(fat),
        rich=rich,
        piece_g=piece_g,
        ingredients=tuple(ingredients),
        cautions=tuple(cautions),
        source=source,
        analysis=Analysis() if kcal is None else Analysis((("energy", Fraction(kcal)),)),
    )


def a_caution(
    key: str, applies: str, told: tuple[str, str, str], place: str = "shop", source: str = "invented"
) -> Caution:
    """A caution with its heading, its hazard and what to do at that place."""
    return Caution(key, applies, *told, CautionPlace(place), source)


def a_subject(measure: Measure = Measure.SPECIES, word: str = "chicken") -> Subject:
    """What a cap or an exclusion is about."""
    return Subject(measure, word)


def a_cap(measure: Measure = Measure.KIND, word: str = "heart", most: Number = "1/10") -> Cap:
    """At most a tenth of heart."""
    return Cap(Subject(measure, word), Fraction(most))


def a_target(part: Part = Part.BONE, low: Number = "8/100", high: Number = "12/100") -> Target:
    """Bone from 8 to 12 %."""
    return Target(part, Fraction(low), Fraction(high))


def prey_model() -> tuple[Target, ...]:
    """The ranges around 80, 10, 5 and 5 % of the design. Source: common practice, no source."""
    return (
        a_target(Part.MUSCLE, "76/100", "84/100"),
        a_target(Part.BONE, "8/100", "12/100"),
        a_target(Part.LIVER, "4/100", "6/100"),
        a_target(Part.OTHER_ORGAN, "4/100", "6/100"),
    )


def a_dog(
    name: str = "Maple",
    *,
    weight_g: int = 20_000,
    daily_g: Number = 500,
    days: int = 14,
    batch_g: int | None = None,
    day_g: Iterable[int] | None = None,
    ration_says: str = "2.5 % of 20 kg",
    targets: Iterable[Target] = (),
    targets_named: str = "own",
    caps: Iterable[Cap] = (),
    avoid: Iterable[Subject] = (),
    owner: str = "",
    kennel: str = "",
    meals: int = 1,
    care: Care | None = None,
    puppy: bool = False,
    resting_kcal: Number | None = None,
) -> Dog:
    """A healthy dog of 20 kg that eats 500 g a day, has no targets, and of which nobody knows what it needs at rest."""
    whole_g = half_up(Fraction(daily_g) * days) if batch_g is None else batch_g
    return Dog(
        name=name,
        weight_g=weight_g,
        daily_g=Fraction(daily_g),
        days=days,
        batch_g=whole_g,
        day_g=split_evenly(whole_g, days) if day_g is None else tuple(day_g),
        ration_says=ration_says,
        targets=tuple(targets),
        targets_named=targets_named,
        caps=tuple(caps),
        avoid=tuple(avoid),
        owner=owner,
        kennel=kennel,
        meals=meals,
        care=care,
        puppy=puppy,
        resting_kcal=None if resting_kcal is None else Fraction(resting_kcal),
    )


def a_dog_in_care(
    name: str = "Sorrel",
    amounts_g: Mapping[str, int] | None = None,
    *,
    care: Care = Care.ILL,
    days: int = 14,
    weight_g: int = 4_000,
    avoid: Iterable[Subject] = (),
    owner: str = "",
) -> Dog:
    """A dog under a veterinarian's care; `amounts_g` maps cuts to grams over the batch."""
    given = {"beef trim": 1_000} if amounts_g is None else amounts_g
    return Dog(
        name=name,
        weight_g=weight_g,
        daily_g=Fraction(sum(given.values()), days),
        days=days,
        batch_g=sum(given.values()),
        ration_says="as the veterinarian gave it",
        day_g=split_evenly(sum(given.values()), days),
        avoid=tuple(avoid),
        owner=owner,
        care=care,
        vet_amounts=tuple(VetAmount(cut, grams) for cut, grams in given.items()),
    )


def an_offer(
    cut: str = "beef trim",
    *,
    supplier: str = HOLLOW_LANE,
    key: str = "",
    item: str = "",
    pack_g: int = 1_000,
    price: Number = "2.40",
    breaks: Mapping[int, Number] | None = None,
    available: int | None = None,
    code: str = "",
    frozen_days: int = 0,
) -> Offer:
    """A pack of 1 kg at 2.40; `breaks` maps a count of packs to the price per pack from there on."""
    return Offer(
        key=key or f"{supplier}: {cut} {pack_g} g",
        supplier=supplier,
        cut=cut,
        item=item or cut,
        unit_g=pack_g,
        by_weight=False,
        steps=tuple(
            PriceStep(count, Fraction(each), Decimal(str(each)), "pack")
            for count, each in sorted({1: price, **(breaks or {})}.items())
        ),
        available=available,
        code=code,
        frozen_days=frozen_days,
    )


def an_offer_by_weight(
    cut: str = "beef trim",
    *,
    supplier: str = HOLLOW_LANE,
    key: str = "",
    item: str = "",
    unit_g: int = 1,
    price_per_kg: Number = "6.20",
    breaks_g: Mapping[int, Number] | None = None,
    available_g: int | None = None,
    code: str = "",
    least_g: int = 1,
    frozen_days: int = 0,
) -> Offer:
    """Cut to the gram at 6.20 per kg; `breaks_g` maps grams to the price per kg from there on."""
    return Offer(
        key=key or f"{supplier}: {cut} by weight",
        supplier=supplier,
        cut=cut,
        item=item or cut,
        unit_g=unit_g,
        by_weight=True,
        steps=tuple(
            PriceStep(max(grams // unit_g, 1), Fraction(each) * unit_g / 1000, Decimal(str(each)), "kg")
            for grams, each in sorted({1: price_per_kg, **(breaks_g or {})}.items())
        ),
        available=None if available_g is None else available_g // unit_g,
        code=code,
        least_units=max(least_g // unit_g, 1),
        frozen_days=frozen_days,
    )


def a_supplier(
    name: str = HOLLOW_LANE,
    *,
    delivery: Number = 0,
    minimum_order: Number = 0,
    free_delivery_from: Number | None = None,
    sales_tax: Number = 0,
    list_date: date | None = None,
    trip: Number = 0,
) -> Supplier:
    """A supplier that charges nothing but its goods."""
    return Supplier(
        name=name,
        delivery=euros(delivery),
        minimum_order=euros(minimum_order),
        free_delivery_from=None if free_delivery_from is None else euros(free_delivery_from),
        sales_tax=Fraction(sales_tax),
        list_date=list_date,
        trip=euros(trip),
    )


def on_hand(cut: str = "beef trim", grams: int = 500, frozen_on: date | None = None, owner: str = "") -> OnHand:
    """A lot in the freezer, of unknown age and for all."""
    return OnHand(cut, grams, frozen_on, owner)


def a_scenario(
    *,
    title: str = "an invented scenario",
    currency: Currency = EUR,
    weight_unit: str = "kg",
    days: int = 14,
    dogs: Iterable[Dog] | None = None,
    cuts: Iterable[Cut] | None = None,
    offers: Iterable[Offer] | None = None,
    suppliers: Iterable[Supplier] | None = None,
    on_hand: Iterable[OnHand] = (),
    room_g: int | None = None,
    budget: Number | None = None,
    most_suppliers: int | None = None,
    most_cuts: int | None = None,
    variety: Variety | None = None,
    portioning: Portioning | None = None,
    hold_days: int | None = 0,
) -> Scenario:
    """One dog and one cut; left out, offers are one pack of 1 kg per cut and suppliers those that the offers name."""
    all_cuts = (a_cut(),) if cuts is None else tuple(cuts)
    all_offers = tuple(an_offer(cut.name) for cut in all_cuts) if offers is None else tuple(offers)
    names = dict.fromkeys(offer.supplier for offer in all_offers)
    return Scenario(
        title=title,
        currency=currency,
        weight_unit=weight_unit,
        batch=Batch(STARTS, days),
        dogs=(a_dog(days=days),) if dogs is None else tuple(dogs),
        cuts=all_cuts,
        suppliers=tuple(a_supplier(name) for name in names) if suppliers is None else tuple(suppliers),
        offers=all_offers,
        on_hand=tuple(on_hand),
        room_g=room_g,
        budget=None if budget is None else euros(budget),
        most_suppliers=most_suppliers,
        most_cuts=most_cuts,
        variety=variety or Variety(),
        portioning=portioning or Portioning(),
        hold_days=hold_days,
    )


def a_line(offer: str = f"{HOLLOW_LANE}: beef trim 1000 g", units: int = 7, goods: Number = "16.80") -> OrderLine:
    """Seven packs at 2.40."""
    return OrderLine(offer, units, euros(goods))


def a_bill(
    supplier: str = HOLLOW_LANE, goods: Number = "16.80", *, delivery: Number = 0, tax: Number = 0, trip: Number = 0
) -> Bill:
    """Goods only."""
    return Bill(supplier, euros(goods), euros(delivery), euros(tax), euros(trip))


def a_portion(dog: str = "Maple", cut: str = "beef trim", batch_g: int = 7_000) -> Portion:
    """All that the dog of the default scenario eats."""
    return Portion(dog, cut, batch_g)


def a_leftover(cut: str = "beef trim", *, on_hand_g: int = 0, bought_g: int = 0, worth: Number = 0) -> Leftover:
    """Nothing left over."""
    return Leftover(cut, on_hand_g, bought_g, euros(worth))


def a_proof(bound: Number = 0, *, proved: bool | None = None, solver: str = "by hand") -> Proof:
    """A proof that vouches for nothing, or that no order costs less than the bound."""
    return Proof(proved=bool(bound) if proved is None else proved, bound=Decimal(str(bound)), solver=solver)


def a_plan(
    *,
    lines: Iterable[OrderLine] | None = None,
    bills: Iterable[Bill] | None = None,
    portions: Iterable[Portion] | None = None,
    leftovers: Iterable[Leftover] = (),
    lots_used: Iterable[LotUse] = (),
    proof: Proof | None = None,
    bags: Iterable[Bag] = (),
    mixes: Iterable[Mix] = (),
    stations: Iterable[Station] = (),
) -> Plan:
    """The plan of the default scenario: seven packs bought, 7 kg fed, nothing left."""
    return Plan(
        lines=(a_line(),) if lines is None else tuple(lines),
        bills=(a_bill(),) if bills is None else tuple(bills),
        portions=(a_portion(),) if portions is None else tuple(portions),
        leftovers=tuple(leftovers),
        lots_used=tuple(lots_used),
        proof=proof or a_proof(),
        bags=tuple(bags),
        mixes=tuple(mixes),
        stations=tuple(stations),
    )


def a_filling(cut: str = "beef trim", grams: int = 500, pieces: int = 0) -> Filling:
    """500 g of trim, weighed."""
    return Filling(cut, grams, pieces)


def a_bag(
    fillings: Iterable[Filling] | None = None,
    *,
    dog: str = "Maple",
    day: int = 0,
    meal: int = 1,
    kind: str = "A",
    topped_up: str = "beef trim",
) -> Bag:
    """A bag of 500 g of trim; `day` counts from 0, the first day of the batch."""
    return Bag(
        dog,
        STARTS + timedelta(days=day),
        meal,
        kind,
        (a_filling(),) if fillings is None else tuple(fillings),
        topped_up,
    )


def portions_g(eaten_g: Mapping[str, Mapping[str, int]]) -> tuple[Portion, ...]:
    """Portions from grams by dog and cut."""
    return tuple(Portion(dog, cut, grams) for dog, cuts in eaten_g.items() for cut, grams in cuts.items())


def euros(amount: Number) -> Decimal:
    """Money with two decimals."""
    return Decimal(str(amount)).quantize(Decimal("0.01"))


def with_energy(cut: Cut, kcal: Number) -> Cut:
    """The cut, of which 100 g hold so much energy and nothing else is known."""
    return replace(cut, analysis=Analysis((("energy", Fraction(kcal)),)))


def with_raw_pork(cut: Cut) -> Cut:
    """The cut with the caution that asks to freeze raw pork for 20 days before it is fed."""
    return replace(cut, cautions=(*cut.cautions, "raw-pork"))


NECK, TRIM, HEART, LIVER, KIDNEY, MINCE = (
    a_cut(
        "chicken neck",
        species="chicken",
        kind="neck",
        parts={Part.MUSCLE: "3/5", Part.BONE: "2/5"},
        fat="1/10",
        piece_g=60,
    ),
    a_cut("beef trim", fat="3/20"),
    a_cut("beef heart", kind="heart", rich=True, fat="1/25"),
    a_cut("lamb liver", species="lamb", kind="liver", parts={Part.LIVER: 1}, fat="1/20"),
    a_cut("beef kidney", kind="kidney", parts={Part.OTHER_ORGAN: 1}, fat="1/20"),
    a_cut(
        "farm mince",
        species={"beef": None, "pork": None},
        kind="mince",
        fat="1/5",
        ingredients=(a_cut("beef mince", kind="mince"), a_cut("pork mince", species="pork", kind="mince")),
    ),
)

SMALL = a_scenario(
    title="two dogs and a patient (invented)",
    dogs=(
        # 2.5 % of 20 kg is 500 g a day, 7000 g in 14 days
        # 70 kcal x 20^0.75 are 662.0 kcal a day at rest, 1.324 in a gram
        a_dog(
            "Maple",
            targets=prey_model(),
            targets_named="prey model",
            caps=(a_cap(),),
            owner="Ada",
            resting_kcal=662,
        ),
        # 2.5 % of 10 kg is 250 g a day, 3500 g in 14 days
        a_dog(
            "Juniper",
            weight_g=10_000,
            daily_g=250,
            ration_says="2.5 % of 10 kg",
            targets=prey_model(),
            targets_named="prey model",
            caps=(a_cap(), a_cap(Measure.FAT, "", "3/20")),
            avoid=(a_subject(Measure.SPECIES, "pork"),),
            owner="Bo",
        ),
        a_dog_in_care("Sorrel", {"beef trim": 1_000, "lamb liver": 50}, avoid=(a_subject(),), owner="Ada"),
    ),
    # of trim and heart the energy is known; the pork in the mince must have been frozen for 20 days
    cuts=(NECK, with_energy(TRIM, 220), with_energy(HEART, 110), LIVER, KIDNEY, with_raw_pork(MINCE)),
    suppliers=(
        a_supplier(HOLLOW_LANE, delivery="4.50", minimum_order=40, free_delivery_from=50, sales_tax="7/100"),
        a_supplier(FENWICK, delivery="3.00", minimum_order=5, free_delivery_from=8),
        a_supplier(TIDEWELL, delivery="6.00", trip="2.50"),
    ),
    offers=(
        an_offer_by_weight("beef trim", key="trim", price_per_kg="6.20", breaks_g={5_000: "5.80"}, least_g=100),
        an_offer("lamb liver", key="liver", pack_g=400, price="1.90"),
        an_offer("chicken neck", key="neck", supplier=FENWICK, pack_g=1_000, price="2.40", available=5),
        an_offer("beef kidney", key="kidney", supplier=FENWICK, pack_g=500, price="1.80", available=2),
        an_offer("farm mince", key="mince", supplier=TIDEWELL, pack_g=1_000, price="9.00", frozen_days=20),
        an_offer("beef heart", key="heart", supplier=TIDEWELL, pack_g=500, price="3.10", breaks={4: "2.90"}),
    ),
    on_hand=(
        on_hand("chicken neck", 300, date(2027, 1, 20)),
        on_hand("chicken neck", 325),
        on_hand("beef heart", 500, date(2027, 1, 10), "Ada"),
        on_hand("beef heart", 700, date(2026, 12, 1)),
    ),
    room_g=12_500,
    budget=60,
    most_suppliers=2,
    most_cuts=5,
    variety=Variety(least_species=2, least_share=Fraction(1, 5), most_share=Fraction(3, 4)),
)
"""Two healthy dogs and one in care, three suppliers, four lots, one of them Ada's; every rule has something to say."""

SMALL_PLAN = a_plan(
    lines=(
        a_line("trim", 6_775, "39.30"),  # 6.775 kg x 5.80, the price from 5 kg on, is 39.295: half up
        a_line("liver", 2, "3.80"),
        a_line("neck", 2, "4.80"),
        a_line("kidney", 2, "3.60"),
    ),
    bills=(
        # 39.30 + 3.80 = 43.10, at least 40 but under 50: delivery is charged; 7 % of 43.10 is 3.017
        a_bill(HOLLOW_LANE, "43.10", delivery="4.50", tax="3.02"),
        # 4.80 + 3.60 = 8.40, from 8 on delivery is free; 50.62 + 8.40 = 59.02 in all
        a_bill(FENWICK, "8.40"),
    ),
    portions=portions_g(
        {
            # bone 0.4 x 1750 = 700 of 7000, 10 %; muscle 0.6 x 1750 + 3850 + 700 = 5600, 80 %; heart 10 %, at its cap;
            # chicken 25 %, beef 3850 + 700 + 350 = 4900, 70 %, lamb 5 %
            "Maple": {
                "chicken neck": 1_750,
                "beef trim": 3_850,
                "beef heart": 700,
                "lamb liver": 350,
                "beef kidney": 350,
            },
            # the half of it; fat 87.5 + 288.75 + 14 + 8.75 + 8.75 = 407.75 of 3500, 11.65 %
            "Juniper": {
                "chicken neck": 875,
                "beef trim": 1_925,
                "beef heart": 350,
                "lamb liver": 175,
                "beef kidney": 175,
            },
            "Sorrel": {"beef trim": 1_000, "lamb liver": 50},
        }
    ),
    leftovers=(
        a_leftover("beef heart", on_hand_g=150),  # 1200 on hand, 700 + 350 fed
        a_leftover("lamb liver", bought_g=225, worth="1.07"),  # 800 bought, 575 fed; 225 x 3.80 / 800 = 1.06875
        a_leftover("beef kidney", bought_g=475, worth="1.71"),  # 1000 bought, 525 fed; 475 x 3.60 / 1000
    ),
    # necks: 2625 fed, so all 625 on hand; hearts: Maple's 700 are Ada's 500 and 200 of all's, of which Juniper has 350
    lots_used=(LotUse(0, 300), LotUse(1, 325), LotUse(2, 500), LotUse(3, 550)),
    # before rounding: (39.295 + 3.80) x 1.07 + 4.50 + 8.40; an invented proof, nobody searched for a cheaper order
    proof=a_proof("59.01165"),
)
"""A plan for `SMALL` that breaks no rule: 59.02 EUR; 625 + 1200 g on hand and 10575 g bought make 12400 g frozen."""


def without_rules_on_energy_and_freezing(scenario: Scenario) -> Scenario:
    """The scenario as it was asked before a dog had to get its energy at rest and pork to be frozen first."""
    dogs = tuple(replace(dog, resting_share=Fraction(0)) for dog in scenario.dogs)
    return replace(scenario, dogs=dogs, hold_days=None)
