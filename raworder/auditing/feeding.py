"""Judges of what is fed: rations, shares, what a dog must not eat, and where every gram came from."""

from collections import Counter
from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil

from raworder.auditing.books import Books, CountedShares, common_shares, duplicates
from raworder.auditing.nutrients_fed import energy_breaches
from raworder.auditing.what_counts import (
    animal_species,
    cuts_of_unknown_energy,
    days_frozen,
    days_to_freeze,
    forbidden,
)
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.dogs import Dog
from raworder.trade.plan import Breach, Leftover
from raworder.trade.rounding import half_up
from raworder.trade.rulebook import ROUNDING_G, SHARED_PIECES_OFF
from raworder.trade.units import share_text


def ration(books: Books) -> Iterator[Breach]:
    """A dog eats over the batch exactly its daily rations added up; nobody else is fed, and no portion twice.

    A dog whose ration is in energy eats that energy, in the plan's grams.
    """
    known = {dog.name for dog in books.scenario.dogs}
    for portion in books.plan.portions:
        if portion.dog not in known:
            yield Breach("ration", portion.dog, f"is fed {portion.cut} but is no dog of the scenario")
        if portion.batch_g < 0:
            yield Breach("ration", portion.dog, f"is to eat {portion.batch_g} g of {portion.cut}")
    for dog_name, cut in duplicates((portion.dog, portion.cut) for portion in books.plan.portions):
        yield Breach("ration", dog_name, f"has more than one portion of {cut}")
    for dog in books.scenario.dogs:
        eaten_g = sum(books.eaten_by(dog).values())
        if eaten_g != dog.batch_g:
            yield Breach("ration", dog.name, f"eats {eaten_g} g but its ration over the batch is {dog.batch_g} g")
        yield from energy_breaches(books, dog)


def vet_amount(books: Books) -> Iterator[Breach]:
    """A dog under a veterinarian's care gets, to the gram of each cut, what the veterinarian gave, every day alike."""
    for dog in books.scenario.dogs:
        if dog.care is None:
            continue
        given_g = {amount.cut: amount.batch_g for amount in dog.vet_amounts}
        eaten_g = books.eaten_by(dog)
        for cut in dict.fromkeys((*given_g, *eaten_g)):
            eats_g, gave_g = eaten_g.get(cut, 0), given_g.get(cut, 0)
            if eats_g != gave_g:
                yield Breach("vet_amount", dog.name, f"eats {eats_g} g of {cut}; the veterinarian gave {gave_g} g")
        yield from _check_days(books, dog)


def _check_days(books: Books, dog: Dog) -> Iterator[Breach]:
    """Days whose bags hold more or less than an equal part of a cut, by more than a gram; the first day of each cut."""
    for cut, held_g in books.bags[dog.name].held_g.items():
        due_g = Fraction(sum(held_g), len(held_g))
        off = next((n for n, grams in enumerate(held_g) if abs(grams - due_g) > ROUNDING_G), None)
        if off is not None:
            says = f"its bags of {books.bags[dog.name].fed_days[off]} hold {held_g[off]} g of {cut}"
            yield Breach("vet_amount", dog.name, f"{says}; every day alike, {half_up(due_g)} g are due")


def part_share(books: Books) -> Iterator[Breach]:
    """Each part's share of what a dog eats stays inside its target range."""
    parts = {part: books.counted(Subject(Measure.PART, part)) for part in Part}
    for dog in books.dogs_not_in_care:
        eaten_g = books.eaten_by(dog)
        for target in dog.targets:
            counts = parts[target.part]
            if _falls_short(books, counts, dog, target.low):
                says = f"{_describe_share(target.part, counts, eaten_g)}, at least {_share(target.low)} is asked"
                yield Breach("part_share", dog.name, says)
            if _goes_over(books, counts, dog, target.high):
                says = f"{_describe_share(target.part, counts, eaten_g)}, at most {_share(target.high)} is asked"
                yield Breach("part_share", dog.name, says)


