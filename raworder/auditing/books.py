"""The books of an audit: a scenario, a finished plan and its bags added up once, and what whole grams may change."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil, lcm
from typing import TypeVar

from raworder.auditing.what_counts import CutTable, cut_table, cuts_of_unknown_energy, destroyers, forbidden
from raworder.trade.bags import Bag, Filling, Working
from raworder.trade.cuts import Subject
from raworder.trade.dogs import Dog
from raworder.trade.plan import Breach, OrderLine, Plan
from raworder.trade.rulebook import MOST_DOGS_ONE_BY_ONE, ROUNDING_G
from raworder.trade.scenario import Offer, PriceStep, Scenario, SupplementOffer, Supplier


@dataclass(frozen=True, slots=True)
class DogBags:
    """The bags of one dog, in order of day and meal, and what they hold.

    `fed_days` are the days of the batch on which the dog eats, `due_g` is what it should eat on each of them, and
    `held_g` what its bags hold of every cut or mix on each of them. A bag for any other day is only in `bags`.
    """

    dog: Dog
    bags: tuple[Bag, ...]
    fed_days: tuple[date, ...]
    due_g: tuple[int, ...]
    held_g: Mapping[str, tuple[int, ...]]

    @property
    def topped_up(self) -> str:
        """The cut or mix that tops up the dog's bags; empty where there are no bags or every amount is given."""
        return self.bags[0].topped_up if self.bags else ""

    @property
    def day_total_g(self) -> tuple[int, ...]:
        """The weight of the dog's bags on each fed day."""
        return tuple(sum(day_g) for day_g in zip(*self.held_g.values(), strict=True)) or (0,) * len(self.fed_days)


def total_grams(fillings: Iterable[Filling]) -> int:
    """The weight of the fillings together."""
    return sum(filling.grams for filling in fillings)


def bags_by_dog(scenario: Scenario, plan: Plan) -> Mapping[str, DogBags]:
    """The bags of each dog of the scenario, by the dog's name."""
    bags: defaultdict[str, list[Bag]] = defaultdict(list)
    for bag in plan.bags:
        bags[bag.dog].append(bag)
    return {dog.name: _dog_bags(dog, scenario.batch.starts, bags[dog.name]) for dog in scenario.dogs}


def _dog_bags(dog: Dog, starts: date, bags: list[Bag]) -> DogBags:
    """The bags of one dog in order, and their contents added up by cut and fed day."""
    fed_days = tuple(starts + timedelta(days=index) for index, day_g in enumerate(dog.day_g) if day_g > 0)
    return DogBags(
        dog=dog,
        bags=tuple(sorted(bags, key=lambda bag: (bag.day, bag.meal))),
        fed_days=fed_days,
        due_g=tuple(day_g for day_g in dog.day_g if day_g > 0),
        held_g=_held_g(fed_days, bags),
    )


def _held_g(fed_days: tuple[date, ...], bags: Iterable[Bag]) -> Mapping[str, tuple[int, ...]]:
    """Grams of every cut or mix in the bags, by fed day."""
    place = {day: index for index, day in enumerate(fed_days)}
    held_g: defaultdict[str, list[int]] = defaultdict(lambda: [0] * len(fed_days))
    for bag in bags:
        if bag.day in place:
            for filling in bag.fillings:
                held_g[filling.cut][place[bag.day]] += filling.grams
    return {name: tuple(by_day) for name, by_day in held_g.items()}


Key = TypeVar("Key", bound=Hashable)
Amount = TypeVar("Amount", int, Decimal)


