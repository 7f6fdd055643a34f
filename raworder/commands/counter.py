"""Commands at the counter: `portion`, `weigh`, `replan` after the shop, and `settle` among owners."""

import os
import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import partial
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any, NoReturn

import click

from raworder.commands import console
from raworder.commands.changed_dogs import CHANGES, read_changes, takes_changes
from raworder.commands.console import Exit, Outputs
from raworder.commands.desk import (
    FILE,
    BatchAnswer,
    accept_content,
    answer_documents,
    check_papers,
    dogs_of_owner,
    find_owner,
    hand_out,
    hand_out_paper,
    load_scenario,
    load_scenario_quietly,
    prints_papers,
    reads_scenario,
    takes_format,
    takes_owner,
    takes_time_limit,
)
from raworder.commands.papers import printed_page
from raworder.commands.plan_at_hand import (
    PlanChoice,
    batch_documents,
    find_plan,
    find_plan_to_use,
    take_plan,
    takes_plan,
)
from raworder.trade.outputs import printed_by

if TYPE_CHECKING:
    from raworder.portioning.weighing import Weighing
    from raworder.reading.saved_plan import Entry, ReadRecord
    from raworder.studies.paid_already import Paid
    from raworder.trade.bags import NextWeighing
    from raworder.trade.document import Document
    from raworder.trade.kept import BatchAccount, NewBag
    from raworder.trade.plan import Plan
    from raworder.trade.scenario import Scenario


class WeighingRecord:
    """The file of a weighing session, open to be continued; findings in it end the command."""

    def __init__(self, path: Path, scenario: "Scenario", plan: "Plan", batch: str) -> None:
        """Read the file if it is there: a half-written last line is cut off, and a new record begins with its head."""
        from raworder.commands.saving import replace_whole, resolve_target
        from raworder.reading.saved_plan import ReadRecord, record_head

        self.path, self._file = path, resolve_target(path)
        head = record_head(scenario, plan, batch)
        record = self._read(scenario, plan, batch) if path.exists() else ReadRecord((), 0, ())
        self.entries = list(record.entries)
        self._numbers = list(record.numbers)
        data = self._file.read_bytes() if path.exists() else b""
        if record.unnumbered:
            self._known = _numbered_record(head, record)
            replace_whole(path, self._known)
        elif record.sound_bytes:
            self._known = data
            if record.sound_bytes < len(data):
                self._cut_to(data[: record.sound_bytes])
        else:
            self._begin(data, head)

    def add(self, entry: "Entry") -> None:
        """Write one weighing, with the next number, and keep it."""
        from raworder.reading.saved_plan import record_line

        number = self._known.count(b"\n")
        self._write(record_line(number, entry))
        self.entries.append(entry)
        self._numbers.append(number)

    def take_back(self) -> None:
        """Remove the last weighing from the record; the head always stays."""
        if self._numbers:
            lines = self._known.splitlines(keepends=True)
            self._cut_to(b"".join(lines[: self._numbers[-1]]))
            self._numbers.pop()
            self.entries.pop()

    def _read(self, scenario: "Scenario", plan: "Plan", batch: str) -> "ReadRecord":
        from raworder.reading.saved_plan import read_record

        record = read_record(self.path, scenario, plan, batch)
        return accept_content(None if record.findings else record, record.findings)

    def _begin(self, data: bytes, head: str) -> None:
        """Write the head, also over a part of it that was written before; a usage error for any other file."""
        if not head.encode().startswith(data):
            raise click.UsageError(f"`{self.path}` is no record of weighing; name a file that is not there yet")
        from raworder.commands.saving import name_file_in_errors

        is_new = not self._file.exists()
        with name_file_in_errors(self.path):
            self._file.open("ab").close()
        self._known = data
        try:
            self._cut_to(b"")
            self._write(head)
        except OSError:
            if is_new:
                self._file.unlink(missing_ok=True)
            raise

    def _write(self, line: str) -> None:
        """Append a line, on the disk before we go on; where that fails, nothing of it stays in the file."""
        from raworder.commands.saving import name_file_in_errors

        self._check_unchanged()
        with name_file_in_errors(self.path), self._file.open("ab") as file:
            try:
                file.write(line.encode())
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                with suppress(OSError):
                    os.ftruncate(file.fileno(), len(self._known))
                raise
        self._known += line.encode()

    def _cut_to(self, kept: bytes) -> None:
        """Cut the file down to these first bytes of it."""
        from raworder.commands.saving import name_file_in_errors

        self._check_unchanged()
        with name_file_in_errors(self.path), self._file.open("r+b") as file:
            file.truncate(len(kept))
            os.fsync(file.fileno())
        self._known = kept

    def _check_unchanged(self) -> None:
        """Raise OSError where another program has changed the file since we last read or wrote it."""
        try:
            now_in_file = self._file.read_bytes()
        except FileNotFoundError:
            now_in_file = None
        if now_in_file != self._known:
            raise OSError(
                f"`{self.path}` was changed by something else meanwhile, so what was typed last is not kept; look what "
                "it holds, and run the same command again"
            )


