"""From an Allocation to the finished Plan: whole pieces, whole grams, bills in minor units, leftovers, lots used."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil

from raworder.trade.as_fed import as_allotted
from raworder.trade.cuts import Part
from raworder.trade.dogs import Dog
from raworder.trade.plan import MILLION, Allocation, Bill, Leftover, LotUse, OrderLine, Plan, Portion
from raworder.trade.rounding import Entry, exact_shares, give_rest_to_largest, half_up, round_table, round_to_sum
from raworder.trade.scenario import Offer, OnHand, Scenario, Supplier
from raworder.trade.units import Currency


def whole_portions(scenario: Scenario, allocation: Allocation) -> dict[Entry, int]:
    """Micrograms by dog and cut: whole pieces where a cut is fed in them, the rest as the group's; rows as before."""
    dogs = {dog.name: dog for dog in scenario.dogs}
    eaten = dict(allocation.eaten_ug)
    for names in allocation.fed_alike:
        group = [dogs[name] for name in names]
        if not group[0].care:
            for dog in group:
                eaten = {entry: amount for entry, amount in eaten.items() if entry[0] != dog.name}
            eaten |= dict(_shared(scenario, group, _together(allocation, group)))
    return eaten


def _together(allocation: Allocation, group: Sequence[Dog]) -> Mapping[str, int]:
    """What the group eats of every cut."""
    names = {dog.name for dog in group}
    together: dict[str, int] = {}
    for (dog, cut), amount in allocation.eaten_ug.items():
        if dog in names:
            together[cut] = together.get(cut, 0) + amount
    return together


def _shared(scenario: Scenario, group: Sequence[Dog], together: Mapping[str, int]) -> Iterator[tuple[Entry, int]]:
    """Pieces by the largest remainder; of what is weighed everybody gets the same part of what it eats beside them."""
    pieces = _pieces(scenario, group, together)
    pieces_ug = {dog.name: 0 for dog in group}
    for (dog_name, _), amount in pieces.items():
        pieces_ug[dog_name] += amount
    yield from ((entry, amount) for entry, amount in pieces.items() if amount)
    whole = {cut for _, cut in pieces}
    weighed = {cut: amount for cut, amount in sorted(together.items()) if cut not in whole}
    for dog in group:
        yield from _split(dog, dog.batch_g * MILLION - pieces_ug[dog.name], weighed)


