"""A supplier's lists month after month: what was confirmed once is not asked again. All names and prices are invented.

**Source:** the command's own help and the help on lists.
"""

from pathlib import Path

import openpyxl  # type: ignore[import-untyped]  # it ships no types
import pytest

from raworder.commands import console
from raworder.reading.scenario_file import read_scenario
from tests.commands.running import Ended, told

MAPLE = ("--currency", "EUR", "--starts", "2027-02-06", "--dog", "Maple, 22 kg, low, 2.5 %, prey model")
JANUARY = """Preisliste gültig ab 01.01.2027
Nr;Artikel;Gebinde;Preis;Bestand
T-01;Hähnchenhälse;10 kg (4x2,5);19,50;ja
T-02;Rinderherz;5 kg;18,80;ja
T-03;Rinderleber;1 kg;3,90;ja
T-04;Pizza;1 kg;3,00;ja
T-05;Schweineniere;1 kg;2,10;ausverkauft
T-06;Ochsenschwanz;Stück;9,00;ja
"""
FEBRUARY = """Preisliste gültig ab 01.02.2027
Nr;Artikel;Gebinde;Preis;Bestand
T-01;Hähnchenhälse;10 kg (4x2,5);20,50;ja
T-02;Rinderzunge;5 kg;28,80;ja
T-04;Pizza;1 kg;3,20;ja
T-05;Schweineniere;1 kg;2,30;ja
T-07;Entenhälse;5 kg;9,90;ja
"""
COLUMNS = (
    "--column", "cut=Artikel", "--column", "code=Nr", "--column", "pack=Gebinde", "--column", "price=Preis",
    "--price-per", "pack",
)  # fmt: skip
MATCHES = (
    "--match", "T-01=chicken neck", "--match", "rinderherz=beef heart", "--match", "T-03=beef liver",
    "--match", "T-05=pork kidney",
)  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the lists of two months."""
    (tmp_path / "lists").mkdir()
    (tmp_path / "lists" / "january.csv").write_bytes(JANUARY.encode("cp1252"))
    (tmp_path / "lists" / "february.csv").write_bytes(FEBRUARY.encode("cp1252"))
    return tmp_path


def begin(folder: Path, month: str, *options: str | Path) -> Ended:
    """A scenario begun from the list of a month."""
    return told("start", folder / f"{month}.yaml", *MAPLE, "--from", folder / "lists" / f"{month}.csv", *options)


def names(folder: Path) -> Path:
    """The names file that January left."""
    return folder / "lists" / "january.names.yaml"


def cuts(folder: Path, month: str) -> list[str]:
    """The cuts that the scenario of a month offers."""
    scenario = read_scenario(folder / f"{month}.yaml").scenario
    assert scenario is not None
    return sorted(offer.cut for offer in scenario.offers)


@pytest.fixture
def january(folder: Path) -> Path:
    """The folder, once January has been confirmed."""
    ended = begin(folder, "january", "--supplier", "Tannhof", *COLUMNS, *MATCHES, "--encoding", "cp1252")
    assert ended.code == 0, ended.stderr
    return folder


def test_what_is_confirmed_is_kept_in_a_file_that_a_person_can_read(january: Path) -> None:
    text = names(january).read_text(encoding="utf-8")
    assert "supplier: Tannhof\nencoding: cp1252\n" in text
    assert "  sold: Bestand\n" in text
    assert "  - {code: T-01, name: Hähnchenhälse, cut: chicken neck, confirmed: 20" in text
    assert "Pizza" not in text
    assert cuts(january, "january") == ["beef heart", "beef liver", "chicken neck"]


def test_the_next_month_needs_no_answer_for_what_was_confirmed(january: Path) -> None:
    ended = begin(january, "february", "--names", names(january))
    assert ended.code == 0, ended.stderr
    assert cuts(january, "february") == ["chicken neck", "pork kidney"]
    text = " ".join(ended.stderr.split())
    assert "`Rinderzunge`, was `Rinderherz`" in text
    assert "no longer on the list: `Rinderleber`, beef liver" in text
    assert "2 items that you have not named yet: `Pizza`; `Entenhälse`" in text
    scenario = read_scenario(january / "february.yaml").scenario
    assert scenario is not None
    assert str(scenario.suppliers[0].list_date) == "2027-02-01"


def test_a_scenario_reads_the_next_list_in_the_place_of_the_last(january: Path) -> None:
    file = january / "january.yaml"
    file.write_text(file.read_text().replace("january.csv", "february.csv"))
    begin(january, "february", "--names", names(january))
    assert cuts(january, "january") == cuts(january, "february")


def test_what_is_new_is_added_and_all_else_stays_as_it_was_written(january: Path) -> None:
    written = names(january).read_text(encoding="utf-8") + "  # asked by telephone\n"
    names(january).write_text(written, encoding="utf-8")
    ended = begin(
        january, "february", "--names", names(january), "--match", "T-07=duck neck", "--match", "T-02=beef tongue"
    )
    assert ended.code == 0, ended.stderr
    after = names(january).read_text(encoding="utf-8")
    assert after.startswith(written)
    assert [line.split(", confirmed")[0] for line in after[len(written) :].splitlines()] == [
        "  - {code: T-02, name: Rinderzunge, cut: beef tongue", "  - {code: T-07, name: Entenhälse, cut: duck neck",
    ]  # fmt: skip
    assert cuts(january, "february") == ["beef tongue", "chicken neck", "duck neck", "pork kidney"]
    assert cuts(january, "january") == ["beef heart", "beef liver", "chicken neck"]


def test_a_match_that_names_nothing_on_this_list_stops_nothing(january: Path) -> None:
    ended = begin(january, "february", "--names", names(january), "--match", "Lammleber=lamb liver")
    assert ended.code == 0
    assert "warning: the list has nothing called `Lammleber` (--match)" in ended.stderr


def test_a_match_does_not_change_what_was_confirmed(january: Path) -> None:
    before = names(january).read_bytes()
    ended = begin(january, "february", "--names", names(january), "--match", "T-01=duck neck")
    assert "warning: `T-01` stays chicken neck (--match): change that in the names file" in ended.stderr
    assert names(january).read_bytes() == before


def test_a_names_file_with_a_mistake_is_told_with_its_place_and_nothing_is_written(january: Path) -> None:
    names(january).write_text("supplier: Tannhof\nprice_per: sack\n", encoding="utf-8")
    ended = begin(january, "february", "--names", names(january))
    assert (ended.code, (january / "february.yaml").exists()) == (2, False)
    assert "january.names.yaml:2:12: `sack` is not one of the choices" in ended.stderr
    assert names(january).read_text(encoding="utf-8") == "supplier: Tannhof\nprice_per: sack\n"


def test_all_files_are_written_or_none(folder: Path) -> None:
    (folder / "lists" / "january.names.yaml").mkdir()
    ended = begin(folder, "january", *COLUMNS, *MATCHES, "--encoding", "cp1252")
    assert ended.code != 0
    assert not (folder / "january.yaml").exists()


def test_a_scenario_that_is_there_is_not_replaced_for_the_names(january: Path) -> None:
    before = names(january).read_bytes()
    with pytest.raises(FileExistsError):
        begin(january, "january", "--match", "T-04=beef trim")
    assert names(january).read_bytes() == before


def test_a_list_from_elsewhere_leaves_its_names_beside_the_scenario(folder: Path) -> None:
    (folder / "mine").mkdir()
    file = folder / "mine" / "mine.yaml"
    ended = told(
        "start", file, *MAPLE, "--from", folder / "lists" / "january.csv", *COLUMNS, *MATCHES, "--encoding", "cp1252"
    )
    assert ended.code == 0, ended.stderr
    assert (folder / "mine" / "january.names.yaml").exists()
    assert "pack: 10 kg, price: 19.50, code: T-01" in file.read_text(encoding="utf-8")
    assert "left out, no cut of ours; --match names one: 1 row of the list\n  line 6: `Pizza`\n" in ended.stderr
    assert "left out, not sold now, or not read: 2 rows of the list\n" in ended.stderr


def test_a_printed_scenario_leaves_no_file(folder: Path) -> None:
    before = sorted(folder.rglob("*"))
    ended = told(
        "start", "-", *MAPLE, "--from", folder / "lists" / "january.csv", *COLUMNS, *MATCHES, "--encoding", "cp1252"
    )
    assert ended.code == 0, ended.stderr
    assert "cut: chicken neck" in ended.stdout
    assert sorted(folder.rglob("*")) == before


@pytest.mark.slow
def test_a_list_of_thousands_is_told_in_a_few_lines(folder: Path) -> None:
    rows = (f"P{number};Pizza {number};1 kg;3,{number % 100:02};ja\n" for number in range(3_000))
    (folder / "lists" / "january.csv").write_bytes((JANUARY + "".join(rows)).encode("cp1252"))
    ended = begin(folder, "january", *COLUMNS, *MATCHES, "--encoding", "cp1252")
    assert ended.code == 0, ended.stderr
    assert "3001 items that you have not named yet: `Pizza`; `Pizza 0`;" in ended.stderr
    assert len(ended.stderr.splitlines()) < 40
    assert len((folder / "january.yaml").read_text().splitlines()) < 60


@pytest.mark.slow
def test_questions_are_asked_once_and_a_pack_is_shown_in_our_words(folder: Path) -> None:
    frame = ("EUR", "2027-02-06", "", "", "Maple", "22 kg", "", "", "", "", "", "2.5 %", "", "no")
    of_list = ("Tannhof", str(folder / "lists" / "january.csv"), "", "", "", "", "", "pack", "")
    matches = ("chicken neck", "beef heart", "beef liver", "no")
    answers = "".join(f"{answer}\n" for answer in (*frame, *of_list, *matches, ""))
    ended = told("start", folder / "january.yaml", typed=answers)
    assert ended.code == 0, ended.stderr
    assert "is not UTF-8 text; its encoding, `cp1252` or `latin-1` [cp1252]" in ended.stdout
    assert "10 kg (4x2,5): a case of 4 packs of 2.5 kg, 10 kg in all" in ended.stdout
    assert "Column with the price [Preis]" in ended.stdout
    assert "name: Pizza, not_for_dogs: yes" in names(folder).read_text(encoding="utf-8")
    again = "".join(f"{answer}\n" for answer in (*frame, "Tannhof", str(folder / "lists" / "january.csv"), ""))
    ended = told("start", folder / "again.yaml", typed=again)
    assert ended.code == 0, ended.stderr
    assert cuts(folder, "again") == ["beef heart", "beef liver", "chicken neck"]


@pytest.mark.parametrize(("sheet", "code"), [((), 2), (("--sheet", "preise"), 0)])
def test_a_sheet_is_named_where_there_are_several(tmp_path: Path, sheet: tuple[str, ...], code: int) -> None:
    from tests.reading.test_named_lists import eichberg

    (tmp_path / "january.xlsx").write_bytes(eichberg())
    columns = ("--column", "cut=Bezeichnung", "--column", "price=Preis je kg", "--column", "pack=Gebinde")
    ended = told(
        "start", tmp_path / "january.yaml", *MAPLE, "--from", tmp_path / "january.xlsx", *columns,
        "--match", "4711=beef heart", "--column", "code=Art.-Nr.", *sheet,
    )  # fmt: skip
    assert ended.code == code, ended.stderr
    if not code:
        assert cuts(tmp_path, "january") == ["beef heart"]


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is typed is typed by a person."""
    monkeypatch.setattr(console, "is_interactive", lambda: True)