def _numbered_record(head: str, record: "ReadRecord") -> bytes:
    """An old record, whose lines had no numbers, with a number on each line."""
    from raworder.reading.saved_plan import record_line

    lines = (record_line(number, entry) for number, entry in zip(record.numbers, record.entries, strict=True))
    return "".join((head, *lines)).encode()


SHARED_BY = ("money", "weight", "equally")
"""What delivery and tax can be shared by."""

Pairs = Sequence[tuple[str, str]]
"""Owners with what they paid, as typed."""


@click.command()
@reads_scenario
@takes_plan
@click.option(
    "--paid",
    type=(str, str),
    multiple=True,
    metavar="OWNER AMOUNT",
    help='Paid already, as `Ines 40.00` or, for one bill, `Ines "40.00 for SUPPLIER"`; repeatable.',
)
@click.option(
    "--delivery", type=click.Choice(SHARED_BY), default="money", show_default=True, help="By what it is shared."
)
@click.option("--tax", type=click.Choice(SHARED_BY), default="money", show_default=True, help="By what it is shared.")
@click.option(
    "--left-over",
    type=click.Choice(["food", "equally"]),
    default="food",
    show_default=True,
    help="By what it is shared.",
)
@click.option("--kept-by", default="", metavar="OWNER", help="Who takes, and pays, all that is left over.")
@takes_owner
@prints_papers
def settle(scenario: Path, paid: Pairs, owner: str | None, where: Outputs, **options: Any) -> None:
    """Work out who pays whom, to the cent.

    Each owner bears what their dogs eat at the price really paid, and shares of delivery, tax and what is left over.
    With what is paid already, the fewest payments that settle it.
    """
    from raworder.studies.households import lines_of_owner
    from raworder.studies.paid_already import SettlingError
    from raworder.studies.settling import read_rules, settle_bills

    rules = read_rules(*(options.pop(name) for name in ("delivery", "tax", "left_over", "kept_by")))
    checked = load_scenario(scenario)
    whose = find_owner(checked, owner)
    batch, plan = take_plan(checked, PlanChoice(**options))
    try:
        document = settle_bills(plan, rules, [_read_payment(owner, words, batch.scenario) for owner, words in paid])
    except SettlingError as error:
        raise click.UsageError(f"{error}; {error.help}") from None
    hand_out_paper(lines_of_owner(document, whose) if whose else document, where)


def _read_payment(owner: str, words: str, scenario: "Scenario") -> "Paid":
    """A payment already made, and for which bill if that is said: `40.00 for Hollow Lane`."""
    from raworder.reading.names import fold_name
    from raworder.studies.paid_already import Paid

    amount, _, supplier = (part.strip() for part in words.partition(" for "))
    known = {fold_name(supplier.name): supplier.name for supplier in scenario.suppliers}
    return Paid(owner, _read_amount(amount, scenario), known.get(fold_name(supplier), supplier))


