"""Why there is no plan: single changes that would open one, or the fewest together, and the rules that clash."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from raworder.giving_way.demand import Demand, Loosening, SoftDemand
from raworder.giving_way.family import demands_of, instead_text, leave_out
from raworder.giving_way.least_missed import LeastMisses, is_possible
from raworder.giving_way.remedies import place_text, remedies, remedy_text
from raworder.giving_way.smallest_change import (
    Opening,
    Trial,
    demands_of_bags,
    find_misses_beside,
    has_plan,
    sets_of_demands,
    settings_from_now,
    try_demand,
    try_for_bags,
    try_together,
    try_together_for_bags,
)
from raworder.reporting.summary import unsolved_paper
from raworder.reporting.words import join_names, paper
from raworder.solving.groups import groups_of
from raworder.solving.search import Impossible
from raworder.solving.solver import LEAST_S, Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.instead_of_bone import try_calcium, try_minced_bone, without_whole_bone
from raworder.studies.plain_facts import facts_at_once, facts_blocks, no_plan_at_once, paper_at_once, plain_facts
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.plan import NoPlan, OrderWithoutBags, Plan, Unsolved
from raworder.trade.rulebook import rule_of
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch

NEVER = (
    "What a dog must not eat, the amount of food, and a growing dog's least bone and calcium are never changed here, "
    "and a range or a cap by no more than 10 percentage points: beyond that it is another diet."
)
ASK = (
    "Below is what clashes, not what is good to feed: ask a veterinarian before you widen a range, raise a cap, ask "
    "for less of a nutrient or cut up what has bone in it."
)
ALONE = (
    "Any one of these is enough. Each is the smallest change of its kind that was found, and a whole plan was made and "
    "checked with it. Two of them together may cost less."
)
TOGETHER = (
    "No single change is enough. These are the fewest that are, each as small as it can be. A whole plan was made and "
    "checked with all of them."
)
TOGETHER_FOR_BAGS = (
    "No single change is enough. These are, together, and none of them can be left out. A whole plan was made and "
    "checked with all of them."
)
NOT_THE_LEAST = (
    "No single change is enough. These are, together; fewer or smaller ones may be, but that was not tried to the end. "
    "A whole plan was made and checked with all of them."
)
INSTEAD = (
    "For dogs that must not have whole bone: minced bone, or less bone and calcium beside it. Any one is enough; a "
    "whole plan was made and checked with each."
)
WRITE = "Write it in place of all that stands under that key."
CLASH = (
    "These rules cannot be met together, whatever else you change. Without any one of them the others can, but then "
    "other rules may clash."
)
CLASH_ALONE = "This rule alone cannot be met, whatever else you change."
CLASH_OF_BAGS = (
    "While the rules of the order stand as they are, these rules of bags cannot be met together. Without any one of "
    "them the others can be."
)
CLASH_OF_BAGS_ALONE = "While all other rules stand as they are, this rule of bags cannot be met."
HOPELESS = (
    "Even if you gave up every rule that may be changed, there would be no plan: what is for sale or on hand does not "
    "hold what the dogs must get without what they must not eat. Offer more cuts. "
)
NOTHING_FOUND = (
    "None of the changes that were tried makes a plan possible. Offer more cuts, or ask less of several rules at once. "
)
PARTIAL = "Time ran out before everything was tried; there may be more."


@dataclass(frozen=True, slots=True)
class Why:
    """All that was found out: plain facts, each demand tried alone, the fewest together, and those that clash.

    `plan` is set where there is one after all; `unfilled` where there is an order but no bags; `hopeless` where no
    change helps. `instead` is what was tried for dogs that must not have whole bone. `is_whole` is false where
    something could not be tried.
    """

    facts: tuple[str, ...] = ()
    menu: tuple[Trial, ...] = ()
    together: Trial | None = None
    clash: tuple[Demand, ...] = ()
    instead: tuple[Trial, ...] = ()
    plan: Plan | None = None
    unfilled: OrderWithoutBags | None = None
    hopeless: bool = False
    is_whole: bool = True


def reasons_paper(scenario: Scenario, why: Why) -> Document:
    """The paper that says why there is no plan, or that there is one."""
    if why.plan is not None:
        blocks = (Paragraph(_nothing_in_the_way(scenario, why.plan)),)
        return paper(scenario, "no_plan", f"Nothing in the way: {scenario.title}", blocks)
    return paper(scenario, "no_plan", f"No plan: {scenario.title}", _blocks(scenario, why))


def _nothing_in_the_way(scenario: Scenario, plan: Plan) -> str:
    proved = ", proved" if plan.proof.proved else "; that it is the cheapest is not proved"
    return f"There is a plan. The cheapest order costs {scenario.currency.text(plan.total)}{proved}."


def _blocks(scenario: Scenario, why: Why) -> Iterator[Block]:
    """Facts first, then changes, then rules that clash."""
    openings = [trial.opened for trial in why.menu if trial.opened]
    yield Paragraph(_head(why, openings))
    if not why.is_whole:
        yield Paragraph(PARTIAL)
    yield from facts_blocks(scenario, why.facts)
    if openings:
        yield _menu(scenario, openings)
    elif why.together and why.together.opened:
        claim = TOGETHER_FOR_BAGS if why.unfilled else TOGETHER
        yield _together_blocks(scenario, why.together.opened, claim if why.together.is_least else NOT_THE_LEAST)
    instead = [trial.opened for trial in why.instead if trial.opened]
    if instead:
        yield _instead_table(scenario, instead)
    late = tuple(trial.demands[0].text(scenario) for trial in why.menu if not trial.in_time)
    if late:
        yield Points("not_in_time", "An order is possible without each of these, but no plan was made in time", late)
    if why.clash:
        yield Points("clash", "The rules that clash", tuple(_clash_texts(scenario, why.clash)))
        several, alone = (CLASH_OF_BAGS, CLASH_OF_BAGS_ALONE) if why.unfilled else (CLASH, CLASH_ALONE)
        yield Paragraph(several if len(why.clash) > 1 else alone)
    yield from _rules_named(why)


def _head(why: Why, openings: Sequence[Opening]) -> str:
    """What is wrong, in a sentence or two."""
    says = "No order follows all your rules."
    if why.unfilled:
        dogs = join_names(why.unfilled.dogs)
        says = f"The food can be bought, but not packed: whatever is ordered, no way fills the bags of {dogs}."
    if why.hopeless:
        return f"{says} {HOPELESS}{NEVER}"
    if not openings and not (why.together and why.together.opened):
        return f"{says} {NOTHING_FOUND}{NEVER}" if why.is_whole else f"{says} {NEVER}"
    return f"{says} {ASK} {NEVER}"


def _menu(scenario: Scenario, openings: Sequence[Opening]) -> Table:
    """Single changes side by side, with what the order then costs."""
    columns = (*_columns(), Column("cost", f"Order then ({scenario.currency.code})", Holds.MONEY))
    rows = tuple(_alternatives(scenario, openings))
    unproved = [opening for opening in openings if not opening.proved]
    note = f"{ALONE} {WRITE} {_not_proved(scenario, unproved)}".rstrip()
    return Table("changes", "Any one of these makes a plan possible", columns, rows, note=note)


def _alternatives(scenario: Scenario, openings: Iterable[Opening]) -> Iterator[tuple[Cell, ...]]:
    """The rows of each opening, with the cost in its first; several where dogs need different entries."""
    for number, opening in enumerate(openings, start=1):
        first, *more = _rows(scenario, number, opening.changes, cautions=not opening.given)
        yield (*first, opening.total)
        yield from ((change, rule, f"and with it: {asks}", *rest, None) for change, rule, asks, *rest in more)


def _together_blocks(scenario: Scenario, opened: Opening, says: str) -> Table:
    """The changes that open a plan together, with what the order then costs."""
    rows = tuple(_rows(scenario, 1, opened.changes))
    proved = "" if opened.proved else ", not proved to be the least"
    note = f"{says} The order then costs {scenario.currency.text(opened.total)}{proved}. {WRITE}"
    return Table("together", "These together make a plan possible", _columns(), rows, note=note)


def _instead_table(scenario: Scenario, openings: Sequence[Opening]) -> Table:
    """What helps dogs that must not have whole bone, side by side, with what the order then costs."""
    columns = (*_columns(), Column("cost", f"Order then ({scenario.currency.code})", Holds.MONEY))
    rows = tuple(_alternatives(scenario, openings))
    given = [says for opening in openings for says in opening.given]
    note = " ".join([INSTEAD, WRITE, *(f"{says}." for says in dict.fromkeys(given))])
    return Table("instead_of_bone", "Instead of whole bone", columns, rows, note=note)


def _not_proved(scenario: Scenario, unproved: Sequence[Opening]) -> str:
    """Which costs are not proved to be the least."""
    if not unproved:
        return ""
    remedy_texts = join_names([remedy_text(scenario, opening.changes[0]) for opening in unproved])
    return f"The cost is not proved to be the least with {remedy_texts}."


def _columns() -> tuple[Column, ...]:
    return (
        Column("change", "Change", Holds.COUNT, shown=False),
        Column("rule", "Rule", shown=False),
        Column("demand", "Your rule"),
        Column("least_change", "Smallest change"),
        Column("write", "Write"),
        Column("where", "Where"),
    )


def _rows(
    scenario: Scenario, number: int, changes: Sequence[Loosening], *, cautions: bool = True
) -> Iterator[tuple[Cell, ...]]:
    """A row for every entry to write for changes that belong together, under their number."""
    for remedy in remedies(scenario, changes):
        rules = ", ".join(dict.fromkeys(loosening.demand.rule for loosening in remedy.changes))
        asks = "; ".join(dict.fromkeys(loosening.demand.text(scenario) for loosening in remedy.changes))
        yield number, rules, asks, instead_text(scenario, remedy.changes, cautions=cautions), remedy.text, remedy.where


def _clash_texts(scenario: Scenario, demands: Iterable[Demand]) -> Iterator[str]:
    """Each rule with its number and where it is set."""
    for demand in demands:
        place = place_text(scenario, demand)
        yield demand.text(scenario) + (f" ({place})" if place else "")


def _rules_named(why: Why) -> Iterator[Block]:
    """The rules named in the paper, once each, as the rulebook states them."""
    openings = [trial.opened for trial in (*why.menu, why.together, *why.instead) if trial and trial.opened]
    changes = [change.demand.rule for opening in openings for change in opening.changes]
    keys = dict.fromkeys([*changes, *(demand.rule for demand in why.clash)])
    if keys:
        yield Points("rules", "The rules in full", tuple(rule_of(key).says for key in keys))


Answered = TypeVar("Answered")

MOST_S = 40
"""Seconds for each question where dogs are many: one of a hundred might take hours."""

COULD_BE_FEWER = 2
"""The fewest rules that can be enough where no single one is."""

MOST_SETS_TRIED = 4
"""The most sets of hard demands for which whole plans are tried to find the fewest."""


FIRST_PARTS = 4
"""The search for rules that clash leaves out a quarter of them at a time first, then halves of that."""


def reasons(scenario: Scenario, ask: Ask, answer: Plan | NoPlan | Unsolved | None = None) -> Document:
    """Why there is no plan and what would open one; `answer` is the workflow's answer, where that is known."""
    asking = Asking(ask, scenario)
    if answer is None:
        answer = no_plan_at_once(scenario) or asking([Task("plan", plan_batch, (scenario,))]).get("plan")
    if isinstance(answer, Unsolved):
        return unsolved_paper(scenario, answer)
    if not isinstance(answer, NoPlan):
        return reasons_paper(scenario, Why(plan=answer, is_whole=asking.is_whole))
    if at_once := paper_at_once(scenario):
        return at_once
    if ask.warn and (ask.progress or scenario.solved_by_groups):
        ask.warn(facts_at_once(scenario))
    return reasons_paper(scenario, explain_no_plan(scenario, answer, asking))


