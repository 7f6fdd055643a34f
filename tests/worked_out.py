"""Papers of plans that tests make by hand: what follows from a plan is worked out first, as the workflow does."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from raworder.portioning.keeping import keep_cold
from raworder.reporting.after_the_shop import after_the_shop as _after_the_shop
from raworder.reporting.all_papers import bag_papers as _bag_papers
from raworder.reporting.all_papers import page_papers as _page_papers
from raworder.reporting.all_papers import papers as _papers
from raworder.reporting.bag_book import BagBook
from raworder.reporting.bag_book import bag_book as _bag_book
from raworder.reporting.bag_labels import bag_labels as _bag_labels
from raworder.reporting.bag_list import bag_list as _bag_list
from raworder.reporting.balanced_weeks import weeks as _weeks
from raworder.reporting.costs import costs as _costs
from raworder.reporting.counter_sheet import batch_cards as _batch_cards
from raworder.reporting.counter_sheet import counter_sheet as _counter_sheet
from raworder.reporting.counter_sheet import station_head as _station_head
from raworder.reporting.counter_sheet import weighing_question as _weighing_question
from raworder.reporting.freezing import freezing as _freezing
from raworder.reporting.fridge_door import fridge_door as _fridge_door
from raworder.reporting.kennels import kennels as _kennels
from raworder.reporting.kitchen import kitchen as _kitchen
from raworder.reporting.reminders import reminders as _reminders
from raworder.reporting.thaw_plan import thaw_plan as _thaw_plan
from raworder.studies.settling import OwnerShare, SettlingRules
from raworder.studies.settling import exact_shares as _exact_shares
from raworder.studies.settling import owner_shares as _owner_shares
from raworder.studies.settling import settle_bills as _settle
from raworder.trade.as_fed import as_fed
from raworder.trade.bags import NextWeighing
from raworder.trade.batch_facts import BatchFacts, Costs
from raworder.trade.document import Document
from raworder.trade.plan import Plan
from raworder.trade.purchase import AfterTheShop
from raworder.trade.scenario import Scenario
from raworder.workflow import facts_of

UNPAID = Costs((), Decimal(0), (), {}, {}, {})


def worked_out(scenario: Scenario, plan: Plan) -> Plan:
    """The plan with what follows from it; what its food holds stays as it is."""
    return replace(plan, worked_out=facts_of(scenario, plan))


def bag_book(scenario: Scenario, plan: Plan) -> BagBook:
    """The book of bags alone: tests of them need no order that could be paid for."""
    fed = as_fed(scenario, plan)
    facts = BatchFacts(fed, keep_cold(fed, plan), UNPAID)
    return _bag_book(replace(plan, worked_out=facts))


def thaw_plan(scenario: Scenario, plan: Plan) -> Document:
    return _thaw_plan(bag_book(scenario, plan))


def freezing(scenario: Scenario, plan: Plan) -> Document:
    return _freezing(bag_book(scenario, plan))


def fridge_door(scenario: Scenario, plan: Plan) -> Document:
    return _fridge_door(bag_book(scenario, plan))


def kitchen(scenario: Scenario, plan: Plan) -> Document:
    return _kitchen(bag_book(scenario, plan))


def kennels(scenario: Scenario, plan: Plan) -> Document | None:
    return _kennels(bag_book(scenario, plan))


def counter_sheet(scenario: Scenario, plan: Plan) -> Document:
    return _counter_sheet(bag_book(scenario, plan))


def batch_cards(scenario: Scenario, plan: Plan) -> Document | None:
    return _batch_cards(bag_book(scenario, plan))


def bag_list(scenario: Scenario, plan: Plan) -> Document:
    return _bag_list(bag_book(scenario, plan))


def reminders(scenario: Scenario, plan: Plan) -> Document:
    return _reminders(bag_book(scenario, plan))


def weeks(scenario: Scenario, plan: Plan) -> Document:
    return _weeks(bag_book(scenario, plan))


def bag_labels(scenario: Scenario, plan: Plan, *given: Any, **named: Any) -> Document:
    return _bag_labels(bag_book(scenario, plan), *given, **named)


def weighing_question(scenario: Scenario, plan: Plan, due: NextWeighing) -> str:
    """What is asked at the scale."""
    return _weighing_question(bag_book(scenario, plan).plan, due)


def station_head(scenario: Scenario, plan: Plan, station: int) -> str:
    return _station_head(bag_book(scenario, plan).plan, station)


def after_the_shop(scenario: Scenario, after: AfterTheShop, plan: Plan | None = None) -> Document:
    return _after_the_shop(scenario, after, bag_book(scenario, plan).plan if plan else None)


def costs(scenario: Scenario, plan: Plan) -> Document:
    known = worked_out(scenario, plan)
    return _costs(known.facts.scenario, known)


def papers(scenario: Scenario, plan: Plan) -> tuple[Document, ...]:
    return _papers(worked_out(scenario, plan))


def bag_papers(scenario: Scenario, plan: Plan) -> tuple[Document, ...]:
    return _bag_papers(worked_out(scenario, plan))


def page_papers(scenario: Scenario, plan: Plan, beside: Mapping[str, Document]) -> tuple[Document, ...]:
    return _page_papers(worked_out(scenario, plan), {key: (document,) for key, document in beside.items()})


def settle(scenario: Scenario, plan: Plan, *given: Any, **named: Any) -> Document:
    return _settle(worked_out(scenario, plan), *given, **named)


def owner_shares(scenario: Scenario, plan: Plan, rules: SettlingRules) -> tuple[OwnerShare, ...]:
    return _owner_shares(worked_out(scenario, plan), rules)


def exact_shares(scenario: Scenario, plan: Plan, rules: SettlingRules) -> Any:
    return _exact_shares(worked_out(scenario, plan), rules)


def shares_of_bill(scenario: Scenario, plan: Plan) -> tuple[tuple[Decimal, ...], Decimal]:
    """What each dog bears, and what is left over."""
    found = facts_of(scenario, plan).costs
    return found.dogs, found.left_over


def all_in(scenario: Scenario, plan: Plan) -> dict[str, Decimal]:
    """What each owner bears with the left over shared out."""
    return dict(facts_of(scenario, plan).costs.owners)