def _read_amount(text: str, scenario: "Scenario") -> Decimal:
    """An amount of money; a usage error where it cannot be read."""
    from raworder.trade.units import UnitError, read_money

    try:
        return read_money(text, scenario.currency)
    except UnitError as error:
        raise click.BadParameter(f"{error}; {error.help}", param_hint="--paid") from None


@click.command()
@reads_scenario
@takes_plan
@takes_time_limit()
@click.option(
    "--paper", "wanted", type=click.Choice(printed_by("portion")), multiple=True, help="Only this paper; repeatable."
)
@click.option("--all", "everything", is_flag=True, help="Print every paper, with every figure.")
@takes_owner
@prints_papers
def portion(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    time_limit: float | None,
    wanted: Sequence[str],
    everything: bool,
    owner: str | None,
    where: Outputs,
    **which: Any,
) -> None:
    """Print what goes into which bag, and which bag is fed when.

    In working order, with what to thaw on which day. More papers have every bag to the gram.
    """
    from raworder.reporting.all_papers import bag_papers

    check_papers(wanted, everything=everything)
    checked = load_scenario(scenario)
    dogs = dogs_of_owner(checked, find_owner(checked, owner))
    choice = PlanChoice(**which)
    batch = find_plan_to_use(checked, choice, time_limit)
    documents, code = batch_documents(batch, partial(bag_papers, dogs=dogs), time_limit)
    screen = None if everything or wanted else partial(_bags_in_short, batch, choice, dogs)
    hand_out(batch, documents, code, replace(where, keys=wanted), screen=screen)


def _bags_in_short(batch: BatchAnswer, choice: PlanChoice, dogs: Sequence[str] = ()) -> "Sequence[Document]":
    """What goes into which bag, in short; of some dogs where any are named."""
    from raworder.reporting.bag_book import bag_book
    from raworder.reporting.portion_screen import portion_screen
    from raworder.reporting.words import with_batch_number

    if batch.plan is None:
        return ()
    book = bag_book(batch.plan)
    screen = portion_screen(book.of_dogs(dogs) if dogs else book, choice.options)
    return [with_batch_number(book.scenario, screen)]


@click.command()
@reads_scenario
@click.option("--record", type=FILE, required=True, metavar="FILE", help="Where what was weighed is kept.")
@takes_plan
def weigh(scenario: Path, record: Path, **which: Any) -> None:
    """Weigh bag after bag with targets that even out errors.

    Type what the scale says: grams, or ounces where the scenario has `units: lb`. Press Enter alone where it says just
    the target. `back` undoes the last entry, `stop` ends for now: the same command goes on where it ended.
    """
    from raworder.commands.saving import hold_lock, name_file_in_errors, resolve_target
    from raworder.portioning.weighing import Weighing
    from raworder.trade.fingerprint import batch_number

    console.require_input()
    checked = load_scenario(scenario)
    with name_file_in_errors(record):
        file = resolve_target(record)
        file.parent.mkdir(parents=True, exist_ok=True)
    with hold_lock(file):
        batch, plan = take_plan(checked, PlanChoice(**which))
        weighing_record = WeighingRecord(record, checked, plan, batch_number(batch.scenario))
        _weigh_on(Weighing(plan, batch.scenario.portioning), weighing_record)


