"""How the rules on bags give way: whole pieces, the least portion, the most of a day, and a week's allowance."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from raworder.giving_way.demand import Changes, Level, Looser, OfScenario, Share
from raworder.giving_way.ranges_and_caps import MORE_BONE, counted_text
from raworder.giving_way.yaml_text import fields_text, percent_text, quoted_text, subject_word
from raworder.solving.bag_room import PieceLimit, limits_of_all
from raworder.solving.groups import groups_of
from raworder.trade.bags import USUAL_MOST_A_DAY, Portioning
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario

DAY_STEP = Fraction(1, 100)
"""The step in which people write the most of a day's food: 1 %."""

MOST_BONE_A_DAY = Fraction(1, 2)
"""The most bone in a day's food that is ever proposed. Source: common practice, no source."""


class OfBags(OfScenario):
    """A demand on how bags are filled; most of them limit what may be ordered too."""

    field = "portioning"

    def concerns_bags(self, _: Collection[str]) -> bool:
        """Always, for a rule of bags."""
        return True

    def yaml_entry(self, final: Scenario, changes: Changes) -> str:
        """The whole `portioning` entry, without usual values that do not change."""
        now, usual, kinds = final.portioning, Portioning(), {type(change.demand) for change in changes}
        is_usual_portion = now.least_portion_g == 2 * now.scale_step_g
        fields = {
            "working": (str(now.working), now.working != usual.working),
            "scale_step": (f"{now.scale_step_g} g", now.scale_step_g != usual.scale_step_g),
            "least_portion": (f"{now.least_portion_g} g", LeastPortion in kinds or not is_usual_portion),
            "bag_tolerance": (percent_text(now.bag_tolerance), now.bag_tolerance != usual.bag_tolerance),
            "week_allowance": (
                percent_text(now.week_allowance),
                WeekShare in kinds or now.week_allowance != usual.week_allowance,
            ),
            "most_a_day": _most_a_day_text(now, changes),
            "divided": (f"[{', '.join(map(quoted_text, sorted(now.divided)))}]", bool(now.divided)),
            "tub": (f"{now.tub_g} g", now.tub_g != usual.tub_g),
            "scale": (f"{now.scale_g} g", now.scale_g != usual.scale_g),
            "freezes": (f"{now.freezes_g} g", now.freezes_g is not None),
            "day": (str(now.day), now.day is not None),
        }
        return f"{self.field}: {{{fields_text(fields)}}}"


class WholePieces(OfBags):
    """A cut that is fed in whole pieces of `level` grams each; it gives way by being cut up."""

    level: int
    about: str
    rule = "whole_pieces"
    says = "{word} is fed in whole pieces of {level} g that fit a bag"
    worth_place = 1

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["WholePieces"]:
        """Every cut that is fed in whole pieces."""
        for cut in scenario.cuts:
            if piece_g := scenario.portioning.whole_piece_g(cut):
                yield cls(piece_g, cut.name)

    def set_level(self, scenario: Scenario, _: Level) -> Scenario:
        """The scenario in which the cut may be cut up."""
        portioning = scenario.portioning
        return replace(scenario, portioning=replace(portioning, divided=portioning.divided | {self.about}))

    def concerns_bags(self, fed: Collection[str]) -> bool:
        """Whether the cut is fed."""
        return self.about in fed

    def steps_before(self, _: Scenario, __: Level) -> range:
        """None: a cut is cut up or not."""
        return range(0)

    def instead_text(self, _: Scenario, __: Level) -> str:
        """That it may be cut up."""
        return f"{self.about} may be cut up"

    @classmethod
    def one_step_looser(cls, scenario: Scenario, base: Plan) -> Iterator[Looser]:
        """One cut divided; where dogs are many, the order before pieces are shared out does not depend on them."""
        fed = {portion.cut for portion in base.portions}
        for whole in cls.all_of(scenario):
            is_near = whole.about in fed and not scenario.solved_by_groups
            loose = whole.drop_from(scenario)
            yield Looser(cls.rule, f"{whole.about} in whole pieces", "cut it up", loose, is_near)


