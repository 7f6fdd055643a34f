"""What a person tells the book in a few words: a weighing, bags and lots that were fed or thrown away, a mistake."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from raworder.book import entering
from raworder.book.entering import Note
from raworder.reading.answers import NAME, WEIGHT, check_answer, known, printable
from raworder.reading.names import fold_name, join_in_backticks, nearest
from raworder.trade.kept import EntryKind, NewLot
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.trade.units import UnitError, read_date, read_grams

FATES: Mapping[str, EntryKind] = MappingProxyType(
    {"fed": EntryKind.FED, "thrown away": EntryKind.THROWN, "kept": EntryKind.KEPT}
)
"""What can become of a bag, as it is written. A bag that is kept was not fed on its day."""

MOST_BAGS = 10_000
"""The highest number that a bag can have."""

Said = Mapping[str, str | None]
"""The parts of a note by name; None for those that were left out."""


@dataclass(frozen=True, slots=True)
class Saying:
    """One way to tell the book something: its pattern, what it comes to, and an example for people."""

    pattern: str
    note: Callable[[Said, Scenario], Note]
    example: str


def read_note(words: str, scenario: Scenario) -> Note:
    """What the words come to, of the dogs and owners of a scenario; UnitError where they cannot be understood.

    Weights carry their unit. Bags are named by the numbers on their labels.
    """
    said = printable(words)
    for saying in SAYINGS:
        if match := re.fullmatch(saying.pattern, said, re.IGNORECASE):
            return saying.note(match.groupdict(), scenario)
    examples = ", ".join(f"`{saying.example}`" for saying in SAYINGS)
    raise UnitError(f"`{said}` is nothing that the book can be told", f"write it as one of these: {examples}")


def _weighing(said: Said, scenario: Scenario) -> Note:
    dog = _named(said["dog"] or "", [dog.name for dog in scenario.dogs], "dog")
    grams = half_up(read_grams(check_answer(said["weight"] or "", WEIGHT)))
    return entering.weighed(dog, grams, scenario.weight_unit)


def _named(said: str, names: Sequence[str], noun: str) -> str:
    """The name that was said, whatever its case; UnitError with the nearest one where there is none."""
    known_as = {fold_name(name): name for name in names}
    if fold_name(said) in known_as:
        return known_as[fold_name(said)]
    close = nearest(said, known_as)
    every = f"they are {join_in_backticks(known_as.values(), 'and')}" if known_as else "leave it out"
    raise UnitError(f"no {noun} is called `{said}`", f"did you mean `{known_as[close]}`?" if close else every)


def _bags(said: Said, _scenario: Scenario) -> Note:
    numbers = tuple(_numbers(said["numbers"] or ""))
    return entering.bags_became(numbers, said["batch"] or "", FATES[fold_name(said["fate"] or "")])


def _numbers(text: str) -> Iterator[int]:
    """The numbers of a text such as `3, 12-15`."""
    for piece in text.split(","):
        written = re.fullmatch(r" *([0-9]{1,5})(?: *- *([0-9]{1,5}))? *", piece)
        first, last = (int(written[1]), int(written[2] or written[1])) if written else (0, 0)
        if not 1 <= first <= last <= MOST_BAGS:
            raise UnitError(
                f"`{piece.strip()}` is no number of a bag", "write them as on the labels, such as `3, 12-15`"
            )
        yield from range(first, last + 1)


def _lot(said: Said, scenario: Scenario) -> Note:
    grams = _grams(said["weight"]) if said["weight"] else None
    return entering.drawn(int(said["lot"] or 0), FATES[fold_name(said["fate"] or "")], grams, scenario.weight_unit)


def _count(said: Said, scenario: Scenario) -> Note:
    return entering.drawn(int(said["lot"] or 0), EntryKind.COUNTED, _grams(said["weight"]), scenario.weight_unit)


def _mark(said: Said, _scenario: Scenario) -> Note:
    return entering.marked(int(said["lot"] or 0), check_answer(said["mark"] or "", NAME))


def _found(said: Said, scenario: Scenario) -> Note:
    cut = _known_cut(said["cut"] or "", scenario)
    owners = [dog.owner for dog in scenario.dogs if dog.owner]
    owner = _named(said["owner"], owners, "owner") if said["owner"] else ""
    frozen_on = read_date(said["day"]) if said["day"] else None
    lot = NewLot(cut, _grams(said["weight"]), 0, 0, Decimal(0), Decimal(0), "", cut, frozen_on=frozen_on)
    return entering.found(lot, owner, scenario.currency.code, scenario.weight_unit)


def _known_cut(name: str, scenario: Scenario) -> str:
    """The cut of that name, as the scenario calls it or else the reference table."""
    ours = {fold_name(cut.name): cut.name for cut in scenario.cuts}
    names = known()
    return ours.get(fold_name(name)) or names.catalogue.by_name[fold_name(names.cut(name))].name


def _everything(_said: Said, _scenario: Scenario) -> Note:
    return entering.everything_thrown


def _mistake(said: Said, _scenario: Scenario) -> Note:
    return entering.taken_back(int(said["entry"] or 0))


def _grams(text: str | None) -> int:
    """Whole grams of a weight, which may be none."""
    return half_up(read_grams(text or ""))


_WEIGHT = r"(?P<weight>[0-9][0-9.,]* ?(?:g|kg|oz|lb))"
_LOT = r"lot (?P<lot>[0-9]{1,9})"

SAYINGS = (
    Saying(r"(?P<dog>.+?) weighs (?P<weight>.+)", _weighing, "Maple weighs 22.4 kg"),
    Saying(
        r"bags? (?P<numbers>[0-9 ,-]+?)(?: of batch (?P<batch>\S+))? (?P<fate>fed|thrown away|kept)",
        _bags,
        "bags 12-15 thrown away",
    ),
    Saying(rf"{_LOT}(?: {_WEIGHT})? (?P<fate>fed|thrown away)", _lot, "lot 3 thrown away"),
    Saying(rf"{_LOT} holds {_WEIGHT}", _count, "lot 3 holds 450 g"),
    Saying(rf"{_LOT} is marked (?P<mark>.+)", _mark, "lot 3 is marked L2217"),
    Saying(
        rf"found {_WEIGHT} of (?P<cut>.+?)(?:,? frozen since (?P<day>[0-9-]+))?(?:,? for (?P<owner>.+))?",
        _found,
        "found 500 g of beef heart, frozen since 2027-01-09",
    ),
    Saying(r"everything thrown away", _everything, "everything thrown away"),
    Saying(r"entry (?P<entry>[0-9]{1,9}) (?:is|was) wrong", _mistake, "entry 4 is wrong"),
)
"""All that the book can be told; the first that fits counts."""
