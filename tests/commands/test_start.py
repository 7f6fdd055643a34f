"""A scenario is begun: by typed answers, by options, from price lists of others. All names and prices are invented.

**Source:** the command's own help and the README; PyYAML's `safe_load` and `jsonschema` read the file from outside.
"""

import json
import os
import pty
import select
import subprocess
import time
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from raworder.reading.files import plain_file
from raworder.reading.foreign_lists import offer_fields
from raworder.reading.named_lists import read_supplier_list
from raworder.reading.names import normalise_name
from raworder.reading.names_files import read_names_file
from raworder.reading.notes import Notes
from raworder.reading.scenario_file import read_scenario
from raworder.trade.fingerprint import batch_number
from tests.commands.running import SCENARIOS, Ended, command, ran, surroundings, told
from tests.drawn import few
from tests.hostile.workbooks import a_book
from tests.reading.test_schema import EditorLoader
from tests.rendering.hell import NAMES as HELL

FRAME = ("--currency", "EUR", "--starts", "2027-02-06")
MAPLE = (*FRAME, "--dog", "Maple, 22 kg, low, 2.5 %, prey model")
OFFERS = (
    "Hollow Lane Butcher: chicken neck, 1 kg, 2.40",
    "Hollow Lane Butcher: beef trim, 6.20 per kg",
    "Fenwick Market Stall: lamb liver, 400 g, 1.90",
    "Fenwick Market Stall: beef kidney, 3.60 per kg",
)
SOLD = tuple(word for one in OFFERS for word in ("--offer", one))
TYPED = (
    "eur", "2027-02-06", "", "", "Maple", "22 kg", "", "", "", "", "", "2.5 %", "pork, whole bone", "no",
    "Hollow Lane Butcher", "", "chicken neck", "1 kg", "2.40", "beef trim", "", "6.20 per kg", "lamb liver", "400 g",
    "1.90", "beef kidney", "", "3.60 per kg", "", "",
)  # fmt: skip
"""An owner's answers, one a line; the ration is the percentage that the owner wants, not the energy that is proposed.
"""

SOLD_BY, ANOTHER = TYPED.index("Hollow Lane Butcher"), TYPED.index("no")

LIST = """Preisliste Nordhof, Stand 1.2.2027

Nummer;Artikel;Gebinde;Preis/kg
00123;Hähnchenhälse;5 KG;2,40 €
00124;chicken necks;2,5;2,60
00125;Rinderherz;1,5;4,95
00126;Beef Trim;10;5,90
00127;Pansen;a.A.;3,10
00128;Rinderniere;;3,60
00129;Rinderleber;0,5;3,20
00130;Zwiebeln (onion);1;1,00
00131;zu viel;1;1,00;1
"""
COLUMNS = ("--column", "cut=Artikel", "--column", "price=preis/kg", "--column", "pack=Gebinde", "--pack-unit", "kg")
MATCHES = (
    "--match", "hähnchenhälse=chicken neck", "--match", "Rinderherz=beef heart", "--match", "Rinderniere=beef kidney",
    "--match", "Rinderleber=beef liver", "--match", "Zwiebeln (onion)=beef lung",
)  # fmt: skip


