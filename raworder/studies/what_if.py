"""What if: each change by itself, and all of them together, compared with the cheapest order as things stand."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil
from types import MappingProxyType

from raworder.reading.names import fold_name, nearest, normalise_name
from raworder.reading.patterns import PATTERNS
from raworder.reading.quantities import Ration, read_ration
from raworder.reading.rations import LARGEST_DAILY_G, LARGEST_DAILY_KCAL, LARGEST_SHARE
from raworder.reporting.words import count_text, paper
from raworder.studies.asking import Ask
from raworder.studies.changes import (
    Away,
    Budget,
    Change,
    Meant,
    OneMore,
    OtherRation,
    Pattern,
    Price,
    Room,
    Without,
    offers_named,
    ration_g,
    ration_kcal,
    supplements_named,
    with_ration,
)
from raworder.studies.differences import (
    bought_units,
    cost_cells,
    cost_columns,
    line_change_columns,
    line_change_row,
    line_changes,
    supplement_rows,
)
from raworder.studies.orders import PIECES_ASIDE, FoundOrder, comparable_base, find_orders, nearness, start_of
from raworder.trade.document import Block, Column, Document, Paragraph, Table
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import UnitError, grams_text, read_count, read_grams, read_money, read_percent

FORMS = (
    "price of beef +10 %",
    "price of beef trim at SUPPLIER -5 %",
    "one more like DOG",
    "without DOG",
    "DOG away 3 days",
    "ration of DOG 1400 kcal",
    "ration of DOG 2.5 %",
    "DOG on BARF",
    "everyone on prey model",
    "room 20 kg",
    "any room",
    "budget 50.00",
    "any budget",
)
"""The forms in which a change can be typed."""

IN_AMOUNTS = "give its ration as `520 g` or `900 kcal`"
"""What to do where a ration cannot be a share of a weight."""

EVERYONE = frozenset({"everyone", "every dog", "all dogs", "all"})


class ChangeError(ValueError):
    """A change that cannot be read; `help` is the one thing to do about it."""

    def __init__(self, message: str, help: str) -> None:  # noqa: A002 - the field's name
        super().__init__(message)
        self.help = help


def read_change(text: str, scenario: Scenario) -> Change:
    """The change that the words ask for; ChangeError for words that ask for none in this scenario."""
    words = normalise_name(text)
    for form, read in READERS.items():
        match = re.fullmatch(form, words, re.IGNORECASE)
        if match:
            try:
                return read(scenario, *match.groups())
            except UnitError as error:
                raise ChangeError(str(error), error.help) from None
    raise ChangeError(f"`{words}` is no change that can be asked about", f"write one like {_quote_words(FORMS)}")


def _read_price(scenario: Scenario, what: str, sign: str | None, percent: str) -> Change:
    """Offers up or down by a percentage."""
    if sign is None:
        help_ = f"write `price of {what} +{percent}` or `price of {what} -{percent}`"
        raise ChangeError("the price goes up or down, but the sign is missing", help_)
    share, percent = read_percent(percent), f"{percent.removesuffix('%').strip()} %"
    is_up = sign == "+"
    if not is_up and share >= 1:
        raise ChangeError(f"a price cannot fall by {percent}", "name less than 100 %")
    meant, supplements = offers_named(what, scenario), supplements_named(what, scenario)
    if not meant.offers and not supplements:
        raise ChangeError(meant.wrong, meant.help)
    keys, packs = frozenset(offer.key for offer in meant.offers), frozenset(offer.key for offer in supplements)
    about = frozenset({f"price of {', '.join(sorted(keys | packs))}"})
    says = f"price of {what} {'+' if is_up else '-'}{percent} ({_offers_text(meant, len(packs))})"
    return Price(says, about, keys, 1 + share if is_up else 1 - share, packs)


def _offers_text(meant: Meant, packs: int) -> str:
    """How many offers are meant, supplements included, and whether mixed products are left out."""
    return count_text(len(meant.offers) + packs, "offer") + (", mixed products left as they are" if meant.mixed else "")


def _read_one_more(scenario: Scenario, name: str) -> Change:
    """One dog more."""
    like = _find_dog(name, scenario)
    return OneMore(f"one more like {like.name}", frozenset(), like)


def _read_without(scenario: Scenario, name: str) -> Change:
    """One dog fewer."""
    dog = _find_dog(name, scenario)
    if len(scenario.dogs) == 1:
        raise ChangeError(f"without `{dog.name}` there is no dog left to feed", "name a dog of several")
    return Without(f"without {dog.name}", frozenset({f"days of {dog.name}"}), dog.name)


def _read_away(scenario: Scenario, name: str, number: str) -> Change:
    """A dog away on its last days."""
    dog, days = _find_dog(name, scenario), read_count(number)
    fed = sum(grams > 0 for grams in dog.day_g)
    if not 0 < days < fed:
        help_ = f"name 1 to {fed - 1} days, or write `without {dog.name}`"
        raise ChangeError(f"`{dog.name}` is fed on {count_text(fed, 'day')} of the batch", help_)
    says = f"{dog.name} away the last {count_text(days, 'day')}" if days > 1 else f"{dog.name} away the last day"
    return Away(says, frozenset({f"days of {dog.name}"}), dog.name, days)


def _read_other_ration(scenario: Scenario, words: str) -> Change:
    """Another ration of a dog, in grams, as a share of its weight or in energy."""
    name, text = _split_ration(words, scenario)
    dog, ration = _find_healthy_dog(name, scenario), read_ration(text)
    _check_weight(dog, ration)
    _check_treats(dog, ration)
    _check_amount(dog, ration, scenario)
    return OtherRation(f"ration of {dog.name} {ration.written}", frozenset({f"ration of {dog.name}"}), dog.name, ration)


def _split_ration(words: str, scenario: Scenario) -> tuple[str, str]:
    """A dog's name and a ration; where a name ends in a number, the split that leaves a dog's name."""
    splits = [(words[: space.start()], words[space.end() :]) for space in re.finditer(r" (?=[0-9.])", words)]
    if not splits:
        raise ChangeError(f"`{words}` names no ration", "write `ration of DOG 520 g` or `ration of DOG 900 kcal`")
    dogs = {fold_name(dog.name) for dog in scenario.dogs}
    return next((split for split in splits if fold_name(split[0]) in dogs), splits[0])


def _check_weight(dog: Dog, ration: Ration) -> None:
    """ChangeError where the weight that the ration is a share of is not known."""
    if ration.of_adult_weight and not (dog.puppy and dog.adult_weight_g):
        raise ChangeError(f"`{dog.name}` is no puppy with an adult weight", IN_AMOUNTS)
    by_weight = ration.share is not None or ration.kcal_per_metabolic_kg is not None
    if by_weight and not ration.of_adult_weight and not dog.need_weight_g:
        raise ChangeError(f"the weight of `{dog.name}` is not known", IN_AMOUNTS)


def _check_treats(dog: Dog, ration: Ration) -> None:
    """ChangeError where the treats are in energy and the ration is not, or where they leave nothing of it."""
    treats = dog.treats_kcal
    if treats and not ration.in_energy:
        raise ChangeError(f"the treats of `{dog.name}` are in kcal and this ration is not", "write it in kcal")
    if treats and ration_kcal(dog, ration) <= treats:
        raise ChangeError(f"the treats of `{dog.name}` are as much as this ration", "write a larger one")


def _check_amount(dog: Dog, ration: Ration, scenario: Scenario) -> None:
    """ChangeError where the ration is more than a dog can eat, or less than a gram of food."""
    if ration.in_energy:
        says, is_absurd = f"{half_up(ration_kcal(dog, ration))} kcal", ration_kcal(dog, ration) > LARGEST_DAILY_KCAL
    else:
        daily_g, weight_g = ration_g(dog, ration), dog.adult_weight_g or dog.weight_g
        says = grams_text(half_up(daily_g), scenario.weight_unit)
        is_absurd = daily_g > LARGEST_DAILY_G or (weight_g > 0 and daily_g > LARGEST_SHARE * weight_g)
    if is_absurd or not any(with_ration(dog, ration, scenario.cuts).day_g):
        raise ChangeError(f"this comes to {says} a day for `{dog.name}`", "check the number and its unit")


def _read_pattern(scenario: Scenario, who: str, name: str) -> Change:
    """Another pattern of targets for one dog or for all."""
    named = {fold_name(pattern): pattern for pattern in PATTERNS}
    if fold_name(name) not in named:
        raise ChangeError(f"`{name}` is no pattern of targets", f"write {_quote_words(tuple(PATTERNS))}")
    pattern = named[fold_name(name)]
    if fold_name(who) in EVERYONE and fold_name(who) not in {fold_name(dog.name) for dog in scenario.dogs}:
        about = frozenset(f"targets of {dog.name}" for dog in scenario.dogs)
        but = ", but for those in care" if any(dog.care for dog in scenario.dogs) else ""
        return Pattern(f"everyone on {pattern}{but}", about, pattern)
    dog = _find_healthy_dog(who, scenario)
    return Pattern(f"{dog.name} on {pattern}", frozenset({f"targets of {dog.name}"}), pattern, dog.name)


def _read_room(scenario: Scenario, text: str) -> Change:
    """Another room."""
    room_g = ceil(read_grams(text))
    return Room(f"room {grams_text(room_g, scenario.weight_unit)}", frozenset({"room"}), room_g)


def _read_budget(scenario: Scenario, text: str) -> Change:
    """Another budget."""
    budget = read_money(text, scenario.currency)
    return Budget(f"budget {scenario.currency.text(budget)}", frozenset({"budget"}), budget)


def _read_any_room(_: Scenario) -> Change:
    return Room("any room", frozenset({"room"}), None)


def _read_any_budget(_: Scenario) -> Change:
    return Budget("any budget", frozenset({"budget"}), None)


def _find_dog(name: str, scenario: Scenario) -> Dog:
    """The dog of that name."""
    dogs = {fold_name(dog.name): dog for dog in scenario.dogs}
    if fold_name(name) in dogs:
        return dogs[fold_name(name)]
    close = nearest(name, dogs)
    some = tuple(dog.name for dog in scenario.dogs)
    help_ = f"did you mean `{dogs[close].name}`?" if close else f"the dogs are {_quote_words(some)}"
    raise ChangeError(f"no dog is called `{name}`", help_)


def _find_healthy_dog(name: str, scenario: Scenario) -> Dog:
    """The dog of that name, which is in nobody's care."""
    dog = _find_dog(name, scenario)
    if dog.care:
        help_ = "ask the veterinarian, and change `vet_amounts` in the scenario"
        raise ChangeError(f"`{dog.name}` is in care and gets only what the veterinarian gave", help_)
    return dog


