"""Why it cannot be done: single changes that open a plan, or the fewest together, and the rules that clash."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from raworder.giving_way.demand import Demand, SoftDemand
from raworder.giving_way.family import demands_of, without
from raworder.giving_way.least_missed import Missed, is_possible
from raworder.giving_way.smallest_change import (
    Tried,
    demands_of_bags,
    from_now,
    has_plan,
    missed_beside,
    planned,
    sets_of,
    tried,
    tried_for_bags,
    tried_together,
    tried_together_for_bags,
)
from raworder.reporting.no_plan import unsolved
from raworder.solving.groups import groups_of
from raworder.solving.search import Impossible
from raworder.solving.solver import LEAST_S, Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.instead_of_bone import tried_calcium, tried_minced_bone, without_whole_bone
from raworder.studies.plain_facts import plain_facts
from raworder.studies.reasons_paper import Why, reasons_paper
from raworder.trade.document import Document
from raworder.trade.plan import NoPlan, Plan, Unfilled, Unsolved
from raworder.trade.scenario import Scenario

Answered = TypeVar("Answered")

MOST_S = 40
"""Where dogs are many no question is worked on for longer than so many seconds: one of a hundred might take hours."""

COULD_BE_FEWER = 2
"""Where no single rule is enough, two are the fewest that there can be."""

MOST_SETS_TRIED = 4
"""Of so many sets of rules that hold or do not it is tried at most what must give way beside them."""


AT_FIRST = 4
"""What is not needed is looked for in parts: at first so many of the whole, then halves of these."""


def reasons(scenario: Scenario, ask: Ask, answer: Plan | NoPlan | Unsolved | None = None) -> Document:
    """Why there is no plan and what would open one; `answer` is what the workflow said, where that is known."""
    asking = Asking(ask, scenario)
    if answer is None:
        answer = asking([Task("plan", planned, (scenario,))]).get("plan")
    if isinstance(answer, Unsolved):
        return unsolved(scenario, answer)
    if not isinstance(answer, NoPlan):
        return reasons_paper(scenario, Why(plan=answer, is_whole=asking.is_whole))
    return reasons_paper(scenario, why_not(scenario, answer, asking))


class Asking:
    """Asks, every question with its share of the time that is left, and notes whether all was answered."""

    def __init__(self, ask: Ask, scenario: Scenario) -> None:
        self.ask, self.is_whole = ask, True
        self._left, self._by_groups = from_now(ask.settings), scenario.solved_by_groups

    def __call__(self, tasks: Sequence[Task[Answered]]) -> dict[str, Answered]:
        """The answers by key; each question is given the settings beside what it is given."""
        settings = self._settings(len(tasks))
        found = self.ask([Task(task.key, task.run, (*task.given, settings)) for task in tasks])
        self.is_whole = self.is_whole and len(found) == len(tasks)
        return found

    def is_not(self, task: Task[bool | None]) -> bool:
        """Whether the answer is a clear no."""
        found = self([task]).get(task.key)
        self.is_whole = self.is_whole and found is not None
        return found is False

    def _settings(self, questions: int) -> Settings:
        """The settings with as much time for each of so many questions as lets all of them end in time."""
        left = self._left()
        if left.time_limit_s is not None:
            share_s = left.time_limit_s * self.ask.workers / max(questions, 1)
            return replace(left, time_limit_s=max(share_s, LEAST_S))
        return replace(left, time_limit_s=MOST_S) if self._by_groups else left


def why_not(scenario: Scenario, answer: NoPlan, asking: Asking) -> Why:
    """Everything that was found out about a scenario without a plan."""
    why = _about_orders(scenario, asking) if answer.unfilled is None else _about_bags(scenario, answer.unfilled, asking)
    return replace(why, facts=plain_facts(scenario), is_whole=asking.is_whole)


def _about_orders(scenario: Scenario, asking: Asking) -> Why:
    """What is in the way of any order."""
    every = demands_of(scenario)
    demands = tuple(demand for demand in every if demand.concerns_orders(scenario))
    anything = asking([Task("anything", is_possible, (without(scenario, every),))]).get("anything")
    if anything is False:
        return Why(hopeless=True)
    menu = _all_tried(asking, [Task(demand.key, tried, (scenario, demand)) for demand in demands])
    is_one_enough = any(trial.opened or not trial.in_time for trial in menu)
    together = None if is_one_enough else _together(scenario, demands, asking)

    def question(kept: Sequence[Demand]) -> Task[bool | None]:
        """Whether there is an order where only these demands are kept."""
        gone = tuple(demand for demand in every if demand not in kept)
        return Task("possible", is_possible, (without(scenario, gone),))

    found = _of_those_concerned(scenario, _clash_of(menu, demands, question, asking), asking)
    why = Why(menu=menu, together=together, clash=found)
    return replace(why, instead=_instead_of_bone(scenario, why, asking))


def _instead_of_bone(scenario: Scenario, why: Why, asking: Asking) -> tuple[Tried, ...]:
    """What helps dogs that must not have whole bone where bone is in the way: minced bone, or calcium beside less."""
    ways = [trial.opened for trial in (*why.menu, why.together) if trial and trial.opened]
    changed = [(book, [change.demand for change in book.changes]) for book in ways]
    tasks = [
        Task(f"calcium {place}", tried_calcium, (scenario, book, names))
        for place, (book, demands) in enumerate(changed)
        if (names := without_whole_bone(scenario, demands))
    ]
    names = without_whole_bone(scenario, [*why.clash, *(demand for _, demands in changed for demand in demands)])
    if names:
        tasks.insert(0, Task("minced bone", tried_minced_bone, (scenario, names)))
    return _all_tried(asking, tasks) if tasks else ()


def _of_those_concerned(scenario: Scenario, clashing: Sequence[Demand], asking: Asking) -> tuple[Demand, ...]:
    """The rules that clash, each for those dogs alone for any one of which it clashes with the others.

    A rule that clashes for several together only, as where there is too little for all, is told for all of them.
    """
    kept, every = list(clashing), demands_of(scenario)
    for place, demand in enumerate(clashing):
        alone = {dogs: replace(demand, dogs=dogs) for dogs in _fed_alike(scenario, demand)}
        others = [*kept[:place], *kept[place + 1 :]]
        tasks = [
            Task(" and ".join(dogs), is_possible, (without(scenario, _gone(every, [*others, demand])),))
            for dogs, demand in (alone.items() if len(alone) > 1 else ())
        ]
        possible = asking(tasks) if tasks else {}
        concerned = [name for dogs in alone for name in dogs if possible.get(" and ".join(dogs)) is False]
        if concerned and len(possible) == len(alone) and None not in possible.values():
            kept[place] = replace(demand, dogs=tuple(name for name in demand.dogs if name in concerned))
    return tuple(kept)


def _fed_alike(scenario: Scenario, demand: Demand) -> list[tuple[str, ...]]:
    """The dogs that a demand binds, those together that are fed from one mixture."""
    groups = [[dog.name for dog in group.dogs if dog.name in demand.dogs] for group in groups_of(scenario)]
    return [tuple(names) for names in groups if names]


def _gone(every: Sequence[Demand], kept: Sequence[Demand]) -> Iterator[Demand]:
    """Every demand that is not kept, or for those dogs for which it is not."""
    dogs_of = {demand.key: demand.dogs for demand in kept}
    for demand in every:
        others = tuple(name for name in demand.dogs if name not in dogs_of.get(demand.key, ()))
        if demand.key not in dogs_of or (others and demand.dogs):
            yield replace(demand, dogs=others)


def _together(scenario: Scenario, demands: Sequence[Demand], asking: Asking) -> Tried | None:
    """The fewest rules that must give way together, whichever of those that hold or do not are among them."""
    best = _fewest(_all_tried(asking, [Task("together", tried_together, (scenario, ()))]))
    if best and len(best.demands) == COULD_BE_FEWER:
        return replace(best, is_least=best.is_least and asking.is_whole)
    sets, whole_to = sets_of(
        [demand for demand in demands if not isinstance(demand, SoftDemand)], scenario.solved_by_groups
    )
    tasks = {pair: Task(f"beside {place}", missed_beside, (scenario, pair)) for place, pair in enumerate(sets)}
    answers = asking(tuple(tasks.values()))
    missed = {pair: answers.get(task.key) for pair, task in tasks.items()}
    fewest = {pair: len(pair) + found.fewest for pair, found in missed.items() if isinstance(found, Missed)}
    for item in sorted(filter(None, fewest), key=lambda pair: fewest[pair])[:MOST_SETS_TRIED]:
        if best is None or fewest[item] < len(best.demands):
            found = _all_tried(asking, [Task("together", tried_together, (scenario, item))])
            best = _fewest([*filter(None, [best]), *found])
    least = min([*fewest.values(), *_fewest_beyond(sets, missed, whole_to)], default=0)
    is_known = all(isinstance(found, Missed | Impossible) for found in missed.values())
    is_sure = asking.is_whole and is_known and best is not None and len(best.demands) <= max(least, COULD_BE_FEWER)
    return replace(best, is_least=best.is_least and is_sure) if best else None


def _fewest_beyond(
    sets: Sequence[tuple[Demand, ...]],
    missed: Mapping[tuple[Demand, ...], Missed | Impossible | Unsolved | None],
    whole_to: int,
) -> Iterator[int]:
    """How many give way at least with sets that were not asked for, as they are larger than those all asked for."""
    largest = missed[sets[-1]]
    if len(sets[-1]) > whole_to and isinstance(largest, Missed):
        yield whole_to + 1 + largest.fewest


def _about_bags(scenario: Scenario, unfilled: Unfilled, asking: Asking) -> Why:
    """What is in the way of filling bags with the order that there is."""
    demands = demands_of_bags(scenario, unfilled)
    budget = tuple(demand for demand in demands_of(scenario) if demand.limits_cost)
    tasks = [Task(demand.key, tried_for_bags, (scenario, unfilled, demand)) for demand in (*budget, *demands)]
    menu = _all_tried(asking, tasks)
    together: Tried | None = None
    if not any(trial.opened or not trial.in_time for trial in menu):
        together = _fewest(_all_tried(asking, [Task("together", tried_together_for_bags, (scenario, unfilled))]))

    def question(kept: Sequence[Demand]) -> Task[bool | None]:
        """Whether bags can be filled where only these demands are kept."""
        gone = tuple(demand for demand in demands if demand not in kept)
        return Task("fills", has_plan, (without(scenario, gone),))

    found = _clash_of(menu, demands, question, asking)
    return Why(menu=menu, together=together, clash=found, unfilled=unfilled)


def _all_tried(asking: Asking, tasks: Sequence[Task[Tried]]) -> tuple[Tried, ...]:
    """What came of every try; a try that was not ended is noted."""
    found = tuple(asking(tasks).values())
    asking.is_whole = asking.is_whole and all(trial.helps is not None and trial.in_time for trial in found)
    return found


def _fewest(found: Sequence[Tried]) -> Tried | None:
    """Of several ways, one that opens a plan with the fewest rules that give way."""
    return min((trial for trial in found if trial.opened), key=lambda trial: len(trial.demands), default=None)


def _clash_of(
    menu: Sequence[Tried],
    demands: Sequence[Demand],
    question: Callable[[Sequence[Demand]], Task[bool | None]],
    asking: Asking,
) -> tuple[Demand, ...]:
    """The rules that clash; those that each open a plan alone are among them wherever that is sure."""
    helping = tuple(trial.demands[0] for trial in menu if trial.helps and trial.demands[0] in demands)
    return clash(demands, helping, lambda kept: asking.is_not(question(kept)))


def clash(
    demands: Sequence[Demand], helping: Sequence[Demand], is_impossible: Callable[[Sequence[Demand]], bool]
) -> tuple[Demand, ...]:
    """Of the demands some that cannot be met together, though they can without any one of them.

    `helping` are those without each of which all others can be met; none where the demands do not clash.
    Those that have muscle give way with them are looked at again, as others might clash without them.
    """
    if helping and is_impossible(helping):
        kept, sure = list(helping), [demand for demand in helping if not demand.frees_muscle]
    elif is_impossible(demands):
        kept, sure = list(demands), [demand for demand in helping if not demand.frees_muscle]
    else:
        return ()
    size = max(len(kept) // AT_FIRST, 1)
    while True:
        kept = _without_parts(kept, sure, size, is_impossible)
        if size == 1:
            return tuple(kept)
        size //= 2


def _without_parts(
    kept: list[Demand], sure: Sequence[Demand], size: int, is_impossible: Callable[[Sequence[Demand]], bool]
) -> list[Demand]:
    """What is left when parts of that size are left out, the last first, as long as the rest clashes."""
    end = len(kept)
    while end > 0:
        part = [demand for demand in kept[max(end - size, 0) : end] if demand not in sure]
        rest = [demand for demand in kept if demand not in part]
        if part and is_impossible(rest):
            kept = rest
        end -= size
    return kept
