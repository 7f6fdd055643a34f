"""Judges of bags: one for every meal, holding exactly the portions, in whole pieces and amounts the scale can show."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from datetime import date, timedelta
from fractions import Fraction
from itertools import chain, combinations_with_replacement

from raworder.auditing.books import Books, DogBags, duplicates, total_grams
from raworder.trade.bags import Bag, Filling, Mix
from raworder.trade.dogs import Dog
from raworder.trade.plan import Breach, Portion
from raworder.trade.rounding import half_up
from raworder.trade.rulebook import REST_STEPS, ROUNDING_G

Meal = tuple[str, date, int]


def bag_sum(books: Books) -> Iterator[Breach]:
    """Bags and what is left over add up to what there is; a dog's bags hold just its portions.

    This holds under a veterinarian's care too. A plan without bags, mixes and stations is only an order.
    """
    if books.is_portioned:
        yield from _check_meals(books)
        yield from _check_fillings(books)
        yield from _check_portions(books)
        yield from _check_mix_names(books)
        for mix in books.plan.mixes:
            yield from _check_mix_contents(books, mix)
            yield from _check_mix_shares(books, mix)
            yield from _check_tubs(books, mix)
        yield from _check_stations(books)


def _check_meals(books: Books) -> Iterator[Breach]:
    """Meals without a bag or with more than one, and bags for no meal of the batch."""
    found = Counter((bag.dog, bag.day, bag.meal) for bag in books.plan.bags)
    due = dict.fromkeys(chain.from_iterable(_due_meals(books, dog) for dog in books.scenario.dogs))
    for key in dict.fromkeys((*due, *found)):
        dog, day, meal = key
        if key not in due:
            yield Breach("bag_sum", dog, f"has a bag for {day}, meal {meal}, when it is not fed")
        elif found[key] != 1:
            yield Breach("bag_sum", dog, f"has {found[key]} bags for {day}, meal {meal}")
    for bag in books.plan.bags:
        # a dog may be fed so little that there is less than a gram for a meal
        if not total_grams(bag.fillings) and (bag.dog, bag.day, bag.meal) in due and _has_enough(books, bag.dog):
            yield Breach("bag_sum", bag.dog, f"its bag of {bag.day}, meal {bag.meal}, is empty")


def _has_enough(books: Books, dog: str) -> bool:
    """Whether a gram of what the dog eats could be in each of its bags."""
    return sum(books.eaten_g.get(dog, {}).values()) >= len(books.bags[dog].bags)


def _due_meals(books: Books, dog: Dog) -> Iterator[Meal]:
    """Every meal for which a dog needs a bag."""
    for index, day_g in enumerate(dog.day_g):
        if day_g > 0:
            day = books.scenario.batch.starts + timedelta(days=index)
            yield from ((dog.name, day, meal) for meal in range(1, dog.meals + 1))


def _check_fillings(books: Books) -> Iterator[Breach]:
    """Fillings without weight, and cuts that come twice in one bag, mix or tub."""
    for bag in books.plan.bags:
        yield from _check_filling_list(bag.dog, f"the bag of {bag.day}, meal {bag.meal}", bag.fillings)
    for mix in books.plan.mixes:
        yield from _check_filling_list(mix.name, "the mix", mix.contents)
        for tub in mix.tubs:
            yield from _check_filling_list(mix.name, f"tub {tub.number}", tub.contents)


def _check_filling_list(subject: str, where: str, fillings: tuple[Filling, ...]) -> Iterator[Breach]:
    """Fillings without weight, and cuts that come twice, in one list of fillings."""
    for filling in fillings:
        if filling.grams <= 0:
            yield Breach("bag_sum", subject, f"{filling.grams} g of {filling.cut} are in {where}")
    for cut in duplicates(filling.cut for filling in fillings):
        yield Breach("bag_sum", subject, f"{cut} is in {where} more than once")


def _check_portions(books: Books) -> Iterator[Breach]:
    """Cuts and mixes of which a dog's bags hold more or less than its portions come to."""
    mix_of = {dog: mix.name for mix in reversed(books.plan.mixes) for dog in mix.dogs}
    for dog in books.scenario.dogs:
        held_g = _grams_by_cut(chain.from_iterable(bag.fillings for bag in books.bags[dog.name].bags))
        due_g = _due_g(books, dog, mix_of.get(dog.name))
        for name in dict.fromkeys((*due_g, *held_g)):
            if held_g[name] != due_g[name]:
                says = f"its bags hold {held_g[name]} g of {name}, its portions come to {due_g[name]} g"
                yield Breach("bag_sum", dog.name, says)


