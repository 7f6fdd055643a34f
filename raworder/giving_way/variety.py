"""How the rules on variety give way: how many animal species a dog must get, and the most of one."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from raworder.giving_way.demand import Changes, End, Level, Looser, Miss, OfScenario, SoftDemand
from raworder.giving_way.ranges_and_caps import EVERYTHING, ShareEnd, SoftShare, eaten_shares, points_text, row_within
from raworder.giving_way.yaml_text import fields_text, percent_text
from raworder.reading.patterns import LEAST_SPECIES_SHARE
from raworder.reporting.words import count_text
from raworder.solving.constraints import NamedRows
from raworder.solving.problem import Problem, row_name
from raworder.trade.cuts import Measure, Subject
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import share_text

SPECIES, MOST_OF_ONE = "species", "most of one"
"""What the two demands on variety are about."""

SPECIES_POINTS = Fraction(5, 100)
"""The step for the most of one species, in the study of what one more is worth."""


class OfVariety(SoftDemand, OfScenario):
    """A demand on variety."""

    rule = "variety"
    field = "variety"

    def yaml_entry(self, final: Scenario, changes: Changes) -> str:
        """The whole `variety` entry."""
        wanted, changed = final.variety, {change.demand.about for change in changes}
        differs = wanted.least_species > 0 and wanted.least_share != LEAST_SPECIES_SHARE
        fields = {
            "species": (str(wanted.least_species), wanted.least_species > 0),
            "each_at_least": (percent_text(wanted.least_share), differs),
            "most_of_one": (percent_text(wanted.most_share), wanted.most_share < 1 or MOST_OF_ONE in changed),
        }
        return f"variety: {{{fields_text(fields)}}}"


class SpeciesCount(OfVariety):
    """The least number of animal species that every dog must get."""

    level: int
    is_missed_whole = True
    is_minimum = True
    asks_nothing_at = 0
    word_for_less = "fewer"

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["SpeciesCount"]:
        """The demand, where a number of species is asked for."""
        if scenario.variety.least_species:
            yield cls(scenario.variety.least_species, SPECIES)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another number of species."""
        return replace(scenario, variety=replace(scenario.variety, least_species=int(level or 0)))

    def soften(self, scenario: Scenario) -> Scenario:
        """The scenario as it is, as the rule's own row is missed."""
        return scenario

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """No new rows: the rule's own rows get the miss."""
        for group in problem.fed_by_rules():
            problem.lp.get_constraint_by_name(row_name("variety", group.name, "species")).addInPlace(miss.unknown)
        yield from ()

    def asks(self, scenario: Scenario, level: Level) -> str:
        """The least number of species, and how much of each."""
        each = percent_text(scenario.variety.least_share)
        return f"at least {count_text(int(level or 0), 'animal species', 'animal species')} of {each} each"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, _base: Plan) -> Iterator[Looser]:
        """One species fewer."""
        for least in cls.all_of(scenario):
            each = share_text(scenario.variety.least_share)
            limit = f"at least {least.level} species of {each} each for every dog"
            yield Looser(cls.rule, limit, "one fewer", least.set_level(scenario, least.level - 1), is_near=True)


class MostOfOne(SoftShare, OfVariety):
    """The most that a dog eats of one animal species."""

    says = "no animal species above {level}"

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["MostOfOne"]:
        """The demand, where the most of one species is below 100 %."""
        if scenario.variety.most_share < 1:
            yield cls(scenario.variety.most_share, MOST_OF_ONE)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another share as the most of one species."""
        return replace(scenario, variety=replace(scenario.variety, most_share=Fraction(level or 0)))

    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """No group eats more of any species than the level plus the miss."""
        for group in problem.fed_by_rules():
            for species in problem.scenario.species():
                end = ShareEnd(Subject(Measure.SPECIES, species), End.HIGH, self.level)
                yield row_within(problem, group, end, [miss.unknown])

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """A few points more of one species."""
        for limited in cls.all_of(scenario):
            most = min(limited.level + SPECIES_POINTS, EVERYTHING)
            fed = [dog.name for dog in scenario.dogs if dog.care is None]
            subjects = [Subject(Measure.SPECIES, species) for species in scenario.species()]
            is_near = any(
                share >= limited.level - SPECIES_POINTS
                for subject in subjects
                for share in eaten_shares(scenario, base, fed, subject).values()
            )
            step = points_text(most - limited.level, "more")
            limit = f"no species above {share_text(limited.level)}"
            yield Looser(cls.rule, limit, step, limited.set_level(scenario, most), is_near)