class LeastPortion(OfBags):
    """The smallest portion of anything in a bag, in grams."""

    level: int
    rule = "least_portion"
    says = "no portion below {level} g"
    word_for_less = "g less"
    is_minimum = True

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["LeastPortion"]:
        """The least portion, where it is above one step of the scale."""
        portioning = scenario.portioning
        if portioning.least_portion_g > portioning.scale_step_g:
            yield cls(portioning.least_portion_g)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another least portion."""
        portioning = scenario.portioning
        least_g = int(level or portioning.scale_step_g)
        return replace(scenario, portioning=replace(portioning, least_portion_g=least_g))

    def free_level(self, scenario: Scenario) -> Level:
        """One step of the scale, as no less can be weighed."""
        return scenario.portioning.scale_step_g

    def step(self, scenario: Scenario) -> Fraction:
        """One step of the scale."""
        return Fraction(scenario.portioning.scale_step_g)

    def levels(self, scenario: Scenario) -> Sequence[Level]:
        """Every step of the scale below it, down to the last above zero."""
        step_g = scenario.portioning.scale_step_g
        return range(self.level - step_g, 0, -step_g)


class DayMost(Share, OfBags):
    """The largest share of something in a day's food."""

    about: Subject
    rule = "day_most"
    written_step = DAY_STEP

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["DayMost"]:
        """Every subject with such a limit below 100 %."""
        yield from (cls(most, subject) for subject, most in scenario.portioning.most_a_day if most < 1)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another limit on the subject."""
        portioning = scenario.portioning
        most = (
            (subject, Fraction(level or 0) if subject == self.about else share)
            for subject, share in portioning.most_a_day
        )
        return replace(scenario, portioning=replace(portioning, most_a_day=tuple(most)))

    def concerns_orders(self, scenario: Scenario) -> bool:
        """Whether it limits which pieces dogs can be fed, or how many of them."""
        return _piece_limits(scenario) != _piece_limits(self.drop_from(scenario))

    @property
    def furthest(self) -> Fraction:
        """Half of a day's food for bone; for all else as for any share."""
        return MOST_BONE_A_DAY if self.about == Subject(Measure.PART, Part.BONE) else super().furthest

    def asks(self, _: Scenario, level: Level) -> str:
        """The most of it in a day's food."""
        return f"{counted_text(self.about)} at most {percent_text(level)} of a day's food"

    def cautions(self) -> Iterator[str]:
        """What more bone can do."""
        if self.word == Part.BONE:
            yield MORE_BONE


class WeekShare(Share, OfBags):
    """By how much of a week's food its shares may leave their ranges."""

    rule = "week_share"
    says = "a week's shares leave their ranges by at most {level} of its food"

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["WeekShare"]:
        """The one allowance that every scenario has."""
        yield cls(scenario.portioning.week_allowance)

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with another allowance."""
        return replace(scenario, portioning=replace(scenario.portioning, week_allowance=Fraction(level or 0)))

    def concerns_orders(self, _: Scenario) -> bool:
        """Never: it is about bags alone."""
        return False


def _piece_limits(scenario: Scenario) -> list[tuple[frozenset[str], tuple[PieceLimit, ...]]]:
    """For each group of dogs the cuts whose pieces are too large, and how many of the others bags and days can take."""
    return [(group.unfit, limits_of_all(group.dogs, scenario)) for group in groups_of(scenario) if not group.care]


def _most_a_day_text(now: Portioning, changes: Changes) -> tuple[str, bool]:
    """The limits on a day's food that are not the usual ones, or that change, and whether there are any."""
    most = dict(now.most_a_day)
    changed = {change.demand.about for change in changes if isinstance(change.demand, DayMost)}
    texts = [
        f"{quoted_text(subject_word(subject))}: {percent_text(share)}"
        for subject, share in most.items()
        if (subject, share) not in USUAL_MOST_A_DAY or subject in changed
    ]
    texts += [f"{subject_word(subject)}: none" for subject, _ in USUAL_MOST_A_DAY if subject not in most]
    return f"{{{', '.join(texts)}}}", bool(texts)
