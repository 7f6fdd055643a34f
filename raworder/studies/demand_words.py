"""Words for demands: what a rule asks for, for whom, and what it is to ask for instead."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil
from types import MappingProxyType

from raworder.reporting.words import counted, dogs_text, subject_text
from raworder.solving.demands import SPECIES, Demand, End, Level
from raworder.studies.limit_text import end_text
from raworder.studies.loosenings import OF_NUTRIENTS, Loosening, applied
from raworder.studies.whole_text import percent_text, units_text, word_of
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.nutrients import NutrientLimit, RatioLimit
from raworder.trade.rulebook import rule_of
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import grams_text

MORE_BONE = "Bone in quantity can block a gut: ask a veterinarian"
LESS_BONE = "With less bone there is less calcium: ask a veterinarian"
"""Source of both: common practice, no source."""

ASK_FIRST = "Ask a veterinarian before you ask for less of it, or allow more"

MOST_PER_ORDER = "Where the list has `most_per_order` too, raise it as well"
"""The smaller of both holds."""


def demand_text(scenario: Scenario, demand: Demand) -> str:
    """What a demand asks for, with its number and for whom."""
    return _asks(scenario, demand, demand.level)


def _asks(scenario: Scenario, demand: Demand, level: Level) -> str:
    """What the rule asks for at a level and for whom; one that never gives way is said as the law says it."""
    if demand.rule in _ASKS:
        return f"{_ASKS[demand.rule](scenario, demand, level)}{_for(demand)}"
    says = rule_of(demand.rule).says.removesuffix(".")
    return f"{says[0].lower()}{says[1:]}"


def _for(demand: Demand) -> str:
    return f" for {dogs_text(demand.dogs)}" if demand.dogs else ""


def instead_text(scenario: Scenario, changes: Sequence[Loosening], *, minded: bool = True) -> str:
    """What is asked for instead by changes written together, by how much less, and what is to be `minded`."""
    final, told = applied(scenario, changes), [_instead(scenario, loosening) for loosening in changes]
    along = [loosening for loosening in changes if loosening.muscle]
    muscle = f", and {_muscle_text(final, along[0].demand)}" if along else ""
    return f"{'; '.join(told)}{muscle}" + "".join(f". {says}" for says in dict.fromkeys(_minded(changes)) if minded)


def _instead(scenario: Scenario, loosening: Loosening) -> str:
    """What one demand is to ask for instead."""
    if loosening.demand.rule == "whole_pieces":
        return f"{loosening.demand.about} may be cut up"
    if loosening.demand.rule in OF_NUTRIENTS and loosening.demand.level is None:
        return (
            f"{_limit(scenario, loosening.demand, loosening.level)}{_for(loosening.demand)}"  # nothing was asked before
        )
    by = _BY.get(loosening.demand.rule, _by_share)(scenario, loosening)
    return f"{_asks(scenario, loosening.demand, loosening.level)} ({by})"


def _minded(changes: Iterable[Loosening]) -> Iterator[str]:
    """What to mind beside the rules: bone, and a limit on an order that the lists may have twice."""
    for loosening in changes:
        if loosening.demand.rule in {"part_share", "cap", "day_most"} and word_of(loosening.demand) == Part.BONE:
            yield LESS_BONE if loosening.demand.end is End.LOW else MORE_BONE
        elif loosening.demand.rule == "pack_count":
            yield MOST_PER_ORDER
        elif loosening.demand.rule in OF_NUTRIENTS and loosening.demand.level is not None:
            yield ASK_FIRST


def grams_moved(scenario: Scenario, loosening: Loosening) -> int | None:
    """What a share more or less comes to over the batch for all dogs that it binds; None for what is no share of it.

    Nor is it told where grams are free.
    """
    dogs = [dog for dog in scenario.dogs if dog.name in loosening.demand.dogs]
    if loosening.demand.rule not in {"cap", "part_share"} or any(dog.free_grams for dog in dogs):
        return None
    eaten_g = sum(dog.batch_g for dog in dogs)
    return ceil(abs(_difference(loosening)) * eaten_g)


def _difference(loosening: Loosening) -> Fraction:
    return Fraction(loosening.level or 0) - Fraction(loosening.demand.level or 0)


def _money(scenario: Scenario, level: Level) -> str:
    return scenario.currency.text(level if isinstance(level, Decimal) else Decimal(0))


def _muscle_text(final: Scenario, demand: Demand) -> str:
    """What muscle's range becomes for the dogs of the demand, as muscle is the rest."""
    dog = next(dog for dog in final.dogs if dog.name in demand.dogs)
    target = next(target for target in dog.targets if target.part is Part.MUSCLE)
    return f"muscle, which is the rest, from {percent_text(target.low)} to {percent_text(target.high)}"


def _subject(demand: Demand) -> str:
    about = demand.about
    if isinstance(about, Subject):
        return str(about.measure) if about.measure is Measure.WHOLE_BONE else subject_text(about)
    return word_of(demand)


