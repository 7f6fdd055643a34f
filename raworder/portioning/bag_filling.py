"""All bags of a plan: for each dog as few kinds as the rules allow; mixes for tubs; the working order."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from raworder.portioning.bag_choice import BagSolving
from raworder.portioning.bag_needs import Ingredient, Need, ingredient, subjects_of
from raworder.portioning.fewest_kinds import FedAlike, FilledBags, can_be_filled, fill_bags, kind_name
from raworder.trade.as_fed import as_fed
from raworder.trade.bags import Bag, Filling, Mix, Portioning, Station, Tub, Working
from raworder.trade.cuts import PLANT, Cut, Part, Subject
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.rounding import split_evenly
from raworder.trade.scenario import Scenario, Slot, slots_of


def make_mix(name: str, dogs: Sequence[str], contents: Sequence[Filling], portioning: Portioning) -> Mix:
    """The mix of these dogs, with the tubs that it is made in."""
    tubs = tubs_of(contents, portioning.tub_g, portioning.scale_g, portioning.scale_step_g)
    return Mix(name, tuple(dogs), tuple(contents), tubs)


def tubs_of(contents: Sequence[Filling], tub_g: int, scale_g: int, step_g: int = 1) -> tuple[Tub, ...]:
    """The fewest equal tubs that hold the weighed cuts, none heavier than a tub holds and the scale takes.

    Cut by cut, scale steps are dealt to the tubs in turn, each cut starting where the one before ended. What is less
    than a step goes into the tub whose turn is next. So tubs differ by at most a step of a cut.
    """
    most_g = min(tub_g, scale_g)
    mix_g = sum(filling.grams for filling in contents)
    for tubs in range(-(-mix_g // most_g), mix_g + 1):  # -(-a // b) rounds up
        made = tuple(Tub(number, tuple(_deal_steps(contents, number, tubs, step_g))) for number in range(1, tubs + 1))
        if all(tub.grams <= most_g for tub in made):
            return made
    return ()


def _deal_steps(contents: Sequence[Filling], number: int, tubs: int, step_g: int) -> Iterator[Filling]:
    """What one tub gets: its turns among the steps of all cuts laid in a row, and the rest of some cuts."""
    before = 0
    for filling in contents:
        steps, rest_g = divmod(filling.grams, step_g)
        before += steps
        # The tub's steps of this cut: its turns up to the end of the cut, less those up to its start.
        mine = _steps_dealt_to(before, number, tubs) - _steps_dealt_to(before - steps, number, tubs)
        gets_rest = number == before % tubs + 1  # it would be its turn next, so it has no step more than others
        grams = mine * step_g + (rest_g if gets_rest else 0)
        if grams:
            yield Filling(filling.cut, grams)


def _steps_dealt_to(steps: int, number: int, tubs: int) -> int:
    """How many of the first `steps` in the row go to the tub."""
    return (steps + tubs - number) // tubs


Rank = tuple[int, tuple[str, ...], bool, str]
"""Where a cut or mix stands in the working order: its sort, its species, whether it is an organ, its name."""

PLANTS, WHOLE_PIECES, OTHER_MEAT, MIXES = range(4)
"""The driest and cleanest first: what leaves least behind on the counter. Source: common practice, no source."""


def stations_of(scenario: Scenario, bags: Sequence[Bag], mixes: Sequence[Mix]) -> tuple[Station, ...]:
    """The stations in working order: every cut of every bag is at one of them, and top-ups come last in their phase.

    A cut that tops up some bags of a phase but not others has two stations there.
    """
    names = sorted({filling.cut for bag in bags for filling in bag.fillings})
    made_of = _cuts_inside(scenario, mixes)
    avoided = {dog.name: _names_avoided(dog, names, made_of) for dog in scenario.dogs}
    # Dogs that avoid most are worked first, before what they avoid comes to the counter.
    phases = sorted({avoided[bag.dog] for bag in bags}, key=lambda some: (-len(some), some))
    places: dict[tuple[int, bool, str], list[int]] = {}
    for place, bag in enumerate(bags):
        phase = phases.index(avoided[bag.dog]) + 1
        for filling in bag.fillings:
            places.setdefault((phase, filling.cut == bag.topped_up, filling.cut), []).append(place)
    ranks = {name: _rank(name, made_of[name], scenario.portioning) for name in names}
    order = sorted(places, key=lambda station: (*station[:2], ranks[station[2]]))
    return tuple(Station(phase, cut, tuple(places[phase, tops_up, cut])) for phase, tops_up, cut in order)


def _cuts_inside(scenario: Scenario, mixes: Sequence[Mix]) -> Mapping[str, tuple[Cut, ...]]:
    """The cuts inside each cut (only itself) and each mix."""
    cuts = {cut.name: (cut,) for cut in scenario.cuts}
    return cuts | {mix.name: tuple(scenario.cut(filling.cut) for filling in mix.contents) for mix in mixes}


def _names_avoided(dog: Dog, names: Sequence[str], made_of: Mapping[str, tuple[Cut, ...]]) -> tuple[str, ...]:
    """The cuts and mixes among `names` that the dog must not touch."""
    return tuple(name for name in names if any(map(dog.avoids, made_of[name])))


def _rank(name: str, cuts: tuple[Cut, ...], portioning: Portioning) -> Rank:
    """Where it stands: plants, whole pieces, other meat, each species together with organs last; then mixes."""
    if [cut.name for cut in cuts] != [name]:
        return MIXES, (), False, name
    cut = cuts[0]
    species = tuple(sorted(cut.species_names))
    organ_share = cut.part_share(Part.LIVER) + cut.part_share(Part.OTHER_ORGAN)
    return _working_class(cut, portioning), species, 2 * organ_share > 1, name


def _working_class(cut: Cut, portioning: Portioning) -> int:
    """Whether a cut is a plant, fed in whole pieces, or other meat."""
    if set(cut.species_names) == {PLANT}:
        return PLANTS
    return OTHER_MEAT if portioning.whole_piece_g(cut) is None else WHOLE_PIECES


def bags_in_care(dog: Dog, slots: tuple[Slot, ...]) -> tuple[Bag, ...]:
    """The bags of a dog in a veterinarian's care: every amount as given, in every bag alike but for single grams."""
    amounts = [(vet_amount.cut, split_evenly(vet_amount.batch_g, len(slots))) for vet_amount in dog.vet_amounts]
    return tuple(
        Bag(
            dog.name,
            slot.day,
            slot.meal,
            kind_name(0),
            tuple(Filling(cut, grams[place]) for cut, grams in amounts if grams[place]),
        )
        for place, slot in enumerate(slots)
    )


