"""The audit of what follows from a plan: thawing in time, keeping, freezing, and who bears what of the bills.

These are no rules that an order is searched by, so the rulebook does not name them: they are the house's own promises.
All is reckoned anew from bags, days and bills; nothing is asked of what worked the facts out.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil
from types import MappingProxyType

from raworder.auditing.books import Books, open_books, total_grams
from raworder.auditing.what_counts import days_frozen, with_ingredients
from raworder.trade.bags import Bag
from raworder.trade.batch_facts import CAREFUL, THAWS_A_DAY_G, BagWay, BatchFacts, Journey
from raworder.trade.cuts import FREEZE_FIRST, Cut
from raworder.trade.plan import Breach, Plan

ROUNDED_BY = 3
"""The minor units by which rounding may move what a dog bears: of the left over, of its owner's sum, and of its own."""


@dataclass(frozen=True, slots=True)
class FactBooks:
    """A plan's books, what was worked out of it, and the cuts in each cut or mix; `filled_on` is the day of filling."""

    books: Books
    facts: BatchFacts
    cuts_in: Mapping[str, tuple[Cut, ...]]
    filled_on: date

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.books.plan

    def cuts_of(self, bag: Bag) -> Iterator[Cut]:
        """The cuts in a bag, also those of a mix."""
        return (cut for filling in bag.fillings for cut in self.cuts_in[filling.cut])

    def keeps_days(self, bag: Bag) -> int:
        """How long a bag keeps in a refrigerator: as long as what keeps shortest in it."""
        return min((self._cut_keeps_days(cut) for cut in self.cuts_of(bag)), default=CAREFUL.least_days)

    def _cut_keeps_days(self, cut: Cut) -> int:
        """How long a cut keeps: by the first row of its kind or of a species in it, else by the row for everything."""
        species = {share.species for share in cut.species}
        rows = self.books.scenario.keeping
        named = [row.least_days for row in rows if cut.kind in row.kinds or not species.isdisjoint(row.species)]
        other = [row.least_days for row in rows if not row.kinds and not row.species]
        return (*named, *other, CAREFUL.least_days)[0]


def audit_facts(plan: Plan) -> tuple[Breach, ...]:
    """Every promise that the facts of a plan break; the plan itself breaks no rule, so its numbers are sound."""
    facts = plan.worked_out
    if facts is None:
        return (Breach("moves", "the plan", "nothing was worked out of it"),)
    scenario = facts.scenario
    cuts = {cut.name: cut for cut in scenario.cuts}
    cuts_in: dict[str, tuple[Cut, ...]] = {name: (cut,) for name, cut in cuts.items()}
    cuts_in |= {mix.name: tuple(cuts[part.cut] for part in mix.contents) for mix in plan.mixes}
    filled_on = scenario.portioning.day or scenario.batch.starts - timedelta(days=1)
    books = FactBooks(open_books(scenario, plan), facts, cuts_in, filled_on)
    return tuple(breach for judge in FACT_JUDGES.values() for breach in judge(books))


def moves(books: FactBooks) -> Iterator[Breach]:
    """Every bag has one way to the bowl, and moves once from the freezer if it is fed from there."""
    bags, ways = books.plan.bags, books.facts.cold.journeys
    numbers = Counter(way.number for way in ways)
    for number in sorted({*numbers, *range(1, len(bags) + 1)}):
        if numbers[number] != 1 or not 1 <= number <= len(bags):
            yield Breach("moves", f"bag {number}", f"it has {numbers[number]} ways to the bowl")
    for way in ways:
        if not 1 <= way.number <= len(bags) or way.bag != bags[way.number - 1]:
            yield _blame("moves", way, "it is another bag in the plan")
        elif way.filled_on != books.filled_on:
            yield _blame("moves", way, f"it is filled on {books.filled_on}, not on {way.filled_on}")
        elif (way.way is BagWay.FREEZER) != (way.moves_on is not None):
            yield _blame("moves", way, f"its way is `{way.way}`, and it is moved on {way.moves_on}")
        elif way.way is BagWay.NO_TIME and _thaws_in_time(way, books.filled_on):
            yield _blame("moves", way, "there is time to freeze and thaw it")


def thawed(books: FactBooks) -> Iterator[Breach]:
    """A bag is frozen for a day at least, and is not fed before it is thawed."""
    for way in books.facts.cold.journeys:
        days = _thaw_days(way.bag)
        if way.thaw_days != days:
            yield _blame("thawed", way, f"it thaws in {days} days, not in {way.thaw_days}")
        if way.moves_on and way.moves_on + timedelta(days=days) > way.bag.day:
            yield _blame("thawed", way, f"it is fed on {way.bag.day}, but moved only on {way.moves_on}")
        if way.moves_on and way.moves_on <= way.filled_on:
            yield _blame("thawed", way, f"it is moved on {way.moves_on}, before it is frozen")