def _due_g(books: Books, dog: Dog, mix: str | None) -> Counter[str]:
    """The grams that a dog's bags must hold: its portions, with all weighed cuts in its mix if it has one."""
    due_g: Counter[str] = Counter()
    for cut, eaten_g in books.eaten_by(dog).items():
        due_g[cut if mix is None or cut in books.pieces_g else mix] += eaten_g
    return due_g


def _check_mix_names(books: Books) -> Iterator[Breach]:
    """Mixes with the name of a cut or of another mix, and dogs that are unknown or fed from several mixes."""
    mixes = books.plan.mixes
    for name in duplicates((*(cut.name for cut in books.scenario.cuts), *dict.fromkeys(mix.name for mix in mixes))):
        yield Breach("bag_sum", name, "is the name of a cut and of a mix")
    for name in duplicates(mix.name for mix in mixes):
        yield Breach("bag_sum", name, "is the name of more than one mix")
    for dog in duplicates(chain.from_iterable(mix.dogs for mix in mixes)):
        yield Breach("bag_sum", dog, "is fed from a mix more than once")
    for dog in dict.fromkeys(chain.from_iterable(mix.dogs for mix in mixes)):
        if dog not in books.bags:
            yield Breach("bag_sum", dog, "is fed from a mix but is no dog of the scenario")


def _check_mix_contents(books: Books, mix: Mix) -> Iterator[Breach]:
    """Cuts of which a mix holds more or less than its dogs' weighed portions come to."""
    due_g: Counter[str] = Counter()
    for dog in dict.fromkeys(mix.dogs):
        due_g.update({cut: g for cut, g in books.eaten_g.get(dog, {}).items() if cut not in books.pieces_g})
    yield from _compare_grams(
        mix.name, "the mix holds", _grams_by_cut(mix.contents), "its dogs' portions come to", due_g
    )


def _check_mix_shares(books: Books, mix: Mix) -> Iterator[Breach]:
    """Dogs whose weighed portions differ from their part of the mix by more than whole grams can explain.

    A portion is within a gram of the exact one, so the mix is within a gram for each of its dogs, and a dog gets its
    part of that error.
    """
    mixed_g, mix_g = _grams_by_cut(mix.contents), total_grams(mix.contents)
    for dog in dict.fromkeys(mix.dogs):
        due_g = {cut: g for cut, g in books.eaten_g.get(dog, {}).items() if cut not in books.pieces_g}
        part = Fraction(sum(due_g.values()), mix_g or 1)
        for cut in dict.fromkeys((*mixed_g, *due_g)):
            gets_g, eats_g = mixed_g[cut] * part, due_g.get(cut, 0)
            if abs(gets_g - eats_g) > ROUNDING_G * (1 + part * len(mix.dogs)):
                says = f"gets {half_up(gets_g)} g of {cut} with {mix.name}, its portion is {eats_g} g"
                yield Breach("bag_sum", dog, says)


