"""Hostile input: every mistake gives exactly its findings at their places, and nothing whatever gives a traceback."""

import random
import shutil
from pathlib import Path

import pytest

from raworder.reading.help_pages import read_slugs
from raworder.reading.scenario_file import Reading, read_scenario
from tests.drawn import drawn, seeds
from tests.hostile.documents import DOCUMENTS, Document
from tests.hostile.mistake import Mistake
from tests.hostile.mistakes import MISTAKES
from tests.hostile.mistakes_of_nutrients import MISTAKES_OF_NUTRIENTS
from tests.hostile.own_lists import LIST, NAMES, OWN_LISTS, SAYS, OwnList
from tests.hostile.price_lists import BAD_LISTS, BadList
from tests.hostile.workbooks import BAD_BOOKS, BadBook, a_book
from tests.reading.saved import SLUGS_OF_PAPERS

SOUND = Path(__file__).parent / "valid"
SOUND_TEXT = (SOUND / "scenario.yaml").read_text(encoding="utf-8")
SOUND_NUTRIENTS = (SOUND / "nutrients.yaml").read_text(encoding="utf-8")
SOUND_LIST = (SOUND / "lists" / "hollow.csv").read_text(encoding="utf-8")
CORPUS = (MISTAKES, MISTAKES_OF_NUTRIENTS, DOCUMENTS, BAD_LISTS, BAD_BOOKS, OWN_LISTS)
OF_BOOKS = {"no-stock-in-book", "lot-left-out"}
ELSEWHERE = {"too-large", "unreadable-file", "growing-dog-underfed", *OF_BOOKS, *SLUGS_OF_PAPERS}
"""Slugs that need a file of another kind, or a plan; tests of files, books and papers, and of `plan`, produce them."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the sound scenario to spoil."""
    shutil.copytree(SOUND, tmp_path / "scenario")
    return tmp_path / "scenario"


def read_spoilt(folder: Path, content: str | bytes, name: str = "scenario.yaml") -> Reading:
    data = content if isinstance(content, bytes) else content.encode()
    (folder / name).write_bytes(data)
    return read_scenario(folder / "scenario.yaml")


def told(reading: Reading, file: str) -> str:
    """The findings as the corpus writes them; each must be in the file."""
    assert all(finding.place.file.endswith(file) for finding in reading.findings)
    return " ".join(f"{one.slug}@{one.place.line}:{one.place.column}" for one in reading.findings)


def assert_sound_findings(reading: Reading) -> None:
    """What holds for every finding, whatever it is about."""
    for finding in reading.findings:
        assert finding.severity is read_slugs()[finding.slug].severity
        assert finding.message[0] in "`0123456789" or finding.message[0].islower()
        assert not finding.message.endswith(".")
        assert finding.help
        assert finding.place.line >= 1
        assert finding.place.column >= 1
        assert finding.place.length >= 1
    assert (reading.scenario is None) == any(finding.refuses for finding in reading.findings)


def test_the_sound_scenario_has_no_findings() -> None:
    reading = read_scenario(SOUND / "scenario.yaml")
    assert reading.findings == ()
    assert reading.scenario is not None


def test_the_corpus_is_large_and_its_names_are_its_own() -> None:
    names = [case.name for cases in CORPUS for case in cases]
    assert len(names) >= 220
    for cases in CORPUS:
        assert len({case.name for case in cases}) == len(cases)


@pytest.mark.slow
@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.name)
def test_one_mistake_gives_its_findings_and_no_other(mistake: Mistake, folder: Path) -> None:
    assert SOUND_TEXT.count(mistake.find) == 1
    reading = read_spoilt(folder, SOUND_TEXT.replace(mistake.find, mistake.put))
    assert told(reading, "scenario.yaml") == mistake.expected
    assert_sound_findings(reading)


@pytest.mark.slow
@pytest.mark.parametrize("mistake", MISTAKES_OF_NUTRIENTS, ids=lambda mistake: mistake.name)
def test_one_mistake_about_nutrients_gives_its_findings_and_no_other(mistake: Mistake, folder: Path) -> None:
    assert SOUND_NUTRIENTS.count(mistake.find) == 1
    reading = read_spoilt(folder, SOUND_NUTRIENTS.replace(mistake.find, mistake.put))
    assert told(reading, "scenario.yaml") == mistake.expected
    assert_sound_findings(reading)


def test_the_sound_scenario_with_rules_on_nutrients_has_no_findings() -> None:
    reading = read_scenario(SOUND / "nutrients.yaml")
    assert reading.findings == ()
    assert reading.scenario is not None


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda document: document.name)
def test_what_is_no_scenario_gives_its_findings_and_no_other(document: Document, folder: Path) -> None:
    reading = read_spoilt(folder, document.content)
    assert told(reading, "scenario.yaml") == document.expected
    assert reading.scenario is None
    assert_sound_findings(reading)


@pytest.mark.slow
@pytest.mark.parametrize("bad", BAD_LISTS, ids=lambda bad: bad.name)
def test_a_bad_price_list_gives_its_findings_and_no_other(bad: BadList, folder: Path) -> None:
    reading = read_spoilt(folder, bad.content, "lists/hollow.csv")
    assert told(reading, "lists/hollow.csv") == bad.expected
    assert_sound_findings(reading)


