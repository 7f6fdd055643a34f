"""What each owner holds of a shared order: the own page, the own payments, and what going alone would cost."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

from raworder.reporting.household import Alone, Dues, household_page
from raworder.reporting.own_freezer import owner_names
from raworder.studies.asking import Ask
from raworder.studies.orders import FoundOrder, find_orders, lacks_text
from raworder.studies.settling import SettlingRules, owner_shares, payments_due
from raworder.trade.document import Document, Paragraph, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario

BELOW_MINIMUM = "your order alone would stay below a minimum order"
"""Why an owner cannot go alone, where an order could be had without minimum orders."""


def household_pages(scenario: Scenario, plan: Plan, ask: Ask | None = None) -> tuple[Document, ...]:
    """A page for each owner, where at least two are named; with what going alone would cost where that can be asked."""
    names = owner_names(scenario)
    return pages_of(scenario, plan, names, ask) if len(names) > 1 else ()


def pages_of(scenario: Scenario, plan: Plan, names: tuple[str, ...], ask: Ask | None = None) -> tuple[Document, ...]:
    """The pages of these owners; what going alone would cost is not asked for many dogs, nor after the shop."""
    shares = owner_shares(plan, SettlingRules())
    payments = payments_due(plan, shares)
    asks = ask if scenario.proved_to_the_cent and not scenario.shop_signs and len(owner_names(scenario)) > 1 else None
    alone = cost_alone(scenario, names, asks) if asks else {}
    dues = {
        share.owner: Dues(
            share.food, share.left_over, share.delivery, share.tax,
            tuple((payee, amount) for payer, payee, amount in payments if payer == share.owner),
            tuple((payer, amount) for payer, payee, amount in payments if payee == share.owner),
        )
        for share in shares
    }  # fmt: skip
    return tuple(household_page(plan, name, dues[name], alone.get(name)) for name in names)


def cost_alone(scenario: Scenario, names: tuple[str, ...], ask: Ask) -> dict[str, Alone]:
    """What the cheapest order for each owner's dogs alone would cost, or why there is none; fewer after an interrupt.

    The same offers, terms and rules for dogs; of what is on hand only the owner's own, and no limit of room or money.
    """
    alone = {name: _alone(scenario, name) for name in names}
    found = find_orders(alone, ask, handy=False)
    hopeless = {name: _without_minimum(alone[name]) for name, order in found.items() if not _cost(order)}
    freed = find_orders(hopeless, ask, handy=False)
    return {
        name: _cost(order) or Alone(None, _why_not(alone[name], order, freed.get(name)))
        for name, order in found.items()
    }


def _alone(scenario: Scenario, name: str) -> Scenario:
    """The scenario with one owner's dogs and own lots."""
    return replace(
        scenario,
        dogs=tuple(dog for dog in scenario.dogs if dog.owner == name),
        on_hand=tuple(lot for lot in scenario.on_hand if lot.owner == name),
        room_g=None,
        budget=None,
    )


def _without_minimum(scenario: Scenario) -> Scenario:
    """The scenario in which no supplier has a minimum order."""
    return replace(scenario, suppliers=tuple(replace(one, minimum_order=Decimal(0)) for one in scenario.suppliers))


def _cost(found: FoundOrder) -> Alone | None:
    """What an order costs; None where there is none."""
    return Alone(found.order.total) if isinstance(found.order, Plan) else None


def _why_not(scenario: Scenario, found: FoundOrder, freed: FoundOrder | None) -> str:
    """Why an owner cannot go alone, for the middle of a sentence."""
    if freed is not None and _cost(freed):
        return BELOW_MINIMUM
    return lacks_text(scenario, found.lacks)


OF_OWNER: Mapping[str, int] = MappingProxyType({"by_owner": 1, "balances": 1, "payments": 2})
"""The tables of who pays what whose lines are about an owner, with how many of their columns name one."""


def lines_of_owner(document: Document, owner: str) -> Document:
    """The paper of who pays what with the lines of one owner alone: what is borne, paid and owed, and the rules."""
    blocks = [block for block in document.blocks if isinstance(block, Table) and block.key in OF_OWNER]
    own = [
        replace(block, rows=tuple(row for row in block.rows if owner in row[: OF_OWNER[block.key]]), totals=(), note="")
        for block in blocks
    ]
    kept = [block for block in own if block.rows]
    owes = () if any(block.key == "payments" for block in kept) else (Paragraph(f"{owner} owes nothing."),)
    return replace(document, title=f"{document.title}: {owner}", blocks=(*kept, *owes, document.blocks[-1]))
