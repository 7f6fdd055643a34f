"""Building takes twice as long for twice as much, and ends with the time: told by what is called, never by a clock.

**Source:** arithmetic; the scenarios are invented.
"""

from collections.abc import Iterator
from typing import Any

import pytest

from raworder.solving.cheapest import cheapest
from raworder.solving.groups import Group
from raworder.solving.problem import pose_unknowns
from raworder.solving.search import BUILDING_TOOK_ALL_TIME, LateError, build, search
from raworder.solving.solver import Settings
from raworder.trade.dogs import Dog
from raworder.trade.scenario import MOST_DOGS_ONE_BY_ONE, Scenario
from tests import builders as b


class Counted(tuple[Any, ...]):
    """A tuple that counts how many of its things are looked at."""

    looked_at = 0

    def __iter__(self) -> Iterator[Any]:
        for one in super().__iter__():
            type(self).looked_at += 1
            yield one


def fed(dogs: int) -> Scenario:
    return b.a_scenario(dogs=[b.a_dog(f"Dog {n}") for n in range(dogs)], cuts=[b.a_cut("beef trim", piece_g=90)])


def looks_at_dogs(dogs: int) -> int:
    """How often a dog is looked at while the model of so many is built."""

    class Here(Counted):
        """The dogs of one scenario."""

    scenario = fed(dogs)
    object.__setattr__(scenario, "dogs", Here(scenario.dogs))
    build(scenario, whole=False)
    return Here.looked_at


def test_twice_as_many_dogs_are_looked_at_twice_as_often() -> None:
    once = looks_at_dogs(4 * MOST_DOGS_ONE_BY_ONE)
    assert once
    assert looks_at_dogs(8 * MOST_DOGS_ONE_BY_ONE) <= 2 * once


def test_what_a_group_eats_together_is_added_up_once() -> None:
    class Here(Counted):
        """The dogs of one group."""

    group = Group("Dog 0", Here(b.a_dog(f"Dog {n}") for n in range(50)), frozenset())
    assert sum(group.part_of(dog) for dog in tuple.__iter__(group.dogs)) == 1
    assert group.least_g(30) > 0
    assert Here.looked_at == 50 + 50


def test_dogs_are_many_from_one_more_than_few_on_and_those_that_eat_nothing_do_not_count() -> None:
    def hungry(dogs: int, more: tuple[Dog, ...] = ()) -> bool:
        scenario = fed(dogs)
        object.__setattr__(scenario, "dogs", (*more, *scenario.dogs))
        return scenario.solved_by_groups

    away = b.a_dog("Away")
    object.__setattr__(away, "batch_g", 0)
    assert (hungry(MOST_DOGS_ONE_BY_ONE), hungry(MOST_DOGS_ONE_BY_ONE + 1)) == (False, True)
    assert not hungry(MOST_DOGS_ONE_BY_ONE, (away, away))


def test_twice_as_many_offers_are_looked_at_twice_as_often() -> None:
    counts = []
    for many in (30, 60):

        class Here(Counted):
            """The offers of one scenario."""

        names = [f"cut {n}" for n in range(many)]
        scenario = b.a_scenario(cuts=[b.a_cut(one) for one in names], offers=[b.an_offer(one) for one in names])
        problem = pose_unknowns(scenario)
        object.__setattr__(problem, "offers", Here(problem.offers))
        for name in names:
            assert [offer.cut for offer in problem.offers_for(name)] == [name]
            assert len(problem.offers_of(scenario.suppliers[0])) == many
        counts.append(Here.looked_at)
    assert counts[1] == 2 * counts[0]


def test_building_ends_with_the_time() -> None:
    with pytest.raises(LateError):
        build(fed(2), until=0.0)


def test_where_building_takes_all_of_the_time_that_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Settings, "ends_at", lambda *_: 0.0)
    assert search(fed(2), Settings(time_limit_s=5.0)) == BUILDING_TOOK_ALL_TIME
    assert cheapest(fed(MOST_DOGS_ONE_BY_ONE + 1), Settings(time_limit_s=5.0)) == BUILDING_TOOK_ALL_TIME


def test_a_time_limit_ends_from_when_it_began() -> None:
    assert Settings().ends_at(3.0) == float("inf")
    assert Settings(time_limit_s=2.0).ends_at(3.0) == 5.0
    assert Settings(time_limit_s=2.0, until_found_s=4.0).ends_at(3.0) == 7.0
