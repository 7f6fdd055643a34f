"""How the rules on an order give way: the budget, freezer room, number of suppliers, minimum orders, and stock."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from raworder.giving_way.demand import Changes, Level, Looser, Miss, OfScenario, SoftDemand
from raworder.giving_way.yaml_text import amount_text, stock_text, weight_text
from raworder.reporting.words import count_text, units_text
from raworder.solving.constraints import NamedRows
from raworder.solving.problem import GRAMS_PER_KG, Problem, kg_per_buy, row_name, total, units_per_buy
from raworder.trade.findings import Place
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import GRAMS_PER, grams_text

WEIGHT_STEP_G = 10
"""Room, and what is sold by weight, is written in so many grams."""

ROOM_KG, ROOM_LB = 5, 10
BY_WEIGHT_G = 1000
"""One step of worth: so much more room, and so much more of what is sold by weight."""

MINIMUM_LESS, MINIMUM_LESS_WHOLE = Decimal(10), Decimal(1000)
"""A minimum order is lowered by so much money; by the second in a currency without decimals, whose units are small."""

MOST_PER_ORDER = "Where the list has `most_per_order` too, raise it as well"
"""The smaller of both holds."""


class Money(SoftDemand, OfScenario):
    """A demand for an amount of money."""

    level: Decimal
    gives_way_first = True

    def step(self, scenario: Scenario) -> Fraction:
        """Money is written to the minor unit."""
        return Fraction(scenario.currency.minor)

    def nearest_level(self, scenario: Scenario, level: Fraction) -> Level:
        """An amount of money, of nothing at least."""
        return max(scenario.currency.rounded(level), Decimal(0))

    def level_text(self, scenario: Scenario, level: Level) -> str:
        """An amount with its currency."""
        return scenario.currency.text(level if isinstance(level, Decimal) else Decimal(0))

    def difference_text(self, scenario: Scenario, level: Level) -> str:
        """By how much money."""
        by = self.difference(level)
        return f"{scenario.currency.text(scenario.currency.rounded(abs(by)))} {'more' if by > 0 else 'less'}"


class Budget(Money):
    """The most that an order may cost; more to spend saves nothing, so worth has no step of it."""

    rule = "budget"
    says = "the order costs at most {level}"
    limits_cost = True

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["Budget"]:
        """The budget, if there is one."""
        if scenario.budget is not None:
            yield cls(scenario.budget)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another budget, or none."""
        return replace(scenario, budget=level if isinstance(level, Decimal) else None)

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """The bills come to no more than the budget, as far as that is not missed."""
        most = float(self.level) + problem.most_rounded_off
        yield "soft_budget", total([*((pay, 1) for pay in problem.pay.values()), (miss.unknown, -1)]) <= most

    def most_missed(self, problem: Problem) -> float:
        """All that can be bought at its dearest, twice, as taxes come on top, and every delivery."""
        goods = sum(most * price for offer in problem.offers for most, price in _most_of(problem, offer))
        return goods * 2 + sum(float(supplier.delivery) for supplier in problem.suppliers)

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The budget."""
        return f"budget: {amount_text(final, final.budget)}"


class Room(SoftDemand, OfScenario):
    """Room in the freezer, in grams."""

    level: int
    rule = "room"
    says = "all that must be kept frozen fits {level}"
    written_step = Fraction(WEIGHT_STEP_G)
    gives_way_first = True

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["Room"]:
        """The room, where it is limited."""
        if scenario.room_g is not None:
            yield cls(scenario.room_g)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with other room, or any."""
        return replace(scenario, room_g=None if level is None else int(level))

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """What is bought fits beside what is on hand, as far as that is not missed."""
        held_g = sum(lot.grams for lot in problem.scenario.on_hand)
        bought = ((amount, kg_per_buy(offer)) for offer in problem.offers for _, _, amount in problem.bought(offer))
        yield "soft_room", total([*bought, (miss.unknown, -1)]) <= (self.level - held_g) / GRAMS_PER_KG

    def most_missed(self, problem: Problem) -> float:
        """The kilograms of all that can be bought."""
        return sum(most * kg_per_buy(offer) for offer in problem.offers for most, _ in _most_of(problem, offer))

    def measure(self, _: Scenario) -> int:
        """The model counts kilograms."""
        return GRAMS_PER_KG

    @property
    def scale(self) -> float:
        """A part of the room, in kilograms as the model counts them."""
        return 1 / max(float(self.level) / GRAMS_PER_KG, 1.0)

    def level_text(self, scenario: Scenario, level: Level) -> str:
        """A weight."""
        return grams_text(int(level or 0), scenario.weight_unit)

    def difference_text(self, scenario: Scenario, level: Level) -> str:
        """By how much weight."""
        return f"{self.level_text(scenario, self.difference(level))} more"

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The freezer's room."""
        return f"freezer: {{room: {weight_text(final, final.room_g or 0)}}}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """A little more room in the freezer."""
        for room in cls.all_of(scenario):
            pounds = scenario.weight_unit == "lb"
            step_g = half_up(ROOM_LB * GRAMS_PER["lb"]) if pounds else ROOM_KG * 1000
            frozen_g = sum(lot.grams for lot in scenario.on_hand)
            frozen_g += sum(scenario.offer(line.offer).grams(line.units) for line in base.lines)
            limit = f"room for {room.level_text(scenario, room.level)} in the freezer"
            step = f"{room.level_text(scenario, step_g)} more"
            loose = room.set_level(scenario, room.level + step_g)
            yield Looser(cls.rule, limit, step, loose, frozen_g + step_g >= room.level)


class SupplierCount(SoftDemand, OfScenario):
    """The most suppliers that an order may come from."""

    level: int
    rule = "supplier_count"
    says = "at most {level}"
    is_missed_whole = True

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["SupplierCount"]:
        """The most suppliers, where they are limited."""
        if scenario.most_suppliers is not None:
            yield cls(scenario.most_suppliers)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another number of suppliers, or any."""
        return replace(scenario, most_suppliers=None if level is None else int(level))

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """No more suppliers are used, as far as that is not missed."""
        uses = ((use, 1) for use in problem.use.values())
        yield "soft_supplier_count", total([*uses, (miss.unknown, -1)]) <= self.level

    def most_missed(self, problem: Problem) -> float:
        """All suppliers that there are."""
        return float(len(problem.suppliers))

    def level_text(self, _: Scenario, level: Level) -> str:
        """So many suppliers."""
        return count_text(int(level or 0), "supplier")

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The most suppliers."""
        return f"most_suppliers: {final.most_suppliers}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """A supplier more."""
        for count in cls.all_of(scenario):
            if count.level < len(scenario.suppliers):
                loose, is_near = count.set_level(scenario, count.level + 1), len(base.bills) >= count.level
                yield Looser(cls.rule, count.text(scenario), "one more", loose, is_near)


class MinimumOrder(Money):
    """The least goods of a supplier that is used."""

    about: str
    rule = "minimum_order"
    says = "{word} gets an order of at least {level}"
    is_minimum = True
    asks_nothing_at = Decimal(0)

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["MinimumOrder"]:
        """Every supplier's minimum order."""
        yield from (
            cls(supplier.minimum_order, supplier.name) for supplier in scenario.suppliers if supplier.minimum_order
        )

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario in which the supplier has another minimum order."""
        least = level if isinstance(level, Decimal) else Decimal(0)
        suppliers = (
            replace(supplier, minimum_order=least) if supplier.name == self.about else supplier
            for supplier in scenario.suppliers
        )
        return replace(scenario, suppliers=tuple(suppliers))

    def soften(self, scenario: Scenario) -> Scenario:
        """The scenario as it is: its own row is missed, so that more than is fed may be bought to reach it."""
        return scenario

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """The rule's row as it stands, missed."""
        problem.lp.get_constraint_by_name(row_name("minimum_order", self.about)).addInPlace(miss.unknown)
        yield from ()

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """With the supplier."""
        return (scenario.supplier(self.about).place,)

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The supplier's minimum order."""
        return f"minimum_order: {amount_text(final, final.supplier(self.about).minimum_order)}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """A lower minimum order of one supplier."""
        money = scenario.currency
        for least in cls.all_of(scenario):
            less = min(MINIMUM_LESS if money.digits else MINIMUM_LESS_WHOLE, least.level)
            goods = sum((bill.goods for bill in base.bills if bill.supplier == least.about), Decimal(0))
            limit = f"{least.about}: orders of {money.text(least.level)} at least"
            loose = least.set_level(scenario, least.level - less)
            yield Looser(cls.rule, limit, f"{money.text(less)} less", loose, goods <= least.level + less)


class PackCount(SoftDemand, OfScenario):
    """What there is of an offer, in packs or units of weight."""

    level: int
    about: str
    rule = "pack_count"
    gives_way_first = True

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["PackCount"]:
        """Offers of which there is less than the dogs that may eat it eat altogether."""
        cuts = {cut.name: cut for cut in scenario.cuts}
        for limited in cls._limited(scenario):
            offer = scenario.offer(limited.about)
            eaten_g = sum(dog.batch_g for dog in scenario.dogs if not dog.goes_without(cuts[offer.cut]))
            if offer.unit_g * limited.level < eaten_g:
                yield limited

    @classmethod
    def _limited(cls, scenario: Scenario) -> Iterator["PackCount"]:
        """Offers of which there is only so much, and that are still to be bought."""
        for offer in scenario.offers:
            if offer.available is not None and offer.bought is None:
                yield cls(offer.available, offer.key)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario in which there is more of the offer, or any amount."""
        most = None if level is None else int(level)
        offers = (replace(offer, available=most) if offer.key == self.about else offer for offer in scenario.offers)
        return replace(scenario, offers=tuple(offers))

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """No more is bought than there is, as far as that is not missed."""
        offer = problem.scenario.offer(self.about)
        bought = ((amount, 1) for _, _, amount in problem.bought(offer))
        most = self.level / units_per_buy(offer)
        yield row_name("soft_pack_count", offer.key), total([*bought, (miss.unknown, -1)]) <= most

    def most_missed(self, problem: Problem) -> float:
        """The most of the offer that can be bought."""
        return sum(most for most, _ in _most_of(problem, problem.scenario.offer(self.about)))

    def measure(self, scenario: Scenario) -> int:
        """The model counts kilograms of what is sold by weight."""
        return units_per_buy(scenario.offer(self.about))

    def step(self, scenario: Scenario) -> Fraction:
        """A pack, or so much by weight as a person writes."""
        offer = scenario.offer(self.about)
        return Fraction(ceil(WEIGHT_STEP_G / offer.unit_g) if offer.by_weight else 1)

    def asks(self, scenario: Scenario, level: Level) -> str:
        """What the supplier has of it."""
        offer, units = scenario.offer(self.about), int(level or 0)
        much = f"{count_text(units, 'pack')} of {grams_text(offer.grams(1), scenario.weight_unit)}"
        if offer.by_weight:
            much = grams_text(offer.grams(units), scenario.weight_unit)
        return f"{offer.supplier} has at most {much} of {offer.item or offer.cut}"

    def difference_text(self, scenario: Scenario, level: Level) -> str:
        """By how many packs, or how much weight."""
        return f"{stock_text(scenario, scenario.offer(self.about), int(self.difference(level)))} more"

    def cautions(self) -> Iterator[str]:
        """A limit on an order that the lists may have twice."""
        yield MOST_PER_ORDER

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """In the offer's line."""
        return (scenario.offer(self.about).place,)

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """What is available of the offer."""
        offer = final.offer(self.about)
        return f"available: {stock_text(final, offer, offer.available or 0)}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """A unit more of what there is little of, or a kilogram."""
        for limited in cls._limited(scenario):
            offer, there = scenario.offer(limited.about), limited.level
            more = ceil(BY_WEIGHT_G / offer.unit_g) if offer.by_weight else 1
            bought = sum(line.units for line in base.lines if line.offer == offer.key)
            limit = f"{offer.supplier}: {offer.item}, {units_text(offer, there, scenario.weight_unit)} to be had"
            step = f"{units_text(offer, more, scenario.weight_unit)} more"
            yield Looser(cls.rule, limit, step, limited.set_level(scenario, there + more), bought + more > there)


def _most_of(problem: Problem, offer: Offer) -> list[tuple[float, float]]:
    """The most of an offer at each price, and the price."""
    return [(bought.upBound or 0.0, price) for bought, price in problem.goods_of(offer)]
