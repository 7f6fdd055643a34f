"""Prices to ask for: below which an offer not bought would be bought, and above which a bought one would not."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from raworder.reporting.summary import rounding_reasons
from raworder.reporting.words import count_text, paper, price_text, units_text
from raworder.solving.asked_price import AskedPrice, LeastCost, PriceQuestion, asked_price, guess_worth, least_cost
from raworder.solving.compared import is_near_enough
from raworder.solving.search import Impossible, Start
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.orders import PIECES_ASIDE, audited_plan, start_of
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.plan import Plan, Unsolved
from raworder.trade.scenario import Offer, PriceStep, Scenario, Supplier
from raworder.trade.units import GRAMS_PER, Currency

NEARLY = Fraction(1, 50)
"""Listed prices this near to an exact one, in parts of the minor unit, count as equal: at that price the order costs
as much with the offer as without it."""


def unit_price_at(offer: Offer, listed: Decimal, currency: Currency) -> Fraction:
    """What a unit of the offer costs at a listed price, which is for what its first price step is for.

    A pack sold at a price by weight is charged to the minor unit.
    """
    step, per_unit = offer.steps[0], _units_of_basis(offer)
    exact = Fraction(listed) * per_unit
    return exact if offer.by_weight or step.per == "pack" else Fraction(currency.rounded(exact))


def fineness(offer: Offer, currency: Currency) -> Fraction:
    """How much dearer a unit gets when the listed price rises by one minor unit."""
    return Fraction(currency.minor) * _units_of_basis(offer)


def listed_below(offer: Offer, unit_price: Fraction, currency: Currency) -> Decimal | None:
    """The highest listed price at which a unit costs less than this; None where none is low enough."""
    # Starts at or above the answer, as the price of a pack is rounded, and goes down to it.
    below = unit_price - NEARLY * fineness(offer, currency)
    listed = (floor(below / fineness(offer, currency)) + _rounded_off(offer) + 1) * currency.minor
    while listed >= 0 and unit_price_at(offer, listed, currency) >= below:
        listed -= currency.minor
    return listed if listed >= 0 else None


def listed_above(offer: Offer, unit_price: Fraction, currency: Currency) -> Decimal:
    """The lowest listed price at which a unit costs more than this."""
    above = unit_price + NEARLY * fineness(offer, currency)
    listed = max(floor(above / fineness(offer, currency)) - _rounded_off(offer), 0) * currency.minor
    while unit_price_at(offer, listed, currency) <= above:
        listed += currency.minor
    return listed


def _rounded_off(offer: Offer) -> int:
    """The most minor units of the listed price that the rounding of a pack's price can come to."""
    return 0 if offer.by_weight else ceil(Fraction(1, 2) / _units_of_basis(offer))


def _units_of_basis(offer: Offer) -> Fraction:
    """How much a unit holds of what the listed price is for: one pack, or a number of kilograms, pounds or ounces."""
    step = offer.steps[0]
    if step.per == "pack":
        return Fraction(1)
    if offer.by_weight and step.listed:
        return step.unit_price / Fraction(step.listed)
    return offer.unit_g / (Fraction(100) if step.per == "100 g" else GRAMS_PER[step.per])


ONE_AT_A_TIME = (
    "Each price holds with all others as listed: once one has changed, ask again. It is one price for any amount, "
    "without price breaks, before sales tax."
)
AT_LIST_PRICE = "Minimum orders and free delivery still count the offer at its list price."
FROM_HERE = "At this price or less the cheapest order buys it. At any higher price it is no cheaper than doing without."
UP_TO_HERE = "At this price or more an order without it is cheaper."
NOT_BOUGHT = "Worth buying below"
BOUGHT = "Stop buying above"
BY_BUDGET = "no order fits the budget"
BY_OTHERS = "an order without it costs less"
BEFORE_ROUNDING = "Where the budget is in the way, the price may be off by what rounding the lines comes to."
TO_THE_CENT = (
    "Prices are worked out before lines and taxes are rounded: within such a rounding, the printed bill decides what "
    "is bought."
)
NEAR_ORDERS = (
    "With so many dogs orders are near the cheapest, not proved to the cent: at each of these prices buying the offer "
    "and doing without it cost the same to within {off}."
)
NOT_PROVED = "not proved"
"""What stands beside a price that the time limit left unproved."""