def _check_tubs(books: Books, mix: Mix) -> Iterator[Breach]:
    """Tubs that do not add up to the mix, are misnumbered or too heavy, or differ by more than a step of a cut."""
    if [tub.number for tub in mix.tubs] != list(range(1, len(mix.tubs) + 1)):
        yield Breach("bag_sum", mix.name, "its tubs are not numbered from 1 on")
    most_g = min(books.scenario.portioning.tub_g, books.scenario.portioning.scale_g)
    for tub in mix.tubs:
        held_g = total_grams(tub.contents)
        if held_g > most_g:
            yield Breach("bag_sum", mix.name, f"tub {tub.number} holds {held_g} g where {most_g} g are the most")
    step_g = books.scenario.portioning.scale_step_g
    in_tubs = [_grams_by_cut(tub.contents) for tub in mix.tubs]
    in_all = _grams_by_cut(filling for tub in mix.tubs for filling in tub.contents)
    yield from _compare_grams(mix.name, "its tubs hold", in_all, "the mix holds", _grams_by_cut(mix.contents))
    for cut in in_all:
        if max(tub[cut] for tub in in_tubs) - min(tub[cut] for tub in in_tubs) > step_g:
            yield Breach("bag_sum", mix.name, f"its tubs differ by more than a scale step of {cut}")


def _compare_grams(
    subject: str, found: str, found_g: Mapping[str, int], due: str, due_g: Mapping[str, int]
) -> Iterator[Breach]:
    """Cuts of which the grams found are not those due; `found` and `due` begin the two halves of the message."""
    for cut in dict.fromkeys((*due_g, *found_g)):
        if found_g.get(cut, 0) != due_g.get(cut, 0):
            says = f"{found} {found_g.get(cut, 0)} g of {cut}, {due} {due_g.get(cut, 0)} g"
            yield Breach("bag_sum", subject, says)


def _check_stations(books: Books) -> Iterator[Breach]:
    """Cuts that stations put into other bags than those that hold them, or twice into one; the first bag of each cut.

    Also phases that are not worked one after the other, from 1 on.
    """
    phases = [station.phase for station in books.plan.stations]
    if phases != sorted(phases) or set(phases) != set(range(1, len(set(phases)) + 1)):
        yield Breach("bag_sum", "the counter", f"its phases are worked as {', '.join(map(str, phases))}")
    bags = enumerate(books.plan.bags)
    due = Counter((filling.cut, index) for index, bag in bags for filling in bag.fillings)
    found = Counter((station.cut, index) for station in books.plan.stations for index in station.bags)
    reported: set[str] = set()
    for cut, index in dict.fromkeys((*due, *found)):
        times = found[cut, index]
        if times != min(due[cut, index], 1) and cut not in reported:
            reported.add(cut)
            holds = "holds it" if due[cut, index] else "does not hold it"
            says = f"the bag at place {index} {holds}; stations that fill it in there: {times}"
            yield Breach("bag_sum", cut, says)


def _grams_by_cut(fillings: Iterable[Filling]) -> Counter[str]:
    """Grams by cut or mix."""
    grams: Counter[str] = Counter()
    for filling in fillings:
        grams[filling.cut] += filling.grams
    return grams


def whole_pieces(books: Books) -> Iterator[Breach]:
    """A cut with bone in it is fed in whole pieces, over the batch and in every bag; all else is weighed."""
    for portion in _planned_portions(books):
        piece_g = books.pieces_g.get(portion.cut)
        if piece_g and portion.batch_g % piece_g:
            says = f"eats {portion.batch_g} g of {portion.cut}, which is no whole number of pieces of {piece_g} g"
            yield Breach("whole_pieces", portion.dog, says)
    for subject, where, filling in (*_bag_fillings(books), *_mix_fillings(books)):
        yield from _check_pieces(books, subject, where, filling)