class Asking:
    """Asks questions, each with its share of the time left, and notes whether all were answered."""

    def __init__(self, ask: Ask, scenario: Scenario) -> None:
        self.ask, self.is_whole = ask, True
        self._left, self._by_groups = settings_from_now(ask.settings), scenario.solved_by_groups

    def __call__(self, tasks: Sequence[Task[Answered]]) -> dict[str, Answered]:
        """The answers by key; the settings are added to each question's arguments."""
        settings = self._settings(len(tasks))
        answers = self.ask([Task(task.key, task.run, (*task.given, settings)) for task in tasks])
        self.is_whole = self.is_whole and len(answers) == len(tasks)
        return answers

    def is_not(self, task: Task[bool | None]) -> bool:
        """Whether the answer is a clear no."""
        answer = self([task]).get(task.key)
        self.is_whole = self.is_whole and answer is not None
        return answer is False

    def _settings(self, questions: int) -> Settings:
        """The settings with a time limit that lets all these questions end in time."""
        left = self._left()
        if left.time_limit_s is not None:
            share_s = left.time_limit_s * self.ask.workers / max(questions, 1)
            return replace(left, time_limit_s=max(share_s, LEAST_S))
        return replace(left, time_limit_s=MOST_S) if self._by_groups else left


def explain_no_plan(scenario: Scenario, answer: NoPlan, asking: Asking) -> Why:
    """All that can be found out about a scenario without a plan."""
    why = (
        _explain_no_order(scenario, asking)
        if answer.unfilled is None
        else _explain_no_bags(scenario, answer.unfilled, asking)
    )
    return replace(why, facts=plain_facts(scenario), is_whole=asking.is_whole)