@dataclass(frozen=True, slots=True)
class AllBags:
    """All bags, their mixes, the working order, and the lower bound on each dog's number of kinds."""

    bags: tuple[Bag, ...]
    mixes: tuple[Mix, ...]
    stations: tuple[Station, ...]
    least_kinds: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class NoBags:
    """The dogs for whose portions no filling within the rules was found."""

    dogs: tuple[str, ...]


def fill_all_bags(
    asked: Scenario,
    plan: Plan,
    fed_alike: Sequence[Sequence[str]],
    solve: BagSolving,
    only: Collection[str] | None = None,
) -> AllBags | NoBags:
    """Every dog's bags for its portions in the plan, or the dogs without any; `only` limits it to those named."""
    scenario = as_fed(asked, plan)
    mixes = tuple(_make_mixes(scenario, plan, fed_alike))
    filler = _Filler(scenario, plan, fed_alike, mixes, solve)
    dogs = [dog for dog in scenario.dogs if dog.batch_g and (only is None or dog.name in only)]
    found = {dog.name: filler.bags(dog) for dog in dogs}
    bags = tuple(bag for held in found.values() if held for bag in held.bags)
    without = tuple(name for name, held in found.items() if held is None)
    if without:
        return NoBags(without)
    least_kinds = tuple((name, held.least_kinds) for name, held in found.items() if held)
    return AllBags(bags, mixes, stations_of(scenario, bags, mixes), least_kinds)


