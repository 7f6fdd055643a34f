"""Why there are no bags: each rule of bags that may give way is loosened alone, and the bags are filled again."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from raworder.plan import NoPlan, Plan, Reason
from raworder.portioning.bagged import Unbagged, bagged
from raworder.portioning.filled import Solve
from raworder.trade import Scenario
from raworder.units import share_text

WIDER = (2, 4, 8, 16)
"""How many times the allowance of a week is tried."""


@dataclass(frozen=True, slots=True)
class _Loosened:
    """A scenario with one rule of bags loosened; what it demanded, and what to write instead."""

    rule: str
    demand: str
    scenario: Scenario
    instead: str


def why_not_filled(
    scenario: Scenario, plan: Plan, fed_alike: Sequence[Sequence[str]], unfilled: Unbagged, solve: Solve
) -> NoPlan:
    """The rules of bags each of which, loosened alone, lets the bags be filled."""
    reasons: dict[str, Reason] = {}
    for one in _all_loosened(scenario):
        if one.rule in reasons:
            continue
        if not isinstance(bagged(one.scenario, plan, fed_alike, solve, unfilled.dogs), Unbagged):
            reasons[one.rule] = Reason(one.rule, one.demand, f"the bags can be filled with {one.instead}")
    return NoPlan(tuple(reasons.values()), tuple(_facts(scenario, plan, unfilled)))


def _all_loosened(scenario: Scenario) -> Iterator[_Loosened]:
    portioning = scenario.portioning
    allowance = portioning.week_allowance or Fraction(1, 200)
    for times in WIDER:
        wider = replace(scenario, portioning=replace(portioning, week_allowance=allowance * times))
        demand = f"a week's shares leave their ranges by at most {share_text(portioning.week_allowance)} of its food"
        yield _Loosened("week_share", demand, wider, f"`week_allowance: {share_text(allowance * times)}`")
    demand = "no day's food holds more than its most of bone, organs, plants, heart or fat"
    free = replace(scenario, portioning=replace(portioning, most_a_day=()))
    yield _Loosened("day_most", demand, free, "a higher `most_a_day`")
    if portioning.least_portion_g > portioning.scale_step_g:
        small = replace(scenario, portioning=replace(portioning, least_portion_g=portioning.scale_step_g))
        demand = f"no portion is smaller than {portioning.least_portion_g} g"
        yield _Loosened("least_portion", demand, small, f"`least_portion: {portioning.scale_step_g} g`")


def _facts(scenario: Scenario, plan: Plan, unfilled: Unbagged) -> Iterator[str]:
    """Who has no bags, and which of its cuts come in whole pieces."""
    yield f"There is an order, but its portions cannot be spread over the bags of {', '.join(unfilled.dogs)}."
    whole = {cut.name: scenario.portioning.whole_piece_g(cut) for cut in scenario.cuts}
    pieces = {one.cut for one in plan.portions if one.dog in unfilled.dogs and whole[one.cut]}
    for cut in sorted(pieces):
        yield f"{cut} is fed in whole pieces of {whole[cut]} g; named under `divided` it may be cut up."