@click.command()
@reads_scenario
@takes_plan
@takes_changes
@takes_format("blank")
@takes_time_limit("The most that a solve takes.")
@click.option("--all", "everything", is_flag=True, help="Print every paper, with every figure.")
@prints_papers
def replan(
    scenario: Path, blank: Path | None, time_limit: float | None, everything: bool, where: Outputs, **which: Any
) -> None:
    """Plan again with what was really bought.

    Other weights, other prices, something missing, something else instead: what was bought is fixed and all the rest is
    solved again. Where it does not do, what is missed is told, and the cheapest that must still be fetched. With the
    plan that was taken to the shop (--plan) the batch need not be solved once more for it.

    In the middle of a batch (--from) nothing is bought: until when the bags that are filled are enough, and whose go
    to whom.
    """
    changes = {name: which.pop(name) for name in ("from_day", *CHANGES)}
    choice = PlanChoice(**which)
    if changes["from_day"]:
        _share_bags_again(scenario, choice, changes, where)
    if any(changes.values()):
        raise click.UsageError("say with --from DAY from which day on that is so")
    if (choice.receipt is None) == (blank is None):
        raise click.UsageError("give either --receipt to plan again, or --blank to write a receipt")
    if blank is not None:
        _write_blank(scenario, blank, choice, overwrite=where.overwrite)
        return
    batch = find_plan(load_scenario(scenario), choice, time_limit)
    documents, code = _papers_after_shopping(batch, time_limit)
    screen = None if everything else partial(_after_the_shop_in_short, batch, choice, documents)
    hand_out(batch, documents, code, where, partial(_printed_page, batch, documents), screen=screen)


def _share_bags_again(path: Path, which: PlanChoice, changes: Mapping[str, Any], where: Outputs) -> NoReturn:
    """Print what becomes of the bags from a day on, and end."""
    from raworder.studies.mid_batch import mid_batch
    from raworder.trade.batch_account import batch_account

    if which.saved is None or which.receipt:
        raise click.UsageError("--from is about bags that are filled: name their plan with --plan")
    checked = load_scenario_quietly(path)
    batch, plan = take_plan(checked, which)
    changed = read_changes(path, checked, changes)
    bags = _bags_there(path, batch_account(plan.facts.scenario, plan))
    hand_out_paper(mid_batch(batch.scenario, bags, changed, quote(str(path))), where)


def _bags_there(path: Path, account: "BatchAccount") -> "tuple[NewBag, ...]":
    """The bags of a batch but for those that are fed or thrown away by the book beside the scenario, if any."""
    from raworder.book.kitchen_book import open_book
    from raworder.book.ledger import book_beside
    from raworder.commands.book_entries import book_errors

    if not book_beside(path).exists():
        return account.bags
    with book_errors(), open_book(book_beside(path)) as kept:
        gone = kept.labels_gone(account.title, account.starts)
    return tuple(bag for bag in account.bags if bag.label not in gone)


def _after_the_shop_in_short(
    batch: BatchAnswer, choice: PlanChoice, documents: "Sequence[Document]"
) -> "Sequence[Document]":
    """What came of the shop, then what goes into which bag."""
    return (*documents[: 1 if batch.after else 0], *_bags_in_short(batch, choice))


def _weigh_on(weighing: "Weighing", record: "WeighingRecord") -> None:
    """Ask for one weighing after another until all is weighed or the person stops."""
    from raworder.portioning.weighing import WeighedEntry, next_target
    from raworder.reporting.counter_sheet import how_to_type, progress_text, station_head, weighing_question

    console.say(how_to_type(weighing.plan))
    station = -1
    while (due := next_target(weighing, [WeighedEntry(*entry) for entry in record.entries])) is not None:
        if due.station != station:
            station = due.station
            console.say_words(station_head(weighing.plan, station))
        grams = _ask_grams(weighing_question(weighing.plan, due), due, weighing.plan.facts.scenario.weight_unit)
        if grams is None:
            break
        if grams == BACK:
            record.take_back()
        else:
            record.add((due.bag, due.cut, grams))
    console.say(progress_text(len({(bag, cut) for bag, cut, _ in record.entries}), len(weighing.sequence)))


BACK = -1
"""Stands for `back` among grams: the last entry is to be taken back."""


