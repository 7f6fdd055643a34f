"""The cautions: what this order asks to be done, what the food may do, the standing notice, and why, by number."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from raworder.reporting.doubts import OWN_FREEZER, doubts, liver_near_limit
from raworder.reporting.words import MOST_NAMED, Meal, capitalised, count_text, join_names, meals, paper
from raworder.trade.as_fed import fed_cuts
from raworder.trade.cuts import FREEZE_FIRST
from raworder.trade.document import Block, Column, Document, Holds, Points, Table
from raworder.trade.dogs import USUAL_RATION
from raworder.trade.plan import Plan
from raworder.trade.rulebook import PRACTICE
from raworder.trade.scenario import Caution, CautionPlace, FedScenario, Offer, OnHand, Scenario

PLACES: Mapping[CautionPlace, str] = MappingProxyType(
    {
        CautionPlace.SHOP: "In the shop",
        CautionPlace.FREEZER: "In the freezer, before bags are filled",
        CautionPlace.COUNTER: "At the counter",
        CautionPlace.BOWL: "In the bowl",
        CautionPlace.HOME: "At home",
    }
)
"""How each place is said; there is one line for each, so that there are never more than five."""

COLUMNS = (
    Column("number", "Number", Holds.COUNT),
    Column("key", "Key", shown=False),
    Column("heading", "Heading", shown=False),
    Column("place", "Where"),
    Column("about", "About"),
    Column("to_do", "What to do"),
    Column("hazard", "Why"),
    Column("source", "Source"),
)


@dataclass(frozen=True, slots=True)
class NumberedCaution:
    """A caution that this plan calls for, the cuts or dogs that it is about, and the number of its source."""

    number: int
    caution: Caution
    names: tuple[str, ...]
    about: str

    @property
    def to_do(self) -> str:
        """What to do with what, and the number of the source."""
        return f"{self.bare} [{self.number}]."

    @property
    def bare(self) -> str:
        """What to do with what, for pages on which no sources stand."""
        about = f"{self.about}: " if self.about else ""
        return capitalised(f"{about}{self.caution.do}")


def cautions(scenario: FedScenario, plan: Plan) -> Document:
    """What this order asks to be done, what the food may do, what always holds; and the reasons by number."""
    return paper(scenario, "cautions", "Cautions", _blocks(scenario, plan))


def _blocks(scenario: FedScenario, plan: Plan) -> Iterator[Block]:
    """The three layers, the appendix with reasons and sources, and the same for programs."""
    numbered = numbered_cautions(scenario, plan)
    numbers = {_numbered_by(entry.caution): entry.number for entry in numbered}
    lines = tuple(line for place in CautionPlace if (line := line_at(place, numbered)))
    if lines:
        yield Points("this_order", "What this order asks you to do", lines)
    findings = tuple(_findings(scenario, plan, numbers))
    if findings:
        yield Points("nourishment", "What your dogs' food may do", findings)
    standing = tuple(entry.to_do for entry in numbered if not entry.names)
    if standing:
        yield Points("always", "Always", standing)
    if numbers:
        yield Points("reasons", "Why, and where it is from", tuple(_reasons(numbered, numbers)))
    if numbered:
        yield Table("cautions", "", COLUMNS, tuple(map(_row, numbered)), shown=False)


def numbered_cautions(scenario: Scenario, plan: Plan) -> tuple[NumberedCaution, ...]:
    """The cautions that a plan calls for, in the order in which they are done, then those that always hold.

    Sources are numbered as they come, so that they have the same numbers on every page of the plan.
    """
    places, numbers = list(CautionPlace), dict[str, int]()
    concerned = [(caution, concerns(caution, scenario, plan)) for caution in scenario.cautions]
    touched = sorted((pair for pair in concerned if pair[1]), key=lambda pair: places.index(pair[0].place))
    standing = [(caution, ()) for caution in scenario.cautions if caution.applies == "standing"]
    return tuple(
        NumberedCaution(
            numbers.setdefault(_numbered_by(caution), len(numbers) + 1),
            caution,
            names,
            _about_text(caution, names, scenario, plan),
        )
        for caution, names in (*touched, *standing)
    )


def line_at(place: CautionPlace, numbered: Iterable[NumberedCaution]) -> str:
    """What a plan asks to be done at a place, in one line; nothing where it asks for nothing there."""
    to_do = [entry.to_do for entry in numbered if entry.names and entry.caution.place is place]
    return f"{PLACES[place]}. {' '.join(to_do)}" if to_do else ""


def only_about(cuts: Collection[str], numbered: Iterable[NumberedCaution]) -> Iterator[NumberedCaution]:
    """The cautions about some cuts, such as those from one supplier, naming no others."""
    for entry in numbered:
        names = tuple(name for name in entry.names if name in cuts)
        if names:
            yield entry if names == entry.names else replace(entry, names=names, about=join_names(names))


def asked_at(places: Iterable[CautionPlace], numbered: Iterable[NumberedCaution]) -> tuple[Points, ...]:
    """What a plan asks to be done at some places, with numbers of sources; nothing where there is nothing."""
    called_for = tuple(numbered)
    lines = tuple(line for place in places if (line := line_at(place, called_for)))
    return (Points("asked", "What this food asks for (numbers: see the cautions)", lines),) if lines else ()


def asked_here(
    place: CautionPlace, numbered: Iterable[NumberedCaution], title: str = "What this food asks for"
) -> tuple[Points, ...]:
    """What a plan asks to be done where a page is held, one thing a line; nothing where there is nothing."""
    lines = tuple(f"{entry.bare}." for entry in numbered if entry.names and entry.caution.place is place)
    return (Points("asked", title, lines),) if lines else ()


def _row(entry: NumberedCaution) -> tuple[str | int, ...]:
    """A caution for programs."""
    caution = entry.caution
    about = "; ".join(entry.names)
    texts = (caution.key, caution.heading, caution.place.value, about, caution.do, caution.hazard, caution.source)
    return (entry.number, *texts)


def _about_text(caution: Caution, names: tuple[str, ...], scenario: Scenario, plan: Plan) -> str:
    """What a caution is about: cuts or dogs by name, or many cuts by their species if all cuts of it are meant."""
    if len(names) <= MOST_NAMED:
        return join_names(names)
    if caution.applies != "cut":
        return count_text(len(names), "dog")
    species = tuple(dict.fromkeys(name for cut in names for name in scenario.cut(cut).species_names))
    of_species = [cut.name for cut in fed_cuts(scenario, plan) if not set(cut.species_names).isdisjoint(species)]
    return f"all {join_names(species)}" if len(of_species) == len(names) else join_names(names)


def _numbered_by(caution: Caution) -> str:
    """What a caution shares its number by: its source, or where it has none what can happen."""
    return caution.hazard if caution.source == PRACTICE else caution.source


def _reasons(numbered: Sequence[NumberedCaution], numbers: Mapping[str, int]) -> Iterator[str]:
    """For each number what can happen, and the source."""
    for shared, number in numbers.items():
        same = [entry.caution for entry in numbered if entry.number == number]
        told = " ".join(f"{caution.heading}: {caution.hazard}" for caution in same)
        source = same[0].source if same else shared
        yield f"[{number}] {f'{told} Source: ' if told else ''}{source}."


def _findings(scenario: FedScenario, plan: Plan, numbers: dict[str, int]) -> Iterator[str]:
    """What the food may do, graded, with the numbers of its sources; new ones are numbered here."""
    for doubt in (doubt for doubt in doubts(scenario, plan) if doubt.key != OWN_FREEZER):
        sources = (source for source in doubt.sources if source != PRACTICE)
        by_number = sorted(numbers.setdefault(source, len(numbers) + 1) for source in sources)
        yield doubt.graded + "".join(f" [{number}]" for number in by_number)


def concerns(caution: Caution, scenario: Scenario, plan: Plan) -> tuple[str, ...]:
    """The cuts or dogs that a caution is about here; none for a standing one."""
    match caution.applies:
        case "cut":
            named = tuple(cut.name for cut in fed_cuts(scenario, plan) if caution.key in cut.cautions)
            return (
                _still_to_freeze(named, scenario, plan, caution.key) if caution.place is CautionPlace.FREEZER else named
            )
        case "rule" if caution.key in DOG_CAUTIONS:
            applies_to = DOG_CAUTIONS[caution.key]
            return tuple(meal.dog.name for meal in meals(scenario.as_asked, plan) if applies_to(meal))
        case _:
            return ()


def _still_to_freeze(names: tuple[str, ...], scenario: Scenario, plan: Plan, key: str) -> tuple[str, ...]:
    """Those of the cuts that do not all come frozen for as long as a caution asks: a day, if no rule says longer."""
    days = FREEZE_FIRST[key].days if key in FREEZE_FIRST else 1
    sold = {offer.key: offer for offer in scenario.offers}
    foods: list[Offer | OnHand] = [scenario.on_hand[use.lot] for use in plan.lots_used]
    foods += [sold[line.offer] for line in plan.lines if line.offer in sold]
    fresh = {food.cut for food in foods if scenario.frozen_for_days(food) < days}
    frozen = {food.cut for food in foods} - fresh
    return tuple(name for name in names if name not in frozen)


def _unusual_ration(meal: Meal) -> bool:
    """Whether a healthy dog's day is outside the usual share of its weight."""
    dog = meal.dog
    if dog.care is not None or not dog.weight_g:
        return False
    least, most = USUAL_RATION
    return not least <= dog.daily_g / dog.weight_g <= most


DOG_CAUTIONS: Mapping[str, Callable[[Meal], bool]] = MappingProxyType(
    {
        "liver-near-limit": liver_near_limit,
        "puppy": lambda meal: meal.dog.puppy,
        "vet-care": lambda meal: meal.dog.care is not None,
        "unusual-ration": _unusual_ration,
    }
)
"""Whether a caution concerns a dog, judged by its meal; by the key of the caution."""