OWN_TERMINAL = "import fcntl, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0)"
"""Makes standard input the terminal that an interrupt comes from."""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Where a scenario is to be."""
    return tmp_path / "mine.yaml"


@pytest.fixture
def prices(tmp_path: Path) -> Path:
    """A list with German headings, a decimal comma, prices for a kilogram and names that are not ours."""
    path = tmp_path / "nordhof.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def typed(file: Path, *answers: str) -> Ended:
    """The command with these answers typed."""
    return told("start", file, typed="".join(f"{one}\n" for one in answers))


def loaded(file: Path) -> dict[str, object]:
    """The file as a general-purpose reader has it, once an editor would accept it."""
    schema = json.loads((file.parent / "scenario.schema.json").read_text(encoding="utf-8"))
    text = file.read_text(encoding="utf-8")
    jsonschema.validate(yaml.load(text, Loader=EditorLoader), schema)
    read: dict[str, object] = yaml.safe_load(text)
    return read


def offers(file: Path, supplier: int = 0) -> list[dict[str, object]]:
    """The offers of a supplier in the file, or in its own list as the names file has it."""
    seller: dict[str, Any] = loaded(file)["suppliers"][supplier]  # type: ignore[index]  # as written
    if "cuts" in seller:
        return list(seller["cuts"])
    names = read_names_file(file.parent / seller["price_list"]["names"], Notes())
    assert names is not None
    listed = read_supplier_list(plain_file(file.parent / seller["price_list"]["file"]), names, "EUR", Notes())
    assert listed is not None
    return [{"cut": row.cut, **offer_fields(row, row.cut)} for row in listed.offered]


@pytest.mark.slow
def test_typed_answers_give_a_scenario_that_plans(file: Path) -> None:
    ended = typed(file, *TYPED)
    assert ended.code == 0, ended.stderr
    assert f"Next: raworder plan {file}" in ended.stdout
    assert loaded(file)["dogs"] == [
        {
            "name": "Maple",
            "weight": "22 kg",
            "activity": "low",
            "ration": "2.5 %",
            "targets": "prey model",
            "avoid": ["pork", "whole bone"],
        }
    ]
    assert offers(file)[1] == {"cut": "beef trim", "price": "6.20 per kg"}
    assert (file.parent / "scenario.schema.json").read_text() == told("schema").stdout
    file.write_text(file.read_text().replace("    avoid: [pork, whole bone]\n", ""))
    assert told("plan", file).code == 0


def test_the_same_as_options_gives_the_same_file_and_asks_nothing(file: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.yaml"
    typed(file, *(one if one != "pork, whole bone" else "" for one in TYPED))
    sold = [word.replace("Fenwick Market Stall", "Hollow Lane Butcher") for word in SOLD]
    ended = told("start", other, *MAPLE, *sold)
    assert "Currency of" not in ended.stdout
    assert other.read_text() == file.read_text()


@pytest.mark.slow
def test_each_wrong_answer_is_told_in_one_line_and_asked_again(file: Path) -> None:
    wrong = (
        "euros", "eur", "6.2.2027", "2027-02-06", "none", "99", "14", "stone", "kg", "", "Maple", "22", "0 kg", "22 kg",
        "sick", "no", "shrinking", "lose", "24 kg", "20 kg", "350", "90 g at 380", "900 kcal", "no", "vegan", "BARF",
        "2,5 %", "500 %", "400 kcal", "0.9 %", "2.5 %", "chikken", "", "perhaps", "yes", "maple", "Juniper", "9 kg", "",
        "growing", "8 kg", "20 kg", "", "", "300 kcal", "30 kcal/kg^0.75", "", "", "", "",
    )  # fmt: skip
    ended = typed(file, *wrong)
    assert ended.code == 0, ended.stderr
    refused = ended.but_for_files.stderr.strip().split("\n")
    assert len(refused) == 25
    assert all(": " in line for line in refused)
    maple, juniper = loaded(file)["dogs"]  # type: ignore[misc]  # as written
    assert (maple["name"], maple["goal"], maple["ideal_weight"]) == ("Maple", "lose", "20 kg")
    assert (juniper["name"], juniper["puppy"], juniper["adult_weight"]) == ("Juniper", True, "20 kg")


@pytest.mark.slow
def test_back_goes_one_question_back_and_keeps_all_before_it(file: Path) -> None:
    answers = [
        *TYPED[:5], "2 kg", "back", *TYPED[5:ANOTHER], "yes", "back", "back", "chicken", *TYPED[ANOTHER:],
    ]  # fmt: skip
    ended = typed(file, "back", *answers)
    assert ended.but_for_files.stderr == "this is the first question\n"
    dog = loaded(file)["dogs"][0]  # type: ignore[index]  # as written
    assert (dog["weight"], dog["avoid"]) == ("22 kg", ["chicken"])


@pytest.mark.slow
@pytest.mark.parametrize("why", ["ill", "pregnant", "nursing", "prescription diet"])
def test_a_dog_in_care_is_asked_for_no_ration_and_its_file_has_a_place_for_the_vets_amounts(
    file: Path, why: str
) -> None:
    ended = typed(file, "EUR", "2027-02-06", "", "", "Sorrel", "9 kg", why, "", "", *TYPED[SOLD_BY:])
    assert ended.code == 0
    assert "Food a day" not in ended.stdout
    assert loaded(file)["dogs"] == [{"name": "Sorrel", "weight": "9 kg", "care": why}]
    assert "    # vet_amounts: {..., ...}\n" in file.read_text()
    line = file.read_text().split("\n").index(f"    care: {why}") + 1
    assert f"line {line}: `Sorrel` is in care and has no `vet_amounts`" in ended.stdout
    checked = told("check", file)
    assert (checked.code, checked.stderr.count("error[")) == (2, 1)


@pytest.mark.parametrize("more", ["2.5 %", "prey model"])
def test_a_dog_in_care_takes_no_ration_by_option_either(file: Path, more: str) -> None:
    ended = told("start", file, *FRAME, "--dog", f"Sorrel, 9 kg, nursing, {more}")
    assert (ended.code, file.exists()) == (2, False)
    assert "the veterinarian gives the amounts" in ended.stderr


def test_without_a_supplier_the_file_says_where_one_belongs_and_check_tells_it_once(file: Path) -> None:
    ended = told("start", file, *MAPLE)
    line = file.read_text().split("\n").index("suppliers: []") + 1
    assert ended.code == 0
    assert f"Still to be written, line {line}: the scenario has nothing to feed" in ended.stdout
    checked = told("check", file)
    assert checked.stderr.count("error[") == 1
    assert f"mine.yaml:{line}:1" in checked.stderr


def test_every_commented_example_works_when_its_comment_is_taken_away(file: Path) -> None:
    told("start", file, *MAPLE, *SOLD)
    lines = file.read_text().split("\n")
    examples = [
        place for place, line in enumerate(lines) if place and line.lstrip().startswith("# ") and _example(line)
    ]
    assert len(examples) >= 9
    for place in examples:
        lines[place] = lines[place].replace("# ", "", 1) if not lines[place].startswith("#   ") else lines[place][1:]
    file.write_text("\n".join(lines))
    assert not [one for one in read_scenario(file).findings if one.refuses]
    assert {"on_hand", "freezer", "budget"} <= set(loaded(file))


def _example(line: str) -> bool:
    words = line.lstrip("# ").split(" ")
    return words[0] == "-" or (words[0].endswith(":") and words[0].islower())


@pytest.mark.slow
@pytest.mark.parametrize(
    ("given", "missing"),
    [
        ((), ("--currency", "--starts", "--dog")),
        (FRAME, ("--dog",)),
        (("--starts", "2027-02-06", "--dog", "Maple, 22 kg, 2.5 %"), ("--currency",)),
    ],
)
def test_without_a_terminal_what_is_missing_is_named_and_nothing_is_written(
    file: Path, given: tuple[str, ...], missing: tuple[str, ...]
) -> None:
    ended = ran("start", file, *given)
    assert (ended.code, list(file.parent.iterdir())) == (2, [])
    assert ended.stderr.rstrip().endswith(
        "give " + " and ".join(f"`{one}`" for one in missing).replace("` and `--s", "`, `--s")
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("option", "value", "says"),
    [
        ("--currency", "euro", "is not a currency code"),
        ("--starts", "6.2.2027", "is not a day"),
        ("--days", "99", "is out of range"),
        ("--units", "stone", "is not one of the choices"),
        ("--dog", "Maple, 22 kg, puppy", "has no adult weight"),
        ("--dog", "Maple, 22 kg, puppy, adult weight 20 kg", "weighs more than that already"),
        ("--dog", "Maple, 22 kg, lose", "has no ideal weight"),
        ("--dog", "Maple, 22 kg, lose, ideal weight 24 kg", "its ideal weight says otherwise"),
        ("--dog", "Maple, 22 kg, low, working", "tells the activity twice"),
        ("--dog", "Maple, 22 kg, other food 970 kcal", "is already all that is published"),
        ("--dog", "Maple, 22 kg, 700 kcal", "`700 kcal` is less than Maple needs at rest, 712 kcal"),
        ("--dog", "Maple, 22 kg, other food 90 g", "does not tell the energy"),
        ("--dog", "Sorrel, 9 kg, nursing, active", "the veterinarian gives the amounts"),
        ("--dog", "Maple, 2.5 %", "has no weight"),
        ("--dog", "Maple, 22 kg, 2.5 %, 3 %", "tells the ration twice"),
        ("--dog", "Maple, 22 kg, 400 %", "comes to more than 15 kg a day"),
        ("--avoid", "Juniper: chicken", "is about no dog"),
        ("--avoid", "Maple: chikken", "did you mean `chicken`?"),
        ("--offer", "chicken neck, 1 kg, 2.40", "names no supplier"),
        ("--offer", "Hollow Lane: chicken necks, 1 kg, 2.40", "did you mean `chicken neck`?"),
        ("--offer", "Hollow Lane: beef trim, 6.20", "price without a pack"),
        ("--offer", "Hollow Lane: beef trim", "is no offer"),
        ("--match", "chicken necks", "has no `=`"),
        ("--column", "colour=Farbe", "is none of the choices"),
        ("--from", "nowhere.csv", "there is no file"),
    ],
)
def test_a_wrong_option_is_a_usage_error_and_nothing_is_written(file: Path, option: str, value: str, says: str) -> None:
    base = FRAME if option == "--dog" else MAPLE
    ended = told("start", file, *base, option, value)
    assert (ended.code, list(file.parent.iterdir())) == (2, [])
    assert says in ended.stderr


@pytest.mark.slow
def test_what_is_there_already_is_told_before_anything_is_asked(file: Path) -> None:
    file.write_text("mine")
    ended = ran("start", file)
    assert (ended.code, ended.stdout) == (2, "")
    assert "is there already" in ended.stderr


def test_nothing_is_replaced_unless_it_is_said_so(file: Path) -> None:
    file.write_text("mine")
    with pytest.raises(FileExistsError, match="add --overwrite"):
        told("start", file, *MAPLE)
    schema = file.parent / "scenario.schema.json"
    schema.write_text("another")
    with pytest.raises(FileExistsError, match=r"scenario\.schema\.json"):
        told("start", file.parent / "new.yaml", *MAPLE)
    assert (file.read_text(), schema.read_text(), (file.parent / "new.yaml").exists()) == ("mine", "another", False)
    assert told("start", file, *MAPLE, "--overwrite").code == 0
    assert schema.read_text() == told("schema").stdout
    assert told("start", file.parent / "new.yaml", *MAPLE).code == 0  # the schema beside it is the same


@pytest.mark.slow
@pytest.mark.parametrize(("key", "code"), [(b"\x03", 130), (b"\x04", 2)])
def test_an_interrupt_or_the_end_of_input_ends_with_one_line_and_writes_nothing(
    file: Path, key: bytes, code: int
) -> None:
    main, side = pty.openpty()
    run = command("start", file, first=OWN_TERMINAL)
    with subprocess.Popen(
        run, stdin=side, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=surroundings(), start_new_session=True
    ) as going:
        os.close(side)
        os.write(main, b"EUR\n")
        _wait_for(going.stdout.fileno(), b"First day fed")  # type: ignore[union-attr]  # it is a pipe
        os.write(main, key)
        _, stderr = going.communicate(timeout=60)
        os.close(main)
    assert going.returncode == code
    assert stderr.decode().strip().startswith("raworder: ")
    assert len(stderr.decode().strip().split("\n")) == 1
    assert list(file.parent.iterdir()) == []


def _wait_for(descriptor: int, words: bytes) -> None:
    seen, until = b"", time.monotonic() + 60
    while words not in seen and time.monotonic() < until:
        if select.select([descriptor], [], [], 1)[0]:
            seen += os.read(descriptor, 4096)
    assert words in seen


@pytest.mark.slow
def test_names_on_a_list_are_taken_only_as_confirmed_and_nothing_is_lost(file: Path, prices: Path) -> None:
    ended = told("start", file, *MAPLE, "--from", prices, *COLUMNS, *MATCHES)
    assert ended.code == 0, ended.stderr
    assert offers(file) == [
        {"cut": "chicken neck", "item": "Hähnchenhälse", "pack": "5 kg", "price": "2.40 per kg"},
        {"cut": "beef heart", "item": "Rinderherz", "pack": "1.5 kg", "price": "4.95 per kg"},
        {"cut": "Beef Trim", "pack": "10 kg", "price": "5.90 per kg"},
        {"cut": "beef kidney", "item": "Rinderniere", "price": "3.60 per kg"},
        {"cut": "beef liver", "item": "Rinderleber", "pack": "0.5 kg", "price": "3.20 per kg"},
    ]
    told_of = ended.but_for_files.stderr
    assert "2 items that you have not named yet: `chicken necks`; `Zwiebeln (onion)`" in told_of
    assert "`Pansen` (`a.A.`: it says no weight)" in told_of
    assert "it has 5 cells and the headings 4" in told_of
    assert "`Zwiebeln (onion)` names food that is dangerous to dogs" in told_of
    assert "onion" not in (file.parent / "nordhof.names.yaml").read_text()
    assert loaded(file)["suppliers"][0]["name"] == "nordhof"  # type: ignore[index]  # as written
    assert told("plan", file).code == 0


@pytest.mark.parametrize("left_out", range(0, len(COLUMNS), 2))
def test_what_a_list_does_not_say_is_never_guessed(file: Path, prices: Path, left_out: int) -> None:
    some = COLUMNS[:left_out] + COLUMNS[left_out + 2 :]
    ended = told("start", file, *MAPLE, "--from", prices, *some)
    assert (ended.code, file.exists()) == (2, False)
    assert COLUMNS[left_out + 1].split("=")[0] in ended.stderr or COLUMNS[left_out] in ended.stderr


@pytest.mark.slow
def test_a_price_that_does_not_say_what_it_is_for_is_not_guessed(file: Path, prices: Path) -> None:
    prices.write_text(LIST.replace("Preis/kg", "Preis"))
    columns = [word.replace("preis/kg", "Preis") for word in COLUMNS]
    ended = told("start", file, *MAPLE, "--from", prices, *columns)
    assert (ended.code, "`--price-per`" in ended.stderr) == (2, True)
    assert told("start", file, *MAPLE, "--from", prices, *columns, "--price-per", "pack").code == 0
    assert offers(file) == [{"cut": "Beef Trim", "pack": "10 kg", "price": "5.90"}]


@pytest.mark.slow
def test_typed_answers_say_what_a_list_leaves_open(file: Path, prices: Path) -> None:
    of_list = ["Nordhof", str(prices), "7", "Artikel", "4", "3", "1", "", "kg"]
    names = ["9", "chicken nek", "chicken neck", "1", "own", "beef", "heart", "muscle 120 %", "muscle", "", "100 %",
             "15 %", "back", "14 %", "190", "", "beef kidney", "rest", ""]  # fmt: skip
    ended = typed(file, *TYPED[: ANOTHER - 1], "", "no", *of_list, *names)
    assert ended.code == 0, ended.stderr
    assert "1  chicken neck\n" in ended.stdout
    assert [(one["cut"], one.get("code")) for one in offers(file)] == [
        ("chicken neck", "00123"), ("chicken neck", "00124"), ("Rinderherz", "00125"), ("Beef Trim", "00126"),
        ("beef kidney", "00128"),
    ]  # fmt: skip
    assert loaded(file)["own_cuts"] == [
        {
            "cut": "Rinderherz",
            "species": ["beef"],
            "kind": "heart",
            "parts": {"muscle": "100 %"},
            "fat": "14 %",
            "analysis": {"energy": "198 kcal"},
        }
    ]
    assert "2 items that you have not named yet: `Rinderleber`; `Zwiebeln (onion)`" in ended.stderr


@pytest.mark.slow
def test_a_list_of_ours_beside_the_scenario_is_named_and_elsewhere_is_copied(file: Path, tmp_path: Path) -> None:
    ours = SCENARIOS / "lists" / "northfold.csv"
    near = tmp_path / "lists" / "northfold.csv"
    near.parent.mkdir()
    near.write_bytes(ours.read_bytes())
    assert told("start", file, *MAPLE, "--from", near, "--supplier", "Northfold").code == 0
    assert loaded(file)["suppliers"] == [{"name": "Northfold", "price_list": "lists/northfold.csv"}]
    named = read_scenario(file).scenario
    assert told("start", file, *MAPLE, "--from", ours, "--supplier", "Northfold", "--overwrite").code == 0
    copied = read_scenario(file).scenario
    assert len(offers(file)) == len(ours.read_text().strip().split("\n")) - 1
    assert named is not None
    assert copied is not None
    assert [(one.key, one.steps, one.available, one.item, one.code) for one in copied.offers] == [
        (one.key, one.steps, one.available, one.item, one.code) for one in named.offers
    ]


@pytest.mark.slow
def test_a_list_in_another_encoding_is_read_once_that_is_said(file: Path, prices: Path) -> None:
    prices.write_bytes(LIST.replace("€", "").encode("cp1252"))
    ended = told("start", file, *MAPLE, "--from", prices, *COLUMNS)
    assert (ended.code, "`--encoding`" in ended.stderr) == (2, True)
    assert told("start", file, *MAPLE, "--from", prices, *COLUMNS, *MATCHES, "--encoding", "cp1252").code == 0
    assert offers(file)[0]["item"] == "Hähnchenhälse"


@pytest.mark.slow
def test_a_list_that_cannot_be_read_loses_no_answer(file: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.csv"
    broken.write_text('Artikel;Preis\n"Hals;2,40\n')
    ended = typed(file, *TYPED[: ANOTHER - 1], "", "no", "Nordhof", str(broken), *TYPED[SOLD_BY:])
    assert ended.code == 0
    assert "this quote is never closed" in ended.stdout
    assert len(offers(file)) == 4


@pytest.mark.slow
def test_a_workbook_of_others_is_read_like_a_list(file: Path, tmp_path: Path) -> None:
    import xlsxwriter

    path = tmp_path / "nordhof.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet()
        for number, row in enumerate(
            [("Artikel", "Gebinde", "Preis/kg"), ("chicken necks", 2.5, 2.6), ("kale", None, 3)]
        ):
            sheet.write_row(number, 0, row)
    ended = told("start", file, *MAPLE, "--from", path, *COLUMNS, "--match", "chicken necks=chicken neck")
    assert ended.code == 0, ended.stderr
    assert offers(file) == [
        {"cut": "chicken neck", "item": "chicken necks", "pack": "2.5 kg", "price": "2.60 per kg"},
        {"cut": "kale", "price": "3.00 per kg"},
    ]


def test_a_match_for_a_name_that_is_not_on_the_list_is_warned_of(file: Path, prices: Path) -> None:
    ended = told("start", file, *MAPLE, "--from", prices, *COLUMNS, "--match", "Rinderherzen=beef heart")
    assert (ended.code, file.exists()) == (0, True)
    assert "did you mean `rinderherz`?" in ended.stderr
    assert [offer["cut"] for offer in offers(file)] == ["Beef Trim"]


def test_a_second_list_is_refused_and_never_dropped(file: Path, prices: Path) -> None:
    ended = told("start", file, *MAPLE, "--from", prices, "--from", prices)
    assert (ended.code, file.exists()) == (2, False)
    assert "one list at a time: run `raworder start second.yaml --from` with the other list too" in ended.stderr


def test_the_same_answers_give_the_same_bytes(file: Path, prices: Path) -> None:
    told("start", file, *MAPLE, "--from", prices, *COLUMNS, *MATCHES)
    first = file.read_bytes()
    told("start", file, *MAPLE, "--from", prices, *COLUMNS, *MATCHES, "--overwrite")
    assert file.read_bytes() == first


def test_a_dash_prints_the_very_file_and_writes_nothing(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told("start", file, *MAPLE, *SOLD)
    text = file.read_text()
    (empty := file.parent / "empty").mkdir()
    monkeypatch.chdir(empty)
    assert told("start", "-", *MAPLE, *SOLD) == Ended(0, text, "")
    assert told("start", "-", *FRAME, typed="Maple\n").code == 2
    assert "Still to be written" in told("start", "-", *MAPLE).stderr
    assert list(empty.iterdir()) == []


@few("name", [one for one in HELL if "," not in one and ":" not in one], 8)
def test_names_from_hell_by_option_are_read_back_or_refused_in_one_line(file: Path, name: str) -> None:
    dog = ("--dog", f"{name}, 22 kg, 2.5 %")
    ended = told("start", file, *FRAME, *dog, "--offer", f"{name}: kale, 2.40 per kg")
    if ended.code == 2:
        assert not file.exists()
        assert "Error: --dog: " in ended.stderr
        return
    assert loaded(file)["dogs"][0]["name"] == normalise_name(name.strip('"'))  # type: ignore[index]  # as written
    assert loaded(file)["suppliers"][0]["name"] == normalise_name(name)  # type: ignore[index]  # as written


def test_the_schema_is_looked_for_beside_the_file_by_its_first_line(file: Path) -> None:
    told("start", file, *MAPLE)
    assert file.read_text().startswith("# yaml-language-server: $schema=scenario.schema.json\n")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("dogs", "title"),
    [
        (("Maple",), "Food for Maple"),
        (("Maple", "Juniper"), "Food for Maple and Juniper"),
        (("Maple", "Juniper", "Sorrel"), "Food for Maple, Juniper and Sorrel"),
        (("Maple", "Juniper", "Sorrel", "Bramble"), "Food for 4 dogs"),
        (("M" * 120,), "Food for 1 dog"),
        (("No: 1 # [a]",), "Food for No: 1 # [a]"),
    ],
)
def test_the_title_is_made_from_the_dogs_names(file: Path, dogs: tuple[str, ...], title: str) -> None:
    told_dogs = [word for one in dogs for word in ("--dog", f"{one}, 22 kg, 2.5 %")]
    assert told("start", file, *FRAME, *told_dogs, *SOLD).code == 0
    assert loaded(file)["title"] == title
    scenario = read_scenario(file).scenario
    assert scenario is not None
    assert scenario.title == title


def test_batches_of_two_people_have_numbers_of_their_own(tmp_path: Path) -> None:
    numbers = set()
    for name in ("Maple", "Juniper"):
        (tmp_path / name).mkdir()
        path = tmp_path / name / "food.yaml"
        told("start", path, *FRAME, "--dog", f"{name}, 22 kg, 2.5 %", *SOLD)
        scenario = read_scenario(path).scenario
        assert scenario is not None
        numbers.add(batch_number(scenario))
    assert len(numbers) == 2


@pytest.mark.slow
def test_a_title_can_be_said(file: Path) -> None:
    assert told("start", file, *MAPLE, "--title", "Batch: no. 3 # of ours", *SOLD).code == 0
    assert loaded(file)["title"] == "Batch: no. 3 # of ours"
    ended = told("start", file, *MAPLE, "--title", " ", "--overwrite")
    assert (ended.code, "--title: the name is empty" in ended.stderr) == (2, True)


EDGES = ("Ma\rple", "Ma\tple", "Maple\r", "Ma\ufdd0ple", "Ma\U0010ffffple", "Ma\u00adple", "\u3164", "Ma\u2028ple")


@pytest.mark.slow
@pytest.mark.parametrize("name", EDGES)
def test_a_name_with_a_strange_character_is_read_back_or_refused_in_one_line(file: Path, name: str) -> None:
    as_dog = (*FRAME, "--dog", f"{name}, 22 kg, 2.5 %", *SOLD)
    as_seller = (*MAPLE, "--offer", f"{name}: chicken neck, 1 kg, 2.40")
    for options, where in ((as_dog, "dogs"), (as_seller, "suppliers")):
        ended = told("start", file, *options, "--overwrite")
        if ended.code == 0:
            assert loaded(file)[where][0]["name"] == normalise_name(name)  # type: ignore[index]  # as written
            assert normalise_name(name) in {"Maple", "Ma ple"}
        else:
            assert ended.code == 2
            assert len([line for line in ended.stderr.splitlines() if "--dog:" in line or "--offer:" in line]) == 1
            assert "Traceback" not in ended.stderr


@pytest.mark.slow
@pytest.mark.parametrize("name", [one for one in EDGES if "\r" not in one])
def test_a_strange_name_that_is_typed_is_read_back_or_asked_again(file: Path, name: str) -> None:
    at = TYPED.index("Maple")
    is_taken = "\t" in name
    ended = typed(file, *TYPED[:at], name, *TYPED[at + is_taken :])
    assert (ended.code, ended.but_for_files.stderr.count("\n")) == (0, 0 if is_taken else 1)
    assert loaded(file)["dogs"][0]["name"] == ("Ma ple" if is_taken else "Maple")  # type: ignore[index]  # as written


def test_offers_that_lie_too_far_off_in_a_workbook_are_told_as_left_out(file: Path, tmp_path: Path) -> None:
    book = tmp_path / "list.xlsx"
    book.write_bytes(a_book([("Artikel", "Preis"), ("kale", 3.2), *[()] * 60, ("chard", 3.1)]))
    columns = ("--column", "cut=Artikel", "--column", "price=Preis", "--column", "pack=", "--price-per", "kg")
    ended = told("start", file, *MAPLE, "--from", book, *columns)
    assert ended.code == 0, ended.stderr
    assert "warning[cells-not-read]: this and all below is not read" in ended.stderr


def test_a_price_in_another_currency_is_left_out(file: Path, prices: Path) -> None:
    prices.write_text(LIST.replace("2,40 €", "2,40 $"), encoding="utf-8")
    ended = told("start", file, *MAPLE, "--from", prices, *COLUMNS, "--price-per", "kg", *MATCHES[2:])
    assert "`Hähnchenhälse` (`2,40 $` has the sign `$`, and the currency is EUR)" in ended.stderr