def _quote_words(words: tuple[str, ...]) -> str:
    """Words in backticks; many are cut short."""
    shown = words if len(words) <= len(FORMS) else (*words[: len(FORMS) - 1], "...")
    return ", ".join(f"`{word}`" for word in shown)


READERS: Mapping[str, Callable[..., Change]] = MappingProxyType(
    {
        r"prices? of (.+?) *([-+\u2212])? *([0-9.,]+ *%)": _read_price,
        r"one more like (.+)": _read_one_more,
        r"without (.+)": _read_without,
        r"(.+) away (?:for )?([0-9]+) days?": _read_away,
        r"rations? of (.+)": _read_other_ration,
        r"(.+) on (.+)": _read_pattern,
        r"any room": _read_any_room,
        r"any budget": _read_any_budget,
        r"room (.+)": _read_room,
        r"budget (.+)": _read_budget,
    }
)
"""Each form as a regular expression, with its reader; the first that matches is used."""


__all__ = ("ChangeError", "changes_of", "still_cheapest", "what_if")

AS_IT_IS = "as it is"
TOGETHER = "all together"
ONE_AT_A_TIME = "Each change is tried alone, with all else as it is: do not add savings up."
NOT_TOGETHER = "Some changes are about the same thing, or leave no dog, so they were not tried together."
SLOWLY = (
    "Another pattern is another diet: change over slowly, and ask a veterinarian first where a dog is young, old or "
    "has been ill. Source: common practice, no source."
)