def _explain_no_order(scenario: Scenario, asking: Asking) -> Why:
    """What is in the way of any order."""
    every = demands_of(scenario)
    demands = tuple(demand for demand in every if demand.concerns_orders(scenario))
    anything = asking([Task("anything", is_possible, (leave_out(scenario, every),))]).get("anything")
    if anything is False:
        return Why(hopeless=True)
    menu = _run_trials(asking, [Task(demand.key, try_demand, (scenario, demand)) for demand in demands])
    is_one_enough = any(trial.opened or not trial.in_time for trial in menu)
    together = None if is_one_enough else _find_fewest_together(scenario, demands, asking)

    def question(kept: Sequence[Demand]) -> Task[bool | None]:
        """The question whether there is an order where only these demands are kept."""
        gone = tuple(demand for demand in every if demand not in kept)
        return Task("possible", is_possible, (leave_out(scenario, gone),))

    clash = _for_dogs_concerned(scenario, _find_clash_of(menu, demands, question, asking), asking)
    why = Why(menu=menu, together=together, clash=clash)
    return replace(why, instead=_instead_of_bone(scenario, why, asking))


def _instead_of_bone(scenario: Scenario, why: Why, asking: Asking) -> tuple[Trial, ...]:
    """What helps dogs that must not have whole bone where bone is in the way: minced bone, or calcium beside less."""
    openings = [trial.opened for trial in (*why.menu, why.together) if trial and trial.opened]
    changed = [(opening, [change.demand for change in opening.changes]) for opening in openings]
    tasks = [
        Task(f"calcium {place}", try_calcium, (scenario, opening, names))
        for place, (opening, demands) in enumerate(changed)
        if (names := without_whole_bone(scenario, demands))
    ]
    names = without_whole_bone(scenario, [*why.clash, *(demand for _, demands in changed for demand in demands)])
    if names:
        tasks.insert(0, Task("minced bone", try_minced_bone, (scenario, names)))
    return _run_trials(asking, tasks) if tasks else ()


