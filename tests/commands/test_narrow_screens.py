"""Every command on the scenarios that are shipped, on narrow screens: no word of any cell is broken or lost."""

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

import pytest

from raworder.cli import STAGES
from raworder.commands import console
from raworder.rendering.terminal import UNDER, shown_columns, terminal
from raworder.trade.document import Document, Table
from tests.commands.running import SCENARIOS, told

WITHOUT_TABLES = {"start", "scenarios", "message", "weigh", "schema", "enter", "note"}
"""What prints bare lines: questions, file names, texts to be pasted, and what is for programs."""

RUNS: dict[str, tuple[str, ...]] = {
    "check": ("owner.yaml",),
    "plan": ("owner.yaml", "--all"),
    "compare": ("owner.yaml",),
    "changes": ("lists/northfold.csv", "lists/penhallow.csv", "--currency", "EUR"),
    "reasons": ("impossible.yaml",),
    "instead": ("owner.yaml",),
    "prices": ("owner.yaml",),
    "replan": ("owner.yaml", "--receipt"),
    "settle": ("household.yaml",),
    "portion": ("owner.yaml",),
    "labels": ("owner.yaml",),
    "calendar": ("owner.yaml",),
    "whatif": ("owner.yaml", "price of beef +10 %", "without Juniper", "room 20 kg"),
    "nicer": ("owner.yaml",),
    "worth": ("owner.yaml",),
    "nourish": ("owner.yaml", "--all"),
    "gaps": ("owner.yaml",),
    "book": ("household.yaml",),
    "stock": ("household.yaml", "--on", "2027-03-12"),
    "trace": ("household.yaml", "northfold", "--on", "2027-03-12"),
    "powercut": ("household.yaml", "--on", "2027-03-12", "--hours", "30"),
    "history": ("household.yaml",),
    "weights": ("household.yaml", "Bramble"),
    "help": ("counter",),
    "cuts": (),
}
"""One run of every command that prints tables."""

BOOK = ("book", "stock", "trace", "powercut", "history", "weights")
"""What reads a book, which is made for it first."""

ON_OTHER_SCENARIOS = [
    *((command, "pounds.yaml") for command in ("plan", "portion", "labels", "nourish", "instead", "worth", "gaps")),
    *((command, "vet_visit.yaml") for command in ("plan", "portion", "compare", "nourish", "nicer", "prices", "gaps")),
    *((command, "household.yaml") for command in ("plan", "portion", "labels", "nourish", "compare", "instead")),
    ("compare", "owner.yaml owner_spring.yaml"),
    ("portion", "kennel.yaml"),
]


def test_every_command_is_run_or_prints_no_table() -> None:
    assert {*RUNS, *WITHOUT_TABLES} == {name for commands in STAGES.values() for name in commands}


def a_book(path: Path) -> Path:
    """A book of the shared household: a batch, a bag that was kept, and three weighings."""
    household = SCENARIOS / "household.yaml"
    told("enter", household, "--book", path)
    told("note", household, "bag 20 kept", "lot 9 is marked L-0417", "--on", "2027-03-11", "--book", path)
    for day, weight in (("06", "31 kg"), ("10", "30.8 kg"), ("14", "30.6 kg")):
        told("note", household, f"Bramble weighs {weight}", "--on", f"2027-03-{day}", "--book", path)
    return path


def documents_of(monkeypatch: pytest.MonkeyPatch, command: str, *arguments: str | Path) -> list[Document]:
    """What a command prints for people."""
    printed: list[Document] = []
    monkeypatch.setattr(console, "print_papers", printed.extend)
    told(command, *arguments)
    assert printed
    return printed


def words(documents: Sequence[Document], width: int) -> Counter[str]:
    """The words on a screen of that width; a colon may stand after a heading, and `-` for nothing is no word."""
    text = terminal(documents, width=width, color=False)
    return Counter(word.rstrip(":") for word in text.split() if set(word) - set("─═-:"))


def check_no_word_is_broken(documents: Sequence[Document], width: int) -> None:
    """Every word is on a narrow screen as it is on a wide one; words wider than the screen do not count."""
    tables = [block for document in documents for block in document.blocks if isinstance(block, Table)]
    columns = [column for table in tables for column in shown_columns(table)]
    headings = {word for column in columns for word in f"{column.heading} {column.under}".split()}
    wide, narrow = words(documents, 3000), words(documents, width)
    too_long = [word for word in wide if len(word) > width - UNDER]  # it goes on in the next lines
    broken = [word for word in narrow if word not in wide and not any(word in long for long in too_long)]
    lost = [word for word in wide - narrow if word not in headings and word not in too_long]
    assert (broken, lost) == ([], [])


@pytest.mark.slow
@pytest.mark.parametrize("command", RUNS)
def test_no_command_breaks_a_word(command: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    arguments: list[str | Path] = [SCENARIOS / one if one.endswith((".yaml", ".csv")) else one for one in RUNS[command]]
    if command == "replan":
        told("replan", arguments[0], "--blank", tmp_path / "receipt.csv")
        head, _, *rest = (tmp_path / "receipt.csv").read_text().splitlines()
        (tmp_path / "receipt.csv").write_text("\n".join((head, *rest)))
        arguments.append(tmp_path / "receipt.csv")
    if command in BOOK:
        arguments += ["--book", a_book(tmp_path / "book.sqlite")]
    documents = documents_of(monkeypatch, command, *arguments)
    for width in (80, 60, 40):
        check_no_word_is_broken(documents, width)


@pytest.mark.slow
@pytest.mark.parametrize(("command", "files"), ON_OTHER_SCENARIOS)
def test_no_word_is_broken_on_other_scenarios(command: str, files: str, monkeypatch: pytest.MonkeyPatch) -> None:
    more = ("--all",) if command in {"plan", "nourish"} else ()
    documents = documents_of(monkeypatch, command, *(SCENARIOS / file for file in files.split()), *more)
    for width in (80, 60, 40):
        check_no_word_is_broken(documents, width)
