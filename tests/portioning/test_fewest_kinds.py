"""Bags without the whole programme: rules in whole numbers, pieces dealt out by arithmetic, dogs that follow another.

**Source:** the programme's rows, which say the same in another way; the law of bags by plain loops; sums by hand.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product
from operator import mul
from random import Random

import pytest

from raworder.portioning.bag_amounts import settle_amounts, spreads_near
from raworder.portioning.bag_choice import choose_kinds, settle_steps
from raworder.portioning.bag_needs import Need, Pattern, patterns
from raworder.portioning.bag_problem import BAG_BUILDERS, BagProblem, burden, pose_bags, pose_model
from raworder.portioning.bag_rules import BagRules, Contents, PatternRules, Spread
from raworder.portioning.fewest_kinds import DogContents, FedAlike, fill_bags
from raworder.solving.solver import BagSolver, Settings
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog
from raworder.trade.rulebook import WEEK_DAYS
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.portioning.law_of_bags import Fed, broken
from tests.portioning.needing import RIB, Counting, a_need, random_dog

SOLVE = BagSolver(Settings(), 0.0)
"""What solves for bags, without a time limit."""

EACH = 20
OFF = 1e-6
"""How far floats may be off."""

RUN_RULES = ("bag_weight", "week_share", "week_cap", "day_most")
"""The rules about bags, days and weeks; the others are about one ingredient."""


def solved_to(need: Need, pattern: Pattern, contents: Contents) -> BagProblem:
    """The programme with its unknowns at what the bags hold."""
    problem = pose_bags(need, pattern)
    for part, spread in zip(need.others, contents, strict=True):
        for kind in problem.kinds:
            problem.count[kind, part.name].varValue = spread.counts[kind]
            if not part.whole:
                problem.rest[kind, part.name].varValue = spread.rests_g[kind]
                problem.taken[kind, part.name].varValue = int(spread.counts[kind] > 0)
    return problem


def broken_rows(problem: BagProblem, *keys: str) -> Iterator[str]:
    """The rows of these rules that the values break."""
    for key in keys:
        for name, constraint in BAG_BUILDERS[key](problem):
            value = constraint.value()
            if value * constraint.sense < -OFF or (constraint.sense == 0 and abs(value) > OFF):
                yield name


def some_patterns(need: Need, kinds: int) -> Iterator[Pattern]:
    """A few patterns of so many kinds."""
    if kinds <= len(need.slots):
        yield from list(patterns(len(need.slots), kinds, WEEK_DAYS * need.dog.meals))[:4]


def some_contents(random: Random, under: PatternRules) -> Contents | None:
    """The portions anywhere: pieces dealt out at random, and what is weighed near any amounts; None if that fails."""
    contents, sizes = [], under.sizes
    for place, part in enumerate(under.rules.need.others):
        if part.whole:
            pieces = part.total_g // part.unit_g
            ways = product(*(range(pieces // size + 1) for size in sizes))
            spreads = [Spread(way, (0,) * len(way)) for way in ways if sum(map(mul, way, sizes)) == pieces]
        else:
            of_bags = random.sample(range(len(sizes)), random.randint(1, len(sizes)))
            most_g = 2 * part.total_g // sum(sizes[kind] for kind in of_bags)
            rough = tuple(random.randint(1, most_g + 1) if kind in of_bags else 0 for kind in range(len(sizes)))
            spreads = list(spreads_near(under, place, rough))
        if not spreads:
            return None
        contents.append(random.choice(spreads))
    return tuple(contents)


@drawn()
def test_rules_in_whole_numbers_and_rows_of_the_programme_say_the_same_of_all_portions(block: int) -> None:
    said = []
    for seed in seeds(block, 4 * EACH):
        random = Random(seed)
        dog, portions_g, portioning = random_dog(random)
        rules = BagRules(a_need(dog, portions_g, portioning, shared_pieces=random.random() < 0.3))
        for pattern in some_patterns(rules.need, random.randint(1, 3)):
            under = rules.under(pattern)
            contents = some_contents(random, under)
            if contents is not None:
                rows = list(broken_rows(solved_to(rules.need, pattern, contents), *RUN_RULES))
                keeps = min(under.left_of_limits(dict(enumerate(contents))), default=0) >= 0
                assert keeps == (not rows), (seed, pattern, rows)
                said.append(keeps)
    assert {True, False} == set(said)


@drawn()
def test_what_bags_are_filled_with_keeps_every_row_of_the_programme(block: int) -> None:
    for seed in seeds(block, EACH):
        dog, portions_g, portioning = random_dog(Random(seed))
        known = FedAlike()
        if fill_bags(a_need(dog, portions_g, portioning), SOLVE, known) is not None:
            (found,) = known.found
            problem = solved_to(found.need, found.pattern, found.contents)
            assert list(broken_rows(problem, *BAG_BUILDERS)) == [], seed
            assert burden_of_solution(problem) == found.burden, seed


def burden_of_solution(problem: BagProblem) -> float:
    """The objective, with the fullest bags as full as they must be."""
    for name, fullest in problem.fullest.items():
        fullest.varValue = max(problem.count[kind, name].varValue for kind in problem.kinds)
    return float(burden(problem).value() or 0.0)


@drawn()
def test_pieces_that_arithmetic_cannot_deal_out_cannot_be_by_the_programme_either(block: int) -> None:
    refused = 0
    for seed in seeds(block, 2 * EACH):
        random = Random(seed)
        rules = BagRules(a_need(*random_dog(random)))
        for pattern in some_patterns(rules.need, random.randint(1, 3)):
            if rules.under(pattern).dealings == ():
                problem = pose_model(BagRules(rules.need).under(pattern))
                assert not SOLVE(problem.lp, burden(problem), False), (seed, pattern)
                refused += 1
    assert refused


@drawn()
def test_no_filling_is_less_burdensome_than_the_choice_in_any_grams(block: int) -> None:
    compared = 0
    for seed in seeds(block, EACH // 2):
        random = Random(seed)
        rules = BagRules(a_need(*random_dog(random)))
        for pattern in list(some_patterns(rules.need, random.randint(1, 3)))[:2]:
            under = rules.under(pattern)
            if under.dealings == () or not rules.weighed:
                continue
            choice, problem = choose_kinds(under, SOLVE, None), pose_model(under)
            if SOLVE(problem.lp, burden(problem), False):
                assert choice is not None, (seed, pattern)
                assert choice.burden <= burden(problem).value() + OFF, (seed, pattern)
                compared += 1
    assert compared


def test_five_feet_of_which_thirteen_bags_can_hold_none_would_all_be_in_the_fourteenth() -> None:
    """Bags of 500 g: five feet of 250 g do not fit into one, with ten bags and four they do, one each and one over."""
    foot = b.a_cut(
        "pork foot", species="pork", kind="foot", parts={b.Part.MUSCLE: "7/10", b.Part.BONE: "3/10"}, piece_g=250
    )
    need = a_need(b.a_dog(), {foot: 1_250, b.TRIM: 5_750}, Portioning(most_a_day=()))
    rules = BagRules(need)
    assert rules.under((0,) * 13 + (1,)).dealings == ()
    assert rules.under((0, 0, 1) * 4 + (0, 0)).dealings == ()  # ten bags and four: neither 4 nor 10 feet are five
    assert rules.under((0, 1, 0, 0, 1, 0, 0, 1, 0, 1, 0, 0, 1, 0)).dealings == (((0, 1),),)  # nine bags and five


def test_where_only_the_top_up_is_weighed_nothing_is_solved() -> None:
    solve = Counting(SOLVE)
    found = fill_bags(a_need(b.a_dog(), {b.NECK: 33 * 60, RIB: 170, b.TRIM: 7_000 - 1_980 - 170}), solve)
    assert found is not None
    assert solve.asked == 0


def half_as_heavy(portions_g: Mapping[Cut, int]) -> dict[Cut, int]:
    """The portions of a dog that eats half as much of all."""
    return {cut: grams // 2 for cut, grams in portions_g.items()}


MANY = {b.NECK: 28 * 60, b.LIVER: 360, b.KIDNEY: 330, b.HEART: 640, b.TRIM: 7_000 - 1_680 - 1_330}


def test_a_dog_fed_alike_gets_the_same_cuts_on_the_same_days_with_less_searching() -> None:
    big, small = b.a_dog("Maple", daily_g=500), b.a_dog("Juniper", daily_g=250)
    known, solve = FedAlike(), Counting(SOLVE)
    first = fill_bags(a_need(big, MANY), solve, known)
    asked = solve.asked
    second = fill_bags(a_need(small, half_as_heavy(MANY)), solve, known)
    assert first is not None
    assert second is not None
    by_itself = Counting(SOLVE)
    fill_bags(a_need(small, half_as_heavy(MANY)), by_itself)
    assert solve.asked - asked < by_itself.asked
    for one, other in zip(first.bags, second.bags, strict=True):
        assert (one.kind, [filling.cut for filling in one.fillings]) == (
            other.kind,
            [filling.cut for filling in other.fillings],
        )
    assert broken(Fed(small, half_as_heavy(MANY), Portioning(), second.bags)) == []


@drawn()
def test_a_dog_that_follows_another_breaks_no_rule_and_has_no_more_kinds_than_by_itself(block: int) -> None:
    followed = 0
    for seed in seeds(block, EACH):
        dog, portions_g, portioning = random_dog(Random(seed))
        known = FedAlike()
        fill_bags(a_need(dog, portions_g, portioning), SOLVE, known)
        other, others_g = heavier(dog, portions_g)
        by_itself = fill_bags(a_need(other, others_g, portioning), SOLVE)
        found = fill_bags(a_need(other, others_g, portioning), SOLVE, known)
        assert (found is None) == (by_itself is None), seed
        if found is not None and by_itself is not None:
            assert broken(Fed(other, others_g, portioning, found.bags)) == [], seed
            assert found.kinds <= by_itself.kinds, seed
            followed += len(known.found) == 1
    assert followed


def heavier(dog: Dog, portions_g: Mapping[Cut, int]) -> tuple[Dog, dict[Cut, int]]:
    """A dog that eats 30 % more a day of the same, in whole pieces; trim makes up for them."""
    day_g = tuple(grams * 13 // 10 for grams in dog.day_g)
    eaten_g = {
        cut: grams * 13 // 10 if cut.piece_g is None else round(grams * 1.3 / cut.piece_g) * cut.piece_g
        for cut, grams in portions_g.items()
    }
    eaten_g[b.TRIM] += sum(day_g) - sum(eaten_g.values())
    return replace(dog, day_g=day_g, batch_g=sum(day_g)), eaten_g


def test_steps_are_settled_near_rough_amounts() -> None:
    """424 g of liver, about 30 g in each of 14 bags: thirteen times 30 g, and 34 g."""
    need = a_need(b.a_dog(), {b.LIVER: 424, b.TRIM: 7_000 - 424})
    under = BagRules(need).under((0,) * 14)
    assert settle_amounts(under, (), ((30,),)) == (Spread((6,), (4,)),)
    assert settle_steps(under, SOLVE, ((30,),)) == (Spread((6,), (4,)),)


def test_amounts_that_break_a_rule_are_not_settled() -> None:
    """1,000 g of liver in two of 14 bags: 500 g each, where 20 % of a day are 100."""
    need = a_need(b.a_dog(), {b.LIVER: 1_000, b.TRIM: 6_000})
    under = BagRules(need).under((0,) * 6 + (1,) + (0,) * 6 + (1,))
    assert settle_amounts(under, (), ((0, 500),)) is None
    assert settle_steps(under, SOLVE, ((0, 500),)) is None


@pytest.mark.parametrize(("burdens", "rest"), [((14, 4.0), 0), ((14, 4.0), 4)])
def test_the_burden_is_weighings_and_two_for_every_piece_in_the_fullest_bag(
    burdens: tuple[int, float], rest: int
) -> None:
    """Liver in every bag, and two necks at most."""
    need = a_need(b.a_dog(), {b.LIVER: 420 + rest, b.NECK: 28 * 60, b.TRIM: 7_000 - 420 - rest - 1_680})
    contents = {"lamb liver": Spread((6,), (rest,)), "chicken neck": Spread((2,), (0,))}
    found = DogContents(need, (0,) * 14, tuple(contents[part.name] for part in need.others))
    assert found.burden == sum(burdens)
