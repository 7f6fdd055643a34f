"""Keeping the food cold: how each bag gets to the bowl in time, what is frozen when, and how full the freezer is then.

Published figures are for kitchens that cook; for `cook` read `feed`.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from raworder.trade.as_fed import fed_g
from raworder.trade.bags import Bag
from raworder.trade.batch_facts import (
    CAREFUL,
    THAWS_A_DAY_G,
    BagWay,
    Cold,
    Evening,
    Journey,
    Load,
    Lot,
)
from raworder.trade.cuts import FREEZE_FIRST, Cut, freeze_first_keys
from raworder.trade.plan import Plan
from raworder.trade.scenario import FedScenario, Keeping, Offer, OnHand


def keep_cold(scenario: FedScenario, plan: Plan) -> Cold:
    """The way of every bag, the lots of the freezer, and every evening from the day of filling to the last fed."""
    ways = journeys(scenario, plan)
    lots = lots_of(scenario, plan, ways)
    return Cold(_keeping(scenario, plan), ways, lots, tuple(_evenings(scenario, plan, ways, lots)))


def _keeping(scenario: FedScenario, plan: Plan) -> dict[str, Keeping]:
    """How long every cut in the bags keeps in a refrigerator, also those of mixes."""
    cuts_in = _cuts_in(scenario, plan)
    cuts = (cut for bag in plan.bags for filling in bag.fillings for cut in cuts_in[filling.cut])
    return {cut.name: _keeping_of(scenario, cut) for cut in cuts}


def _keeping_of(scenario: FedScenario, cut: Cut) -> Keeping:
    """How long a cut keeps in a refrigerator; little where it is not known."""
    return scenario.keeping_of(cut) or CAREFUL


def _cuts_in(scenario: FedScenario, plan: Plan) -> dict[str, tuple[Cut, ...]]:
    """The cut of every name, and the cuts of every mix."""
    cuts = {cut.name: (cut,) for cut in scenario.cuts}
    return cuts | {mix.name: tuple(scenario.cut(filling.cut) for filling in mix.contents) for mix in plan.mixes}


@dataclass(frozen=True, slots=True)
class _Needs:
    """How long something keeps in a refrigerator, and which of its cuts must be frozen first, by which caution."""

    keeping: Keeping
    freeze_first: tuple[tuple[str, str], ...]


def thaw_days(grams: int) -> int:
    """The days a block of that weight takes to thaw in a refrigerator.

    >>> thaw_days(550), thaw_days(2_268), thaw_days(2_269)
    (1, 1, 2)
    """
    return -(-grams // THAWS_A_DAY_G)


def journeys(scenario: FedScenario, plan: Plan) -> tuple[Journey, ...]:
    """The way of every bag, in order. The bags of a day thaw side by side, so they move when its largest must.

    A bag that would then be thawed for longer than it keeps, or not be frozen for long enough, moves by itself.
    """
    needs = _needs_by_name(scenario, plan)
    ready = tuple(_journey_from_counter(scenario, number, bag, needs) for number, bag in enumerate(plan.bags, start=1))
    longest: dict[date, int] = {}
    for journey in ready:
        if journey.way is BagWay.FREEZER:
            longest[journey.bag.day] = max(longest.get(journey.bag.day, 0), journey.thaw_days)
    return tuple(
        _with_thawing_day(journey, longest[journey.bag.day]) if journey.way is BagWay.FREEZER else journey
        for journey in ready
    )


def _needs_by_name(scenario: FedScenario, plan: Plan) -> dict[str, _Needs]:
    """What every cut and mix in the bags needs, each looked up once."""
    names = dict.fromkeys(filling.cut for bag in plan.bags for filling in bag.fillings)
    cuts_in, fed, frozen_g = _cuts_in(scenario, plan), fed_g(scenario, plan), _frozen_g(scenario, plan)
    return {name: _needs(scenario, cuts_in[name], fed, frozen_g) for name in names}


def _needs(
    scenario: FedScenario, cuts: Iterable[Cut], fed: Mapping[str, int], frozen_g: Mapping[tuple[str, str], int]
) -> _Needs:
    """What a cut, or all the cuts of a mix, need."""
    known = tuple(cuts)
    keeping = min((_keeping_of(scenario, cut) for cut in known), key=lambda keeping: keeping.least_days)
    first = ((cut.name, key) for cut in known for key in freeze_first_keys(cut))
    return _Needs(keeping, tuple(both for both in first if frozen_g.get(both, 0) < fed[both[0]]))


def _frozen_g(scenario: FedScenario, plan: Plan) -> dict[tuple[str, str], int]:
    """Grams of a cut that will have been frozen for as long as a caution asks when the bags are filled.

    They are fed from lots on hand, or bought frozen or to be held.
    """
    sold = {offer.key: offer for offer in scenario.offers}
    offers = ((sold[line.offer], line.units) for line in plan.lines if line.offer in sold)
    there: list[tuple[OnHand | Offer, int]] = [(scenario.on_hand[use.lot], use.used_g) for use in plan.lots_used]
    there += [(offer, offer.grams(units)) for offer, units in offers]
    found: dict[tuple[str, str], int] = {}
    for food, grams in there:
        for key, first in FREEZE_FIRST.items():
            if scenario.frozen_for_days(food) >= first.days:
                found[food.cut, key] = found.get((food.cut, key), 0) + grams
    return found


def _journey_from_counter(scenario: FedScenario, number: int, bag: Bag, needs: Mapping[str, _Needs]) -> Journey:
    """A bag as it is filled: it stays fresh if it is fed within its keeping time and nothing must be frozen first."""
    inside = [needs[filling.cut] for filling in bag.fillings]
    keeps_days = min((need.keeping.least_days for need in inside), default=CAREFUL.least_days)
    first = tuple(both for need in inside for both in need.freeze_first)
    filled_on = scenario.portioned_on
    fresh = not first and 0 <= (bag.day - filled_on).days <= keeps_days
    way = BagWay.REFRIGERATOR if fresh else BagWay.FREEZER
    return Journey(number, bag, way, filled_on, thaw_days(bag.grams), keeps_days, first)


def _with_thawing_day(journey: Journey, longest_days: int) -> Journey:
    """A bag with the morning on which it leaves the freezer, if there is time to freeze it at all."""
    tried = [_leave_freezer(journey, days) for days in _days_before_feeding(journey, longest_days)]
    in_time = [journey for journey in tried if journey.frozen_days >= max(journey.freeze_days, 1)]
    best = in_time[0] if in_time else tried[-1]
    return best if best.frozen_days >= 1 else replace(journey, way=BagWay.NO_TIME)


def _days_before_feeding(journey: Journey, longest_days: int) -> Iterator[int]:
    """How many days before it is fed it may leave the freezer: with the largest of its day, then by itself."""
    if longest_days - journey.thaw_days <= journey.keeps_days:
        yield longest_days
    yield journey.thaw_days


def _leave_freezer(journey: Journey, days: int) -> Journey:
    """The journey when the bag leaves the freezer that many days before it is fed."""
    return replace(journey, moves_on=journey.bag.day - timedelta(days))


def lots_of(scenario: FedScenario, plan: Plan, ways: Iterable[Journey]) -> tuple[Lot, ...]:
    """The lots of a plan; none where the freezer takes all at once."""
    most_g = scenario.portioning.freezes_g
    return lots(loads_of(scenario, plan, ways, most_g), most_g, scenario.portioned_on) if most_g else ()


def loads_of(scenario: FedScenario, plan: Plan, ways: Iterable[Journey], most_g: int) -> tuple[Load, ...]:
    """All that is to be frozen after filling: bags, and what was bought and is left over, in parts that fit a day."""
    bags = (_bag_load(journey) for journey in ways if journey.way is BagWay.FREEZER)
    return (*bags, *_left_loads(scenario, plan, most_g))


def lots(loads: Iterable[Load], most_g: int, first: date) -> tuple[Lot, ...]:
    """The loads in lots of at most `most_g`, day after day: what can wait least first, then what is fed last.

    A load goes into the first lot that has room for it; one above `most_g` goes into none.
    """
    fitting = [load for load in loads if load.grams <= most_g]
    least_g = min((load.grams for load in fitting), default=0)
    taken: list[list[Load]] = []
    room_g: list[int] = []
    begin = 0
    for load in sorted(fitting, key=lambda load: (load.latest, -load.fed_on.toordinal(), load.number)):
        while begin < len(room_g) and room_g[begin] < least_g:
            begin += 1  # full lots are not looked at again
        place = next((place for place in range(begin, len(room_g)) if load.grams <= room_g[place]), len(room_g))
        if place == len(room_g):
            taken.append([])
            room_g.append(most_g)
        taken[place].append(load)
        room_g[place] -= load.grams
    return tuple(Lot(first + timedelta(days), tuple(group)) for days, group in enumerate(taken))


def _bag_load(journey: Journey) -> Load:
    """A bag: it waits in the refrigerator no longer than it keeps, and is frozen for as long as it must and can be."""
    waits_until = journey.filled_on + timedelta(journey.keeps_days)
    must_days = max(1, journey.freeze_days) if journey.freeze_days <= journey.frozen_days else 1
    latest = min(waits_until, (journey.moves_on or waits_until) - timedelta(must_days))
    return Load(journey.bag.grams, latest, journey.bag.day, journey.number, keeps_days=journey.keeps_days)


def _left_loads(scenario: FedScenario, plan: Plan, most_g: int) -> Iterator[Load]:
    """What was bought and is left over, cut by cut, in parts that fit a day."""
    for leftover in plan.leftovers:
        keeps_days = _keeping_of(scenario, scenario.cut(leftover.cut)).least_days
        latest = scenario.portioned_on + timedelta(keeps_days)
        for start_g in range(0, leftover.bought_g, most_g):
            grams = min(most_g, leftover.bought_g - start_g)
            yield Load(grams, latest, left=leftover.cut, keeps_days=keeps_days)


def _evenings(scenario: FedScenario, plan: Plan, ways: Sequence[Journey], made: Sequence[Lot]) -> Iterator[Evening]:
    """The evenings from the day of filling to the last day fed.

    All that is left over counts from the first, also where it is frozen a day or two later.
    """
    left_g = sum(leftover.total_g for leftover in plan.leftovers)
    frozen = _changes(ways, {load.number: lot.day for lot in made for load in lot.loads if load.number})
    fed: dict[date, int] = {}
    for bag in plan.bags:
        fed[bag.day] = fed.get(bag.day, 0) + bag.grams
    bags_g, unfed_g = 0, sum(fed.values())
    for days in range((scenario.batch.ends - scenario.portioned_on).days + 1):
        day = scenario.portioned_on + timedelta(days)
        bags_g += frozen.get(day, 0)
        unfed_g -= fed.get(day, 0)
        yield Evening(day, bags_g, left_g, unfed_g - bags_g)


def _changes(ways: Sequence[Journey], frozen_on: Mapping[int, date]) -> dict[date, int]:
    """Grams of bags that go into the freezer on a day, less those that leave it that morning."""
    found: dict[date, int] = {}
    for journey in ways:
        goes_in, leaves = frozen_on.get(journey.number, journey.filled_on), journey.moves_on
        if leaves and goes_in < leaves:
            found[goes_in] = found.get(goes_in, 0) + journey.bag.grams
            found[leaves] = found.get(leaves, 0) - journey.bag.grams
    return found
