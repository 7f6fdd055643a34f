"""A plan that was printed for programs and kept, read back for the scenario that it was made for."""

import json
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn, TypeVar

from pydantic import TypeAdapter, ValidationError

from raworder.reading.names import listed
from raworder.reading.notes import Notes
from raworder.trade.findings import Finding, Place
from raworder.trade.fingerprint import fingerprint
from raworder.trade.plan import Plan
from raworder.trade.purchase import Purchase, purchased
from raworder.trade.scenario import Scenario

SCHEMA_VERSION = 1
"""The version of the print that can be read."""

MIB = 1024 * 1024
LARGEST_PLAN_MIB = 50
"""The largest saved plan read."""

MOST_TOLD = 5
"""So many things wrong with one plan are told; who wrote it will not repair it by hand."""

LONGEST_TOLD = 60
"""So many characters of a name that nobody knows are told."""

Noun = TypeVar("Noun")

Mention = tuple[str, Container[object], Sequence[object]]
"""A noun, what is known of it, and what the plan speaks of."""

PLAN_AGAIN = "plan again: `raworder plan SCENARIO --json`"
REPLAN_AGAIN = "plan again: `raworder replan SCENARIO --receipt FILE --json`"


@dataclass(frozen=True, slots=True)
class ReadPlan:
    """A plan, or no plan and all the reasons; findings are in order of place.

    `purchase` is set for a plan made after the shop: it is one of the scenario as that has changed it.
    """

    plan: Plan | None
    findings: tuple[Finding, ...]
    purchase: Purchase | None = None


def read_plan(path: Path, scenario: Scenario) -> ReadPlan:
    """The plan that `plan --json` or `replan --json` printed for this scenario; None exactly when a finding refuses.

    What the plan names is in the scenario and what it numbers is there; whether it keeps the rules is for the audit.
    """
    notes = Notes()
    saved = _Saved(Place(path.as_posix(), 1, 1), notes)
    found = saved.plan(file_bytes(path, LARGEST_PLAN_MIB, notes), scenario)
    plan, purchase = (None, None) if notes.refuse or found is None else found
    return ReadPlan(plan, notes.all(), purchase)


def file_bytes(path: Path, largest_mib: int, notes: Notes) -> bytes | None:
    """The content of a regular file, or None with the reason in the notes."""
    place, name = Place(path.as_posix(), 1, 1), path.name
    try:
        if not path.exists():
            notes.add("no-such-file", f"there is no file `{name}`", place, "check the name and the folder")
        elif not path.is_file():
            notes.add("not-a-file", f"`{name}` is not a regular file", place, "name a file")
        elif path.stat().st_size > largest_mib * MIB:
            message = f"`{name}` is larger than {largest_mib} MiB"
            notes.add("too-large", message, place, "check that the right file is named")
        else:
            return path.read_bytes()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "the name cannot be used"
        message = f"`{name}` cannot be read: {why.lower()}"
        notes.add("unreadable-file", message, place, "check the name and its permissions")
    return None


