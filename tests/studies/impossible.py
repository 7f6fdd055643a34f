"""Scenarios without a plan, made by hand, each with the changes that open one and the rules that clash.

All names, prices and amounts are invented. **Source:** arithmetic; the sums stand beside the numbers.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType

from raworder.trade.bags import Portioning
from raworder.trade.cuts import Measure, Part
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.scenario import Scenario, Variety
from raworder.trade.units import Currency
from tests import builders as b


@dataclass(frozen=True)
class Blocked:
    """A scenario, what to write to open a plan alone, or `together`; the rules that clash; and what else is said."""

    scenario: Scenario
    alone: tuple[str, ...] = ()
    clash: tuple[str, ...] = ()
    together: tuple[str, ...] = ()
    says: str = ""


CUT_UP = Portioning(divided=frozenset({"chicken neck"}))
DIVIDED = "portioning: {divided: [chicken neck]}"
NO_BONE = "targets: {bone: 0 % to 12 %}"
LIVER = b.a_cut("beef liver", kind="liver", parts={Part.LIVER: 1}, fat="1/20")
KIDNEY = b.a_cut("beef kidney", kind="kidney", parts={Part.OTHER_ORGAN: 1}, fat="1/20")
MARROW = b.a_cut("beef rib", kind="rib", parts={Part.MUSCLE: "1/5", Part.BONE: "4/5"}, piece_g=100)
NECK_OFFER = b.an_offer("chicken neck", supplier=b.FENWICK)


def fed(*dogs: Dog, **asked: object) -> Scenario:
    """These dogs, or Maple, who eats 7 kg in 14 days; trim in packs of 1 kg at 2.40: 16.80."""
    return b.a_scenario(dogs=dogs or None, **asked)  # type: ignore[arg-type]  # tests pass what the builder takes


def with_heart(*dogs: Dog, **asked: object) -> Scenario:
    """Trim from one supplier, heart from another."""
    offers = (b.an_offer("beef trim"), b.an_offer("beef heart", supplier=b.FENWICK))
    return fed(*dogs, cuts=(b.TRIM, b.HEART), offers=offers, **asked)


def trim_and_heart_at_most(share: str) -> Dog:
    """A dog that gets of each no more than that."""
    return b.a_dog(caps=[b.a_cap(Measure.CUT, "beef trim", share), b.a_cap(Measure.CUT, "beef heart", share)])


def with_liver(packs: int) -> Scenario:
    """Liver in packs of 100 g, so many of them; at least 5 % of 7 kg are 350 g."""
    offers = (b.an_offer("beef trim"), b.an_offer("beef liver", pack_g=100, available=packs))
    dog = b.a_dog(targets=[b.a_target(Part.LIVER, "5/100", "10/100")])
    return fed(dog, cuts=(b.TRIM, LIVER), offers=offers)


def with_liver_by_weight(available_g: int | None, least_g: int, **asked: object) -> Scenario:
    """Liver in steps of 50 g, so much of it and sold from so much on; from 350 g to 700 g are needed."""
    liver = b.an_offer_by_weight("beef liver", unit_g=50, available_g=available_g, least_g=least_g)
    dog = b.a_dog(targets=[b.a_target(Part.LIVER, "5/100", "10/100")])
    return fed(dog, cuts=(b.TRIM, LIVER), offers=(b.an_offer("beef trim"), liver), **asked)


def prey_without_bone() -> Scenario:
    """The prey model and no bone: liver and kidney are 12 % at most, so muscle is 88 % at least."""
    return fed(b.a_dog(targets=b.prey_model()), cuts=(b.TRIM, LIVER, KIDNEY))


def necks_only(*dogs: Dog, **asked: object) -> Scenario:
    """Nothing but necks, 40 % bone, 60 g a piece."""
    return fed(*dogs, cuts=(b.NECK,), **asked)


def with_neck(*dogs: Dog, **asked: object) -> Scenario:
    """Trim, and necks in whole pieces of 60 g, 24 g of them bone."""
    return fed(*dogs, cuts=(b.NECK, b.TRIM), **asked)


def a_pack_of(dogs: int) -> tuple[Dog, ...]:
    """So many dogs that eat 7 kg each."""
    return tuple(b.a_dog(f"Dog {number}") for number in range(1, dogs + 1))


BLOCKED: Mapping[str, Blocked] = MappingProxyType(
    {
        "a budget below the cheapest order": Blocked(fed(budget=16), ("budget: 16.80",), ("budget",)),
        # 16.80 and 5.00
        "a delivery that the budget leaves no room for": Blocked(
            fed(budget=20, suppliers=[b.a_supplier(delivery=5)]), ("budget: 21.80",), ("budget",)
        ),
        "a budget in a currency without cents": Blocked(
            b.a_scenario(currency=Currency("JPY", 0), offers=[b.an_offer(price=240)], budget=1600),
            ("budget: 1680",),
            ("budget",),
        ),
        "nine dogs and a budget for eight": Blocked(fed(*a_pack_of(9), budget=150), ("budget: 151.20",), ("budget",)),
        "a freezer too small": Blocked(
            fed(room_g=6_500), ("freezer: {room: 7 kg}",), ("room",), says="eat 7 kg over the batch"
        ),
        "a freezer too small where people read pounds": Blocked(
            fed(room_g=6_500, weight_unit="lb"), ("freezer: {room: 7000 g}",), ("room",)
        ),
        "a freezer that is overfull already": Blocked(
            fed(on_hand=[b.on_hand(grams=9_000)], room_g=8_000),
            ("freezer: {room: 9 kg}",),
            ("room",),
            says="What is on hand, 9 kg, is more",
        ),
        # neither cut may be all of it, and 10 points more are not enough
        "one supplier where two are needed": Blocked(
            with_heart(trim_and_heart_at_most("1/2"), most_suppliers=1),
            ("most_suppliers: 2",),
            ("supplier_count", "cap", "cap"),
        ),
        # the same cuts from one supplier
        "one cut where two are needed": Blocked(
            fed(trim_and_heart_at_most("1/2"), cuts=(b.TRIM, b.HEART), most_cuts=1),
            ("most_cuts: 2",),
            ("cut_count", "cap", "cap"),
        ),
        # 350 g are to be had and needed
        "less to be had than is sold at least": Blocked(
            with_liver_by_weight(350, 400),
            ("least: 350 g", "available: 400 g", "targets: {liver: 0 % to 10 %}"),
            ("pack_count", "least_purchase", "part_share"),
        ),
        # 6650 g of trim are seven packs; a kilogram of liver, 14.3 % of 7 kg, would be in place of one
        "more sold at least than there is room for": Blocked(
            with_liver_by_weight(None, 450, room_g=7_400),
            (
                "freezer: {room: 7.45 kg}",
                "least: 400 g",
                "targets: {liver: 0 % to 10 %}",
                "targets: {liver: 5 % to 14.3 %}",
            ),
            ("room", "least_purchase", "part_share", "part_share"),
        ),
        # trim alone has no bone, rib alone has too little muscle
        "one supplier where bone is sold by another": Blocked(
            fed(
                b.a_dog(targets=[b.a_target(Part.MUSCLE, "1/2", 1), b.a_target()]),
                cuts=(b.a_cut("trim"), MARROW),
                offers=(b.an_offer("trim"), b.an_offer("beef rib", supplier=b.FENWICK)),
                portioning=Portioning(divided=frozenset({"beef rib"})),
                most_suppliers=1,
            ),
            ("targets: {muscle: 50 % to 100 %, bone: 0 % to 12 %}", "most_suppliers: 2"),
            ("supplier_count", "part_share", "part_share"),
        ),
        # 9 packs fit, 21.60; 17 packs are 40.80
        "a minimum order that no freezer holds": Blocked(
            fed(suppliers=[b.a_supplier(minimum_order=40)], room_g=9_000),
            ("freezer: {room: 17 kg}", "minimum_order: 21.60"),
            ("room", "minimum_order"),
            says="minimum order 40.00 EUR, but everything that the dogs eat costs at most 16.80 EUR there",
        ),
        # 8 packs are 19.20, 17 are 40.80
        "a minimum order above the budget": Blocked(
            fed(suppliers=[b.a_supplier(minimum_order=40)], budget=20),
            ("budget: 40.80", "minimum_order: 19.20"),
            ("budget", "minimum_order"),
            says="The minimum order of every supplier is above the budget",
        ),
        "too few packs": Blocked(
            fed(offers=[b.an_offer(available=6)]), ("available: 7",), ("pack_count",), says="there is only 6 kg"
        ),
        "too little of what is cut to the gram": Blocked(
            fed(offers=[b.an_offer_by_weight(available_g=5_004)]), ("available: 7 kg",), ("pack_count",)
        ),
        # 300 g of 7 kg are 4.29 %
        "too little liver": Blocked(
            with_liver(3),
            ("available: 4", "targets: {liver: 4.2 % to 10 %}"),
            ("pack_count", "part_share"),
            says="at least 350 g of liver; all that there is contains 300 g",
        ),
        "less than a veterinarian gave": Blocked(
            fed(b.a_dog_in_care("Sorrel", {"beef trim": 1_000}), offers=[b.an_offer(pack_g=500, available=1)]),
            ("available: 2",),
            ("pack_count",),
            says="The veterinarian gave 1 kg of beef trim, but there is only 500 g.",
        ),
        "two species where there is one": Blocked(
            fed(variety=Variety(2, Fraction(1, 5), Fraction(1))),
            ("variety: {species: 1, each_at_least: 20 %}",),
            ("variety",),
            says="must get 2 animal species, but may eat only beef",
        ),
        "two species for a dog that avoids the second": Blocked(
            with_neck(b.a_dog(avoid=[b.a_subject()]), variety=Variety(2, Fraction(1, 5), Fraction(1))),
            ("variety: {species: 1, each_at_least: 20 %}",),
            ("variety",),
        ),
        "no species all of it where there is one": Blocked(
            fed(variety=Variety(most_share=Fraction(95, 100))), ("variety: {most_of_one: 100 %}",), ("variety",)
        ),
        "a cap on fat below all that there is": Blocked(
            fed(b.a_dog(caps=[b.a_cap(Measure.FAT, "", "1/10")])), ("caps: {fat: 12.5 %, heart: none}",), ("cap",)
        ),
        # 45 % and 45 % are not all of it
        "two caps that leave a tenth unfed": Blocked(
            with_heart(trim_and_heart_at_most("45/100")),
            (
                "caps: {beef trim: 45 %, beef heart: 55 %, fat: none, heart: none}",
                "caps: {beef trim: 55 %, beef heart: 45 %, fat: none, heart: none}",
            ),
            ("cap", "cap"),
        ),
        "no bone where some is asked for": Blocked(
            fed(b.a_dog(targets=[b.a_target()])), (NO_BONE,), ("part_share",), says="contains bone; Maple must get some"
        ),
        "no bone in the prey model": Blocked(
            prey_without_bone(),
            ("targets: {muscle: 76 % to 88 %, bone: 0 % to 12 %, liver: 4 % to 6 %, other organ: 4 % to 6 %}",),
            ("part_share",),
        ),
        "nothing with as little bone": Blocked(
            necks_only(b.a_dog(targets=[b.a_target(high="35/100")]), portioning=CUT_UP),
            ("targets: {bone: 8 % to 40 %}",),
            ("part_share",),
        ),
        # 28 points more would be another diet
        "nothing with anything like as little bone": Blocked(
            necks_only(b.a_dog(targets=[b.a_target()]), portioning=CUT_UP),
            (),
            ("part_share",),
            says="must get at most 12.0 % of bone, but no cut has less than 40.0 %",
        ),
        # 700 g of bone are 29.2 necks; 29 are 9.94 %, 30 are 10.29 %
        "bone to the gram from whole necks": Blocked(
            with_neck(b.a_dog(targets=[b.a_target(low="1/10", high="1/10")])),
            (DIVIDED, "targets: {bone: 10 % to 10.3 %}", "targets: {bone: 9.9 % to 10 %}"),
            ("part_share", "part_share", "whole_pieces"),
        ),
        # a neck and 10 g of trim are more than a bag of 55 g
        "a neck too large for the bag": Blocked(
            with_neck(b.a_dog(weight_g=2_400, daily_g=60, targets=[b.a_target()])),
            (DIVIDED, NO_BONE),
            ("part_share", "whole_pieces"),
            says="no piece with it can be fed whole: chicken neck of 60 g (it is too large for one bag and its bone",
        ),
        # 80 g of bone in a piece, 60 g in a day of 200 g; if the batch might be 24 % bone, a day might be 40 %
        "a rib with more bone than a day may hold": Blocked(
            fed(b.a_dog(weight_g=8_000, daily_g=200, targets=[b.a_target()]), cuts=(MARROW, b.TRIM)),
            ("portioning: {divided: [beef rib]}", "portioning: {most_a_day: {bone: 40 %}}", NO_BONE),
            ("day_most", "part_share", "part_share", "whole_pieces"),
            says="can be fed whole: beef rib of 100 g (its bone alone is more than 30.0 % of a day's food)",
        ),
        # 5 to 10 % of 60 g are 3 to 6 g; 10 g are 16.7 %
        "less liver than the least portion": Blocked(
            fed(
                b.a_dog(weight_g=2_400, daily_g=60, days=1, targets=[b.a_target(Part.LIVER, "5/100", "10/100")]),
                days=1,
                cuts=(b.TRIM, LIVER),
            ),
            ("portioning: {least_portion: 5 g}", "targets: {liver: 0 % to 10 %}", "targets: {liver: 5 % to 16.7 %}"),
            ("least_portion", "part_share", "part_share"),
        ),
        # 480 g a day are eight necks: nothing is there to top a bag up with
        "bags of nothing but whole necks": Blocked(
            necks_only(b.a_dog(daily_g=480)),
            (DIVIDED,),
            ("whole_pieces",),
            says="No order follows all your rules",
        ),
        "neither money nor room": Blocked(
            fed(budget=16, room_g=6_500), (), ("budget",), together=("budget: 16.80", "freezer: {room: 7 kg}")
        ),
        "two dogs with caps of their own": Blocked(
            fed(
                b.a_dog("Maple", caps=[b.a_cap(Measure.FAT, "", "1/10")]),
                b.a_dog("Juniper", caps=[b.a_cap(Measure.FAT, "", "11/100")]),
            ),
            (),
            ("cap",),
            together=("caps: {fat: 12.5 %, heart: none}", "caps: {fat: 12.5 %, heart: none}"),
        ),
        "no bone and too much fat": Blocked(
            fed(b.a_dog(targets=[b.a_target()], caps=[b.a_cap(Measure.FAT, "", "1/10")])),
            (),
            ("part_share",),
            together=("caps: {fat: 12.5 %, heart: none}", NO_BONE),
        ),
        # 500 g of trim hold 600 kcal
        "food too lean for a dog at rest": Blocked(
            fed(b.a_dog(resting_kcal=662), cuts=(b.with_energy(b.TRIM, 120),)),
            ("vet_asked_for_less: yes",),
            ("resting_energy",),
        ),
        "a ration in energy below that at rest": Blocked(
            fed(
                replace(b.a_dog(resting_kcal=662), energy=EnergyRation((Fraction(600),) * 14)),
                cuts=(b.with_energy(b.TRIM, 120),),
            ),
            ("vet_asked_for_less: yes",),
            ("resting_energy",),
        ),
        "pork that is fresh": Blocked(fed(cuts=(b.with_raw_pork(b.TRIM),)), ("hold: off",), ("hold",)),
        # a lot that was not frozen for long enough is on hand, and a pack that comes frozen is too little
        "too little pork that comes frozen": Blocked(
            fed(
                cuts=(b.with_raw_pork(b.TRIM),),
                offers=[b.an_offer(available=6, frozen_days=20)],
                on_hand=[b.on_hand(grams=2_000)],
            ),
            ("available: 7", "hold: off"),
            ("hold", "pack_count"),
        ),
        "nothing but what the dog must not eat": Blocked(
            fed(b.a_dog(avoid=[b.a_subject(Measure.SPECIES, "beef")])),
            says="Even if you gave up every rule that may be changed, there would be no plan",
        ),
    }
)
"""Every kind of rule that may give way, alone or with others, and one that never does."""
