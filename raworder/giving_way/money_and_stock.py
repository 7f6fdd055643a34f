"""How the rules on an order give way: budget, room, suppliers, cuts, minimum orders, stock and least lines."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

import pulp

from raworder.giving_way.demand import Changes, Level, Looser, Miss, OfScenario, SoftDemand
from raworder.giving_way.yaml_text import amount_text, stock_text, weight_text
from raworder.reporting.words import count_text, units_text
from raworder.solving.constraints import NamedRows, cut_switch_rows
from raworder.solving.problem import GRAMS_PER_KG, Problem, kg_per_buy, most_units, row_name, total, units_per_buy
from raworder.trade.findings import Place
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import GRAMS_PER, grams_text

WEIGHT_STEP_G = 10
"""The step in grams in which people write freezer room and amounts sold by weight."""

ROOM_KG, ROOM_LB = 5, 10
BY_WEIGHT_G = 1000
"""The steps in the study of what one more is worth: more room, and more of what is sold by weight."""

MINIMUM_LESS, MINIMUM_LESS_WHOLE = Decimal(10), Decimal(1000)
"""The steps for a minimum order; the second for a currency without decimals, whose units are small."""

MOST_PER_ORDER = "Where the list has `most_per_order` too, raise it as well"
"""Said because the smaller of the two holds."""


class Money(SoftDemand, OfScenario):
    """A demand on an amount of money."""

    level: Decimal
    gives_way_first = True

    def step(self, scenario: Scenario) -> Fraction:
        """The minor unit of the currency."""
        return Fraction(scenario.currency.minor)

    def nearest_level(self, scenario: Scenario, level: Fraction) -> Level:
        """The amount rounded to the minor unit, and not below zero."""
        return max(scenario.currency.rounded(level), Decimal(0))

    def level_text(self, scenario: Scenario, level: Level) -> str:
        """The amount with its currency."""
        return scenario.currency.text(level if isinstance(level, Decimal) else Decimal(0))

    def difference_text(self, scenario: Scenario, level: Level) -> str:
        """The difference in money: `2.50 EUR more`."""
        by = self.difference(level)
        return f"{scenario.currency.text(scenario.currency.rounded(abs(by)))} {'more' if by > 0 else 'less'}"


class Budget(Money):
    """The most that an order may cost. More to spend saves nothing, so it has no step in the study of worth."""

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
        """All bills come to at most the budget plus the miss."""
        most = float(self.level) + problem.most_rounded_off
        yield "soft_budget", total([*((pay, 1) for pay in problem.pay.values()), (miss.unknown, -1)]) <= most

    def most_missed(self, problem: Problem) -> float:
        """Every delivery, and twice the price of all that can be bought: room enough for any sales tax."""
        goods = sum(most * price for offer in problem.offers for most, price in _most_at_prices(problem, offer))
        return goods * 2 + sum(float(supplier.delivery) for supplier in problem.suppliers)

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The `budget` entry."""
        return f"budget: {amount_text(final, final.budget)}"