def utf8_text(data: bytes, file: str, notes: Notes) -> str | None:
    """The text of UTF-8 with or without its mark, or None with the place of the first byte that is none."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8", "replace")
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        message = "here is a byte that is not UTF-8 text"
        notes.add("unreadable-text", message, Place(file, line, column), "use the file as it was written")
    return None


class _NoJsonError(ValueError):
    """JSON has no such value; the message names it."""


def _no_number(text: str) -> NoReturn:
    """Refuse any number that is not whole: JSON knows no NaN, and a saved plan no binary fraction."""
    raise _NoJsonError(text)


@dataclass(frozen=True, slots=True)
class _Saved:
    """A saved plan on its way from bytes to the noun."""

    top: Place
    notes: Notes

    def plan(self, data: bytes | None, scenario: Scenario) -> tuple[Plan, Purchase | None] | None:
        """The plan, with the purchase that it follows if any, once it has passed every check."""
        text = None if data is None else utf8_text(data, self.top.file, self.notes)
        told = None if text is None else self._json(text)
        if told is None or not self._is_ours(told):
            return None
        purchase = self._typed(Purchase, told["purchase"], "purchase") if "purchase" in told else None
        if purchase is not None:
            scenario = self._purchased(scenario, purchase)
        if self.notes.refuse or not self._is_for(told, scenario):
            return None
        plan = self._typed(Plan, told["plan"], "plan")
        if plan is None:
            return None
        self._refuse("damaged-plan", tuple(_unknown_mentions(plan, scenario)))
        if not self.notes.refuse and told["plan_fingerprint"] != fingerprint((plan, purchase)):
            self._refuse("damaged-plan", ("the plan was altered after it was printed",))
        return plan, purchase

    def _purchased(self, scenario: Scenario, purchase: Purchase) -> Scenario:
        """The scenario after the shop; numbers that no receipt can hold are noted."""
        try:
            return purchased(scenario, purchase)
        except (ArithmeticError, ValueError):
            message = "`purchase` holds a number that no receipt has"
            self.notes.add("damaged-plan", message, self.top, REPLAN_AGAIN)
        return scenario

    def _json(self, text: str) -> dict[str, object] | None:
        """The one object of the text."""
        try:
            told = json.loads(text, parse_constant=_no_number, parse_float=_no_number)
        except json.JSONDecodeError as error:
            place = Place(self.top.file, error.lineno, error.colno)
            self.notes.add("broken-json", f"this is not valid JSON: {error.msg.lower()}", place, PLAN_AGAIN)
        except _NoJsonError as error:
            message = f"`{error}` stands in the file, and a saved plan holds whole numbers only"
            self.notes.add("broken-json", message, self.top, PLAN_AGAIN)
        except (RecursionError, ValueError):
            self.notes.add("broken-json", "something in the file is too long or too deep", self.top, PLAN_AGAIN)
        else:
            if isinstance(told, dict):
                return told
            self.notes.add("not-a-saved-plan", "the file holds no object of fields", self.top, PLAN_AGAIN)
        return None

    def _is_ours(self, told: dict[str, object]) -> bool:
        """Whether it is a saved plan of the version that can be read."""
        missing = [key for key in ("schema_version", "scenario", "plan_fingerprint", "plan") if key not in told]
        version = told.get("schema_version")
        if missing:
            self.notes.add("not-a-saved-plan", f"the file has no {listed(missing)}", self.top, PLAN_AGAIN)
        elif type(version) is not int or version != SCHEMA_VERSION:
            message = f"the file has schema version {_short(version)}, and {SCHEMA_VERSION} can be read"
            self.notes.add("other-schema-version", message, self.top, PLAN_AGAIN)
        else:
            return True
        return False

    def _is_for(self, told: dict[str, object], scenario: Scenario) -> bool:
        """Whether it was made for this scenario as it is now."""
        if told["scenario"] == fingerprint(scenario):
            return True
        after, again = (" or receipt", REPLAN_AGAIN) if "purchase" in told else ("", PLAN_AGAIN)
        message = f"this plan was made for another scenario{after} or for an older version of it"
        self.notes.add("other-scenario", message, self.top, again)
        return False

    def _typed(self, noun: type[Noun], told: object, name: str) -> Noun | None:
        """The noun, if every field is of its type."""
        try:
            return TypeAdapter(noun).validate_json(json.dumps(told), strict=True)
        except ValidationError as error:
            wrong = error.errors(include_url=False, include_input=False, include_context=False)
            places = ["".join(_step(step) for step in mapping["loc"]) for mapping in wrong]
        except (RecursionError, ZeroDivisionError):  # older pydantic lets a fraction over nought through
            places = [""]
        self._refuse("damaged-plan", tuple(f"`{name}{place}` is not what belongs there" for place in places))
        return None

    def _refuse(self, slug: str, messages: tuple[str, ...]) -> None:
        """Note the first few of the messages, and how many more there are."""
        for message in messages[:MOST_TOLD]:
            note = f"one of {len(messages)}" if len(messages) > 1 else ""
            self.notes.add(slug, message, self.top, PLAN_AGAIN, note)


def _step(step: int | str) -> str:
    return f"[{step}]" if isinstance(step, int) else f".{step}"


def _short(value: object) -> str:
    """A value of JSON in a few characters."""
    text = json.dumps(value)
    return f"`{text}`" if len(text) <= 20 else "of another sort"


def _unknown_mentions(plan: Plan, scenario: Scenario) -> Iterator[str]:
    """Sentences about names and numbers in the plan that the scenario does not have."""
    for noun, known, named in (*_of_the_order(plan, scenario), *_of_the_bags(plan, scenario)):
        for value in dict.fromkeys(item for item in named if item not in known):
            yield f"the plan speaks of the {noun} `{str(value)[:LONGEST_TOLD]}`, which is not there"


def _of_the_order(plan: Plan, scenario: Scenario) -> Iterator[Mention]:
    """What is bought, fed and left over."""
    cuts = {cut.name for cut in scenario.cuts}
    yield "offer", {offer.key for offer in scenario.offers}, [line.offer for line in plan.lines]
    sold_beside = {offer.key for offer in scenario.supplement_offers}
    yield "offer", sold_beside, [line.offer for line in plan.supplement_lines]
    yield (
        "supplement",
        {supplement.name for supplement in scenario.supplements},
        [dose.supplement for dose in plan.doses],
    )
    yield "dog", {dog.name for dog in scenario.dogs}, [dose.dog for dose in plan.doses]
    yield "supplier", {supplier.name for supplier in scenario.suppliers}, [bill.supplier for bill in plan.bills]
    yield "dog", {dog.name for dog in scenario.dogs}, [portion.dog for portion in plan.portions]
    yield "cut", cuts, [portion.cut for portion in plan.portions]
    yield "cut", cuts, [leftover.cut for leftover in plan.leftovers]
    yield "lot", range(len(scenario.on_hand)), [use.lot for use in plan.lots_used]


def _of_the_bags(plan: Plan, scenario: Scenario) -> Iterator[Mention]:
    """What is mixed and put into bags."""
    dogs = {dog.name for dog in scenario.dogs}
    cuts = {cut.name for cut in scenario.cuts}
    food = {"", *cuts, *(mix.name for mix in plan.mixes)}
    yield "dog", dogs, [bag.dog for bag in plan.bags]
    yield "dog", dogs, [dog for mix in plan.mixes for dog in mix.dogs]
    yield "day", frozenset(scenario.batch.each_day()), [bag.day for bag in plan.bags]
    yield "cut", food - {""}, [filling.cut for bag in plan.bags for filling in bag.fillings]
    yield "cut", food, [bag.topped_up for bag in plan.bags]
    yield "cut", cuts, [filling.cut for mix in plan.mixes for filling in mix.contents]
    yield "cut", cuts, [filling.cut for mix in plan.mixes for tub in mix.tubs for filling in tub.contents]
    yield "cut", food - {""}, [station.cut for station in plan.stations]
    yield "bag", range(len(plan.bags)), [bag for station in plan.stations for bag in station.bags]