def _for_dogs_concerned(scenario: Scenario, clashing: Sequence[Demand], asking: Asking) -> tuple[Demand, ...]:
    """The rules that clash, each for only the dogs for which it clashes with the others.

    A rule that clashes only for several dogs together, as where there is too little for all, is named for all of them.
    """
    kept, every = list(clashing), demands_of(scenario)
    for place, demand in enumerate(clashing):
        alone = {dogs: replace(demand, dogs=dogs) for dogs in _dogs_by_mixture(scenario, demand)}
        others = [*kept[:place], *kept[place + 1 :]]
        tasks = [
            Task(" and ".join(dogs), is_possible, (leave_out(scenario, _demands_left_out(every, [*others, demand])),))
            for dogs, demand in (alone.items() if len(alone) > 1 else ())
        ]
        possible = asking(tasks) if tasks else {}
        concerned = [name for dogs in alone for name in dogs if possible.get(" and ".join(dogs)) is False]
        if concerned and len(possible) == len(alone) and None not in possible.values():
            kept[place] = replace(demand, dogs=tuple(name for name in demand.dogs if name in concerned))
    return tuple(kept)


def _dogs_by_mixture(scenario: Scenario, demand: Demand) -> list[tuple[str, ...]]:
    """The dogs that a demand binds, those that share a mixture together."""
    groups = [[dog.name for dog in group.dogs if dog.name in demand.dogs] for group in groups_of(scenario)]
    return [tuple(names) for names in groups if names]