def _pieces(scenario: Scenario, group: Sequence[Dog], together: Mapping[str, int]) -> Mapping[Entry, int]:
    """Micrograms in whole pieces by dog and cut."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    pieces_g = {name: scenario.portioning.whole_piece_g(cuts[name]) for name in sorted(together)}
    whole_g = {name: piece_g for name, piece_g in pieces_g.items() if piece_g}
    counts = {name: round(Fraction(together[name], piece_g * MILLION)) for name, piece_g in whole_g.items()}
    bone = {name: cuts[name].part_share(Part.BONE) for name in whole_g}
    if len(group) == 1:
        shared = {(group[0].name, cut): count for cut, count in counts.items()}
    else:
        shared = share_pieces(counts, whole_g, bone, {dog.name: dog.batch_g for dog in group})
    return {(dog, cut): count * whole_g[cut] * MILLION for (dog, cut), count in shared.items()}


def _split(dog: Dog, due_ug: int, weighed: Mapping[str, int]) -> Iterator[tuple[Entry, int]]:
    """So much of what is weighed, in the proportions of the group; the largest amount takes what division leaves."""
    all_ug = sum(weighed.values())
    if not all_ug:
        return
    shares = give_rest_to_largest({cut: amount * due_ug // all_ug for cut, amount in weighed.items()}, due_ug)
    yield from (((dog.name, cut), amount) for cut, amount in shares.items() if amount)


def share_pieces(
    pieces: Mapping[str, int],
    piece_g: Mapping[str, int],
    bone_share: Mapping[str, Fraction],
    rations_g: Mapping[str, int],
) -> dict[Entry, int]:
    """Whole pieces of every cut for every dog, by dog and cut: its exact share rounded down or up, all pieces given.

    The cut with most bone in a piece is shared out first. Of each, those dogs get the share rounded up that would
    otherwise be most short of bone over all cuts so far, if a piece more fits their ration. ValueError where pieces are
    left that fit no ration.
    """
    sharing = _Sharing(pieces, piece_g, rations_g)
    for cut in sorted(pieces, key=lambda cut: (-piece_g[cut] * bone_share[cut], cut)):
        sharing.round_up(cut, pieces[cut], piece_g[cut] * bone_share[cut])
    return {(dog, cut): sharing.given[dog, cut] for dog in rations_g for cut in pieces}


class _Sharing:
    """Pieces on their way to the dogs: at first every share is rounded down, then cut by cut some are rounded up."""

    def __init__(self, pieces: Mapping[str, int], piece_g: Mapping[str, int], rations_g: Mapping[str, int]) -> None:
        self._piece_g = piece_g
        self._dogs = tuple(rations_g)
        self._room_g = dict(rations_g)
        self._bone_off_g = dict.fromkeys(rations_g, Fraction(0))
        self._remainder: dict[Entry, Fraction] = {}
        self.given: dict[Entry, int] = {}
        rations = [rations_g[dog] for dog in self._dogs]
        for cut, count in pieces.items():
            for dog, exact in zip(self._dogs, exact_shares(count, rations), strict=True):
                self.given[dog, cut], self._remainder[dog, cut] = divmod(exact, 1)
                self._room_g[dog] -= self.given[dog, cut] * piece_g[cut]

    def round_up(self, cut: str, count: int, bone_g: Fraction) -> None:
        """Give the pieces of a cut that rounding down has left, one each to the dogs that are most short of bone."""
        for dog in self._dogs:
            self._bone_off_g[dog] -= bone_g * self._remainder[dog, cut]
        fitting = [dog for dog in self._dogs if self._remainder[dog, cut] and self._room_g[dog] >= self._piece_g[cut]]
        left = count - sum(self.given[dog, cut] for dog in self._dogs)
        if left > len(fitting):
            raise ValueError(f"pieces of `{cut}` are left that fit no dog's ration")
        shortest_first = sorted(fitting, key=lambda dog: (self._bone_off_g[dog], -self._remainder[dog, cut], dog))
        for dog in shortest_first[:left]:
            self.given[dog, cut] += 1
            self._room_g[dog] -= self._piece_g[cut]
            self._bone_off_g[dog] += bone_g


TOLERANCE = 1000
"""Millionths of a unit that a solver may be off."""

SLACK = ""
"""The row of the table that holds what is not fed; no dog has that name."""

OWN = "\0"
"""Stands between a cut and an owner, in columns and rows of the table that are about the owner's own lots."""


def finish_plan(asked: Scenario, allocation: Allocation) -> Plan:
    """The plan to print: the allocation in whole grams that add up, with bills, leftovers and lots used."""
    scenario = as_allotted(asked, allocation)
    offers = {offer.key: offer for offer in scenario.offers}
    bought = {key: _whole_units(offers[key], amount) for key, amount in allocation.bought_millionths.items()}
    whole = round_table(_table_ug(scenario, bought, whole_portions(scenario, allocation)), MILLION)
    names = {dog.name for dog in scenario.dogs}
    fed = {(dog, column.split(OWN)[0]): grams for (dog, column), grams in whole.items() if dog in names}
    units = _trim_idle_grams(scenario, bought, _shared_left_g(scenario, bought, fed))
    return _write_plan(scenario, units, fed, allocation)


@dataclass(frozen=True, slots=True)
class _Bought:
    """An offer with its whole units; `spare_g` is the gram that rounding up has added, or 0."""

    offer: Offer
    units: int
    spare_g: int

    @property
    def grams(self) -> int:
        """The weight of what was bought."""
        return self.offer.grams(self.units)


def _whole_units(offer: Offer, millionths: int) -> _Bought:
    """An offer's amount in whole units; sold to the gram, it is rounded up unless it is whole within solver tolerance.

    It is whole where the search got as far as whole grams, but not where time ran out before that.
    """
    units = ceil(Fraction(millionths - TOLERANCE, MILLION))
    return _Bought(offer, units, 1 if units * MILLION > millionths else 0)