TREATS_ASIDE = "Treats that are given in grams are not taken off a changed ration."


@dataclass(frozen=True, slots=True)
class _Answered:
    """A change in words, the scenario with it, and the order for it."""

    says: str
    scenario: Scenario
    found: FoundOrder


def changes_of(scenario: Scenario, words: Iterable[str]) -> tuple[Change, ...]:
    """The changes that people typed; ChangeError for the first that cannot be read."""
    return tuple(read_change(word, scenario) for word in words)


def what_if(scenario: Scenario, base: Plan, ask: Ask, *, changes: Sequence[Change]) -> Document:
    """The cost before and after each change and all together, and what changes in the order."""
    base = comparable_base(scenario, base, ask)
    changed = {change.says: change.apply_to(scenario) for change in changes}
    together = _apply_all(scenario, changes)
    if together is not None:
        changed[TOGETHER] = together
    decided = {says: FoundOrder(base) for says, other in changed.items() if still_cheapest(scenario, base, other)}
    questions = {says: scenario for says, scenario in changed.items() if says not in decided}
    found = find_orders(questions, ask, start=start_of(base)) | decided
    answered = [_Answered(says, scenario, found[says]) for says, scenario in changed.items() if says in found]
    return paper(scenario, "what_if", "What if", _blocks(scenario, base, changes, changed, answered))