def cap(books: Books) -> Iterator[Breach]:
    """What is capped is at most its share of what a dog eats; a species of unknown share counts in full."""
    subjects = {limit.subject for dog in books.scenario.dogs for limit in dog.caps}
    capped = {subject: books.counted(subject) for subject in subjects}
    for dog in books.dogs_not_in_care:
        eaten_g = books.eaten_by(dog)
        for limit in dog.caps:
            if _goes_over(books, capped[limit.subject], dog, limit.most):
                what = limit.subject.word or limit.subject.measure
                says = (
                    f"{_describe_share(what, capped[limit.subject], eaten_g)}, at most {_share(limit.most)} is allowed"
                )
                yield Breach("cap", dog.name, says)


def avoid(books: Books) -> Iterator[Breach]:
    """Nothing a dog must not eat is fed to it, in any form; this holds under a veterinarian's care too.

    Neither a portion, a bag nor a mix of the dog may hold it. The same goes for cuts of unknown energy where the dog's
    ration is in energy or it has a rule per 1000 kcal.
    """
    for dog in books.scenario.dogs:
        none_of = set(forbidden(dog, books.table))
        for cut, eaten_g in books.eaten_by(dog).items():
            if eaten_g > 0 and cut in none_of:
                yield Breach("avoid", dog.name, f"eats {eaten_g} g of {cut}, which it must not eat")
        for cut, where in _cuts_held(books, dog):
            if cut in none_of:
                yield Breach("avoid", dog.name, f"has {cut} in {where}, which it must not eat")
        yield from _check_phases(books, dog, none_of)
    yield from _check_unknown_energy(books)


def _check_phases(books: Books, dog: Dog, none_of: AbstractSet[str]) -> Iterator[Breach]:
    """Cuts that the dog must not eat, handled in a phase in which its bags are filled, so without a clean-down."""
    in_mix = {mix.name: [filling.cut for filling in mix.contents] for mix in books.plan.mixes}
    own_bags = {place for place, bag in enumerate(books.plan.bags) if bag.dog == dog.name}
    phases = {station.phase for station in books.plan.stations if not own_bags.isdisjoint(station.bags)}
    for station in books.plan.stations:
        for cut in in_mix.get(station.cut, [station.cut]):
            if station.phase in phases and cut in none_of and own_bags.isdisjoint(station.bags):
                says = f"its bags are filled in phase {station.phase} beside {cut}, which it must not eat"
                yield Breach("avoid", dog.name, says)


