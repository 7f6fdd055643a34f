"""What comes back to be read: a saved plan for the scenario it was made for, and a record of weighing."""

import csv
import json
from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import NoReturn, TypeVar

from pydantic import TypeAdapter, ValidationError

from raworder.reading.cell_tables import BrokenCsvError, Cell, Record, read_records
from raworder.reading.characters import note_forbidden
from raworder.reading.names import join_in_backticks
from raworder.reading.notes import Notes
from raworder.trade.findings import Finding, Place
from raworder.trade.fingerprint import fingerprint
from raworder.trade.plan import Plan
from raworder.trade.purchase import Purchase, scenario_after_shop
from raworder.trade.scenario import Scenario
from raworder.trade.units import UnitError, read_count

SCHEMA_VERSION = 1
"""The version of the print that can be read."""

MIB = 1024 * 1024
LARGEST_PLAN_MIB = 50
"""The largest saved plan read."""

MOST_TOLD = 5
"""The most things wrong with one plan that are shown; who wrote it will not repair it by hand."""

LONGEST_TOLD = 60
"""The most characters shown of a name that nobody knows."""

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
            return scenario_after_shop(scenario, purchase)
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
            self.notes.add("not-a-saved-plan", f"the file has no {join_in_backticks(missing)}", self.top, PLAN_AGAIN)
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


MARK, VERSION, UNNUMBERED = "raworder-weighing", "2", "1"
"""What a record begins with, and the version of records whose lines have no numbers."""

LARGEST_RECORD_MIB = 50
"""The largest record read."""

AS_BEGUN = "give the `--plan` or `--receipt` that it was begun with, or neither if there was none; or name a new file"

WITHOUT_IT = "leave of the line its number and `,,,` alone, and weigh again what it told"
"""What to do about a line that cannot be read, so that the numbers still tell that none is missing."""

WITHOUT_LINE = "take the line out, and weigh again what it told"
"""The same where lines have no numbers."""

Entry = tuple[int, str, int]
"""A bag by its place in the plan, from 0; the cut or mix that was put in; and the grams."""


@dataclass(frozen=True, slots=True)
class ReadRecord:
    """What was weighed, in order, or no entries and all the reasons; findings are in order of place.

    `sound_bytes` is how much of the file is whole lines. Whoever writes on first cuts off what follows, a torn line,
    and where it is 0 begins with the head. `numbers` are those of the entries, which their lines have unless the record
    is `unnumbered`.
    """

    entries: tuple[Entry, ...]
    sound_bytes: int
    findings: tuple[Finding, ...]
    numbers: tuple[int, ...] = ()
    unnumbered: bool = False


def record_head(scenario: Scenario, plan: Plan, batch: str) -> str:
    """The first line of a record, with its line end.

    The scenario is the one that was read, also for a plan after the shop, and `batch` the number of the plan's bags.
    """
    return _line((*_head(scenario, plan), batch))


def record_line(number: int, entry: Entry) -> str:
    """One weighing as a line, with its line end."""
    bag, cut, grams = entry
    return _line((str(number), str(bag + 1), cut, str(grams)))


def read_record(path: Path, scenario: Scenario, plan: Plan, batch: str) -> ReadRecord:
    """The weighings in a record of this plan; a last line without a line end is torn, and passed over.

    The scenario and the batch number are those of `record_head`.
    """
    notes, file = Notes(), path.as_posix()
    data = file_bytes(path, LARGEST_RECORD_MIB, notes)
    sound = b"" if data is None else data[: data.rfind(b"\n") + 1]
    text = utf8_text(sound, file, notes)
    head = (*_head(scenario, plan), batch)
    read = _Read(file, plan, notes)
    told = {} if text is None else dict(read.entries(text, head))
    findings = notes.all()
    if notes.refuse:
        return ReadRecord((), len(sound), findings)
    return ReadRecord(tuple(told.values()), len(sound), findings, tuple(told), read.unnumbered)


def _head(scenario: Scenario, plan: Plan) -> tuple[str, ...]:
    return MARK, VERSION, fingerprint(scenario), fingerprint(plan)


def _line(cells: Iterable[str]) -> str:
    out = StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()