class Room(SoftDemand, OfScenario):
    """Room in the freezer, in grams."""

    level: int
    rule = "room"
    says = "the freezer holds {level}"
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
        """What is bought fits beside what is on hand into the room plus the miss."""
        held_g = sum(lot.grams for lot in problem.scenario.on_hand)
        bought = ((amount, kg_per_buy(offer)) for offer in problem.offers for _, _, amount in problem.bought(offer))
        yield "soft_room", total([*bought, (miss.unknown, -1)]) <= (self.level - held_g) / GRAMS_PER_KG

    def most_missed(self, problem: Problem) -> float:
        """All that can be bought, in kilograms."""
        return sum(most * kg_per_buy(offer) for offer in problem.offers for most, _ in _most_at_prices(problem, offer))

    def measure(self, _: Scenario) -> int:
        """Grams in a kilogram, in which the model counts."""
        return GRAMS_PER_KG

    @property
    def scale(self) -> float:
        """Makes the miss a part of the room, in kilograms as in the model."""
        return 1 / max(float(self.level) / GRAMS_PER_KG, 1.0)

    def level_text(self, scenario: Scenario, level: Level) -> str:
        """The level as a weight."""
        return grams_text(int(level or 0), scenario.weight_unit)

    def difference_text(self, scenario: Scenario, level: Level) -> str:
        """The difference as a weight."""
        return f"{self.level_text(scenario, self.difference(level))} more"

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The `freezer` entry."""
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
        """The suppliers used are at most the level plus the miss."""
        uses = ((use, 1) for use in problem.use.values())
        yield "soft_supplier_count", total([*uses, (miss.unknown, -1)]) <= self.level

    def most_missed(self, problem: Problem) -> float:
        """The number of suppliers."""
        return float(len(problem.suppliers))

    def level_text(self, _: Scenario, level: Level) -> str:
        """The number with its word: `2 suppliers`."""
        return count_text(int(level or 0), "supplier")

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The `most_suppliers` entry."""
        return f"most_suppliers: {final.most_suppliers}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """One supplier more."""
        for count in cls.all_of(scenario):
            if count.level < len(scenario.suppliers):
                loose, is_near = count.set_level(scenario, count.level + 1), len(base.bills) >= count.level
                yield Looser(cls.rule, count.text(scenario), "one more", loose, is_near)


class CutCount(SoftDemand, OfScenario):
    """The most different cuts that an order may hold."""

    level: int
    rule = "cut_count"
    says = "buy at most {level}"
    is_missed_whole = True

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["CutCount"]:
        """The most cuts, where they are limited."""
        if scenario.most_cuts is not None:
            yield cls(scenario.most_cuts)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another number of cuts, or any."""
        return replace(scenario, most_cuts=None if level is None else int(level))

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """The cuts bought are at most the level plus the miss; each gets its switch here."""
        for number, cut in enumerate(dict.fromkeys(offer.cut for offer in problem.offers)):
            problem.cut_bought[cut] = problem.lp.add_variable(f"soft_cut_bought_{number}", 0, 1, pulp.LpBinary)
        yield from cut_switch_rows(problem)
        bought = ((switch, 1) for switch in problem.cut_bought.values())
        yield "soft_cut_count", total([*bought, (miss.unknown, -1)]) <= self.level

    def most_missed(self, problem: Problem) -> float:
        """The number of cuts that are sold."""
        return float(len({offer.cut for offer in problem.offers}))

    def level_text(self, _: Scenario, level: Level) -> str:
        """The number with its word: `8 cuts`."""
        return count_text(int(level or 0), "cut")

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The `most_cuts` entry."""
        return f"most_cuts: {final.most_cuts}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """One cut more."""
        for count in cls.all_of(scenario):
            if count.level < len({offer.cut for offer in scenario.offers}):
                bought = {scenario.offer(line.offer).cut for line in base.lines}
                loose = count.set_level(scenario, count.level + 1)
                yield Looser(cls.rule, count.text(scenario), "one more", loose, len(bought) >= count.level)


class MinimumOrder(Money):
    """The minimum order of a supplier."""

    about: str
    rule = "minimum_order"
    says = "{word} gets an order of at least {level}"
    is_minimum = True
    asks_nothing_at = Decimal(0)

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["MinimumOrder"]:
        """The minimum order of every supplier that has one."""
        yield from (
            cls(supplier.minimum_order, supplier.name) for supplier in scenario.suppliers if supplier.minimum_order
        )

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another minimum order at the supplier."""
        least = level if isinstance(level, Decimal) else Decimal(0)
        suppliers = (
            replace(supplier, minimum_order=least) if supplier.name == self.about else supplier
            for supplier in scenario.suppliers
        )
        return replace(scenario, suppliers=tuple(suppliers))

    def soften(self, scenario: Scenario) -> Scenario:
        """The scenario as it is, as the rule's own row is missed; more than is fed may still be bought to reach it."""
        return scenario

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """No new row: the rule's own row gets the miss."""
        problem.lp.get_constraint_by_name(row_name("minimum_order", self.about)).addInPlace(miss.unknown)
        yield from ()

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """The place of the supplier."""
        return (scenario.supplier(self.about).place,)

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The `minimum_order` entry of the supplier."""
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
    """How much of an offer is available, in packs or units of weight."""

    level: int
    about: str
    rule = "pack_count"
    gives_way_first = True

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["PackCount"]:
        """The offers of which there is less than all that the dogs that may eat it eat."""
        cuts = {cut.name: cut for cut in scenario.cuts}
        for limited in cls._limited_offers(scenario):
            offer = scenario.offer(limited.about)
            eaten_g = sum(dog.batch_g for dog in scenario.dogs if not dog.goes_without(cuts[offer.cut]))
            if offer.unit_g * limited.level < eaten_g:
                yield limited

    @classmethod
    def _limited_offers(cls, scenario: Scenario) -> Iterator["PackCount"]:
        """The offers that are limited and still to be bought."""
        for offer in scenario.offers:
            if offer.available is not None and offer.bought is None:
                yield cls(offer.available, offer.key)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another available amount of the offer, or any."""
        most = None if level is None else int(level)
        offers = (replace(offer, available=most) if offer.key == self.about else offer for offer in scenario.offers)
        return replace(scenario, offers=tuple(offers))

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """No more is bought than is available plus the miss."""
        offer = problem.scenario.offer(self.about)
        bought = ((amount, 1) for _, _, amount in problem.bought(offer))
        most = self.level / units_per_buy(offer)
        yield row_name("soft_pack_count", offer.key), total([*bought, (miss.unknown, -1)]) <= most

    def most_missed(self, problem: Problem) -> float:
        """The most of the offer that can be bought."""
        return sum(most for most, _ in _most_at_prices(problem, problem.scenario.offer(self.about)))

    def measure(self, scenario: Scenario) -> int:
        """How many units of the offer are one in the model, which counts kilograms of what is sold by weight."""
        return units_per_buy(scenario.offer(self.about))

    def step(self, scenario: Scenario) -> Fraction:
        """One pack, or the units that come to 10 g."""
        offer = scenario.offer(self.about)
        return Fraction(ceil(WEIGHT_STEP_G / offer.unit_g) if offer.by_weight else 1)

    def asks(self, scenario: Scenario, level: Level) -> str:
        """How much of the offer the supplier has."""
        offer, units = scenario.offer(self.about), int(level or 0)
        amount = f"{count_text(units, 'pack')} of {grams_text(offer.grams(1), scenario.weight_unit)}"
        if offer.by_weight:
            amount = grams_text(offer.grams(units), scenario.weight_unit)
        return f"{offer.supplier} has at most {amount} of {offer.item or offer.cut}"

    def difference_text(self, scenario: Scenario, level: Level) -> str:
        """The difference in packs, or as a weight."""
        return f"{stock_text(scenario, scenario.offer(self.about), int(self.difference(level)))} more"

    def cautions(self) -> Iterator[str]:
        """That `most_per_order` limits the same offer."""
        yield MOST_PER_ORDER

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """The line of the offer."""
        return (scenario.offer(self.about).place,)

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The `available` entry of the offer."""
        offer = final.offer(self.about)
        return f"available: {stock_text(final, offer, offer.available or 0)}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """One pack more of a limited offer, or 1 kg more of what is sold by weight."""
        for limited in cls._limited_offers(scenario):
            offer, available = scenario.offer(limited.about), limited.level
            more = ceil(BY_WEIGHT_G / offer.unit_g) if offer.by_weight else 1
            bought = sum(line.units for line in base.lines if line.offer == offer.key)
            limit = f"{offer.supplier}: {offer.item}, {units_text(offer, available, scenario.weight_unit)} to be had"
            step = f"{units_text(offer, more, scenario.weight_unit)} more"
            yield Looser(
                cls.rule, limit, step, limited.set_level(scenario, available + more), bought + more > available
            )


class LeastPurchase(SoftDemand, OfScenario):
    """The least line of an offer by weight."""

    level: int
    about: str
    rule = "least_purchase"
    is_minimum = True
    asks_nothing_at = 1
    gives_way_first = True

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["LeastPurchase"]:
        """The least lines that can be in the way of a plan.

        There is less than that to be had, or money or room is limited and it is more than the dogs need of a part.
        """
        for least in cls._least_lines(scenario):
            offer = scenario.offer(least.about)
            too_little = offer.available is not None and offer.available < least.level
            is_scarce = scenario.room_g is not None or scenario.budget is not None
            if too_little or (is_scarce and _is_more_than_needed(scenario, offer)):
                yield least

    @classmethod
    def _least_lines(cls, scenario: Scenario) -> Iterator["LeastPurchase"]:
        """The offers still to be bought of which one unit is not enough."""
        yield from (cls(offer.least_units, offer.key) for offer in scenario.offers if offer.has_least)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another least line of the offer."""
        least = max(int(level or 1), 1)
        offers = (replace(offer, least_units=least) if offer.key == self.about else offer for offer in scenario.offers)
        return replace(scenario, offers=tuple(offers))

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """Nothing is bought, or at least the level less the miss."""
        offer = problem.scenario.offer(self.about)
        switch = problem.lp.add_variable(f"soft_ordered_{miss.number}", 0, 1, pulp.LpBinary)
        bought = [(amount, 1.0) for _, _, amount in problem.bought(offer)]
        least, name = self.level / units_per_buy(offer), row_name("soft_least_purchase", offer.key)
        yield f"{name}_low", total([*bought, (switch, -least), (miss.unknown, 1.0)]) >= 0
        yield f"{name}_high", total([*bought, (switch, -most_units(problem, offer) / units_per_buy(offer))]) <= 0

    def most_missed(self, problem: Problem) -> float:
        """All of it."""
        return self.level / units_per_buy(problem.scenario.offer(self.about))

    def measure(self, scenario: Scenario) -> int:
        """How many units of the offer are one in the model, which counts kilograms of what is sold to the gram."""
        return units_per_buy(scenario.offer(self.about))

    def step(self, scenario: Scenario) -> Fraction:
        """One step of the shop's, or the units that come to 10 g."""
        return Fraction(ceil(WEIGHT_STEP_G / scenario.offer(self.about).unit_g))

    def asks(self, scenario: Scenario, level: Level) -> str:
        """How much of the offer the supplier sells at least."""
        offer = scenario.offer(self.about)
        least = grams_text(offer.grams(int(level or 1)), scenario.weight_unit)
        return f"{offer.supplier} sells at least {least} of {offer.item or offer.cut}"

    def difference_text(self, scenario: Scenario, level: Level) -> str:
        """The difference as a weight."""
        return f"{stock_text(scenario, scenario.offer(self.about), -int(self.difference(level)))} less"

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """The line of the offer."""
        return (scenario.offer(self.about).place,)

    def yaml_entry(self, final: Scenario, _: Changes) -> str:
        """The `least` entry of the offer."""
        offer = final.offer(self.about)
        return f"least: {stock_text(final, offer, offer.least_units)}"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """One step less of what is bought at its least."""
        units = {line.offer: line.units for line in base.lines}
        for least in cls._least_lines(scenario):
            less = min(int(least.step(scenario)), least.level - 1)
            if units.get(least.about, least.level + less) < least.level + less:
                offer = scenario.offer(least.about)
                limit = (
                    f"{offer.supplier}: {offer.item}, {units_text(offer, least.level, scenario.weight_unit)} at least"
                )
                step = f"{units_text(offer, less, scenario.weight_unit)} less"
                yield Looser(cls.rule, limit, step, least.set_level(scenario, least.level - less), is_near=True)


def _is_more_than_needed(scenario: Scenario, offer: Offer) -> bool:
    """Whether the least line weighs more than the dogs need of a part that the cut holds, or were given of the cut."""
    cut, least_g = scenario.cut(offer.cut), offer.grams(offer.least_units)
    eaters = [dog for dog in scenario.dogs if not dog.goes_without(cut)]
    given_g = Fraction(
        sum(given.batch_g for dog in scenario.dogs for given in dog.vet_amounts if given.cut == cut.name)
    )
    parts_g = [
        sum((target.low * dog.batch_g for dog in eaters for target in dog.targets if target.part == part), Fraction(0))
        for part, _ in cut.parts
    ]
    return any(0 < need_g < least_g for need_g in (given_g, *parts_g))


def _most_at_prices(problem: Problem, offer: Offer) -> list[tuple[float, float]]:
    """The most that can be bought of an offer at each of its prices, with the price."""
    return [(bought.upBound or 0.0, price) for bought, price in problem.goods_of(offer)]
