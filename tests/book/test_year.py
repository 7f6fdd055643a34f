"""A whole year of one kitchen: 26 batches with changing lists, receipts, dogs, a power cut and a recall.

Every name, price and figure is invented. After each batch all grams and all money add up from the first entry on, and
no lot ever holds less than nothing. **Source:** the promise of the book itself; no outside source.
"""

import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.book import entering
from raworder.book.entering import Note, make_entries
from raworder.book.kitchen_book import KitchenBook, open_book
from raworder.book.ledger import FILE_NAME, looking_into
from raworder.reading.scenario_file import read_scenario_text
from raworder.replanning import replan_batch
from raworder.solving.solver import Settings
from raworder.studies.roll_on import News, restore_asked, roll_on
from raworder.trade.batch_account import batch_account, listed_prices, order_account
from raworder.trade.kept import BatchAccount, EntryKind, NewLot
from raworder.trade.plan import Plan
from raworder.trade.purchase import full_receipt
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch

BATCHES, LIST_MONTHS = 26, 3

FIRST = """\
# A year of Quince and Medlar. Every name, price and figure in here is invented.
title: Quince Lane
currency: EUR
batch: {starts: 2027-01-02, days: 14}
dogs:
  - {name: Quince, owner: Ada, weight: 20 kg, ration: 2.6 %, targets: prey model}
  - {name: Medlar, owner: Bo, weight: 12 kg, ration: 2.7 %, targets: prey model}
suppliers:
  - name: Cobnut Lane
    cuts:
      - {cut: chicken neck, code: C1, pack: 1 kg, price: 2.40}
      - {cut: beef trim, code: C2, pack: about 2 kg, up_to: 2.4 kg, price: 6.20 per kg, fat: 12 %}
      - {cut: beef heart, code: C3, pack: 500 g, price: 3.10}
      - {cut: beef liver, code: C4, pack: 400 g, price: 1.90}
  - name: Damson Yard
    cuts:
      - {cut: turkey thigh boneless, code: D1, pack: 1 kg, price: 5.40}
      - {cut: beef kidney, code: D2, pack: 500 g, price: 1.80}
      - {cut: chicken liver, code: D3, pack: 500 g, price: 1.60}
on_hand:
  - {cut: beef heart, weight: 350 g, frozen: 2026-12-12}
  - {cut: chicken neck, weight: 600 g, owner: Bo}
"""

THIRD_DOG = "  - {name: Sloe, owner: Bo, weight: 6 kg, ration: 3 %, targets: prey model, avoid: [turkey]}\n"


@dataclass
class Kitchen:
    """A folder with a book and the scenario of the batch that is next."""

    folder: Path
    text: str = FIRST
    traced: int = 0

    @property
    def book(self) -> Path:
        return self.folder / FILE_NAME

    def scenario(self) -> Scenario:
        reading = read_scenario_text(self.text, self.folder / "quince.yaml")
        assert reading.scenario is not None, reading.findings
        return reading.scenario

    def enter(self, day: date, *notes: Note) -> None:
        make_entries(self.book, day, notes)

    def fill(self, number: int) -> BatchAccount:
        """Plan the batch, shop for it, and enter it; every third time the shop gives something else than planned."""
        scenario = self.scenario()
        plan = plan_batch(scenario, Settings())
        assert isinstance(plan, Plan), (number, plan)
        order = order_account(scenario, plan)
        self.enter(order.filled_on - timedelta(days=1), entering.ordered(order, f"an order for {order.planned}"))
        if number % 3 == 2:
            plan = shop_otherwise(scenario, plan)
        account = batch_account(plan.facts.scenario, plan, order)
        account = replace(account, prices=tuple(listed_prices(scenario)))
        self.enter(account.filled_on, entering.filled(account, f"batch {number}"))
        return account

    def roll_on(self, starts: date) -> None:
        """Write the next scenario, as `next` does."""
        self.text = restore_asked(self.text)
        scenario = self.scenario()
        with open_book(self.book) as book:
            accounts = book.batches()
            news = News(
                starts, book.stock(starts - timedelta(days=1)), True, accounts[-1], accounts, book.weighings(),
                carries=False,
            )  # fmt: skip
        self.text = roll_on(self.text, scenario, news).text


