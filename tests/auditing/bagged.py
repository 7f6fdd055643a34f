"""Plans with bags that break no rule, and ways to change them. All dogs, prices and amounts are invented."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

from raworder.auditing.checks import audit
from raworder.trade.bags import Bag, Filling, Mix, Portioning, Station, Tub, Working
from raworder.trade.cuts import Cut, Measure, Part
from raworder.trade.dogs import Dog
from raworder.trade.plan import LotUse, Plan
from raworder.trade.rounding import split_evenly
from raworder.trade.scenario import Scenario, Variety
from tests.builders import (
    HEART,
    LIVER,
    NECK,
    TRIM,
    a_bag,
    a_cap,
    a_dog,
    a_plan,
    a_scenario,
    a_subject,
    a_target,
    on_hand,
    portions_g,
)

CUTS = (NECK, TRIM, HEART, LIVER)
DAYS = range(14)


def fed_from_stock(
    bags: Iterable[Bag],
    *,
    dogs: Iterable[Dog] | None = None,
    cuts: Iterable[Cut] = CUTS,
    days: int = 14,
    portioning: Portioning | None = None,
    variety: Variety | None = None,
    mixes: Iterable[Mix] = (),
    eaten_g: Mapping[str, Mapping[str, int]] | None = None,
) -> tuple[Scenario, Plan]:
    """A scenario and a plan where bags are filled with just what is on hand, so that only bags can be wrong.

    Portions are what the bags hold; from mixes, they are said.
    """
    bags, cuts = tuple(bags), tuple(cuts)
    eaten_g = held_g(bags) if eaten_g is None else eaten_g
    fed_g = Counter[str]()
    for portions in eaten_g.values():
        fed_g.update(portions)
    lots = tuple(on_hand(cut, grams) for cut, grams in fed_g.items())
    scenario = a_scenario(
        days=days, dogs=dogs, cuts=cuts, offers=(), on_hand=lots, variety=variety, portioning=portioning
    )
    return scenario, a_plan(
        lines=(),
        bills=(),
        portions=portions_g(eaten_g),
        lots_used=(LotUse(index, lot.grams) for index, lot in enumerate(lots)),
        bags=bags,
        mixes=mixes,
        stations=stations_of(bags),
    )


def held_g(bags: Iterable[Bag]) -> dict[str, dict[str, int]]:
    """Grams in the bags by dog and cut."""
    grams: dict[str, dict[str, int]] = {}
    for bag in bags:
        for filling in bag.fillings:
            of_dog = grams.setdefault(bag.dog, {})
            of_dog[filling.cut] = of_dog.get(filling.cut, 0) + filling.grams
    return grams


def stations_of(bags: tuple[Bag, ...]) -> tuple[Station, ...]:
    """A station for every cut or mix, all in one phase."""
    cuts = dict.fromkeys(filling.cut for bag in bags for filling in bag.fillings)
    return tuple(
        Station(1, cut, tuple(place for place, bag in enumerate(bags) if any(one.cut == cut for one in bag.fillings)))
        for cut in cuts
    )


def a_ration(
    day: int,
    weighed_g: Mapping[str, int],
    *,
    necks: int = 0,
    ration_g: int = 500,
    top_up: str = "beef trim",
    **more: Any,
) -> Bag:
    """A bag with so many necks of 60 g and so much of other cuts, topped up to the ration; cuts of 0 g are left out."""
    rest_g = ration_g - 60 * necks - sum(weighed_g.values())
    pieces = (Filling("chicken neck", 60 * necks, necks),) if necks else ()
    weighed = (Filling(cut, grams) for cut, grams in {**weighed_g, top_up: rest_g}.items() if grams)
    return a_bag((*pieces, *weighed), day=day, topped_up=top_up, **more)


def a_fortnight(order: str = "ABABABABABABAB", dog: str = "Maple") -> tuple[Bag, ...]:
    """Two kinds of bag: A with 50 g of liver, B with 80 g of heart, both with two necks."""
    kinds = {"A": {"lamb liver": 50}, "B": {"beef heart": 80}}
    return tuple(a_ration(day, kinds[kind], necks=2, kind=kind, dog=dog) for day, kind in enumerate(order))


LIVER_TARGET = a_target(Part.LIVER, "4/100", "6/100")
# in 7000 g: bone 0.4 x 1680 = 672, 9.6 %; liver 350, 5 %; heart 560, 8 %. In seven days of ABABABA, 3500 g: liver 200,
# 5.7 %, and heart 240; in seven of BABABAB: liver 150, 4.3 %, and heart 320, 9.1 %
MAPLE = a_dog(targets=(a_target(), LIVER_TARGET), caps=(a_cap(),))

FORTNIGHT, FORTNIGHT_PLAN = fed_from_stock(a_fortnight(), dogs=(MAPLE,))
"""A dog of 500 g a day for 14 days and its bags, all as it should be."""


def _tubs(contents_g: Mapping[str, int], number: int) -> tuple[Tub, ...]:
    """So many tubs that hold the same, but for a gram."""
    shared = {cut: split_evenly(grams, number) for cut, grams in contents_g.items()}
    return tuple(
        Tub(tub + 1, tuple(Filling(cut, grams[tub]) for cut, grams in shared.items())) for tub in range(number)
    )


def fed_from_tubs(portioning: Portioning | None = None) -> tuple[Scenario, Plan]:
    """Maple, 500 g a day, and Juniper, 250 g in two meals, fed alike: necks, and all else from a mix of two tubs."""
    eaten_g = {
        # bone 0.4 x 1680 = 672 of 7000, 9.6 %; liver 5 %; heart 10 %, at its cap
        "Maple": {"chicken neck": 1_680, "beef trim": 4_270, "beef heart": 700, "lamb liver": 350},
        "Juniper": {"chicken neck": 840, "beef trim": 2_135, "beef heart": 350, "lamb liver": 175},
    }
    contents_g = {"beef trim": 6_405, "beef heart": 1_050, "lamb liver": 525}  # 7980 g, so two tubs of up to 5 kg
    mix = Mix("mix 1", tuple(eaten_g), tuple(Filling(*one) for one in contents_g.items()), _tubs(contents_g, 2))
    bags = [a_ration(day, {}, necks=2, top_up="mix 1") for day in DAYS]
    for day in DAYS:
        for meal in (1, 2):
            # a neck in the morning: 60 + 65 g, and 125 g of the mix in the evening
            kind = "AB"[meal - 1]
            necks = 2 - meal
            more = {"dog": "Juniper", "meal": meal, "kind": kind, "top_up": "mix 1"}
            bags.append(a_ration(day, {}, necks=necks, ration_g=125, **more))
    juniper = replace(MAPLE, name="Juniper", batch_g=3_500, daily_g=Fraction(250), day_g=(250,) * 14, meals=2)
    return fed_from_stock(
        bags,
        dogs=(MAPLE, juniper),
        portioning=portioning or Portioning(working=Working.TUB),
        mixes=(mix,),
        eaten_g=eaten_g,
    )


TUBS, TUBS_PLAN = fed_from_tubs()
"""Two dogs fed from a mix, one in two meals, all as it should be."""


def blamed(scenario: Scenario, plan: Plan) -> set[str]:
    """The keys of the rules that are broken."""
    return {breach.rule for breach in audit(scenario, plan)}


def of_dog(scenario: Scenario, **changes: Any) -> Scenario:
    """The scenario with its first dog changed."""
    return replace(scenario, dogs=(replace(scenario.dogs[0], **changes), *scenario.dogs[1:]))


def portioned(scenario: Scenario, **changes: Any) -> Scenario:
    """The scenario with bags made in another way."""
    return replace(scenario, portioning=replace(scenario.portioning, **changes))


def with_bag(plan: Plan, place: int, **changes: Any) -> Plan:
    """The plan with one bag changed, wherever else that matters."""
    bags = list(plan.bags)
    bags[place] = replace(bags[place], **changes)
    return replace(plan, bags=tuple(bags))


def with_grams(plan: Plan, more_g: Mapping[tuple[int, str], int]) -> Plan:
    """The plan with so many grams more, or less, of a cut in the bag at a place; nothing else follows from it."""
    for (place, cut), grams in more_g.items():
        fillings = (
            replace(one, grams=one.grams + grams) if one.cut == cut else one for one in plan.bags[place].fillings
        )
        plan = with_bag(plan, place, fillings=tuple(fillings))
    return plan


BROKEN_BAGS: dict[str, tuple[Scenario, Plan]] = {
    "whole_pieces": (
        FORTNIGHT,
        replace(
            FORTNIGHT_PLAN,
            bags=tuple(
                replace(bag, fillings=(replace(bag.fillings[0], pieces=1), *bag.fillings[1:]))
                for bag in FORTNIGHT_PLAN.bags
            ),
        ),
    ),
    "least_portion": (portioned(FORTNIGHT, least_portion_g=51), FORTNIGHT_PLAN),
    "bag_sum": (FORTNIGHT, replace(FORTNIGHT_PLAN, stations=FORTNIGHT_PLAN.stations[1:])),
    # a kind A bag holds 50 g of liver, a kind B bag 80 g of heart; in steps of 7 g neither can be weighed
    "scale_step": (portioned(FORTNIGHT, scale_step_g=7), FORTNIGHT_PLAN),
    "bag_weight": (FORTNIGHT, with_grams(FORTNIGHT_PLAN, {(0, "beef trim"): 26, (1, "beef trim"): -26})),
    # all liver in the first week: 350 of 3500 g, 10 %
    "week_share": fed_from_stock(a_fortnight("AAAAAAABBBBBBB"), dogs=(replace(MAPLE, caps=()),)),
    # all heart in the second week: 560 of 3500 g, 16 %
    "week_cap": fed_from_stock(a_fortnight("AAAAAAABBBBBBB"), dogs=(replace(MAPLE, targets=()),)),
    # 50 g of the kind liver in a kind A bag of 500 g, 10 %, and 5 % over all days, of which five thirds are less
    "day_most": (
        portioned(FORTNIGHT, most_a_day=((a_subject(Measure.KIND, "liver"), Fraction(99, 1000)),)),
        FORTNIGHT_PLAN,
    ),
}
"""For every rule of bags, a plan that breaks it and no other."""
