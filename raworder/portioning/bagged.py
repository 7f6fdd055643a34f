"""All bags of a plan: every dog's portions spread over its days, mixes where dogs are fed from tubs, working order."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from raworder.bags import Bag, Filling, Mix, Station, Working
from raworder.cuts import Cut, Subject
from raworder.dogs import Dog
from raworder.plan import Plan
from raworder.portioning.filled import Filled, Solve, bags_in_care, can_be_filled, filled
from raworder.portioning.mixes import a_mix
from raworder.portioning.needs import Ingredient, Need, ingredient, subjects_of
from raworder.portioning.stations import stations_of
from raworder.slots import Slot, slots_of
from raworder.trade import Scenario


@dataclass(frozen=True, slots=True)
class Bagged:
    """Bags by dog, day and meal, the mixes in them, the working order, and how few kinds each dog's can be of."""

    bags: tuple[Bag, ...]
    mixes: tuple[Mix, ...]
    stations: tuple[Station, ...]
    least_kinds: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Unbagged:
    """Dogs whose portions no bags can hold within the rules."""

    dogs: tuple[str, ...]


def bagged(
    scenario: Scenario,
    plan: Plan,
    fed_alike: Sequence[Sequence[str]],
    solve: Solve,
    only: Collection[str] | None = None,
) -> Bagged | Unbagged:
    """Every dog's bags for its portions in the plan, or the dogs for which there are none; `only` those named."""
    mixes = tuple(_mixes(scenario, plan, fed_alike))
    filler = _Filler(scenario, plan, fed_alike, mixes, solve)
    dogs = [dog for dog in scenario.dogs if dog.batch_g and (only is None or dog.name in only)]
    found = {dog.name: filler.bags(dog) for dog in dogs}
    bags = tuple(bag for held in found.values() if held for bag in held.bags)
    without = tuple(name for name, held in found.items() if held is None)
    if without:
        return Unbagged(without)
    least_kinds = tuple((name, held.least_kinds) for name, held in found.items() if held)
    return Bagged(bags, mixes, stations_of(scenario, bags, mixes), least_kinds)


class _Filler:
    """Fills bags dog by dog; dogs that need the same are filled alike without solving again."""

    def __init__(
        self,
        scenario: Scenario,
        plan: Plan,
        fed_alike: Sequence[Sequence[str]],
        mixes: Sequence[Mix],
        solve: Solve,
    ) -> None:
        self._scenario = scenario
        self._alike = {dog: tuple(names) for names in fed_alike for dog in names}
        self._solve = solve
        self._cuts = {cut.name: cut for cut in scenario.cuts}
        self._mix_of = {dog: mix for mix in mixes for dog in mix.dogs}
        self._portions_g: dict[str, dict[str, int]] = {}
        for portion in plan.portions:
            self._portions_g.setdefault(portion.dog, {})[portion.cut] = portion.batch_g
        self._known: dict[object, Filled | None] = {}

    def bags(self, dog: Dog) -> Filled | None:
        """The dog's bags, or None where there are none within the rules."""
        slots = slots_of(dog, self._scenario)
        if dog.care:
            return Filled(bags_in_care(dog, slots), 1)
        parts = sorted(self._ingredients(dog), key=lambda one: one.name)
        passed_by = tuple(self._passed_by(dog))
        amounts = tuple((one.name, one.total_g) for one in (*parts, *passed_by))
        key = (dog.targets, dog.caps, slots, dog.day_g, dog.meals, amounts)
        if key not in self._known:
            self._known[key] = next(filter(None, self._filled_in_turn(dog, slots, parts, passed_by)), None)
        found = self._known[key]
        return None if found is None else Filled(tuple(_for(dog, bag) for bag in found.bags), found.least_kinds)

    def _filled_in_turn(
        self, dog: Dog, slots: tuple[Slot, ...], parts: Sequence[Ingredient], passed_by: tuple[Ingredient, ...]
    ) -> Iterator[Filled | None]:
        """The bags topped up with what there is most of, then with anything else of which every bag can have some."""
        weighed = sorted((one for one in parts if not one.whole), key=lambda one: (one.total_g, one.name), reverse=True)
        enough_g = self._scenario.portioning.least_portion_g * len(slots)
        for place, top_up in enumerate(weighed):
            if place == 0 or top_up.total_g >= enough_g:
                others = tuple(one for one in parts if one is not top_up)
                shared = self._scenario.shares_pieces
                need = Need(dog, self._scenario.portioning, slots, others, top_up, shared, passed_by)
                yield filled(need, self._solve) if place == 0 or can_be_filled(need, self._solve) else None

    def _ingredients(self, dog: Dog) -> Iterator[Ingredient]:
        """The dog's portions as they go into bags: pieces by themselves, the rest by itself or in the dog's mix."""
        mix = self._mix_of.get(dog.name)
        mixed_g = 0
        for cut, grams in self._portions_g.get(dog.name, {}).items():
            one = ingredient(self._cuts[cut], grams, dog, self._scenario.portioning)
            if mix is None or one.whole:
                yield one
            else:
                mixed_g += grams
        if mix is not None and mixed_g:
            shares = _shares(mix, self._cuts, subjects_of(dog, self._scenario.portioning))
            yield Ingredient(mix.name, mixed_g, self._scenario.portioning.scale_step_g, whole=False, shares=shares)

    def _passed_by(self, dog: Dog) -> Iterator[Ingredient]:
        """Cuts in whole pieces of which dogs fed alike got some and this one none."""
        portioning, own = self._scenario.portioning, self._portions_g.get(dog.name, {})
        fed = {cut: None for name in self._alike.get(dog.name, ()) for cut in self._portions_g.get(name, {})}
        for cut in sorted(fed):
            if cut not in own and portioning.whole_piece_g(self._cuts[cut]):
                yield ingredient(self._cuts[cut], 0, dog, portioning)