class _Read:
    """A record on its way from text to entries."""

    def __init__(self, file: str, plan: Plan, notes: Notes) -> None:
        self.file, self.notes = file, notes
        self.food = tuple(frozenset(filling.cut for filling in bag.fillings) for bag in plan.bags)
        self.unnumbered = False
        self.due = 1
        self.line_of: dict[int, int] = {}

    def entries(self, text: str, head: tuple[str, ...]) -> Iterator[tuple[int, Entry]]:
        """The entries below the head by their numbers; lines in error are noted and left out."""
        plain = text.replace("\r\n", "\n")
        self.notes.remember(self.file, plain)
        try:
            strange = note_forbidden(plain, self.file, self.notes, WITHOUT_IT)
            lines = [] if strange else list(read_records(plain, self.file, ",", self.notes))
        except BrokenCsvError:
            return
        if not lines or not self._is_head(lines[0], head):
            return
        for place, line in enumerate(lines[1:], start=1):
            if self._is_whole(line):
                number = place if self.unnumbered else self._number(line.cells[0])
                entry = self._entry(line.cells[-3:])
                if number is not None and entry is not None:
                    yield number, entry

    def _is_whole(self, line: Record) -> bool:
        """Whether a line has all its cells; one that has not still takes a number."""
        if len(line.cells) == len(("bag", "cut", "grams")) + (not self.unnumbered):
            return True
        number = "" if self.unnumbered else "its number, "
        self._broken(line.cells[0], f"this line does not tell {number}a bag, a cut and grams")
        self.due += 1
        return False

    def _number(self, cell: Cell) -> int | None:
        """The number of a line, which is one more than that of the line before; None where it is not."""
        due, number = self.due, self._count(cell, f"number it {self.due}")
        self.due = max(due, number or 0) + 1 if number is None or number >= due else due
        if number is not None and number < due:
            seen = f"line {self.line_of[number]} has that number already" if number in self.line_of else ""
            help_ = "number the lines in the order in which they were weighed"
            message = f"this line is number {number}, where {due} comes next"
            self.notes.add("broken-record", message, cell.place, help_, seen)
        elif number is not None and number > due:
            gone = f"number {due} is" if number == due + 1 else f"numbers {due} to {number - 1} are"
            help_ = f"put back what is missing, or a line such as `{due},,,` for each that is to be weighed again"
            self._broken(cell, f"this line is number {number}, and {gone} missing before it", help_)
        self.line_of.setdefault(due if number is None else number, cell.place.line)
        return number if number == due else None

    def _is_head(self, line: Record, head: tuple[str, ...]) -> bool:
        """Whether the record is one of this plan; older ones have no batch number, and no numbers on their lines."""
        told = tuple(cell.value for cell in line.cells)
        place = line.cells[0].place
        self.unnumbered = told[:2] == (MARK, UNNUMBERED)
        if (told[:2] != head[:2] and not self.unnumbered) or len(told) not in {len(head) - 1, len(head)}:
            message = f"a record of weighing begins with `{','.join(head[:2])},...`"
            self.notes.add("not-a-record", message, place, "name a record that raworder wrote, or a new file")
        elif told[2] != head[2]:
            message = "this record of weighing was begun with another scenario, or an older version of this one"
            self.notes.add("other-plan", message, place, "use the scenario that it was begun with, or name a new file")
        elif told[3] != head[3]:
            other = told[4:] != head[4:] and told[4:]
            begun, here = (f", batch {told[4]}", f"the bags here are those of batch {head[4]}") if other else ("", "")
            message = f"this record of weighing was begun with another plan of this scenario{begun}"
            self.notes.add("other-plan", message, place, AS_BEGUN, here)
        return told[2:4] == head[2:4] and not self.notes.refuse

    def _entry(self, cells: tuple[Cell, ...]) -> Entry | None:
        """The weighing on a line, after its number; nothing where it was taken out."""
        if not self.unnumbered and not any(cell.value for cell in cells):
            return None
        bag, cut, grams = cells
        number, weighed_g = self._count(bag), self._count(grams)
        if number is None or weighed_g is None:
            return None
        if not 1 <= number <= len(self.food):
            self._broken(bag, f"the plan has no bag {number}")
        elif cut.value not in self.food[number - 1]:
            self._broken(cut, f"no `{cut.value}` goes into bag {number}")
        else:
            return number - 1, cut.value, weighed_g
        return None

    def _count(self, cell: Cell, help_: str = "") -> int | None:
        try:
            return read_count(cell.value)
        except UnitError as error:
            self._broken(cell, str(error), help_)
        return None

    def _broken(self, cell: Cell, message: str, help_: str = "") -> None:
        help_ = help_ or (WITHOUT_LINE if self.unnumbered else WITHOUT_IT)
        self.notes.add("broken-record", message, cell.place, help_)