def keeps(books: FactBooks) -> Iterator[Breach]:
    """A bag lies in the refrigerator, fresh or thawed, no longer than its food keeps."""
    for way in books.facts.cold.journeys:
        days = books.keeps_days(way.bag)
        if way.keeps_days != days:
            yield _blame("keeps", way, f"it keeps for {days} days, not for {way.keeps_days}")
        ready_on = way.moves_on + timedelta(days=_thaw_days(way.bag)) if way.moves_on else books.filled_on
        lies_days = (way.bag.day - ready_on).days
        if way.way is not BagWay.NO_TIME and lies_days > days:
            yield _blame("keeps", way, f"it lies for {lies_days} days and keeps for {days}")
        if way.way is BagWay.REFRIGERATOR and lies_days < 0:
            yield _blame("keeps", way, "it is fed before it is filled")


def frozen_first(books: FactBooks) -> Iterator[Breach]:
    """A bag that holds what must be frozen before it is fed says so, and does not stay fresh."""
    frozen_g = _frozen_long_enough_g(books)
    for way in books.facts.cold.journeys:
        due = {
            (cut.name, key)
            for cut in books.cuts_of(way.bag)
            for key in FREEZE_FIRST
            if any(key in inner.cautions for inner in with_ingredients(cut))
            and frozen_g[cut.name, key] < books.books.fed_g.get(cut.name, 0)
        }
        if due != set(way.freeze_first):
            yield _blame("frozen_first", way, f"what must be frozen first in it is {sorted(due)}")
        elif due and way.way is BagWay.REFRIGERATOR:
            yield _blame("frozen_first", way, "it stays fresh, but must be frozen first")


def lots(books: FactBooks) -> Iterator[Breach]:
    """What is frozen adds up: every bag to freeze once and all that is left over, no day above what the freezer can."""
    most_g, made = books.books.scenario.portioning.freezes_g, books.facts.cold.lots
    if most_g is None:
        yield from (Breach("lots", str(lot.day), "the freezer takes all at once") for lot in made)
        return
    yield from _unequal_loads(books, most_g)
    for lot in made:
        lot_g = sum(load.grams for load in lot.loads)
        if lot_g > most_g or lot.day < books.filled_on:
            yield Breach("lots", str(lot.day), f"{lot_g} g are frozen, and at most {most_g} g can be")


def _unequal_loads(books: FactBooks, most_g: int) -> Iterator[Breach]:
    """Bags and what is left over that are not frozen once and whole."""
    loads = [load for lot in books.facts.cold.lots for load in lot.loads]
    due_g = {
        way.number: total_grams(way.bag.fillings) for way in books.facts.cold.journeys if way.way is BagWay.FREEZER
    }
    due = Counter({number: 1 for number, grams in due_g.items() if grams <= most_g})
    if Counter(load.number for load in loads if load.number) != due:
        yield Breach("lots", "the bags", "not every bag that can be frozen is in one lot")
    for load in loads:
        if load.number and load.grams != due_g.get(load.number):
            yield Breach("lots", f"bag {load.number}", f"{load.grams} g of it are frozen")
    left_g: Counter[str] = Counter()
    for load in loads:
        if not load.number:
            left_g[load.left] += load.grams
    if +left_g != +Counter({leftover.cut: leftover.bought_g for leftover in books.plan.leftovers}):
        yield Breach("lots", "what is left over", "not all of it, or more, is frozen")


def evenings(books: FactBooks) -> Iterator[Breach]:
    """Every evening tells what is in the freezer and the refrigerator then."""
    cold, batch = books.facts.cold, books.books.scenario.batch
    frozen_on = {load.number: lot.day for lot in cold.lots for load in lot.loads if load.number}
    left_g = sum(leftover.on_hand_g + leftover.bought_g for leftover in books.plan.leftovers)
    days = (batch.starts - books.filled_on).days + batch.days
    if [evening.day for evening in cold.evenings] != [books.filled_on + timedelta(days=day) for day in range(days)]:
        yield Breach("evenings", "the evenings", "they are not those of the batch")
    ways = {way.number: way for way in cold.journeys}.values()  # a bag told twice is blamed on its moves
    for evening in cold.evenings:
        unfed = [way for way in ways if way.bag.day > evening.day]
        frozen_g = sum(
            total_grams(way.bag.fillings)
            for way in unfed
            if way.moves_on and frozen_on.get(way.number, way.filled_on) <= evening.day < way.moves_on
        )
        cool_g = sum(total_grams(way.bag.fillings) for way in unfed) - frozen_g
        if (evening.bags_g, evening.left_g, evening.refrigerator_g) != (frozen_g, left_g, cool_g):
            says = f"the freezer holds {frozen_g} g of bags and {left_g} g left over, the refrigerator {cool_g} g"
            yield Breach("evenings", str(evening.day), says)