def hold(books: Books) -> Iterator[Breach]:
    """What must be frozen before it is fed is fed only if it will have been, but for a veterinarian's amounts.

    What is fed in whole pieces has each of them from one lot, or from what is bought of one offer. Of an order before
    pieces are shared out they may be divided; that those of a plan are whole is judged with its bags.
    """
    for cut, days in days_to_freeze(books.scenario).items():
        eaten_g = [books.eaten_by(dog).get(cut, 0) for dog in books.dogs_not_in_care]
        fed_g = sum(eaten_g)
        lots = [lot for lot in books.scenario.on_hand if lot.cut == cut]
        ready = [lot.grams for lot in lots if days_frozen(books.scenario, lot) >= days]
        for line in books.plan.lines:
            offer = books.offers.get(line.offer)
            if offer and offer.cut == cut and days_frozen(books.scenario, offer) >= days:
                ready.append(max(ceil(offer.unit_g * line.units), 0))
        piece_g = books.pieces_g.get(cut, 1)
        if any(grams % piece_g for grams in eaten_g):
            piece_g = 1
        ready_g = sum(grams // piece_g * piece_g for grams in ready)
        if fed_g > ready_g:
            says = f"{fed_g} g are fed but {ready_g} g of it will have been frozen for {days} days"
            yield Breach("hold", cut, says)


def variety(books: Books) -> Iterator[Breach]:
    """A dog gets at least so many animal species, each at least its share, and none above the most.

    In a mixed product a species of unknown share counts in full towards the most, and as nothing towards the least.
    """
    demand, names = books.scenario.variety, animal_species(books.scenario)
    possible = {name: books.counted(Subject(Measure.SPECIES, name)) for name in names}
    certain = {name: _certain_shares(books, name) for name in names}
    for dog in books.dogs_not_in_care:
        eaten_g = books.eaten_by(dog)
        for name in names:
            if _goes_over(books, possible[name], dog, demand.most_share):
                says = (
                    f"{_describe_share(name, possible[name], eaten_g)}, at most {_share(demand.most_share)} is allowed"
                )
                yield Breach("variety", dog.name, says)
        enough = sum(not _falls_short(books, counts, dog, demand.least_share) for counts in certain.values())
        if enough < demand.least_species:
            each = f"{demand.least_species} species of at least {_share(demand.least_share)} each"
            yield Breach("variety", dog.name, f"gets {enough} of the {each}")


def supply(books: Books) -> Iterator[Breach]:
    """What is fed and what is left over is what was on hand and what is bought, to the gram.

    What is on hand is fed before what is bought, the oldest lot first; a lot of unknown age counts as the oldest. A
    piece that is fed whole comes from one lot, or from what is bought of one offer.
    """
    yield from _check_cut_names(books)
    for cut in books.scenario.cuts:
        fed_g = books.fed_g.get(cut.name, 0)
        there_g = books.on_hand_g.get(cut.name, 0) + books.bought_g.get(cut.name, 0)
        if fed_g > there_g:
            yield Breach("supply", cut.name, f"{fed_g} g are fed but {there_g} g are on hand and bought")
    yield from _check_pieces(books)
    yield from _check_leftovers(books)
    yield from _check_lots(books)


def own_stock(books: Books) -> Iterator[Breach]:
    """What an owner has on hand is fed to that owner's dogs only.

    So all that the dogs eat beyond their owners' own lots is bought, or on hand for all. An own lot gives dogs fed by
    rules whole pieces, where the cut is fed in them, and only what will have been frozen for long enough.
    """
    must_days = days_to_freeze(books.scenario)
    for cut in dict.fromkeys(lot.cut for lot in books.scenario.on_hand if lot.owner):
        eaten_g = [books.eaten_by(dog).get(cut, 0) for dog in books.dogs_not_in_care]
        piece_g = books.pieces_g.get(cut, 1)
        size_g = 1 if any(grams % piece_g for grams in eaten_g) else piece_g
        ready_g, own_g = _held_by_owner(books, cut, size_g, must_days.get(cut, 0)), _held_by_owner(books, cut, 1, 0)
        asked_g, due_g = 0, 0
        for owner in {dog.owner for dog in books.scenario.dogs}:
            ruled_g, vet_g = _eaten_by_owner(books, owner, cut)
            own_ruled_g = min(ruled_g, ready_g[owner]) if owner else 0
            own_vet_g = min(vet_g, own_g[owner] - own_ruled_g) if owner else 0
            asked_g += ruled_g - own_ruled_g
            due_g += ruled_g + vet_g - own_ruled_g - own_vet_g
        for need_g, there_g in ((asked_g, ready_g[""]), (due_g, own_g[""])):
            if need_g > there_g:
                says = f"{need_g} g are fed beyond what owners have for their own dogs; {there_g} g are there for all"
                yield Breach("own_stock", cut, says)
                break


def _eaten_by_owner(books: Books, owner: str, cut: str) -> tuple[int, int]:
    """Grams of a cut that an owner's dogs eat: by rules, and by a veterinarian's amounts."""
    dogs = [dog for dog in books.scenario.dogs if dog.owner == owner]
    by_rules, by_vet = (
        sum(books.eaten_by(dog).get(cut, 0) for dog in dogs if (dog.care is None) is ruled) for ruled in (True, False)
    )
    return by_rules, by_vet


def _held_by_owner(books: Books, cut: str, size_g: int, least_days: int) -> Counter[str]:
    """Grams of a cut by whose they are, nobody's what is on hand for all or bought; whole sizes, frozen for so long."""
    held_g: Counter[str] = Counter()
    for lot in books.scenario.on_hand:
        if lot.cut == cut and days_frozen(books.scenario, lot) >= least_days:
            held_g[lot.owner] += lot.grams // size_g * size_g
    for line in books.plan.lines:
        offer = books.offers.get(line.offer)
        if offer and offer.cut == cut and days_frozen(books.scenario, offer) >= least_days:
            held_g[""] += max(ceil(offer.unit_g * line.units), 0) // size_g * size_g
    return held_g


def _check_unknown_energy(books: Books) -> Iterator[Breach]:
    """Cuts of unknown energy that are fed to a dog whose ration or rules count energy."""
    for dog in books.scenario.dogs:
        unknown = cuts_of_unknown_energy(dog, books.scenario)
        eaten = ((cut, f"{eaten_g} g") for cut, eaten_g in books.eaten_by(dog).items() if eaten_g > 0)
        for cut, where in (*eaten, *_cuts_held(books, dog)):
            if cut in unknown:
                yield Breach("avoid", dog.name, f"gets {cut} ({where}), whose energy nobody knows, and energy counts")


def _cuts_held(books: Books, dog: Dog) -> Iterator[tuple[str, str]]:
    """Every cut in a bag or a mix of the dog, once for each place, and where it is; a mix brings all that is in it."""
    in_bags = dict.fromkeys(filling.cut for bag in books.bags[dog.name].bags for filling in bag.fillings)
    yield from ((cut, "a bag") for cut in in_bags)
    for mix in books.plan.mixes:
        if mix.name in in_bags or dog.name in mix.dogs:
            contents = (*mix.contents, *(filling for tub in mix.tubs for filling in tub.contents))
            yield from ((cut, f"the mix {mix.name}") for cut in dict.fromkeys(filling.cut for filling in contents))


def _check_cut_names(books: Books) -> Iterator[Breach]:
    """Names that are fed or left over but are no cut of the scenario."""
    known = {cut.name for cut in books.scenario.cuts}
    named = (*(portion.cut for portion in books.plan.portions), *(left.cut for left in books.plan.leftovers))
    for name in dict.fromkeys(named):
        if name not in known:
            yield Breach("supply", name, "is fed or left over but is no cut of the scenario")


def _check_pieces(books: Books) -> Iterator[Breach]:
    """Cuts of which more whole pieces are fed than the lots and lines hold, each lot or line counted by itself."""
    lots = [(lot.cut, lot.grams) for lot in books.scenario.on_hand]
    food = [line for lines in books.lines.values() for line in lines if books.offers[line.offer].unit_g]
    bought = [(books.offers[line.offer].cut, ceil(books.offers[line.offer].unit_g * line.units)) for line in food]
    for cut, piece_g in books.pieces_g.items():
        fed = _whole_pieces_g(books).get(cut, 0) // piece_g
        there = sum(grams // piece_g for name, grams in (*lots, *bought) if name == cut)
        if fed > there:
            says = f"{fed} pieces of {piece_g} g are fed but the lots and offers hold {there} whole ones"
            yield Breach("supply", cut, says)


def _whole_pieces_g(books: Books) -> Mapping[str, int]:
    """Grams of each cut that are fed in whole pieces.

    A veterinarian's amounts are weighed, and amounts that are no number of pieces break another rule.
    """
    fed_g: Counter[str] = Counter()
    for dog in books.dogs_not_in_care:
        for cut, grams in books.eaten_by(dog).items():
            if cut in books.pieces_g and grams % books.pieces_g[cut] == 0:
                fed_g[cut] += grams
    return fed_g


def _check_leftovers(books: Books) -> Iterator[Breach]:
    """Leftovers that are listed twice, or differ from what remains; a cut that is not listed has none."""
    for cut_name in duplicates(left.cut for left in books.plan.leftovers):
        yield Breach("supply", cut_name, "comes more than once among the leftovers")
    listed = {left.cut: left for left in books.plan.leftovers}
    remain = {cut.name: _true_leftover(books, cut.name) for cut in books.scenario.cuts}
    for cut, remains in remain.items():
        left = listed.get(cut, Leftover(cut, 0, 0, Decimal(0)))
        wrong_grams = (left.on_hand_g, left.bought_g) != (remains.on_hand_g, remains.bought_g)
        # a row may be rounded down or up, so that the rows add up to the rounded sum
        if wrong_grams or abs(Fraction(left.worth) - remains.worth) >= 2 * books.half_a_minor_unit:
            says = f"{_leftover_words(books, left)} is listed as left over; {_leftover_words(books, remains)} is"
            yield Breach("supply", cut, says)
    listed_worth = sum((left.worth for left in listed.values()), Decimal(0))
    due = books.rounded(sum((remains.worth for remains in remain.values()), Fraction(0)))
    if listed_worth != due:
        sums = (books.scenario.currency.text(listed_worth), books.scenario.currency.text(due))
        yield Breach("supply", "what is left over", f"is listed as worth {sums[0]} together; {sums[1]} is due")


@dataclass(frozen=True, slots=True)
class _Remains:
    """What remains of a cut, and its exact worth."""

    on_hand_g: int
    bought_g: int
    worth: Fraction


def _true_leftover(books: Books, cut: str) -> _Remains:
    """What remains of a cut; bought grams are worth their part of the money paid for all that was bought of it."""
    fed_g, on_hand_g, bought_g = (sums.get(cut, 0) for sums in (books.fed_g, books.on_hand_g, books.bought_g))
    from_hand_g = sum(used for lot, used in _due_from_lots(books).items() if books.scenario.on_hand[lot].cut == cut)
    bought_left_g = bought_g - max(fed_g - from_hand_g, 0)  # below zero where more is fed than may be: another breach
    worth = Fraction(books.goods_of_cut[cut]) * bought_left_g / bought_g if bought_g else Fraction(0)
    return _Remains(on_hand_g - from_hand_g, bought_left_g, worth)


def _leftover_words(books: Books, left: Leftover | _Remains) -> str:
    """A leftover in words."""
    worth = books.scenario.currency.text(books.rounded(Fraction(left.worth)))
    return f"{left.on_hand_g} g from on hand and {left.bought_g} g bought, worth {worth},"


def _check_lots(books: Books) -> Iterator[Breach]:
    """Lots that are listed twice, do not exist, or from which another amount is fed than is due."""
    lots, used = books.scenario.on_hand, books.plan.lots_used
    for lot in duplicates(use.lot for use in used):
        yield Breach("supply", f"lot {lot}", "comes more than once among the lots used")
    listed = {use.lot: use.used_g for use in used}
    due = _due_from_lots(books)
    for lot in dict.fromkeys((*due, *listed)):
        if lot not in due:
            yield Breach("supply", f"lot {lot}", f"is none of the {len(lots)} lots on hand")
        elif listed.get(lot, 0) != due[lot]:
            says = f"{listed.get(lot, 0)} g of {lots[lot].cut} are listed as fed from it"
            yield Breach("supply", f"lot {lot}", f"{says}; oldest first, {due[lot]} g are")


def _due_from_lots(books: Books) -> Mapping[int, int]:
    """Grams due from each lot, by its number: first from each owner's own for that owner's dogs, then from the others.

    The oldest of a cut is fed first, and unknown age counts as the oldest. First each lot gives as many whole pieces as
    it holds and are needed; then what is weighed comes from the rest. Lots that should be frozen for longer come last,
    and give a veterinarian's amounts alone.
    """
    lots, must_days = books.scenario.on_hand, days_to_freeze(books.scenario)
    waits = [days_frozen(books.scenario, lot) < must_days.get(lot.cut, 0) for lot in lots]
    in_turn = sorted(range(len(lots)), key=lambda lot: (waits[lot], lots[lot].frozen_on or date.min, lot))
    needs = {owner: _needs_of(books, owner) for owner in {dog.owner for dog in books.scenario.dogs}}
    due = dict.fromkeys(range(len(lots)), 0)
    for owner, need in needs.items():
        for lot in in_turn if owner else ():
            if lots[lot].owner == owner:
                due[lot] = _take_pieces(books, lot, need, waits=waits[lot])
        _take_weighed(books, [lot for lot in in_turn if owner and lots[lot].owner == owner], waits, need, due)
    for_all = [sum((need[kind] for need in needs.values()), Counter()) for kind in range(3)]
    shared = [lot for lot in in_turn if not lots[lot].owner]
    for lot in shared:
        due[lot] = _take_pieces(books, lot, for_all, waits=waits[lot])
    _take_weighed(books, shared, waits, for_all, due)
    return due


def _needs_of(books: Books, owner: str) -> list[Counter[str]]:
    """What an owner's dogs eat of each cut: grams in whole pieces, weighed, and by a veterinarian's amounts."""
    pieces_g, weighed_g, vet_g = Counter[str](), Counter[str](), Counter[str]()
    for dog in books.scenario.dogs:
        for cut, grams in books.eaten_by(dog).items() if dog.owner == owner else ():
            is_whole = cut in books.pieces_g and grams % books.pieces_g[cut] == 0
            (vet_g if dog.care is not None else pieces_g if is_whole else weighed_g)[cut] += max(grams, 0)
    return [pieces_g, weighed_g, vet_g]


def _take_pieces(books: Books, lot: int, need: list[Counter[str]], *, waits: bool) -> int:
    """The grams that a lot gives in whole pieces, taken off the need."""
    cut, held_g = books.scenario.on_hand[lot].cut, books.scenario.on_hand[lot].grams
    piece_g = books.pieces_g.get(cut, 1)
    taken_g = 0 if waits else max(min(held_g, need[0][cut]), 0) // piece_g * piece_g
    need[0][cut] -= taken_g
    return taken_g


def _take_weighed(
    books: Books, in_turn: list[int], waits: list[bool], need: list[Counter[str]], due: dict[int, int]
) -> None:
    """Add to what is due from these lots what is weighed, then a veterinarian's amounts, and take both off the need."""
    for kind in (1, 2):
        for lot in in_turn:
            cut, held_g = books.scenario.on_hand[lot].cut, books.scenario.on_hand[lot].grams
            free_g = 0 if waits[lot] and kind == 1 else held_g - due[lot]
            more_g = max(min(free_g, need[kind][cut]), 0)
            due[lot] += more_g
            need[kind][cut] -= more_g


def _certain_shares(books: Books, species: str) -> CountedShares:
    """The share of each cut that is certainly of the species, whatever is in a mixed product."""
    return common_shares({cut: entry.for_sure.get(species, Fraction(0)) for cut, entry in books.table.items()})


def _falls_short(books: Books, counts: CountedShares, dog: Dog, low: Fraction) -> bool:
    """Whether less counts than the low end, by more than rounding can have taken away."""
    eaten_g = books.eaten_by(dog)
    return counts.grams(eaten_g) + _allowance_g(books, counts, dog) < low * sum(eaten_g.values())


def _goes_over(books: Books, counts: CountedShares, dog: Dog, high: Fraction) -> bool:
    """Whether more counts than the high end, by more than rounding can have added."""
    eaten_g = books.eaten_by(dog)
    return counts.grams(eaten_g) - _allowance_g(books, counts, dog) > high * sum(eaten_g.values())


def _allowance_g(books: Books, counts: CountedShares, dog: Dog) -> Fraction:
    """The grams by which whole grams, and whole pieces shared out among dogs, may have changed what counts."""
    return counts.allowance_g(books.cuts_handled) + SHARED_PIECES_OFF * _swapped_pieces_g(books, counts, dog)


def _swapped_pieces_g(books: Books, counts: CountedShares, dog: Dog) -> Fraction:
    """The grams that count more or less if a piece of each shared cut is swapped for the cut most unlike it."""
    eaten = [counts.counts.get(cut, 0) for cut, grams in books.eaten_by(dog).items() if grams > 0]
    pieces = [(books.pieces_g[cut], counts.counts.get(cut, 0)) for cut in books.shared_pieces.get(dog.name, ())]
    swapped = sum(piece_g * max((abs(count - other) for other in eaten), default=0) for piece_g, count in pieces)
    return Fraction(swapped, counts.of)


def _describe_share(what: str, counts: CountedShares, eaten_g: Mapping[str, int]) -> str:
    """How much counts, in grams and as a share of what is eaten, in words."""
    grams, total_g = counts.grams(eaten_g), sum(eaten_g.values())
    share = f", {_share(grams / total_g)}," if total_g > 0 else ""
    return f"{half_up(grams)} g{share} of {total_g} g eaten count as {what}"


def _share(share: Fraction) -> str:
    """A share in words."""
    return share_text(share, 3)
