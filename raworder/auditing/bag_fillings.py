"""Judges of single fillings: whole pieces, the least portion, and what the scale can show.

An order without bags is not judged by them. A dog under a veterinarian's care gets the amounts as they were given.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from itertools import combinations_with_replacement

from raworder.auditing.bag_books import DogBags
from raworder.auditing.books import Books
from raworder.bags import Bag, Filling
from raworder.plan import Breach, Portion
from raworder.rulebook import REST_STEPS


def whole_pieces(books: Books) -> Iterator[Breach]:
    """A cut with bone in it is fed in whole pieces, over the batch and in every bag; nothing else is counted."""
    for portion in _portions(books):
        piece_g = books.pieces_g.get(portion.cut)
        if piece_g and portion.batch_g % piece_g:
            says = f"eats {portion.batch_g} g of {portion.cut}, which is no whole number of pieces of {piece_g} g"
            yield Breach("whole_pieces", portion.dog, says)
    for subject, where, filling in (*_in_bags(books), *_in_mixes(books)):
        yield from _pieces(books, subject, where, filling)


def least_portion(books: Books) -> Iterator[Breach]:
    """A dog gets nothing of a weighed cut, or at least the least portion; no bag holds less of what is weighed."""
    least_g = books.scenario.portioning.least_portion_g
    for portion in _portions(books):
        if portion.cut not in books.pieces_g and 0 < portion.batch_g < least_g:
            says = f"eats {portion.batch_g} g of {portion.cut} over the batch; the least portion is {least_g} g"
            yield Breach("least_portion", portion.dog, says)
    for dog, where, filling in _in_bags(books):
        if filling.pieces == 0 and filling.grams < least_g:
            says = f"{filling.grams} g of {filling.cut} are weighed into {where}; the least portion is {least_g} g"
            yield Breach("least_portion", dog, says)


def scale_step(books: Books) -> Iterator[Breach]:
    """What is weighed into a bag is what the scale can show; the last bag of a kind takes what is left of a cut.

    Bags of a kind are filled alike but for what tops them up, which is the same cut or mix in all bags of the dog.
    """
    for dog in books.dogs_not_in_care:
        one = books.bags[dog.name]
        names = tuple(dict.fromkeys(bag.topped_up for bag in one.bags))
        if "" in names or len(names) > 1:
            says = " and ".join(name or "nothing" for name in names)
            yield Breach("scale_step", dog.name, f"has bags topped up with {says}")
        for kind, bags in _by_kind(one).items():
            yield from _kind(books, one, kind, bags)
    yield from _fewest_kinds(books)


def _fewest_kinds(books: Books) -> Iterator[Breach]:
    """Dogs with fewer kinds of bag than are told to be the fewest, or whose pieces fewer could hold.

    Pieces can be dealt out to so many kinds if, with some number of bags of each, every cut's pieces are a sum of
    those numbers.
    """
    seen: dict[object, bool] = {}
    for dog, told in books.plan.least_kinds:
        bags = books.bags[dog].bags if dog in books.bags else ()
        pieces = Counter[str]()
        for filling in (one for bag in bags for one in bag.fillings):
            pieces[filling.cut] += filling.pieces
        likeness = frozenset(pieces.values()), len(bags), told
        if likeness not in seen:
            seen[likeness] = any(_can_be_dealt(*likeness[:2], kinds) for kinds in range(1, told))
        if told > len({bag.kind for bag in bags}):
            yield Breach("scale_step", dog, f"has fewer kinds of bag than {told}, said to be the fewest")
        elif seen[likeness]:
            yield Breach("scale_step", dog, f"could have fewer kinds of bag than {told}, said to be the fewest")


def _can_be_dealt(pieces: AbstractSet[int], bags: int, kinds: int) -> bool:
    """Whether with some number of bags of each of so many kinds every number of pieces is a sum of those numbers."""
    return any(
        all(_is_sum(number, (*some, bags - sum(some))) for number in pieces)
        for some in combinations_with_replacement(range(1, bags), kinds - 1)
        if sum(some) < bags
    )


def _is_sum(number: int, parts: tuple[int, ...]) -> bool:
    """Whether a number is a sum of the parts, each taken as often as wanted."""
    *others, last = sorted(parts)
    if not others:
        return number % last == 0
    return any(_is_sum(rest, tuple(others)) for rest in range(number, -1, -last))


def _portions(books: Books) -> Iterator[Portion]:
    """The portions that bags are made of, but for those that a veterinarian gave."""
    in_care = {dog.name for dog in books.scenario.dogs if dog.care is not None}
    return (one for one in books.plan.portions if books.is_portioned and one.dog not in in_care)


def _in_bags(books: Books) -> Iterator[tuple[str, str, Filling]]:
    """Every filling of every bag, with its dog and where it is, but for those that a veterinarian gave."""
    in_care = {dog.name for dog in books.scenario.dogs if dog.care is not None}
    for bag in books.plan.bags:
        if bag.dog not in in_care:
            where = f"the bag of {bag.day}, meal {bag.meal}"
            yield from ((bag.dog, where, filling) for filling in bag.fillings)


def _in_mixes(books: Books) -> Iterator[tuple[str, str, Filling]]:
    """Every filling of every mix and tub, with the mix and where it is."""
    for mix in books.plan.mixes:
        yield from ((mix.name, "the mix", filling) for filling in mix.contents)
        for tub in mix.tubs:
            yield from ((mix.name, f"tub {tub.number}", filling) for filling in tub.contents)


def _pieces(books: Books, subject: str, where: str, filling: Filling) -> Iterator[Breach]:
    """A filling that is no whole pieces where it should be, or is counted where it should be weighed."""
    piece_g = books.pieces_g.get(filling.cut)
    found = f"{filling.grams} g of {filling.cut} are in {where} as {filling.pieces} pieces"
    if piece_g is None and filling.pieces:
        yield Breach("whole_pieces", subject, f"{found}, but it is weighed")
    elif piece_g and (filling.pieces < 1 or filling.grams != piece_g * filling.pieces):
        yield Breach("whole_pieces", subject, f"{found}; a piece weighs {piece_g} g")


def _by_kind(one: DogBags) -> Mapping[str, list[Bag]]:
    """The bags of a dog by their kind, in order of day and meal."""
    kinds: defaultdict[str, list[Bag]] = defaultdict(list)
    for bag in one.bags:
        kinds[bag.kind].append(bag)
    return kinds


def _kind(books: Books, one: DogBags, kind: str, bags: list[Bag]) -> Iterator[Breach]:
    """Bags of a kind that are not filled alike, or not by the scale, or whose last bag takes too much or too little."""
    *alike, last = (_apart_from_top_up(bag, one.topped_up) for bag in bags)
    if not alike:
        return
    for bag, contents in zip(bags, alike, strict=False):
        if contents != alike[0]:
            yield Breach("scale_step", one.dog.name, f"the bag of {bag.day} is unlike the first of its kind, {kind}")
    yield from _steps(books, one.dog.name, kind, alike[0])
    yield from _rest(books, one.dog.name, kind, alike[0], last)


def _steps(books: Books, dog: str, kind: str, contents: Mapping[str, Filling]) -> Iterator[Breach]:
    """What is weighed into the bags of a kind without being a whole number of scale steps."""
    step_g = books.scenario.portioning.scale_step_g
    for filling in contents.values():
        if filling.pieces == 0 and filling.grams % step_g:
            says = (
                f"{filling.grams} g of {filling.cut} in bags of kind {kind} are no whole number of steps of {step_g} g"
            )
            yield Breach("scale_step", dog, says)


def _rest(
    books: Books, dog: str, kind: str, contents: Mapping[str, Filling], last: Mapping[str, Filling]
) -> Iterator[Breach]:
    """A last bag of a kind with other cuts or pieces than the rest, or with more or less left over than is allowed."""
    if {cut: one.pieces for cut, one in contents.items()} != {cut: one.pieces for cut, one in last.items()}:
        yield Breach("scale_step", dog, f"the last bag of kind {kind} has other cuts or pieces than the others")
        return
    most_g = REST_STEPS * books.scenario.portioning.scale_step_g
    for cut, filling in contents.items():
        if filling.pieces == 0 and abs(last[cut].grams - filling.grams) > most_g:
            says = f"the last bag of kind {kind} holds {last[cut].grams} g of {cut}, the others {filling.grams} g"
            yield Breach("scale_step", dog, f"{says}; {most_g} g more or less are allowed")


def _apart_from_top_up(bag: Bag, topped_up: str) -> Mapping[str, Filling]:
    """What is in a bag, by cut, but for what tops it up."""
    return {filling.cut: filling for filling in bag.fillings if filling.cut != topped_up}