def still_cheapest(scenario: Scenario, base: Plan, changed: Scenario) -> bool:
    """Whether the cheapest order is plainly still the cheapest in the changed scenario, whatever the budget.

    It is where only the room shrank and still holds the order, and where only prices rose of what is not bought; not at
    a supplier with a minimum order or free delivery from an amount, as dearer goods can reach those.
    """
    if replace(changed, offers=scenario.offers, room_g=scenario.room_g, budget=scenario.budget) != scenario:
        return False
    limits = {
        supplier.name
        for supplier in scenario.suppliers
        if supplier.minimum_order or supplier.free_delivery_from is not None
    }
    bought = bought_units(base)
    return _still_fits(scenario, base, changed.room_g) and all(
        before == after or (before.key not in bought and before.supplier not in limits and _is_dearer(before, after))
        for before, after in zip(scenario.offers, changed.offers, strict=True)
    )


def _still_fits(scenario: Scenario, base: Plan, room_g: int | None) -> bool:
    """Whether the room is what it was, or less and still enough."""
    if room_g == scenario.room_g:
        return True
    offers = {offer.key: offer for offer in scenario.offers}
    stored_g = sum(lot.grams for lot in scenario.on_hand)
    stored_g += sum(offers[key].grams(units) for key, units in bought_units(base).items())
    return room_g is not None and stored_g <= room_g and (scenario.room_g is None or room_g <= scenario.room_g)


def _is_dearer(before: Offer, after: Offer) -> bool:
    """Whether only prices changed, and none fell."""
    same = replace(after, steps=before.steps) == before
    return same and all(
        price_step.unit_price <= other.unit_price for price_step, other in zip(before.steps, after.steps, strict=True)
    )


def _apply_all(scenario: Scenario, changes: Sequence[Change]) -> Scenario | None:
    """All changes one after the other; None for one alone, and where two exclude one another or no dog is left."""
    about = [what for change in changes for what in change.about]
    if len(changes) < 2 or len(about) != len(set(about)):
        return None
    for change in changes:
        scenario = change.apply_to(scenario)
    return scenario if scenario.dogs else None


def _blocks(
    scenario: Scenario,
    base: Plan,
    changes: Sequence[Change],
    changed: Mapping[str, Scenario],
    answered: Sequence[_Answered],
) -> Iterator[Block]:
    """The costs side by side, then what changes in the order, a table for each change."""
    yield Paragraph(" ".join(_introduction(scenario, base, changes, changed, answered)))
    yield _costs(scenario, base, answered)
    for answer in answered:
        yield from _order_changes(scenario, base, answer)


def _introduction(
    scenario: Scenario,
    base: Plan,
    changes: Sequence[Change],
    changed: Mapping[str, Scenario],
    answered: Sequence[_Answered],
) -> Iterator[str]:
    """What to know before reading the figures."""
    yield ONE_AT_A_TIME
    if len(changes) > 1 and TOGETHER not in changed:
        yield NOT_TOGETHER
    if any(isinstance(change, Pattern) for change in changes):
        yield SLOWLY
    if any(isinstance(change, OtherRation) for change in changes):
        yield TREATS_ASIDE
    if scenario.solved_by_groups:
        yield PIECES_ASIDE
    yield from nearness(scenario, (base, *(answer.found.order for answer in answered)))
    yield from base.remarks


def _costs(scenario: Scenario, base: Plan, answered: Sequence[_Answered]) -> Table:
    """What the order costs as things stand, then with each change."""
    trips = scenario.has_trips
    before = (AS_IT_IS, *cost_cells(scenario, base, FoundOrder(base), with_trips=trips))
    rows = (
        before,
        *((answer.says, *cost_cells(answer.scenario, base, answer.found, with_trips=trips)) for answer in answered),
    )
    return Table("costs", "What it costs", (Column("change", "Change"), *cost_columns(scenario, rows)), rows)


def _order_changes(scenario: Scenario, base: Plan, answer: _Answered) -> Iterator[Block]:
    """What changes in the order, or that nothing does; empty where there is no order."""
    order = answer.found.order
    if not isinstance(order, Plan):
        return
    offers = {offer.key: offer for offer in scenario.offers}
    lines = line_changes(offers, bought_units(base), bought_units(order))
    rows = (
        *(line_change_row(answer.says, line, scenario.weight_unit) for line in lines),
        *supplement_rows(answer.says, (scenario, base), (scenario, order)),
    )
    if not rows:
        yield Paragraph(f"{_capitalise(answer.says)}: the order stays the same.")
        return
    yield Table("changes", _capitalise(answer.says), line_change_columns("change"), rows)


def _capitalise(says: str) -> str:
    return says[:1].upper() + says[1:]