@dataclass(frozen=True, slots=True)
class Entering:
    """An offer not bought: the highest listed price at which it would be, None if at none, and how much then.

    At that price orders with it and without it cost the same but for what they may be `off` at most.
    """

    offer: Offer
    listed: Decimal | None
    units: Fraction
    proved: bool
    off: Fraction = Fraction(0)

    @property
    def fall_share(self) -> Fraction:
        """The share by which its list price has to fall."""
        now = Fraction(self.offer.steps[0].listed)
        return (now - Fraction(self.listed or 0)) / now if now else Fraction(0)


@dataclass(frozen=True, slots=True)
class Leaving:
    """An offer bought: the lowest listed price at which it would not be, None if at none."""

    offer: Offer
    units: int
    step: PriceStep
    listed: Decimal | None
    by_budget: bool
    proved: bool
    off: Fraction = Fraction(0)

    @property
    def rise_share(self) -> Fraction:
        """The share by which the price paid can rise."""
        now = Fraction(self.step.listed)
        return (Fraction(self.listed or 0) - now) / now if now else Fraction(0)


def prices_paper(scenario: Scenario, entered: Sequence[Entering], left: Sequence[Leaving], open_: int) -> Document:
    """The paper of prices, by supplier, the smallest changes first; `open_` counts the offers without an answer."""
    return paper(scenario, "prices_to_ask", "Prices to ask for", _blocks(scenario, entered, left, open_))


def _blocks(scenario: Scenario, entered: Sequence[Entering], left: Sequence[Leaving], open_: int) -> Iterator[Block]:
    """The two tables, the offers that no price changes anything about, and how far the figures hold."""
    buys = sorted((buy for buy in entered if buy.listed is not None), key=_nearest_buy_first)
    leaves = sorted((sale for sale in left if sale.listed is not None), key=_nearest_leave_first)
    if buys:
        yield _entering_table(scenario, buys)
    never = (buy for buy in entered if buy.listed is None)
    yield from _points("never_bought", "Not even as a gift", scenario, never)
    if leaves:
        yield _leaving_table(scenario, leaves)
    always = (sale for sale in left if sale.listed is None)
    yield from _points("always_bought", "Buy at any price: there is no order without it", scenario, always)
    if buys or leaves:
        yield Paragraph(ONE_AT_A_TIME)
    if any(map(_has_threshold, scenario.suppliers)):
        yield Paragraph(AT_LIST_PRICE)
    if (buys or leaves) and any(rounding_reasons(scenario)):
        yield Paragraph(TO_THE_CENT)
    yield from _nearness(scenario, [*(buy.off for buy in buys), *(sale.off for sale in leaves)])
    if open_:
        yield Paragraph(f"This is not all: {count_text(open_, 'offer')} could not be answered in time.")


def _nearness(scenario: Scenario, off: Iterable[Fraction]) -> Iterator[Paragraph]:
    """How near the prices are where orders are only near the cheapest."""
    money, most = scenario.currency, max(off, default=Fraction(0))
    if most:
        yield Paragraph(f"{NEAR_ORDERS.format(off=money.text(money.rounded_up(most)))} {PIECES_ASIDE}")


def _nearest_buy_first(buy: Entering) -> tuple[str, Fraction, str]:
    """By supplier, the smallest fall in price first."""
    return buy.offer.supplier, buy.fall_share, buy.offer.key


def _nearest_leave_first(sale: Leaving) -> tuple[str, Fraction, str]:
    """By supplier, the smallest rise in price first."""
    return sale.offer.supplier, sale.rise_share, sale.offer.key