@dataclass(frozen=True, slots=True)
class Books:
    """The scenario, the plan, and the audit's own sums of the plan's single amounts; the plan's sums are not trusted.

    `lines` are by supplier. A line that buys nothing, or of an offer that is on no list, is in no sum. `bags` are by
    dog of the scenario; `table` says what every cut counts as. `pieces_g` is the weight of a piece of each cut that is
    fed in whole pieces. `shared_pieces` are the cuts of that kind that a dog, or one with the same rules, eats, where
    pieces are shared out among such dogs.
    """

    scenario: Scenario
    plan: Plan
    eaten_g: Mapping[str, Mapping[str, int]]
    fed_g: Mapping[str, int]
    on_hand_g: Mapping[str, int]
    bought_g: Mapping[str, int]
    goods_of_cut: Mapping[str, Decimal]
    offers: Mapping[str, Offer]
    suppliers: Mapping[str, Supplier]
    lines: Mapping[str, tuple[OrderLine, ...]]
    bags: Mapping[str, DogBags]
    table: CutTable
    pieces_g: Mapping[str, int]
    shared_pieces: Mapping[str, tuple[str, ...]]

    def eaten_by(self, dog: Dog) -> Mapping[str, int]:
        """Grams of each cut that the dog eats over the batch."""
        return self.eaten_g.get(dog.name, {})

    def counted(self, subject: Subject) -> "CountedShares":
        """The share of each cut that counts as the subject."""
        return common_shares({cut: entry.counts.get(subject, Fraction(0)) for cut, entry in self.table.items()})

    def rounded(self, amount: Fraction) -> Decimal:
        """The amount in whole minor units, halves up."""
        digits = self.scenario.currency.digits
        return Decimal((2 * amount * 10**digits + 1) // 2).scaleb(-digits)

    @property
    def half_a_minor_unit(self) -> Fraction:
        """What rounding to whole minor units can take from an amount, or add to it."""
        return Fraction(1, 2 * 10**self.scenario.currency.digits)

    @property
    def dogs_not_in_care(self) -> tuple[Dog, ...]:
        """The dogs whose food is planned here, not given by a veterinarian."""
        return tuple(dog for dog in self.scenario.dogs if dog.care is None)

    @property
    def all_lines(self) -> tuple[OrderLine, ...]:
        """The lines of food and of supplements."""
        return (*self.plan.lines, *self.plan.supplement_lines)

    @property
    def is_portioned(self) -> bool:
        """Whether the plan has bags; an order alone has none."""
        return bool(self.plan.bags or self.plan.mixes or self.plan.stations)

    @property
    def cuts_handled(self) -> AbstractSet[str]:
        """The cuts that are bought, or fed to any dog."""
        # bought counts too: a portion of less than half a gram is rounded to none, and takes its share of a part along
        return {cut for sums in (self.fed_g, self.bought_g) for cut, grams in sums.items() if grams > 0}

    def goods(self, supplier: str) -> Decimal:
        """The price of all lines of one supplier."""
        return sum((line.goods for line in self.lines.get(supplier, ())), Decimal(0))


def open_books(scenario: Scenario, plan: Plan) -> Books:
    """The books of a plan in which `unsound_numbers` found nothing."""
    food = {offer.key: offer for offer in scenario.offers}
    offers = food | {offer.key: _as_offer(offer) for offer in scenario.supplement_offers}
    table = cut_table(scenario)
    food_lines = [line for line in plan.lines if line.offer in food and line.units > 0]
    supplement_lines = [line for line in plan.supplement_lines if line.offer in offers and line.units > 0]
    return Books(
        scenario=scenario,
        plan=plan,
        eaten_g=_eaten_g(plan),
        fed_g=_sum_by_key((portion.cut, portion.batch_g) for portion in plan.portions),
        on_hand_g=_sum_by_key((lot.cut, lot.grams) for lot in scenario.on_hand),
        bought_g=_sum_by_key((food[line.offer].cut, ceil(food[line.offer].unit_g * line.units)) for line in food_lines),
        goods_of_cut=_sum_by_key((food[line.offer].cut, line.goods) for line in food_lines),
        offers=offers,
        suppliers={supplier.name: supplier for supplier in scenario.suppliers},
        lines=_group_by_key((offers[line.offer].supplier, line) for line in (*food_lines, *supplement_lines)),
        bags=bags_by_dog(scenario, plan),
        table=table,
        pieces_g={cut: entry.fed_piece_g for cut, entry in table.items() if entry.fed_piece_g},
        shared_pieces=_shared_pieces(scenario, plan, table) if _shares_pieces(scenario) else {},
    )


def cut_to_the_gram(offer: Offer) -> bool:
    """Whether the offer is cut to order by the gram, so that what is bought of it was rounded to whole grams."""
    return offer.by_weight and offer.unit_g == 1


def _as_offer(offer: SupplementOffer) -> Offer:
    """An offer of a supplement as an offer of packs that weigh nothing, as they are not food."""
    steps = (PriceStep(1, Fraction(offer.price), offer.price, "pack"),)
    return Offer(offer.key, offer.supplier, offer.supplement, offer.item, Fraction(0), False, steps, offer.available)


def _shares_pieces(scenario: Scenario) -> bool:
    """Whether whole pieces are shared out among dogs fed alike: where dogs are many, or fed from tubs."""
    fed = sum(1 for dog in scenario.dogs if any(dog.day_g))
    return fed > MOST_DOGS_ONE_BY_ONE or scenario.portioning.working == Working.TUB


def _shared_pieces(scenario: Scenario, plan: Plan, table: CutTable) -> Mapping[str, tuple[str, ...]]:
    """The whole-piece cuts that a dog, or any dog with the same rules, eats, by the dog's name."""
    rules = {
        dog.name: (
            frozenset(dog.targets),
            frozenset(dog.caps),
            frozenset((*forbidden(dog, table), *cuts_of_unknown_energy(dog, scenario), *destroyers(dog, table))),
        )
        for dog in scenario.dogs
        if dog.care is None
    }
    whole = {cut for cut, entry in table.items() if entry.fed_piece_g}
    eaten: defaultdict[object, dict[str, None]] = defaultdict(dict)
    for portion in plan.portions:
        if portion.cut in whole and portion.dog in rules and portion.batch_g > 0:
            eaten[rules[portion.dog]][portion.cut] = None
    return {dog: tuple(eaten[dog_rules]) for dog, dog_rules in rules.items() if dog_rules in eaten}


@dataclass(frozen=True, slots=True)
class CountedShares:
    """The share of each cut that counts, as `counts[cut]` / `of`: one denominator, so that sums stay whole numbers."""

    of: int
    counts: Mapping[str, int]

    def grams(self, eaten_g: Mapping[str, int]) -> Fraction:
        """The grams that count in what is eaten."""
        return Fraction(sum(count * eaten_g.get(cut, 0) for cut, count in self.counts.items()), self.of)

    def allowance_g(self, handled: AbstractSet[str]) -> Fraction:
        """The grams by which rounding may have changed what counts: one gram of each cut that is bought or fed."""
        return Fraction(sum(count for cut, count in self.counts.items() if cut in handled) * ROUNDING_G, self.of)


def common_shares(shares: Mapping[str, Fraction]) -> CountedShares:
    """The shares by name, over one common denominator."""
    of = lcm(*(share.denominator for share in shares.values()))
    return CountedShares(of, {name: int(share * of) for name, share in shares.items() if share})


def duplicates(keys: Iterable[Key]) -> Iterator[Key]:
    """The keys that occur more than once, each given once."""
    return (key for key, times in Counter(keys).items() if times > 1)


def unsound_numbers(plan: Plan) -> Iterator[Breach]:
    """Numbers that cannot be added up: counts and grams that are not `int`, money that is no finite `Decimal`.

    Also negative numbers in bags, mixes and stations, and bags whose day is no plain `date`.
    """
    for rule, subject, number in (*_whole_numbers(plan), *_bag_numbers(plan)):
        if type(number) is not int:
            yield Breach(rule, subject, f"{number!r} is not a whole number")
    for rule, subject, amount in _money_amounts(plan):
        if not isinstance(amount, Decimal) or not amount.is_finite():
            yield Breach(rule, subject, f"{amount!r} is not an amount of money")
    yield from _unsound_in_bags(plan)


def _unsound_in_bags(plan: Plan) -> Iterator[Breach]:
    """Numbers below zero in bags, mixes and stations, and bags whose day is not a date."""
    for rule, subject, number in _bag_numbers(plan):
        if type(number) is int and number < 0:
            yield Breach(rule, subject, f"{number} is below zero")
    for bag in plan.bags:
        if type(bag.day) is not date:
            yield Breach("bag_sum", bag.dog, f"{bag.day!r} is not a day")


def _whole_numbers(plan: Plan) -> Iterator[tuple[str, str, object]]:
    """Every count and weight of the plan, with its rule and what it is about."""
    yield from (("ration", portion.dog, portion.batch_g) for portion in plan.portions)
    yield from (("pack_count", line.offer, line.units) for line in (*plan.lines, *plan.supplement_lines))
    yield from (("supplement", dose.dog, dose.steps_a_day) for dose in plan.doses)
    yield from (("supply", left.cut, left.on_hand_g) for left in plan.leftovers)
    yield from (("supply", left.cut, left.bought_g) for left in plan.leftovers)
    yield from (("supply", f"lot {use.lot}", use.lot) for use in plan.lots_used)
    yield from (("supply", f"lot {use.lot}", use.used_g) for use in plan.lots_used)


def _bag_numbers(plan: Plan) -> Iterator[tuple[str, str, object]]:
    """Every count, weight and place in bags, mixes and stations, with its rule and what it is about."""
    for bag in plan.bags:
        yield ("bag_sum", bag.dog, bag.meal)
        yield from _filling_numbers(bag.dog, bag.fillings)
    for mix in plan.mixes:
        yield from _filling_numbers(mix.name, mix.contents)
        for tub in mix.tubs:
            yield ("bag_sum", mix.name, tub.number)
            yield from _filling_numbers(mix.name, tub.contents)
    for station in plan.stations:
        yield ("bag_sum", station.cut, station.phase)
        yield from (("bag_sum", station.cut, bag) for bag in station.bags)


def _filling_numbers(subject: str, fillings: Iterable[Filling]) -> Iterator[tuple[str, str, object]]:
    """The weight and the pieces of every filling."""
    for filling in fillings:
        yield ("bag_sum", subject, filling.grams)
        yield ("whole_pieces", subject, filling.pieces)


def _money_amounts(plan: Plan) -> Iterator[tuple[str, str, object]]:
    """Every amount of money in the plan, with its rule and what it is about."""
    yield from (("price_break", line.offer, line.goods) for line in (*plan.lines, *plan.supplement_lines))
    yield from (("bill", bill.supplier, bill.goods) for bill in plan.bills)
    yield from (("delivery", bill.supplier, bill.delivery) for bill in plan.bills)
    yield from (("bill", bill.supplier, bill.tax) for bill in plan.bills)
    yield from (("bill", bill.supplier, bill.trip) for bill in plan.bills)
    yield from (("supply", left.cut, left.worth) for left in plan.leftovers)
    yield from (
        ("bill", "the proof", number) for number in (plan.proof.bound, plan.proof.least_bill) if number is not None
    )


def _eaten_g(plan: Plan) -> Mapping[str, Mapping[str, int]]:
    """Grams by dog and cut."""
    eaten_g: defaultdict[str, defaultdict[str, int]] = defaultdict(lambda: defaultdict(int))
    for portion in plan.portions:
        eaten_g[portion.dog][portion.cut] += portion.batch_g
    return {dog: dict(cuts) for dog, cuts in eaten_g.items()}


def _sum_by_key(amounts: Iterable[tuple[str, Amount]]) -> Mapping[str, Amount]:
    """The amounts added up by key."""
    sums: dict[str, Amount] = {}
    for key, amount in amounts:
        sums[key] = sums[key] + amount if key in sums else amount
    return sums


def _group_by_key(lines: Iterable[tuple[str, OrderLine]]) -> Mapping[str, tuple[OrderLine, ...]]:
    """The lines by key, in their order."""
    groups: defaultdict[str, list[OrderLine]] = defaultdict(list)
    for key, line in lines:
        groups[key].append(line)
    return {key: tuple(group) for key, group in groups.items()}