def _table_ug(
    scenario: Scenario, bought: Mapping[str, _Bought], eaten_ug: Mapping[tuple[str, str], int]
) -> dict[tuple[str, str], int]:
    """Dogs by cuts, with what is not fed as one more row: a column adds up to all there is of its cut.

    Where an owner has a cut on hand, what that owner's dogs eat of it has a column of its own, so that together they
    eat a neighbouring whole gram of it: own lots that are used up stay used up, and others give no gram more.
    """
    there_ug = {cut.name: scenario.on_hand_g(cut.name) * MILLION for cut in scenario.cuts}
    for purchase in bought.values():
        there_ug[purchase.offer.cut] += purchase.grams * MILLION
    for (_, cut), amount in eaten_ug.items():
        there_ug[cut] -= amount
    owner_of = {dog.name: dog.owner for dog in scenario.dogs if not dog.care}
    owned = {(lot.owner, lot.cut) for lot in scenario.on_hand if lot.owner}
    table = {(SLACK, cut): amount for cut, amount in there_ug.items()}
    own_ug: dict[tuple[str, str], int] = {}
    for (dog, cut), amount in eaten_ug.items():
        owner = owner_of.get(dog, "")
        is_own = (owner, cut) in owned
        table[dog, f"{cut}{OWN}{owner}" if is_own else cut] = amount
        if is_own:
            own_ug[owner, cut] = own_ug.get((owner, cut), 0) + amount
    for (owner, cut), amount in own_ug.items():
        _join_own_column(scenario, table, owner, cut, amount)
    return table


def _join_own_column(
    scenario: Scenario, table: dict[tuple[str, str], int], owner: str, cut: str, eaten_ug: int
) -> None:
    """Make the column of an owner's dogs whole: by what is not fed of the own lots, or by the cut's column."""
    if not (missing_ug := -eaten_ug % MILLION):
        return
    column = f"{cut}{OWN}{owner}"
    if eaten_ug < _own_for_rules_g(scenario, owner, cut) * MILLION:
        table[SLACK, column] = missing_ug
        table[SLACK, cut] -= missing_ug
    else:  # a row of two entries, of which one becomes a whole gram: it moves to this column or stays in the other
        row = f"{OWN}{column}"
        table[row, column], table[row, cut] = missing_ug, MILLION - missing_ug


def _own_for_rules_g(scenario: Scenario, owner: str, cut: str) -> int:
    """The grams of an owner's own lots up to which dogs fed by rules take from nobody else."""
    lots = [lot for lot in scenario.on_hand if (lot.owner, lot.cut) == (owner, cut)]
    ready_g = sum(lot.grams for lot in lots if not scenario.waits(lot))
    dogs = [dog for dog in scenario.dogs if dog.care and dog.owner == owner]
    vet_g = sum(given.batch_g for dog in dogs for given in dog.vet_amounts if given.cut == cut)
    return min(ready_g, sum(lot.grams for lot in lots) - vet_g)


def _shared_left_g(
    scenario: Scenario, bought: Mapping[str, _Bought], fed_g: Mapping[tuple[str, str], int]
) -> dict[str, int]:
    """Grams of every cut that are not fed and not an owner's own."""
    used_g = _used_g(scenario, fed_g)
    left_g = dict.fromkeys((cut.name for cut in scenario.cuts), 0)
    for number, lot in enumerate(scenario.on_hand):
        left_g[lot.cut] += used_g[number] if lot.owner else lot.grams
    for purchase in bought.values():
        left_g[purchase.offer.cut] += purchase.grams
    for (_, cut), grams in fed_g.items():
        left_g[cut] -= grams
    return left_g


def _trim_idle_grams(scenario: Scenario, bought: Mapping[str, _Bought], left_g: dict[str, int]) -> dict[str, int]:
    """The units of each offer, without the gram that rounding up added if nobody eats it and no threshold needs it.

    A line is never trimmed to nothing, as the proved order buys some of it.
    """
    units = {}
    for key, purchase in sorted(bought.items()):
        trims = purchase.units > 1 and left_g[purchase.offer.cut] and _is_idle(scenario, purchase)
        spare_g = purchase.spare_g if trims else 0
        left_g[purchase.offer.cut] -= spare_g
        units[key] = purchase.units - spare_g
    return {key: count for key, count in units.items() if count}