def _entering_table(scenario: Scenario, rows: Sequence[Entering]) -> Table:
    """The offers not bought, each with the price that would change that."""
    code = scenario.currency.code
    columns = (
        Column("supplier", "Supplier"),
        Column("item", "Item"),
        Column("listed", f"Listed {code}", Holds.MONEY),
        Column("price_for", "For"),
        Column("asked", f"Ask for {code}", Holds.MONEY),
        Column("fall_share", "Less by", Holds.SHARE),
        Column("then_bought", "Then buy"),
        Column("doubt", "Doubt", shown=any(not entering.proved for entering in rows)),
        Column("offer", "Offer", shown=False),
    )
    cells = tuple(_entering_row(scenario, entering) for entering in rows)
    return Table("not_bought", NOT_BOUGHT, columns, cells, note=FROM_HERE)


def _entering_row(scenario: Scenario, entry: Entering) -> tuple[Cell, ...]:
    """An offer that is not bought."""
    offer, step = entry.offer, entry.offer.steps[0]
    then = units_text(offer, ceil(entry.units), scenario.weight_unit)
    cells = (offer.supplier, offer.item, step.listed, _basis_text(scenario, offer, step))
    return (*cells, entry.listed, entry.fall_share, then, "" if entry.proved else NOT_PROVED, offer.key)


def _leaving_table(scenario: Scenario, rows: Sequence[Leaving]) -> Table:
    """The offers bought, each with the price that would change that."""
    code = scenario.currency.code
    by_budget = any(leaving.by_budget for leaving in rows)
    columns = (
        Column("supplier", "Supplier"),
        Column("item", "Item"),
        Column("bought", "To buy", shown=False),
        Column("listed", f"Listed {code}", Holds.MONEY),
        Column("price_for", "For"),
        Column("leaves_at", f"Stop at {code}", Holds.MONEY),
        Column("rise_share", "More by", Holds.SHARE),
        Column("because", "Because then", shown=by_budget),
        Column("doubt", "Doubt", shown=any(not leaving.proved for leaving in rows)),
        Column("offer", "Offer", shown=False),
    )
    cells = tuple(_leaving_row(scenario, leaving) for leaving in rows)
    return Table("bought", BOUGHT, columns, cells, note=BEFORE_ROUNDING if by_budget else UP_TO_HERE)


def _leaving_row(scenario: Scenario, exit_: Leaving) -> tuple[Cell, ...]:
    """An offer that is bought."""
    offer, step = exit_.offer, exit_.step
    bought = units_text(offer, exit_.units, scenario.weight_unit)
    cells = (offer.supplier, offer.item, bought, step.listed, _basis_text(scenario, offer, step))
    because = BY_BUDGET if exit_.by_budget else BY_OTHERS
    return (*cells, exit_.listed, exit_.rise_share, because, "" if exit_.proved else NOT_PROVED, offer.key)


def _points(key: str, title: str, scenario: Scenario, answers: Iterable[Entering | Leaving]) -> Iterator[Block]:
    """Offers that no price changes anything about."""
    answers = tuple(answers)
    doubtful = {answer.offer.key for answer in answers if answer.off and not answer.proved}
    offers = sorted((answer.offer for answer in answers), key=lambda offer: (offer.supplier, offer.item, offer.key))
    if offers:
        items = (
            f"{offer.supplier}: {offer.item}, {price_text(offer, offer.steps[0], scenario.weight_unit)}"
            f"{f', {NOT_PROVED}' if offer.key in doubtful else ''}"
            for offer in offers
        )
        yield Points(key, title, tuple(items))


def _basis_text(scenario: Scenario, offer: Offer, step: PriceStep) -> str:
    """What a listed price is for: `kg`, or `pack of 1 kg`."""
    pack = units_text(offer, 1, scenario.weight_unit).removeprefix("1 ")
    return pack if step.per == "pack" else step.per.removeprefix("per ")


