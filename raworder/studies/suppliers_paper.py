"""The paper of suppliers side by side."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.plan import NoPlan, Plan
from raworder.reading.sense import OLD_LIST_DAYS
from raworder.reporting.words import counted, listed, paper
from raworder.studies.differences import cost_cells, cost_columns, per_dog_day
from raworder.studies.found import PIECES_ASIDE, Found
from raworder.trade import Scenario

MEANS = (
    "Every row is a cheapest order of its own, worked out anew; each holds by itself. What is on hand is used in all "
    "of them. `More` is against the cheapest order."
)
TOO_FEW = "no plan with so few, whichever they are"
LEAST = "Where there is no plan, a range is missed by so much at the least, by the dog that misses most."


@dataclass(frozen=True, slots=True)
class Compared:
    """What was found for every supplier alone, for at most so many, for each missing; and whether that is all."""

    alone: tuple[tuple[str, Found], ...]
    stops: tuple[tuple[int, Found], ...]
    missing: tuple[tuple[str, Found], ...]
    whole: bool = True


def suppliers_paper(scenario: Scenario, base: Plan, compared: Compared) -> Document:
    """The tables with what is to be known of them."""
    return paper(scenario, "suppliers", "Suppliers side by side", _blocks(scenario, base, compared))


def old_lists(scenario: Scenario) -> tuple[str, ...]:
    """The price lists that are doubted for their age when the batch begins."""
    dated = ((one, one.list_date) for one in scenario.suppliers if one.list_date is not None)
    return tuple(
        f"The price list of {one.name} is {age_days} days old when the batch begins, more than {OLD_LIST_DAYS}: ask "
        "for a new one before you rely on its prices."
        for one, listed_on in dated
        if (age_days := (scenario.batch.starts - listed_on).days) > OLD_LIST_DAYS
    )


def _blocks(scenario: Scenario, base: Plan, compared: Compared) -> Iterator[Block]:
    """What is compared, the three tables, and lists that are old."""
    yield Paragraph(_about(scenario, base))
    yield Paragraph(MEANS)
    yield _alone(scenario, base, compared)
    yield _stops(scenario, base, compared)
    yield _missing(scenario, base, compared)
    if any(lack.off_g for _, found in (*compared.alone, *compared.missing) for lack in found.lacks):
        yield Paragraph(LEAST)
    old = old_lists(scenario)
    if old:
        yield Points("old_lists", "Old price lists", old)


def _about(scenario: Scenario, base: Plan) -> str:
    """The cheapest order, and which limits of the scenario these tables leave aside."""
    money = scenario.currency
    sellers = listed([bill.supplier for bill in base.bills]) or "nobody, as all is on hand"
    proved = "" if base.proof.proved else " (not proved)"
    cost, a_dog_day = money.text(base.total), money.text(per_dog_day(scenario, base))
    says = [f"The cheapest order costs {cost}{proved}, {a_dog_day} a dog-day, from {sellers}."]
    if scenario.budget is not None:
        says.append(f"The budget of {money.text(scenario.budget)} limits no row; rows over it are marked.")
    if scenario.most_suppliers is not None:
        allowed = counted(scenario.most_suppliers, "supplier")
        says.append(f"The scenario allows at most {allowed}; the table of stops goes on beyond that.")
    if scenario.many_dogs:
        says.append(PIECES_ASIDE)
    return " ".join((*says, *base.remarks))


def _alone(scenario: Scenario, base: Plan, compared: Compared) -> Table:
    """Each supplier as the only one."""
    listed_on = {one.name: one.list_date for one in scenario.suppliers}
    rows = tuple(
        (name, _offers(scenario, name), listed_on[name], *cost_cells(scenario, base, found))
        for name, found in compared.alone
    )
    columns = (
        Column("supplier", "Supplier"),
        Column("offers", "Offers", Holds.COUNT),
        Column("list_date", "Price list", Holds.DAY, shown=any(isinstance(row[2], date) for row in rows)),
        *cost_columns(scenario),
    )
    return Table("alone", "Each supplier alone", columns, rows)


def _offers(scenario: Scenario, supplier: str) -> int:
    return sum(one.supplier == supplier for one in scenario.offers)


def _stops(scenario: Scenario, base: Plan, compared: Compared) -> Table:
    """The best few suppliers."""
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (most, _sellers(found), *_stop_cells(scenario, base, found)) for most, found in compared.stops
    )
    columns = (Column("most_stops", "At most", Holds.COUNT), Column("suppliers", "Best"), *cost_columns(scenario))
    note = "More stops than the last row make nothing cheaper." if compared.whole else ""
    return Table("stops", "The best few stops", columns, rows, note=note)


def _stop_cells(scenario: Scenario, base: Plan, found: Found) -> tuple[Cell, ...]:
    """What it costs; that there is no plan with so few, whichever they are."""
    cells = cost_cells(scenario, base, found)
    return (*cells[:-1], TOO_FEW) if isinstance(found.order, NoPlan) else cells


def _sellers(found: Found) -> str:
    """The suppliers of an order."""
    return ", ".join(bill.supplier for bill in found.order.bills) if isinstance(found.order, Plan) else ""


def _missing(scenario: Scenario, base: Plan, compared: Compared) -> Table:
    """Each supplier missing."""
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (name, _sellers(found), *cost_cells(scenario, base, found)) for name, found in compared.missing
    )
    columns = (Column("without", "Without"), Column("suppliers", "Then from"), *cost_columns(scenario))
    return Table("missing", "Each supplier missing", columns, rows)