def _is_idle(scenario: Scenario, bought: _Bought) -> bool:
    """Whether one gram less cannot miss a least line, a minimum order, free delivery or a price step."""
    offer, supplier = bought.offer, scenario.supplier(bought.offer.supplier)
    if offer.bought is not None or bought.units <= offer.least_units:
        return False
    same_step = offer.step_for(bought.units) == offer.step_for(bought.units - 1)
    return same_step and not supplier.minimum_order and supplier.free_delivery_from is None


def _exact_goods(offer: Offer, units: int) -> Fraction:
    return offer.step_for(units).unit_price * units


def _goods(scenario: Scenario, offer: Offer, units: int) -> Decimal:
    """What a line costs: the price of the step its units fall in, rounded half-up to the minor unit."""
    return scenario.currency.rounded(_exact_goods(offer, units))


def _write_plan(
    scenario: Scenario, units: Mapping[str, int], fed_g: Mapping[tuple[str, str], int], allocation: Allocation
) -> Plan:
    """All the parts of the plan, in the scenario's order."""
    lines = tuple(
        OrderLine(offer.key, units[offer.key], _goods(scenario, offer, units[offer.key]))
        for offer in scenario.offers
        if offer.key in units
    )
    names, given = [dog.name for dog in scenario.dogs], [supplement.name for supplement in scenario.supplements]
    supplement_lines = tuple(_supplement_lines(scenario, allocation.supplement_packs))
    eaten_g = {cut.name: sum(fed_g.get((dog.name, cut.name), 0) for dog in scenario.dogs) for cut in scenario.cuts}
    used_g, bills = _used_g(scenario, fed_g), tuple(_bills(scenario, (*lines, *supplement_lines)))
    return Plan(
        lines=lines,
        bills=bills,
        portions=tuple(
            Portion(dog.name, cut.name, fed_g[dog.name, cut.name])
            for dog in scenario.dogs
            for cut in scenario.cuts
            if fed_g.get((dog.name, cut.name))
        ),
        leftovers=tuple(_leftovers(scenario, lines, eaten_g, used_g)),
        lots_used=tuple(LotUse(number, grams) for number, grams in sorted(used_g.items()) if grams),
        proof=allocation.proof.with_total(sum((bill.total + bill.trip for bill in bills), Decimal(0))),
        remarks=allocation.remarks,
        supplement_lines=supplement_lines,
        doses=tuple(sorted(allocation.doses, key=lambda dose: (names.index(dose.dog), given.index(dose.supplement)))),
    )


def _supplement_lines(scenario: Scenario, packs: Mapping[str, int]) -> Iterable[OrderLine]:
    """The order lines of supplements."""
    for offer in scenario.supplement_offers:
        if offer.key in packs:
            yield OrderLine(offer.key, packs[offer.key], packs[offer.key] * offer.price)


def _bills(scenario: Scenario, lines: Iterable[OrderLine]) -> Iterable[Bill]:
    """A bill for each supplier that sells something."""
    sold_by = {offer.key: offer.supplier for offer in scenario.offers}
    sold_by |= {offer.key: offer.supplier for offer in scenario.supplement_offers}
    for supplier in scenario.suppliers:
        mine = [line.goods for line in lines if sold_by[line.offer] == supplier.name]
        if mine:
            yield _bill(scenario, supplier, sum(mine, Decimal(0)))


def _bill(scenario: Scenario, supplier: Supplier, goods: Decimal) -> Bill:
    """Goods, delivery unless it is free, sales tax on the goods, rounded half-up, and the trip."""
    free = supplier.free_delivery_from is not None and goods >= supplier.free_delivery_from
    tax = scenario.currency.rounded(Fraction(goods) * supplier.sales_tax)
    return Bill(supplier.name, goods, Decimal(0) if free else supplier.delivery, tax, supplier.trip)