def read_own_list(folder: Path, listed: str, names: str) -> Reading:
    """The sound scenario with a supplier's own list in the place of its price list."""
    (folder / "lists" / "own.csv").write_bytes(listed.encode("utf-8", "surrogatepass"))
    (folder / "lists" / "own.names.yaml").write_bytes(names.encode("utf-8", "surrogatepass"))
    return read_spoilt(folder, SOUND_TEXT.replace("file: lists/hollow.csv", SAYS))


@pytest.mark.slow
@pytest.mark.parametrize("own", OWN_LISTS, ids=lambda own: own.name)
def test_a_bad_list_of_a_suppliers_own_gives_its_findings_and_no_other(own: OwnList, folder: Path) -> None:
    assert (LIST + NAMES).count(own.find) == 1
    reading = read_own_list(folder, LIST.replace(own.find, own.put), NAMES.replace(own.find, own.put))
    files = {"own.csv": "list", "own.names.yaml": "names", "scenario.yaml": "scenario"}
    told = [(files[Path(one.place.file).name], one.slug, one.place) for one in reading.findings]
    assert " ".join(f"{slug}@{file}:{place.line}:{place.column}" for file, slug, place in told) == own.expected
    assert_sound_findings(reading)


def read_book(folder: Path, bad: BadBook) -> Reading:
    """The sound scenario with a workbook in the place of its price list."""
    path = folder / bad.says.split("\n")[0].removeprefix("file: ")
    if path.suffix != ".csv":
        path.write_bytes(bad.content)
    return read_spoilt(folder, SOUND_TEXT.replace("file: lists/hollow.csv", bad.says))


@pytest.mark.slow
@pytest.mark.parametrize("bad", BAD_BOOKS, ids=lambda bad: bad.name)
def test_a_bad_workbook_gives_its_findings_and_no_other(bad: BadBook, folder: Path) -> None:
    reading = read_book(folder, bad)
    told = [f"{one.slug}@{one.place.cell or 'scenario'}" for one in reading.findings]
    assert " ".join(told) == bad.expected
    for finding in reading.findings:
        assert finding.place.file.endswith("lists/hollow.xlsx" if finding.place.cell else "scenario.yaml")
        assert finding.place.cell in finding.message
    assert_sound_findings(reading)


def test_the_sound_workbook_says_what_the_sound_price_list_says(folder: Path) -> None:
    in_csv = read_scenario(folder / "scenario.yaml").scenario
    reading = read_book(folder, BadBook("sound", a_book(), ""))
    assert reading.findings == ()
    assert reading.scenario == in_csv


def test_every_slug_is_given_by_some_hostile_input() -> None:
    given = {one.split("@")[0] for cases in CORPUS for case in cases for one in case.expected.split()}
    assert given | ELSEWHERE == set(read_slugs())


def test_two_mistakes_are_both_told_in_one_run(folder: Path) -> None:
    text = SOUND_TEXT.replace("weight: 22 kg", "weight: 22").replace("cut: chicken neck", "cut: chicken nek")
    assert told(read_spoilt(folder, text), "scenario.yaml") == "no-unit@15:13 unknown-cut@49:10"


def test_what_was_in_error_is_not_called_unknown_as_well(folder: Path) -> None:
    text = SOUND_TEXT.replace("    fat: 14 %\n    made_of", "    fat: 14\n    made_of")
    assert told(read_spoilt(folder, text), "scenario.yaml") == "no-unit@39:10"


@drawn(blocks=2)
def test_no_damaged_file_gives_a_traceback(block: int, folder: Path) -> None:
    chance = random.Random(seeds(block, 1)[0])
    for _ in range(40):
        scenario, prices = SOUND_TEXT, SOUND_LIST
        if chance.random() < 0.7:
            scenario = damaged(scenario, chance)
        else:
            prices = damaged(prices, chance)
        (folder / "lists" / "hollow.csv").write_bytes(prices.encode("utf-8", "surrogatepass"))
        assert_sound_findings(read_spoilt(folder, scenario.encode("utf-8", "surrogatepass")))


@drawn(blocks=2)
def test_no_damaged_list_of_a_suppliers_own_gives_a_traceback(block: int, folder: Path) -> None:
    chance = random.Random(seeds(block, 1)[0])
    for _ in range(40):
        is_list = chance.random() < 0.7
        listed, names = (damaged(LIST, chance), NAMES) if is_list else (LIST, damaged(NAMES, chance))
        assert_sound_findings(read_own_list(folder, listed, names))


def damaged(text: str, chance: random.Random) -> str:
    """The text with a few pieces taken out, doubled, moved or replaced."""
    for _ in range(chance.randint(1, 4)):
        start = chance.randrange(len(text) + 1)
        end = min(len(text), start + chance.choice([0, 1, 1, 2, 5, 20]))
        text = text[:start] + chance.choice([*PIECES, text[start:end] * 2, text[end : end + 9]]) + text[end:]
    return text


PIECES = [
    *"{}[]:,;#&*!|>'\"%@`-?.\t\n\r 0\\/",
    "",
    "- ",
    ": ",
    "null",
    "~",
    "---\n",
    "<<: ",
    "9" * 30,
    "\x00",
    "\x1b",
    "\u202e",
    "\ufeff",
    "\u2028",
    "\ud800",
    "\U0001f415",
    "e\u0301",
    "''",
    '""',
    "1e9",
    ".inf",
    "-1",
    "0 %",
    " to ",
    "[[[[",
    "}}",
    "\r\n",
]