def _for(dog: Dog, bag: Bag) -> Bag:
    """The bag with the dog's name on it."""
    return Bag(dog.name, bag.day, bag.meal, bag.kind, bag.fillings, bag.topped_up)


def _mixes(scenario: Scenario, plan: Plan, fed_alike: Iterable[Sequence[str]]) -> Iterator[Mix]:
    """A mix for every group of dogs fed from tubs: all that they eat together and that is weighed."""
    if scenario.portioning.working is not Working.TUB:
        return
    in_care = {dog.name for dog in scenario.dogs if dog.care}
    cuts = {cut.name: cut for cut in scenario.cuts}
    taken = set(cuts)
    for names in fed_alike:
        contents = [] if set(names) & in_care else list(_contents(scenario, plan, names, cuts))
        if contents:
            name = _free_name(len(taken) - len(cuts) + 1, cuts)
            taken.add(name)
            yield a_mix(name, tuple(names), contents, scenario.portioning)


def _free_name(number: int, cuts: Mapping[str, Cut]) -> str:
    """A mix's name, unlike that of any cut."""
    name = f"mix {number}"
    while name in cuts:
        name = f"tub {name}"
    return name


def _contents(scenario: Scenario, plan: Plan, names: Iterable[str], cuts: Mapping[str, Cut]) -> Iterator[Filling]:
    """What the dogs eat together of every cut that is weighed."""
    dogs = set(names)
    together: dict[str, int] = {}
    for portion in plan.portions:
        if portion.dog in dogs and scenario.portioning.whole_piece_g(cuts[portion.cut]) is None:
            together[portion.cut] = together.get(portion.cut, 0) + portion.batch_g
    return (Filling(cut, grams) for cut, grams in together.items())


def _shares(mix: Mix, cuts: Mapping[str, Cut], subjects: Iterable[Subject]) -> Mapping[Subject, Fraction]:
    """How much of a mix counts for each subject: the mean over what is in it."""
    counted = {
        subject: sum((subject.share_in(cuts[one.cut]) * one.grams for one in mix.contents), Fraction(0))
        for subject in subjects
    }
    return {subject: grams / mix.grams for subject, grams in counted.items()}