def _leftovers(
    scenario: Scenario, lines: Iterable[OrderLine], eaten_g: Mapping[str, int], used_g: Mapping[int, int]
) -> Iterable[Leftover]:
    """What is not fed of each cut, on hand and bought; stock on hand is fed first."""
    offers = {offer.key: offer for offer in scenario.offers}
    bought: dict[str, list[tuple[Offer, OrderLine]]] = {}
    for line in lines:
        bought.setdefault(offers[line.offer].cut, []).append((offers[line.offer], line))
    rests: dict[str, tuple[int, int]] = {}
    exact: dict[str, Fraction] = {}
    for cut in scenario.cuts:
        of_cut = bought.get(cut.name, [])
        bought_g = sum(offer.grams(line.units) for offer, line in of_cut)
        paid = sum((line.goods for _, line in of_cut), Decimal(0))
        fed_from_hand_g = sum(grams for lot, grams in used_g.items() if scenario.on_hand[lot].cut == cut.name)
        held_left_g = scenario.on_hand_g(cut.name) - fed_from_hand_g
        left_g = bought_g - (eaten_g[cut.name] - fed_from_hand_g)
        if left_g or held_left_g:
            rests[cut.name] = held_left_g, left_g
            exact[cut.name] = Fraction(paid) * left_g / bought_g if bought_g else Fraction(0)
    worths = _rounded_together(scenario.currency, list(exact.values()))
    return (Leftover(cut, *rest, worth) for (cut, rest), worth in zip(rests.items(), worths, strict=True))


def _rounded_together(currency: Currency, exact: Sequence[Fraction]) -> list[Decimal]:
    """Each amount rounded down, or up where its remainder is among the largest, so that they add up to the rounded sum.

    Rounded one by one they would add up to something else than what is told of them together on another paper.
    """
    counted = [amount * 10**currency.digits for amount in exact]
    return [count * currency.minor for count in round_to_sum(counted, half_up(sum(counted, Fraction(0))))]


def _used_g(scenario: Scenario, fed_g: Mapping[tuple[str, str], int]) -> dict[int, int]:
    """Grams fed from each lot by its number: an owner's own before what is for all; the oldest first.

    Lots of unknown age come before all others. Whole pieces are taken first, as many as each lot holds; a
    veterinarian's amounts come from what is left then, and they alone from lots that should be frozen for longer,
    which come last.
    """
    lots, wanted_g = scenario.on_hand, _wanted_g(scenario, fed_g)
    used_g = dict.fromkeys(range(len(lots)), 0)
    in_turn = sorted(used_g, key=lambda number: (scenario.waits(lots[number]), _freezing_day(lots[number])))
    for is_own in (True, False):
        # Largest pieces first: loose grams can come from any lot, pieces only from where a whole one is left.
        for want in sorted(wanted_g):
            in_care, size_g, cut_name, owner = want
            for number in (number for number in in_turn if lots[number].cut == cut_name):
                lot = lots[number]
                if bool(lot.owner) is is_own and lot.owner in ("", owner) and (in_care or not scenario.waits(lot)):
                    taken_g = min(lot.grams - used_g[number], wanted_g[want]) // -size_g * -size_g
                    used_g[number] += taken_g
                    wanted_g[want] -= taken_g
    return used_g


def _wanted_g(scenario: Scenario, fed_g: Mapping[tuple[str, str], int]) -> dict[tuple[bool, int, str, str], int]:
    """Grams fed: whether by a veterinarian's amounts, less the size of what they come in, the cut, and the owner."""
    wanted_g: dict[tuple[bool, int, str, str], int] = defaultdict(int)
    for dog in scenario.dogs:
        for cut in scenario.cuts:
            grams = fed_g.get((dog.name, cut.name), 0)
            piece_g = None if dog.care else scenario.portioning.whole_piece_g(cut)
            size_g = 1 if piece_g is None or grams % piece_g else piece_g
            wanted_g[dog.care is not None, -size_g, cut.name, dog.owner] += grams
    return wanted_g


def _freezing_day(lot: OnHand) -> date:
    """The day a lot was frozen; the earliest of all days when it is not known."""
    return lot.frozen_on or date.min