def _demands_left_out(every: Sequence[Demand], kept: Sequence[Demand]) -> Iterator[Demand]:
    """Every demand that is not kept; of one kept for some dogs, the demand for the others."""
    dogs_of = {demand.key: demand.dogs for demand in kept}
    for demand in every:
        others = tuple(name for name in demand.dogs if name not in dogs_of.get(demand.key, ()))
        if demand.key not in dogs_of or (others and demand.dogs):
            yield replace(demand, dogs=others)


def _find_fewest_together(scenario: Scenario, demands: Sequence[Demand], asking: Asking) -> Trial | None:
    """The fewest rules that must give way together, with every choice of hard demands among them."""
    best = _fewest(_run_trials(asking, [Task("together", try_together, (scenario, ()))]))
    if best and len(best.demands) == COULD_BE_FEWER:
        return replace(best, is_least=best.is_least and asking.is_whole)
    sets, whole_to = sets_of_demands(
        [demand for demand in demands if not isinstance(demand, SoftDemand)], scenario.solved_by_groups
    )
    tasks = {
        left_out: Task(f"beside {place}", find_misses_beside, (scenario, left_out))
        for place, left_out in enumerate(sets)
    }
    answers = asking(tuple(tasks.values()))
    missed = {left_out: answers.get(task.key) for left_out, task in tasks.items()}
    fewest = {
        left_out: len(left_out) + misses.fewest
        for left_out, misses in missed.items()
        if isinstance(misses, LeastMisses)
    }
    for left_out in sorted(filter(None, fewest), key=lambda demands: fewest[demands])[:MOST_SETS_TRIED]:
        if best is None or fewest[left_out] < len(best.demands):
            trials = _run_trials(asking, [Task("together", try_together, (scenario, left_out))])
            best = _fewest([*filter(None, [best]), *trials])
    least = min([*fewest.values(), *_fewest_beyond(sets, missed, whole_to)], default=0)
    is_known = all(isinstance(misses, LeastMisses | Impossible) for misses in missed.values())
    is_sure = asking.is_whole and is_known and best is not None and len(best.demands) <= max(least, COULD_BE_FEWER)
    return replace(best, is_least=best.is_least and is_sure) if best else None