class _Filler:
    """Fills bags dog by dog; a dog that needs the same as one before gets the same bags without solving."""

    def __init__(
        self,
        scenario: Scenario,
        plan: Plan,
        fed_alike: Sequence[Sequence[str]],
        mixes: Sequence[Mix],
        solve: BagSolving,
    ) -> None:
        self._scenario = scenario
        self._alike = {dog: tuple(names) for names in fed_alike for dog in names}
        self._solve = solve
        self._cuts = {cut.name: cut for cut in scenario.cuts}
        self._mix_of = {dog: mix for mix in mixes for dog in mix.dogs}
        self._portions_g: dict[str, dict[str, int]] = {}
        for portion in plan.portions:
            self._portions_g.setdefault(portion.dog, {})[portion.cut] = portion.batch_g
        self._known: dict[object, FilledBags | None] = {}
        self._found: dict[tuple[tuple[str, ...], str], FedAlike] = {}

    def bags(self, dog: Dog) -> FilledBags | None:
        """The dog's bags, or None where there are none within the rules."""
        slots = slots_of(dog, self._scenario)
        if dog.care:
            return FilledBags(bags_in_care(dog, slots), 1)
        parts = sorted(self._ingredients(dog), key=lambda ingredient: ingredient.name)
        passed_by = tuple(self._cuts_passed_by(dog))
        amounts = tuple((ingredient.name, ingredient.total_g) for ingredient in (*parts, *passed_by))
        key = (dog.targets, dog.caps, slots, dog.day_g, dog.meals, amounts)
        if key not in self._known:
            self._known[key] = next(filter(None, self._fill_in_turn(dog, slots, parts, passed_by)), None)
        found = self._known[key]
        return (
            None
            if found is None
            else FilledBags(tuple(_bag_for_dog(dog, bag) for bag in found.bags), found.least_kinds)
        )

    def _fill_in_turn(
        self, dog: Dog, slots: tuple[Slot, ...], parts: Sequence[Ingredient], passed_by: tuple[Ingredient, ...]
    ) -> Iterator[FilledBags | None]:
        """Fillings topped up with the dog's largest weighed cut, then with any other that is enough for every bag."""
        weighed = sorted(
            (ingredient for ingredient in parts if not ingredient.whole),
            key=lambda ingredient: (ingredient.total_g, ingredient.name),
            reverse=True,
        )
        enough_g = self._scenario.portioning.least_portion_g * len(slots)
        for place, top_up in enumerate(weighed):
            if place == 0 or top_up.total_g >= enough_g:
                others = tuple(ingredient for ingredient in parts if ingredient is not top_up)
                shared = self._scenario.shares_pieces
                need = Need(dog, self._scenario.portioning, slots, others, top_up, shared, passed_by)
                if place == 0 or can_be_filled(need, self._solve):
                    group = self._alike.get(dog.name, (dog.name,))
                    yield fill_bags(need, self._solve, self._found.setdefault((group, top_up.name), FedAlike()))

    def _ingredients(self, dog: Dog) -> Iterator[Ingredient]:
        """The dog's portions as they go into bags: pieces by themselves, the rest by itself or in the dog's mix."""
        mix = self._mix_of.get(dog.name)
        mixed_g = 0
        for cut, grams in self._portions_g.get(dog.name, {}).items():
            part = ingredient(self._cuts[cut], grams, dog, self._scenario.portioning)
            if mix is None or part.whole:
                yield part
            else:
                mixed_g += grams
        if mix is not None and mixed_g:
            shares = _mix_shares(mix, self._cuts, subjects_of(dog, self._scenario.portioning))
            yield Ingredient(mix.name, mixed_g, self._scenario.portioning.scale_step_g, whole=False, shares=shares)

    def _cuts_passed_by(self, dog: Dog) -> Iterator[Ingredient]:
        """Cuts fed in whole pieces that other dogs of its group got and this dog did not."""
        portioning, own = self._scenario.portioning, self._portions_g.get(dog.name, {})
        fed = {cut: None for name in self._alike.get(dog.name, ()) for cut in self._portions_g.get(name, {})}
        for cut in sorted(fed):
            if cut not in own and portioning.whole_piece_g(self._cuts[cut]):
                yield ingredient(self._cuts[cut], 0, dog, portioning)


def _bag_for_dog(dog: Dog, bag: Bag) -> Bag:
    """The bag with the dog's name on it."""
    return Bag(dog.name, bag.day, bag.meal, bag.kind, bag.fillings, bag.topped_up)


def _make_mixes(scenario: Scenario, plan: Plan, fed_alike: Iterable[Sequence[str]]) -> Iterator[Mix]:
    """The mix of every group of dogs fed from tubs: everything weighed that they eat."""
    if scenario.portioning.working is not Working.TUB:
        return
    in_care = {dog.name for dog in scenario.dogs if dog.care}
    cuts = {cut.name: cut for cut in scenario.cuts}
    taken = set(cuts)
    for names in fed_alike:
        contents = [] if set(names) & in_care else list(_mix_contents(scenario, plan, names, cuts))
        if contents:
            name = _free_name(len(taken) - len(cuts) + 1, cuts)
            taken.add(name)
            yield make_mix(name, tuple(names), contents, scenario.portioning)


def _free_name(number: int, cuts: Mapping[str, Cut]) -> str:
    """A mix's name, unlike that of any cut."""
    name = f"mix {number}"
    while name in cuts:
        name = f"tub {name}"
    return name


def _mix_contents(scenario: Scenario, plan: Plan, names: Iterable[str], cuts: Mapping[str, Cut]) -> Iterator[Filling]:
    """What the dogs eat together of every cut that is weighed."""
    dogs = set(names)
    together: dict[str, int] = {}
    for portion in plan.portions:
        if portion.dog in dogs and scenario.portioning.whole_piece_g(cuts[portion.cut]) is None:
            together[portion.cut] = together.get(portion.cut, 0) + portion.batch_g
    return (Filling(cut, grams) for cut, grams in together.items())


def _mix_shares(mix: Mix, cuts: Mapping[str, Cut], subjects: Iterable[Subject]) -> Mapping[Subject, Fraction]:
    """How much of a mix counts for each subject: the mean over what is in it."""
    counted = {
        subject: sum((subject.share_in(cuts[filling.cut]) * filling.grams for filling in mix.contents), Fraction(0))
        for subject in subjects
    }
    return {subject: grams / mix.grams for subject, grams in counted.items()}