def _ask_grams(question: str, due: "NextWeighing", weight_unit: str) -> int | None:
    """The grams that a person types, `BACK` for `back`, None for `stop` or the end of input."""
    while True:
        console.say_words(question)
        line = console.read_line()
        if not console.is_interactive():
            console.say("\n")  # no Enter key ended the line on the screen
        words = line.strip().casefold()
        if not line or words == "stop":
            return None
        if words == "back":
            return BACK
        if not words:
            return due.target_g
        grams = read_weighed(words, weight_unit)
        if grams is not None:
            return grams
        such_as = "ounces, such as `1.4` or `2 lb 3`" if weight_unit == "lb" else f"grams, such as `{due.target_g}`"
        console.tell(f"`{line.strip()}` is no weight: type {such_as}, or `back` or `stop`\n")


GRAMS = re.compile(r"([0-9]{1,6}) *(g?)")
OUNCES = re.compile(r"(?:([0-9]{1,3}) *lb)? *(?:([0-9]{1,4}(?:\.[0-9]{1,2})?) *(?:oz)?)?")


def read_weighed(words: str, weight_unit: str) -> int | None:
    """Whole grams of what a scale shows; a bare number is ounces where people read pounds. None where it is no weight.

    >>> read_weighed("40", "kg"), read_weighed("1.4 oz", "lb"), read_weighed("2 lb 3", "lb"), read_weighed("40 g", "lb")
    (40, 40, 992, 40)
    """
    from raworder.trade.rounding import half_up
    from raworder.trade.units import GRAMS_PER

    whole = GRAMS.fullmatch(words)
    if whole and (whole[2] or weight_unit != "lb"):
        return int(whole[1])
    parts = OUNCES.fullmatch(words) if weight_unit == "lb" else None
    if not words or parts is None:
        return None
    return half_up(Fraction(parts[1] or 0) * GRAMS_PER["lb"] + Fraction(parts[2] or 0) * GRAMS_PER["oz"])


def _write_blank(scenario: Path, blank: Path, which: PlanChoice, *, overwrite: bool) -> None:
    """Write a receipt of the order as planned, as CSV or YAML by the ending of its name."""
    from raworder.rendering.files_to_fill import WRITERS
    from raworder.trade.purchase import full_receipt

    write = WRITERS.get(blank.suffix.lower())
    if write is None:
        raise click.UsageError(f"a receipt is a CSV or a YAML file; name `{blank}` so, such as `receipt.csv`")
    checked = load_scenario(scenario)
    batch, plan = take_plan(checked, which)
    receipt = full_receipt(checked, plan, batch.purchase)
    if receipt.delivery and blank.suffix.lower() == ".csv":
        raise click.UsageError(
            f"delivery was not charged as on the list, and a CSV file has no place for it: name `{blank}` so that it "
            "ends in .yaml"
        )
    console.save_files([(blank, write(checked, receipt))], overwrite=overwrite)
    content = "what was bought and what is still to fetch" if batch.purchase else "the order as planned"
    console.say_words(f"{blank} holds {content}: alter what was different in the shop\n")


def _papers_after_shopping(batch: BatchAnswer, time_limit_s: float | None) -> tuple[Sequence["Document"], Exit]:
    """The papers after the shop, with what came of it first, and the exit code."""
    from raworder.reporting.after_the_shop import after_the_shop
    from raworder.reporting.all_papers import bag_papers, papers

    if batch.after is None:
        return answer_documents(batch.scenario, batch.answer, papers, time_limit_s)
    documents, code = answer_documents(
        batch.scenario, batch.answer, lambda plan: (*papers(plan), *bag_papers(plan)), time_limit_s
    )
    is_enough = batch.after.enough or code != Exit.PLAN
    return [after_the_shop(batch.scenario, batch.after, batch.plan), *documents], code if is_enough else Exit.NO_PLAN


def _printed_page(batch: BatchAnswer, documents: "Sequence[Document]") -> "Sequence[Document]":
    """The papers of the printed page, with what came of the shop first."""
    page = printed_page(batch, {})
    if batch.after is None:
        return page
    # What came of the shop is the cover then: the other one says what to pay for the whole order.
    return (documents[0], *(document for document in page if document.key != "first_look"))