def _has_threshold(supplier: Supplier) -> bool:
    """Whether the supplier has a minimum order, or free delivery from an amount."""
    return bool(supplier.minimum_order) or supplier.free_delivery_from is not None


@dataclass(frozen=True, slots=True)
class _Start:
    """What is known before any price is asked for: the least cost, and guesses at what each offer is worth."""

    least: LeastCost | Impossible | Unsolved
    worth: tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, slots=True)
class _ExitPrice:
    """The price at which an offer that is bought would not be, and whether the budget sets it."""

    asked: AskedPrice | Impossible | Unsolved | None
    by_budget: bool
    proved: bool
    off: Fraction = Fraction(0)


def prices_to_ask(
    scenario: Scenario, base: Plan, ask: Ask, *, suppliers: Sequence[str] = (), cuts: Sequence[str] = ()
) -> Document:
    """For each offer the price at which it comes into the cheapest order, or goes out of it, one at a time.

    Only offers of these suppliers and of these cuts, where some are named. Where dogs are many, what is bought is asked
    about first, then the offers that are nearest to being bought, for who does not wait for all.
    """
    units = {line.offer: line.units for line in base.lines}
    offers = tuple(_asked_about(scenario, suppliers, cuts))
    is_near = is_near_enough(scenario, ask.settings)
    start = start_of(base) if is_near else ()
    begun = ask([Task("start", find_start, (scenario, offers, ask.settings, start))]).get("start")
    if begun is None or not isinstance(begun.least, LeastCost):
        return prices_paper(scenario, (), (), len(offers))
    least, worth = begun.least, dict(begun.worth)
    if is_near:
        units = {offer.key: bought for offer in offers if (bought := _units_in(least, offer))}
        offers = tuple(sorted(offers, key=lambda offer: 0 if offer.key in units else _guessed_fall(offer, worth)))
    tasks: list[Task[Entering | Leaving | None]] = [
        Task(offer.key, find_leaving_price, (scenario, offer, units[offer.key], least, ask.settings))
        if offer.key in units
        else Task(offer.key, find_entering_price, (scenario, offer, least, _first_try(offer, worth), ask.settings))
        for offer in offers
    ]
    answers = tuple(answer for answer in ask(tasks).values() if answer is not None)
    entered = tuple(answer for answer in answers if isinstance(answer, Entering))
    left = tuple(answer for answer in answers if isinstance(answer, Leaving))
    return prices_paper(scenario, entered, left, len(offers) - len(answers))


def _units_in(least: LeastCost, offer: Offer) -> int:
    """The units of an offer in the order before pieces are shared out, which is not quite the one that is planned."""
    return dict(least.start).get(offer.key, 0)


def _guessed_fall(offer: Offer, worth: Mapping[str, Fraction]) -> Fraction:
    """The share by which its price has to fall, as far as that can be guessed."""
    price = offer.steps[0].unit_price
    return 1 - _first_try(offer, worth) / price if price else Fraction(0)


def find_start(scenario: Scenario, offers: Sequence[Offer], settings: Settings, start: Start = ()) -> _Start:
    """The least cost, as exact as the finest price needs, and first guesses at what the offers are worth."""
    finest = min((_gap(scenario, offer) for offer in offers), default=Fraction(scenario.currency.minor))
    return _Start(least_cost(scenario, finest, settings, start), tuple(guess_worth(scenario, settings).items()))