def least_portion(books: Books) -> Iterator[Breach]:
    """A dog gets nothing of a weighed cut, or at least the least portion; no bag holds less of what is weighed."""
    least_g = books.scenario.portioning.least_portion_g
    for portion in _planned_portions(books):
        if portion.cut not in books.pieces_g and 0 < portion.batch_g < least_g:
            says = f"eats {portion.batch_g} g of {portion.cut} over the batch; the least portion is {least_g} g"
            yield Breach("least_portion", portion.dog, says)
    for dog, where, filling in _bag_fillings(books):
        if filling.pieces == 0 and filling.grams < least_g:
            says = f"{filling.grams} g of {filling.cut} are weighed into {where}; the least portion is {least_g} g"
            yield Breach("least_portion", dog, says)


def scale_step(books: Books) -> Iterator[Breach]:
    """What is weighed into a bag is what the scale can show; the last bag of a kind takes what is left of a cut.

    Bags of a kind are filled alike except for what tops them up, which is the same cut or mix in all the dog's bags.
    """
    for dog in books.dogs_not_in_care:
        dog_bags = books.bags[dog.name]
        names = tuple(dict.fromkeys(bag.topped_up for bag in dog_bags.bags))
        if "" in names or len(names) > 1:
            says = " and ".join(name or "nothing" for name in names)
            yield Breach("scale_step", dog.name, f"has bags topped up with {says}")
        for kind, bags in _bags_by_kind(dog_bags).items():
            yield from _check_kind(books, dog_bags, kind, bags)
    yield from _check_fewest_kinds(books)


def _check_fewest_kinds(books: Books) -> Iterator[Breach]:
    """Dogs with fewer kinds of bag than the plan calls the fewest, or whose pieces would fit into fewer kinds.

    Pieces can be dealt out to a number of kinds if, with some number of bags of each kind, every cut's pieces are a sum
    of those numbers.
    """
    seen: dict[object, bool] = {}
    for dog, fewest in books.plan.least_kinds:
        bags = books.bags[dog].bags if dog in books.bags else ()
        pieces = Counter[str]()
        for filling in (filling for bag in bags for filling in bag.fillings):
            pieces[filling.cut] += filling.pieces
        likeness = frozenset(pieces.values()), len(bags), fewest
        if likeness not in seen:
            seen[likeness] = any(_can_be_dealt(*likeness[:2], kinds) for kinds in range(1, fewest))
        if fewest > len({bag.kind for bag in bags}):
            yield Breach("scale_step", dog, f"has fewer kinds of bag than {fewest}, said to be the fewest")
        elif seen[likeness]:
            yield Breach("scale_step", dog, f"could have fewer kinds of bag than {fewest}, said to be the fewest")


def _can_be_dealt(pieces: AbstractSet[int], bags: int, kinds: int) -> bool:
    """Whether the bags can be split into that many kinds so that every count of pieces is a sum of kinds' sizes."""
    # the last kind takes the bags that the others leave
    return any(
        all(_is_sum(number, (*others, bags - sum(others))) for number in pieces)
        for others in combinations_with_replacement(range(1, bags), kinds - 1)
        if sum(others) < bags
    )


def _is_sum(number: int, parts: tuple[int, ...]) -> bool:
    """Whether a number is a sum of the parts, each taken any number of times."""
    *others, last = sorted(parts)
    if not others:
        return number % last == 0
    return any(_is_sum(rest, tuple(others)) for rest in range(number, -1, -last))


def _planned_portions(books: Books) -> Iterator[Portion]:
    """The portions that bags are made of, except those that a veterinarian gave."""
    in_care = {dog.name for dog in books.scenario.dogs if dog.care is not None}
    return (portion for portion in books.plan.portions if books.is_portioned and portion.dog not in in_care)


def _bag_fillings(books: Books) -> Iterator[tuple[str, str, Filling]]:
    """Every filling of every bag, with its dog and where it is, except those that a veterinarian gave."""
    in_care = {dog.name for dog in books.scenario.dogs if dog.care is not None}
    for bag in books.plan.bags:
        if bag.dog not in in_care:
            where = f"the bag of {bag.day}, meal {bag.meal}"
            yield from ((bag.dog, where, filling) for filling in bag.fillings)