def costs(books: FactBooks) -> Iterator[Breach]:
    """What is borne adds up to the bills to the minor unit, and each dog bears what it eats."""
    borne, scenario = books.facts.costs, books.books.scenario
    paid = sum((bill.goods + bill.delivery + bill.tax for bill in books.plan.bills), Decimal(0))
    sums = {
        "the dogs and what is left over": sum(borne.dogs, borne.left_over),
        "the owners": sum((share for _, share in borne.owners), Decimal(0)),
        "the cuts": sum(borne.cuts.values(), Fraction(0)),
    }
    for who, share in sums.items():
        if share != paid:
            yield Breach("costs", who, f"they bear {share} of {paid}")
    minor = Fraction(1, 10**scenario.currency.digits)
    for dog, share in zip(scenario.dogs, borne.dogs, strict=False):
        exact = sum((cost * borne.eaten[cut][dog.name] for cut, cost in borne.cuts.items()), Fraction(0))
        if abs(Fraction(share) - exact) > ROUNDED_BY * minor:
            yield Breach("costs", dog.name, f"it bears {share}, and eats food for {exact}")


def parts(books: FactBooks) -> Iterator[Breach]:
    """What is bought of a cut is borne whole: by what each dog eats of it, and the rest as left over.

    What a dog eats of its owner's own stock is borne by nobody.
    """
    borne, plan = books.facts.costs, books.plan
    spare_g = {leftover.cut: leftover.bought_g for leftover in plan.leftovers}
    for cut in borne.cuts:
        eaten, left = borne.eaten[cut], borne.left[cut]
        if sum((*eaten.values(), *left.values()), Fraction(0)) != 1:
            yield Breach("parts", cut, "its parts do not make a whole")
        bought_g, beyond_g = books.books.bought_g.get(cut, 0), _eaten_beyond_own_g(books, cut)
        if not bought_g:
            continue  # a supplement: it is counted in steps, and not by weight
        fed_g = sum(beyond_g.values(), Fraction(0))
        whole = Fraction(bought_g - spare_g.get(cut, 0), bought_g) if fed_g else Fraction(0)
        for dog, part in eaten.items():
            if part * fed_g != whole * beyond_g[dog]:
                yield Breach("parts", cut, f"{dog} bears another part of it than it eats")


def _eaten_beyond_own_g(books: FactBooks, cut: str) -> Mapping[str, Fraction]:
    """Grams of a cut that each dog eats beyond its part of what is fed from its owner's own lots."""
    scenario = books.books.scenario
    eaten_g = {dog.name: books.books.eaten_by(dog).get(cut, 0) for dog in scenario.dogs}
    together_g, own_g = Counter[str](), Counter[str]()
    for dog in scenario.dogs:
        together_g[dog.owner] += eaten_g[dog.name]
    for use in books.plan.lots_used:
        lot = scenario.on_hand[use.lot]
        own_g[lot.owner] += use.used_g if lot.cut == cut and lot.owner else 0
    beyond = {owner: Fraction(grams - own_g[owner], grams or 1) for owner, grams in together_g.items()}
    return {dog.name: eaten_g[dog.name] * beyond[dog.owner] for dog in scenario.dogs}


FACT_JUDGES: Mapping[str, Callable[[FactBooks], Iterator[Breach]]] = MappingProxyType(
    {
        "moves": moves,
        "thawed": thawed,
        "keeps": keeps,
        "frozen_first": frozen_first,
        "lots": lots,
        "evenings": evenings,
        "costs": costs,
        "parts": parts,
    }
)
"""The judges of what follows from a plan, by the promise that each is about."""


def _blame(promise: str, way: Journey, says: str) -> Breach:
    """A promise broken by a bag."""
    return Breach(promise, f"bag {way.number}", says)


def _thaw_days(bag: Bag) -> int:
    """A day for every beginning five pounds."""
    return (total_grams(bag.fillings) + THAWS_A_DAY_G - 1) // THAWS_A_DAY_G


def _thaws_in_time(way: Journey, filled_on: date) -> bool:
    """Whether a bag could be frozen for a day and thawed before it is fed."""
    return (way.bag.day - filled_on).days > _thaw_days(way.bag)


def _frozen_long_enough_g(books: FactBooks) -> Mapping[tuple[str, str], int]:
    """Grams of a cut fed from hand, or bought, that are frozen for as long as a caution asks, by cut and caution."""
    food = [(books.books.scenario.on_hand[use.lot], use.used_g) for use in books.plan.lots_used]
    offers = books.books.offers
    bought = [(offers[line.offer], line.units) for line in books.plan.lines if line.offer in offers]
    found: defaultdict[tuple[str, str], int] = defaultdict(int)
    for key, first in FREEZE_FIRST.items():
        for lot, grams in food:
            if days_frozen(books.books.scenario, lot) >= first.days:
                found[lot.cut, key] += grams
        for offer, units in bought:
            if days_frozen(books.books.scenario, offer) >= first.days:
                found[offer.cut, key] += ceil(offer.unit_g * units)
    return found