def shop_otherwise(scenario: Scenario, plan: Plan) -> Plan:
    """The plan after a shop in which catch weights were heavy and the first line was dearer."""
    receipt = full_receipt(scenario, plan)
    lines = [
        replace(line, grams=line.grams * 11 // 10, paid=line.paid * 11 // 10 + Decimal("0.05"))
        if line.cut.startswith("beef trim")
        else line
        for line in receipt.lines
    ]
    lines[0] = replace(lines[0], paid=lines[0].paid + Decimal("0.75"))
    result = replan_batch(scenario, replace(receipt, lines=tuple(lines)), Settings(), plan)
    assert isinstance(result.answer, Plan)
    return result.answer


def list_of_month(kitchen: Kitchen, number: int) -> None:
    """New prices: they rise and fall by a few percent, and in the fifth month there is no turkey."""

    def dearer(found: re.Match[str]) -> str:
        price = Decimal(found[2]) * (100 + (number * 7) % 11 - 5) / 100
        return f"{found[1]}{price.quantize(Decimal('0.01'))}"

    kitchen.text = re.sub(r"(price: )([0-9]+\.[0-9]{2})", dearer, kitchen.text)


def weigh_dogs(kitchen: Kitchen, account: BatchAccount, number: int) -> None:
    """Every other batch both dogs are weighed."""
    grams = {"Quince": 20_000 + number * 20, "Medlar": 12_000 - number * 15}
    kitchen.enter(account.starts, *(entering.weighed(dog, one_g) for dog, one_g in grams.items()))


def power_cut(kitchen: Kitchen, account: BatchAccount) -> date:
    """In the first week all is lost; the next batch begins three days later."""
    day = account.starts + timedelta(days=5)
    kitchen.enter(day, entering.everything_thrown)
    with open_book(kitchen.book) as book:
        assert book.stock(day + timedelta(days=1)).grams == 0
    return day + timedelta(days=3)


def recall(kitchen: Kitchen, account: BatchAccount) -> None:
    """The first lot of the batch is recalled: all bags that hold of it, or may, and what is left, are thrown away."""
    day = account.starts + timedelta(days=4)
    with open_book(kitchen.book) as book:
        lots = [lot for lot in book.lots() if lot.supplier and lot.bought_on == account.filled_on][:1]
        found = book.trace_lots([lot.number for lot in lots])
        bags = [bag.label for bag in found.bags if not bag.is_gone(day)]
    assert lots
    assert bags
    notes = [entering.marked(lot.number, "L-2217") for lot in lots]
    notes += [entering.drawn(lot.number, EntryKind.THROWN) for lot in lots if lot.left_g]
    kitchen.enter(day, *notes, entering.bags_became(bags, account.number, EntryKind.THROWN))


def bag_kept(kitchen: Kitchen, account: BatchAccount) -> None:
    """A day out: Medlar's bag of the last day is not fed."""
    label = max(bag.label for bag in account.bags if bag.dog == "Medlar")
    kitchen.enter(account.ends, entering.bags_became([label], "", EntryKind.KEPT))


def mistake(kitchen: Kitchen, account: BatchAccount) -> None:
    """Something is counted wrong, and taken back."""
    with open_book(kitchen.book) as book:
        lot = next(lot for lot in book.stock(account.starts).lots)
    kitchen.enter(account.starts, entering.drawn(lot.number, EntryKind.COUNTED, 0))
    with open_book(kitchen.book) as book:
        wrong = book.entries()[-1].number
    kitchen.enter(account.starts, entering.taken_back(wrong))


def some_lost(kitchen: Kitchen, account: BatchAccount) -> None:
    """A little of a lot is spilt, another turns out to be heavier, and a forgotten pack comes to light."""
    with open_book(kitchen.book) as book:
        lots = book.stock(account.starts).lots
    notes = [entering.drawn(lots[0].number, EntryKind.THROWN, min(lots[0].left_g, 20))]
    notes += [entering.drawn(lots[-1].number, EntryKind.COUNTED, lots[-1].left_g + 35)] if len(lots) > 1 else []
    pack = NewLot("beef heart", 300, 0, 0, Decimal(0), Decimal(0), "", "beef heart")
    kitchen.enter(account.starts, *notes, entering.found(pack, "", "EUR"))


def new_dog(kitchen: Kitchen) -> None:
    """Sloe comes."""
    kitchen.text = kitchen.text.replace("suppliers:\n", f"{THIRD_DOG}suppliers:\n", 1)


def dog_leaves(kitchen: Kitchen) -> None:
    """Sloe leaves."""
    kitchen.text = re.sub(r"(?m)^ *- \{name: Sloe.*\n", "", kitchen.text)


EVENTS: Mapping[int, Callable[[Kitchen, BatchAccount], object]] = {
    3: mistake, 5: bag_kept, 7: some_lost, 12: recall, 16: some_lost, 19: bag_kept,
}  # fmt: skip
POWER_CUT, COMES, LEAVES = 9, 14, 21


def play_year(folder: Path, after_batch: Callable[[Kitchen, BatchAccount], None]) -> Kitchen:
    """A kitchen after a year of batches; after each of them something looks at it."""
    kitchen = Kitchen(folder)
    for number in range(BATCHES):
        if number % LIST_MONTHS == 0 and number:
            list_of_month(kitchen, number)
        for when, change in ((COMES, new_dog), (LEAVES, dog_leaves)):
            if number == when:
                change(kitchen)
        account = kitchen.fill(number)
        if number % 2:
            weigh_dogs(kitchen, account, number)
        if number in EVENTS:
            EVENTS[number](kitchen, account)
        starts = power_cut(kitchen, account) if number == POWER_CUT else account.ends + timedelta(days=1)
        after_batch(kitchen, account)
        kitchen.roll_on(starts)
    return kitchen


def check_all_adds_up(kitchen: Kitchen, account: BatchAccount) -> None:
    """Grams and money from the first entry on, no lot below nothing on any day, and every bag traced both ways."""
    with open_book(kitchen.book) as book:
        check_grams_and_money(kitchen, book)
        for day in (account.filled_on, account.starts + timedelta(days=7), account.ends + timedelta(days=1)):
            stock = book.stock(day)
            assert all(lot.left_g > 0 for lot in stock.lots)
            assert all(bag.filled_on <= day for bag in stock.bags)
        check_traces(kitchen, book, account)


def check_grams_and_money(kitchen: Kitchen, book: KitchenBook) -> None:
    """What came in is left, in a bag, or entered as gone; what was paid is worth just that."""
    with looking_into(kitchen.book) as tables:
        gone = tables.execute(
            "SELECT lot, draw.grams FROM draw JOIN live USING (entry) WHERE why <> 'bags' AND draw.grams > 0"
        ).fetchall()
    lots, bags = {lot.number: lot for lot in book.lots()}, book.bags()
    came_g = Counter[str]()
    went_g = Counter[str]()
    for lot in lots.values():
        came_g[lot.cut] += lot.grams
        went_g[lot.cut] += lot.left_g
    for bag in bags:
        went_g.update(dict(bag.contents))
    for number, grams in gone:
        went_g[lots[number].cut] += grams
    assert came_g == went_g
    worth = sum((lot.left_worth for lot in lots.values()), Fraction(0)) + sum((bag.worth for bag in bags), Fraction(0))
    lost = (Fraction(lots[number].worth) * grams / lots[number].grams for number, grams in gone)
    paid = sum((batch.paid for batch in book.batches()), Decimal(0))
    assert worth + sum(lost, Fraction(0)) == paid


def check_traces(kitchen: Kitchen, book: KitchenBook, account: BatchAccount) -> None:
    """Every bag of the batch comes from lots of all that is in it, and is found again from each of them."""
    bags = [bag for bag in book.bags() if bag.batch == account.number]
    assert len(bags) == len(account.bags)
    back = {bag.number: book.trace_bag(bag).lots for bag in bags}
    numbers = {lot.number for lots in back.values() for lot in lots}
    onward = {number: {bag.number for bag in book.trace_lots([number]).bags} for number in numbers}
    for bag in bags:
        assert {lot.cut for lot in back[bag.number]} == {cut for cut, _ in bag.contents}
        assert all(bag.number in onward[lot.number] for lot in back[bag.number])
        assert all(lot.owner in {"", bag.owner} for lot in back[bag.number])
    kitchen.traced += len(bags)


@pytest.mark.slow
def test_a_year_adds_up_to_the_gram_and_the_cent_and_every_bag_is_traced(tmp_path: Path) -> None:
    kitchen = play_year(tmp_path, check_all_adds_up)
    with open_book(kitchen.book) as book:
        assert len(book.batches()) == BATCHES
        assert kitchen.traced == len(book.bags()) > BATCHES * 28 - 28
        assert {entry.kind for entry in book.entries()} == set(EntryKind) - {EntryKind.FED}
        assert len({point.day for point in book.prices("chicken neck") if not point.paid}) == BATCHES


@pytest.mark.slow
def test_the_same_year_leaves_the_same_scenario_and_the_same_book_byte_for_byte(tmp_path: Path) -> None:
    left = []
    for name in ("once", "twice"):
        (tmp_path / name).mkdir()
        kitchen = play_year(tmp_path / name, lambda *_: None)
        with looking_into(kitchen.book) as tables:
            left.append((kitchen.text, "\n".join(tables.iterdump())))
    assert left[0] == left[1]