def find_entering_price(
    scenario: Scenario, offer: Offer, least: LeastCost, first_try: Fraction, settings: Settings
) -> Entering | None:
    """The price at which an offer that is not bought would be; None where the time limit came first."""
    # no order without it costs less than this, so that one which costs no more is surely the cheapest
    limit = least.cost - least.off
    question = PriceQuestion(offer.key, limit, first_try, _gap(scenario, offer), start=least.start)
    asked = asked_price(scenario, question, settings)
    if isinstance(asked, Unsolved):
        return None
    if isinstance(asked, Impossible):
        return Entering(offer, None, Fraction(0), least.proved)
    audited_plan(_at_list_prices(scenario), asked.allocation)
    listed, off = listed_below(offer, asked.unit_price, scenario.currency), least.off + asked.off
    is_surely_none = not off or listed is not None or not asked.off
    return Entering(offer, listed, asked.units, asked.proved and least.proved and is_surely_none, off)


def find_leaving_price(
    scenario: Scenario, offer: Offer, units: int, least: LeastCost, settings: Settings
) -> Leaving | None:
    """The price at which an offer that is bought would not be; None where the time limit came first."""
    exit_ = _exit_price(scenario, offer, units, least, settings)
    step = offer.step_for(units)
    if exit_.asked is None:
        return Leaving(offer, units, step, None, by_budget=False, proved=exit_.proved)
    if not isinstance(exit_.asked, AskedPrice):
        return None
    audited_plan(_at_list_prices(scenario), exit_.asked.allocation)
    listed = listed_above(offer, exit_.asked.unit_price, scenario.currency)
    proved, off = exit_.proved and exit_.asked.proved, max(exit_.off, exit_.asked.off)
    return Leaving(offer, units, step, listed, exit_.by_budget, proved, off)


def _exit_price(scenario: Scenario, offer: Offer, units: int, least: LeastCost, settings: Settings) -> _ExitPrice:
    """The price of the offer at which the order costs as much as one without it, or the budget if that is less."""
    fine = _gap(scenario, offer)
    others = tuple(other for other in scenario.offers if other.key != offer.key)
    without = least_cost(replace(scenario, offers=others, budget=None), fine, settings)
    if isinstance(without, Unsolved):
        return _ExitPrice(without, by_budget=False, proved=False)
    limits = [without.cost] if isinstance(without, LeastCost) else []
    if scenario.budget is not None:
        limits.append(Fraction(scenario.budget))
    if not limits:
        return _ExitPrice(None, by_budget=False, proved=True)
    limit = min(limits)
    by_budget = not isinstance(without, LeastCost) or limit < without.cost
    taxed = 1 + scenario.supplier(offer.supplier).sales_tax
    first_try = offer.step_for(units).unit_price + (limit - least.cost) / (taxed * units)
    question = PriceQuestion(offer.key, limit, first_try, fine, bears=True, start=least.start)
    asked = asked_price(scenario, question, settings)
    proved = least.proved and (by_budget or (isinstance(without, LeastCost) and without.proved))
    # the limit counts trips, which are not paid: the budget might bear a little more
    off = without.off if isinstance(without, LeastCost) and not by_budget else Fraction(0)
    return _ExitPrice(asked, by_budget, proved and not (by_budget and scenario.has_trips), off)


def _asked_about(scenario: Scenario, suppliers: Sequence[str], cuts: Sequence[str]) -> Iterable[Offer]:
    """The offers asked about that can still be bought."""
    for offer in scenario.offers:
        named = (not suppliers or offer.supplier in suppliers) and (not cuts or offer.cut in cuts)
        if named and offer.available != 0 and offer.bought is None:
            yield offer


def _first_try(offer: Offer, worth: Mapping[str, Fraction]) -> Fraction:
    """A guess at what the offer is worth, at most its price."""
    price = offer.steps[0].unit_price
    return min(worth.get(offer.key, price), price)


def _gap(scenario: Scenario, offer: Offer) -> Fraction:
    """The smallest difference in a unit's price that matters."""
    return min(fineness(offer, scenario.currency), Fraction(scenario.currency.minor))


def _at_list_prices(scenario: Scenario) -> Scenario:
    """The scenario by which an order at an asked price is audited.

    Minimum orders and free delivery count list prices, so it is audited at those; without the budget, which it keeps at
    the asked price only.
    """
    return replace(scenario, budget=None)