def _fewest_beyond(
    sets: Sequence[tuple[Demand, ...]],
    missed: Mapping[tuple[Demand, ...], LeastMisses | Impossible | Unsolved | None],
    whole_to: int,
) -> Iterator[int]:
    """The fewest that give way with larger sets than those asked about; nothing where every set was asked about."""
    largest = missed[sets[-1]]
    if len(sets[-1]) > whole_to and isinstance(largest, LeastMisses):
        yield whole_to + 1 + largest.fewest


def _explain_no_bags(scenario: Scenario, unfilled: OrderWithoutBags, asking: Asking) -> Why:
    """What is in the way of filling bags with the order that there is."""
    demands = demands_of_bags(scenario, unfilled)
    budget = tuple(demand for demand in demands_of(scenario) if demand.limits_cost)
    tasks = [Task(demand.key, try_for_bags, (scenario, unfilled, demand)) for demand in (*budget, *demands)]
    menu = _run_trials(asking, tasks)
    together: Trial | None = None
    if not any(trial.opened or not trial.in_time for trial in menu):
        together = _fewest(_run_trials(asking, [Task("together", try_together_for_bags, (scenario, unfilled))]))

    def question(kept: Sequence[Demand]) -> Task[bool | None]:
        """The question whether there is a plan where only these demands are kept."""
        gone = tuple(demand for demand in demands if demand not in kept)
        return Task("fills", has_plan, (leave_out(scenario, gone),))

    clash = _find_clash_of(menu, demands, question, asking)
    return Why(menu=menu, together=together, clash=clash, unfilled=unfilled)


def _run_trials(asking: Asking, tasks: Sequence[Task[Trial]]) -> tuple[Trial, ...]:
    """The result of every trial; notes where one was not ended."""
    trials = tuple(asking(tasks).values())
    asking.is_whole = asking.is_whole and all(trial.helps is not None and trial.in_time for trial in trials)
    return trials


def _fewest(trials: Sequence[Trial]) -> Trial | None:
    """The trial that opens a plan with the fewest rules; None where none does."""
    return min((trial for trial in trials if trial.opened), key=lambda trial: len(trial.demands), default=None)


def _find_clash_of(
    menu: Sequence[Trial],
    demands: Sequence[Demand],
    question: Callable[[Sequence[Demand]], Task[bool | None]],
    asking: Asking,
) -> tuple[Demand, ...]:
    """The rules that clash; those that each open a plan alone belong to every clash, and are asked about first."""
    helping = tuple(trial.demands[0] for trial in menu if trial.helps and trial.demands[0] in demands)
    return find_clash(demands, helping, lambda kept: asking.is_not(question(kept)))


def find_clash(
    demands: Sequence[Demand], helping: Sequence[Demand], is_impossible: Callable[[Sequence[Demand]], bool]
) -> tuple[Demand, ...]:
    """Demands that cannot be met together, but can without any one of them; none where the demands do not clash.

    `helping` are those without each of which all others can be met, so every clash holds all of them. Only those that
    move muscle along are looked at again, as others might clash without them.
    """
    if helping and is_impossible(helping):
        kept, sure = list(helping), [demand for demand in helping if not demand.frees_muscle]
    elif is_impossible(demands):
        kept, sure = list(demands), [demand for demand in helping if not demand.frees_muscle]
    else:
        return ()
    size = max(len(kept) // FIRST_PARTS, 1)
    while True:
        kept = _without_parts(kept, sure, size, is_impossible)
        if size == 1:
            return tuple(kept)
        size //= 2


def _without_parts(
    kept: list[Demand], sure: Sequence[Demand], size: int, is_impossible: Callable[[Sequence[Demand]], bool]
) -> list[Demand]:
    """What is left after leaving out parts of this size, the last first, wherever the rest still clashes."""
    end = len(kept)
    while end > 0:
        part = [demand for demand in kept[max(end - size, 0) : end] if demand not in sure]
        rest = [demand for demand in kept if demand not in part]
        if part and is_impossible(rest):
            kept = rest
        end -= size
    return kept