def _mix_fillings(books: Books) -> Iterator[tuple[str, str, Filling]]:
    """Every filling of every mix and tub, with the mix and where it is."""
    for mix in books.plan.mixes:
        yield from ((mix.name, "the mix", filling) for filling in mix.contents)
        for tub in mix.tubs:
            yield from ((mix.name, f"tub {tub.number}", filling) for filling in tub.contents)


def _check_pieces(books: Books, subject: str, where: str, filling: Filling) -> Iterator[Breach]:
    """A filling that is not whole pieces where it should be, or is counted in pieces where it should be weighed."""
    piece_g = books.pieces_g.get(filling.cut)
    says = f"{filling.grams} g of {filling.cut} are in {where} as {filling.pieces} pieces"
    if piece_g is None and filling.pieces:
        yield Breach("whole_pieces", subject, f"{says}, but it is weighed")
    elif piece_g and (filling.pieces < 1 or filling.grams != piece_g * filling.pieces):
        yield Breach("whole_pieces", subject, f"{says}; a piece weighs {piece_g} g")


def _bags_by_kind(dog_bags: DogBags) -> Mapping[str, list[Bag]]:
    """The bags of a dog by their kind, in order of day and meal."""
    kinds: defaultdict[str, list[Bag]] = defaultdict(list)
    for bag in dog_bags.bags:
        kinds[bag.kind].append(bag)
    return kinds


def _check_kind(books: Books, dog_bags: DogBags, kind: str, bags: list[Bag]) -> Iterator[Breach]:
    """Bags of a kind that are not filled alike, or not in scale steps, or whose last bag is off by too much."""
    *alike, last = (_contents_without_top_up(bag, dog_bags.topped_up) for bag in bags)
    if not alike:
        return
    for bag, contents in zip(bags, alike, strict=False):
        if contents != alike[0]:
            yield Breach(
                "scale_step", dog_bags.dog.name, f"the bag of {bag.day} is unlike the first of its kind, {kind}"
            )
    yield from _check_steps(books, dog_bags.dog.name, kind, alike[0])
    yield from _check_last_bag(books, dog_bags.dog.name, kind, alike[0], last)


def _check_steps(books: Books, dog: str, kind: str, contents: Mapping[str, Filling]) -> Iterator[Breach]:
    """Fillings weighed into the bags of a kind that are not a whole number of scale steps."""
    step_g = books.scenario.portioning.scale_step_g
    for filling in contents.values():
        if filling.pieces == 0 and filling.grams % step_g:
            says = (
                f"{filling.grams} g of {filling.cut} in bags of kind {kind} are no whole number of steps of {step_g} g"
            )
            yield Breach("scale_step", dog, says)


def _check_last_bag(
    books: Books, dog: str, kind: str, contents: Mapping[str, Filling], last: Mapping[str, Filling]
) -> Iterator[Breach]:
    """A last bag of a kind with other cuts or pieces than the others, or with too much or too little of one."""
    if {cut: filling.pieces for cut, filling in contents.items()} != {
        cut: filling.pieces for cut, filling in last.items()
    }:
        yield Breach("scale_step", dog, f"the last bag of kind {kind} has other cuts or pieces than the others")
        return
    most_g = REST_STEPS * books.scenario.portioning.scale_step_g
    for cut, filling in contents.items():
        if filling.pieces == 0 and abs(last[cut].grams - filling.grams) > most_g:
            says = f"the last bag of kind {kind} holds {last[cut].grams} g of {cut}, the others {filling.grams} g"
            yield Breach("scale_step", dog, f"{says}; {most_g} g more or less are allowed")


def _contents_without_top_up(bag: Bag, topped_up: str) -> Mapping[str, Filling]:
    """The fillings of a bag by cut, without what tops it up."""
    return {filling.cut: filling for filling in bag.fillings if filling.cut != topped_up}
