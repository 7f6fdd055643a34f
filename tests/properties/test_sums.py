"""Sums that must be exact whatever the solver says: what is in bags and left over is what was bought and on hand.

**Source:** arithmetic. The allocations are random, with pieces counted for groups of dogs and packs bought at random.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from raworder.portioning.bag_filling import AllBags, fill_all_bags, make_mix
from raworder.portioning.finishing import finish_plan
from raworder.solving.solver import BagSolver, Settings
from raworder.trade.bags import Mix, Portioning, Working
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog
from raworder.trade.plan import MILLION, Allocation, Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.portioning.needing import RIB, WEIGHED

SOLVE = BagSolver(Settings(), 0.0)
"""What solves for bags, without a time limit."""

EACH, EACH_WITH_BAGS = 500, 30
NAMES = ("Maple", "Juniper", "Pip", "Bramble")


@dataclass(frozen=True)
class Allocated:
    """A scenario with a random allocation, and the plan of it."""

    scenario: Scenario
    allocation: Allocation
    plan: Plan


def allocated(random: Random, working: Working) -> Allocated:
    """One to four dogs, alone or fed alike, that eat whole necks and ribs and any shares of what is weighed."""
    days = random.choice((3, 7, 8))
    dogs = [b.a_dog(name, days=days, daily_g=random.randint(200, 900)) for name in NAMES[: random.randint(1, 4)]]
    cuts = (b.NECK, RIB, b.TRIM, *random.sample(WEIGHED, 2))
    groups = _groups(random, dogs)
    eaten_ug: dict[tuple[str, str], int] = {}
    for group in groups:
        eaten_ug |= _eaten_ug(random, group, cuts)
    scenario = b.a_scenario(
        days=days,
        dogs=dogs,
        cuts=cuts,
        offers=[b.an_offer(cut.name, key=cut.name, pack_g=random.choice((250, 700, 1_000))) for cut in cuts],
        on_hand=[b.on_hand(cut.name, random.randint(1, 400)) for cut in random.sample(cuts, 2)],
        portioning=Portioning(working=working, most_a_day=()),
    )
    names = tuple(tuple(dog.name for dog in group) for group in groups)
    allocation = Allocation(_bought(random, scenario, eaten_ug), eaten_ug, b.a_proof(), names)
    return Allocated(scenario, allocation, finish_plan(scenario, allocation))


def _groups(random: Random, dogs: Sequence[Dog]) -> list[list[Dog]]:
    """All alike, each alone, or two by two."""
    size = random.choice((1, 2, len(dogs)))
    return [list(dogs[first : first + size]) for first in range(0, len(dogs), size)]


def _eaten_ug(random: Random, group: Sequence[Dog], cuts: Sequence[Cut]) -> dict[tuple[str, str], int]:
    """Whole pieces for the group together, at most a tenth of what it eats of each cut, and the rest at random."""
    ration_g = sum(dog.batch_g for dog in group)
    pieces = {
        cut.name: random.randint(0, ration_g // 10 // cut.piece_g) * cut.piece_g
        for cut in cuts
        if cut.piece_g is not None
    }
    left_ug = (ration_g - sum(pieces.values())) * MILLION
    weighed = [cut.name for cut in cuts if cut.piece_g is None]
    ends = sorted(random.randint(0, left_ug // 10) for _ in weighed[1:])
    together = {name: grams * MILLION for name, grams in pieces.items()}
    for name, low, high in zip(weighed[1:], [0, *ends], ends, strict=False):
        together[name] = high - low
    together[weighed[0]] = ration_g * MILLION - sum(together.values())
    return dict(_in_proportion(group, together, ration_g))


def _in_proportion(group: Sequence[Dog], together: dict[str, int], ration_g: int) -> list[tuple[tuple[str, str], int]]:
    """To each dog by what it eats; the first gets what division leaves over."""
    shares = {
        (dog.name, cut): amount * dog.batch_g // ration_g for dog in group for cut, amount in together.items() if amount
    }
    for cut, amount in together.items():
        if amount:
            shares[group[0].name, cut] += amount - sum(shares[dog.name, cut] for dog in group)
    return list(shares.items())


def _bought(random: Random, scenario: Scenario, eaten_ug: dict[tuple[str, str], int]) -> dict[str, int]:
    """Packs enough, and now and then one or two more."""
    bought = {}
    for offer in scenario.offers:
        need = sum(amount for (_, cut), amount in eaten_ug.items() if cut == offer.cut) // MILLION + 4
        packs = -(-max(need - scenario.on_hand_g(offer.cut), 0) // int(offer.unit_g)) + random.choice((0, 0, 1, 2))
        if packs:
            bought[offer.key] = packs * MILLION
    return bought


def there_g(one: Allocated, cut: str) -> int:
    """What was bought and on hand of a cut."""
    lines = [(one.scenario.offer(line.offer), line.units) for line in one.plan.lines]
    return one.scenario.on_hand_g(cut) + sum(int(offer.unit_g) * units for offer, units in lines if offer.cut == cut)


def left_g(one: Allocated, cut: str) -> int:
    """What goes back on hand."""
    return sum(left.total_g for left in one.plan.leftovers if left.cut == cut)


@drawn()
def test_portions_and_leftovers_are_what_was_bought_and_on_hand(block: int) -> None:
    for seed in seeds(block, EACH):
        one = allocated(Random(seed), Working.TUB)
        for dog in one.scenario.dogs:
            assert sum(portion.batch_g for portion in one.plan.portions if portion.dog == dog.name) == dog.batch_g, seed
        for cut in one.scenario.cuts:
            mine = [portion.batch_g for portion in one.plan.portions if portion.cut == cut.name]
            assert sum(mine) + left_g(one, cut.name) == there_g(one, cut.name), seed
            assert cut.piece_g is None or all(grams % cut.piece_g == 0 for grams in mine), seed
        for names in one.allocation.fed_alike:
            assert_pieces_stay_in_the_group(one, names)
            assert_tubs_hold_the_portions(one, names)


def assert_pieces_stay_in_the_group(one: Allocated, names: tuple[str, ...]) -> None:
    """As many as were allocated to it, and no dog a whole piece off its share."""
    for cut in one.scenario.cuts:
        due_ug = sum(
            amount
            for (dog, eaten), amount in one.allocation.eaten_ug.items()
            if (eaten, dog in names) == (cut.name, True)
        )
        if cut.piece_g is not None:
            assert sum(one.plan.eaten_g(name, cut.name) for name in names) * MILLION == due_ug
            ration_g = sum(dog.batch_g for dog in one.scenario.dogs if dog.name in names)
            for dog in one.scenario.dogs:
                if dog.name in names:
                    exact_g = Fraction(due_ug * dog.batch_g, MILLION * ration_g)
                    assert abs(one.plan.eaten_g(dog.name, cut.name) - exact_g) < cut.piece_g


def assert_tubs_hold_the_portions(one: Allocated, names: tuple[str, ...]) -> None:
    """Tubs made of all that the group eats of weighed cuts."""
    together: Counter[str] = Counter()
    for portion in one.plan.portions:
        if portion.dog in names and one.scenario.cut(portion.cut).piece_g is None:
            together[portion.cut] += portion.batch_g
    mix = make_mix("mix", names, [b.a_filling(cut, grams) for cut, grams in together.items()], one.scenario.portioning)
    assert in_tubs_g(mix) == dict(together)
    assert all(tub.grams <= 5_000 for tub in mix.tubs)


def in_tubs_g(mix: Mix) -> dict[str, int]:
    """What all tubs of a mix hold of each cut."""
    held: Counter[str] = Counter()
    for tub in mix.tubs:
        held.update({filling.cut: filling.grams for filling in tub.contents})
    return dict(held)


@drawn()
def test_bags_and_leftovers_are_what_was_bought_and_on_hand(block: int) -> None:
    """The half of them from tubs; what no bags can hold within the rules is left out."""
    filled = 0
    for seed in seeds(block, EACH_WITH_BAGS):
        one = allocated(Random(seed), Working.TUB if seed % 2 else Working.EACH_CUT)
        found = fill_all_bags(one.scenario, one.plan, one.allocation.fed_alike, SOLVE)
        if isinstance(found, AllBags):
            filled += 1
            for cut in one.scenario.cuts:
                assert in_bags_g(found, cut.name) + left_g(one, cut.name) == there_g(one, cut.name), seed
            for mix in found.mixes:
                mixed_g = sum(bag.grams_of(mix.name) for bag in found.bags)
                assert mixed_g == mix.grams == sum(in_tubs_g(mix).values()), seed
    assert filled > EACH_WITH_BAGS // 4


def in_bags_g(found: AllBags, cut: str) -> int:
    """What goes into bags of a cut, by itself or in a mix, all of which goes into bags."""
    alone = sum(bag.grams_of(cut) for bag in found.bags)
    return alone + sum(one.grams for mix in found.mixes for one in mix.contents if one.cut == cut)
