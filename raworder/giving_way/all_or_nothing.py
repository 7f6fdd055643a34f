"""Rules that hold in full or not at all: energy at rest, and freezing before feeding."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from raworder.giving_way.demand import Changes, Level, Looser, OfDogs, OfScenario
from raworder.giving_way.nutrient_ends import LIMIT_PART
from raworder.reporting.words import dogs_text, join_names
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.trade.units import share_text

MORE_FOOD_FIRST = (
    "Better give more food, such as `ration: 95 kcal/kg^0.75`; less than at rest only where a veterinarian asked for it"
)


class RestingEnergy(OfDogs):
    """The energy that dogs need at rest, as the share of it that they get at least; it holds in full or not at all."""

    level: Fraction
    about: str
    rule = "resting_energy"
    field = "vet_asked_for_less"
    is_set_whole = True
    is_minimum = True
    asks_nothing_at = Fraction(0)
    worth_place = 4

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["RestingEnergy"]:
        """One for all the dogs of which a gram of food must hold as much; none where the ration holds it anyway."""
        bound: dict[tuple[Fraction, Fraction], list[str]] = {}
        for dog in scenario.dogs:
            holds_it_anyway = dog.free_grams and dog.resting_density <= 1
            if dog.batch_g and dog.resting_due_kcal and not holds_it_anyway:
                bound.setdefault((dog.resting_density, dog.resting_share), []).append(dog.name)
        yield from (cls(share, dogs[0], None, tuple(dogs)) for (_, share), dogs in bound.items())

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario in which its dogs get at least that share."""
        share = Fraction(level or 0)
        dogs = (replace(dog, resting_share=share) if dog.name in self.dogs else dog for dog in scenario.dogs)
        return replace(scenario, dogs=tuple(dogs))

    def steps_before(self, _: Scenario, __: Level) -> range:
        """None: it holds or not."""
        return range(0)

    def asks(self, scenario: Scenario, level: Level) -> str:
        """The energy that it asks for of one dog; of many that each gets its own."""
        needs = [
            dog.resting_kcal * Fraction(level or 0)
            for dog in scenario.dogs
            if dog.name in self.dogs and dog.resting_kcal
        ]
        of_one = f": at least {half_up(needs[0])} kcal a day" if len(needs) == 1 else ""
        return f"energy at rest{of_one}"

    def instead_text(self, _: Scenario, __: Level) -> str:
        """That it gets less."""
        return f"less energy than at rest for {dogs_text(self.dogs)}"

    def cautions(self) -> Iterator[str]:
        """More food comes first."""
        yield MORE_FOOD_FIRST

    def yaml_entry_for(self, _: Scenario, __: Dog, ___: Changes, *, is_shared: bool) -> str:  # noqa: ARG002 - as caps
        """The entry that says that a veterinarian asked for it."""
        return f"{self.field}: yes"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, _base: Plan) -> Iterator[Looser]:
        """A twentieth less for the dogs that it binds alike."""
        for demand in cls.all_of(scenario):
            loose = demand.set_level(scenario, demand.level * (1 - LIMIT_PART))
            limit = f"{demand.asks(scenario, demand.level)} for {dogs_text(demand.dogs)}"
            yield Looser(cls.rule, limit, f"{share_text(LIMIT_PART, 0)} less of that", loose, is_near=True)


NOT_FROZEN = "Raw pork, sheep and fish can carry parasites: better buy it frozen (`comes_frozen: 20 days`)"


class FrozenFirst(OfScenario):
    """Food that must be frozen before it is fed; it gives way by being fed at once."""

    level: int
    rule = "hold"
    says = "what must be frozen first is frozen before it is fed"
    worth_place = 1

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["FrozenFirst"]:
        """The rule, where it keeps any food from being fed."""
        if scenario.hold_days is not None and _waiting_cuts(scenario):
            yield cls(scenario.hold_days)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario in which bought food is held for so many days, or the rule is off."""
        return replace(scenario, hold_days=None if level is None else int(level))

    def steps_before(self, _: Scenario, __: Level) -> range:
        """None: it holds or not."""
        return range(0)

    def instead_text(self, scenario: Scenario, _: Level) -> str:
        """Which food is fed at once."""
        return f"{join_names(_waiting_cuts(scenario))} may be fed without being frozen first"

    def cautions(self) -> Iterator[str]:
        """What freezing is for, and the better way."""
        yield NOT_FROZEN

    def yaml_entry(self, _: Scenario, __: Changes) -> str:
        """The `hold` entry."""
        return "hold: off"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, _base: Plan) -> Iterator[Looser]:
        """All food that waits fed at once."""
        for demand in cls.all_of(scenario):
            limit = f"{join_names(_waiting_cuts(scenario))} only once frozen for long enough"
            yield Looser(cls.rule, limit, "buy it frozen", demand.drop_from(scenario), is_near=True)


def _waiting_cuts(scenario: Scenario) -> list[str]:
    """The cuts of which some food is not fed yet, as it must be frozen first."""
    lots = {lot.cut for lot in scenario.on_hand if scenario.waits(lot)}
    return sorted(lots | {offer.cut for offer in scenario.offers if scenario.waits(offer)})