def _variety(scenario: Scenario, demand: Demand, level: Level) -> str:
    if demand.about != SPECIES:
        return f"no animal species above {percent_text(level)}"
    each = percent_text(scenario.variety.least_share)
    return f"at least {counted(int(level or 0), 'animal species', 'animal species')} of {each} each"


def _range(_: Scenario, demand: Demand, level: Level) -> str:
    return f"{word_of(demand)} at {'least' if demand.end is End.LOW else 'most'} {percent_text(level)}"


def _available(scenario: Scenario, demand: Demand, level: Level) -> str:
    offer = scenario.offer(str(demand.about))
    return f"{offer.supplier} has at most {_much(scenario, offer, int(level or 0))} of {offer.item or offer.cut}"


def _much(scenario: Scenario, offer: Offer, units: int) -> str:
    if offer.by_weight:
        return grams_text(offer.grams(units), scenario.weight_unit)
    return f"{counted(units, 'pack')} of {grams_text(offer.grams(1), scenario.weight_unit)}"


def _limit(_: Scenario, demand: Demand, level: Level) -> str:
    if not isinstance(demand.about, NutrientLimit | RatioLimit):
        return ""
    asked = None if level is None else Fraction(level)
    return end_text(demand.about, asked, is_most=demand.end is End.HIGH)


_ASKS: Mapping[str, Callable[[Scenario, Demand, Level], str]] = MappingProxyType(
    {
        "budget": lambda scenario, _, level: f"the order costs at most {_money(scenario, level)}",
        "room": lambda scenario, _, level: (
            f"all that must be kept frozen fits {grams_text(int(level or 0), scenario.weight_unit)}"
        ),
        "supplier_count": lambda _, __, level: f"at most {counted(int(level or 0), 'supplier')}",
        "minimum_order": lambda scenario, demand, level: (
            f"{demand.about} gets an order of at least {_money(scenario, level)}"
        ),
        "pack_count": _available,
        "variety": _variety,
        "part_share": _range,
        "nutrient": _limit,
        "nutrient_ratio": _limit,
        "cap": lambda _, demand, level: f"{_subject(demand)} at most {percent_text(level)}",
        "whole_pieces": lambda _, demand, level: f"{demand.about} is fed in whole pieces of {level} g that fit a bag",
        "least_portion": lambda _, __, level: f"no portion below {level} g",
        "day_most": lambda _, demand, level: f"{_subject(demand)} at most {percent_text(level)} of a day's food",
        "week_share": lambda _, __, level: (
            f"a week's shares leave their ranges by at most {percent_text(level)} of its food"
        ),
    }
)
"""What each rule that may give way asks for at a level."""


def _by_money(scenario: Scenario, loosening: Loosening) -> str:
    less = "more" if _difference(loosening) > 0 else "less"
    return f"{scenario.currency.text(scenario.currency.rounded(abs(_difference(loosening))))} {less}"


def _by_stock(scenario: Scenario, loosening: Loosening) -> str:
    return f"{units_text(scenario, scenario.offer(str(loosening.demand.about)), int(_difference(loosening)))} more"


def _by_variety(scenario: Scenario, loosening: Loosening) -> str:
    return (
        f"{int(-_difference(loosening))} fewer" if loosening.demand.about == SPECIES else _by_share(scenario, loosening)
    )


def _by_share(scenario: Scenario, loosening: Loosening) -> str:
    """By how many points of a percentage, and what that comes to where it is of the batch."""
    points = percent_text(abs(_difference(loosening))).removesuffix(" %")
    less = "more" if _difference(loosening) > 0 else "less"
    grams = grams_moved(scenario, loosening)
    all_in_all = "" if grams is None else f", up to {grams_text(grams, scenario.weight_unit)} over the batch"
    unit = "percentage point" if points == "1" else "percentage points"
    return f"{points} {unit} {less}{all_in_all}"


def _by_part(_: Scenario, loosening: Loosening) -> str:
    """By what part of what was asked."""
    if loosening.level is None:
        return "all of it"
    part = abs(_difference(loosening)) / Fraction(loosening.demand.level or 1)
    return f"{percent_text(Fraction(round(part * 1000), 1000))} {'more' if _difference(loosening) > 0 else 'less'}"


_BY: Mapping[str, Callable[[Scenario, Loosening], str]] = MappingProxyType(
    {
        "budget": _by_money,
        "minimum_order": _by_money,
        "room": lambda scenario, loosening: f"{grams_text(int(_difference(loosening)), scenario.weight_unit)} more",
        "pack_count": _by_stock,
        "supplier_count": lambda _, loosening: f"{int(_difference(loosening))} more",
        "variety": _by_variety,
        "least_portion": lambda _, loosening: f"{int(-_difference(loosening))} g less",
        "nutrient": _by_part,
        "nutrient_ratio": _by_part,
    }
)
"""By how much less a rule then asks for; by a share where it is not here."""