def month(folder: Path, name: str, text: str, *answers: str) -> Ended:
    """A scenario begun from a list with the names file of the first month, these answers being typed."""
    (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    options = ("--from", folder / f"{name}.csv", "--names", folder / "x.names.yaml", "--supplier", "Tannhof")
    typed = "".join(f"{answer}\n" for answer in answers)
    return told("start", folder / f"{name}.yaml", *MAPLE, *options, typed=typed)


@pytest.mark.slow
@pytest.mark.usefixtures("terminal")
def test_a_heading_with_another_month_is_the_one_question(folder: Path) -> None:
    first = "Nr;Artikel;Gebinde;Preis Februar/kg\n1;Rinderherz;10 kg;4\n"
    assert month(folder, "first", first, "", "", "", "", "1").code == 0
    assert "decimal" not in (folder / "x.names.yaml").read_text(encoding="utf-8")  # whole prices do not show one
    second = "Nr;Artikel;Gebinde;Preis März/Gebinde\n1;Rinderherz;10 kg;40,50\n"
    ended = month(folder, "second", second, "")
    assert (ended.code, ended.stdout.count("]: ")) == (0, 1), ended.stderr
    scenario = read_scenario(folder / "second.yaml").scenario
    assert scenario is not None
    assert [str(offer.steps[0].listed) for offer in scenario.offers] == ["40.50"]


@pytest.mark.slow
def test_a_sheet_with_another_month_is_found_by_its_columns(folder: Path) -> None:
    for name, title in (("first", "Februar"), ("second", "März")):
        book = openpyxl.Workbook()
        for row in (("Artikel", "Gebinde", "Preis/kg"), ("Rinderherz", "10 kg", 3.5)):
            book.active.append(row)
        book.active.title = title
        book.create_sheet("Liefertage").append(("Montag", "Oberpfalz"))
        book.save(folder / f"{name}.xlsx")
    columns = ("--column", "cut=Artikel", "--column", "pack=Gebinde", "--column", "price=Preis/kg")
    named = ("--names", folder / "x.names.yaml", "--supplier", "Tannhof")
    more = (*columns, "--match", "rinderherz=beef heart", "--sheet", "Februar")
    assert told("start", folder / "first.yaml", *MAPLE, "--from", folder / "first.xlsx", *named, *more).code == 0
    ended = told("start", folder / "second.yaml", *MAPLE, "--from", folder / "second.xlsx", *named)
    assert ended.code == 0, ended.stderr
    assert cuts(folder, "second") == ["beef heart"]
    wrong = told("start", folder / "third.yaml", *MAPLE, "--from", folder / "second.xlsx", *named, "--sheet", "Februar")
    assert "has no sheet `Februar`" in wrong.stderr
