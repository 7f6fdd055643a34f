"""The whole text of a key as a scenario with changes has it: pasted in place of what stands there, it loses nothing."""

import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from raworder.reading.catalogue import species_named
from raworder.reading.names import folded
from raworder.reading.patterns import DEFAULT_CAPS, FREE, LEAST_SPECIES_SHARE, PATTERNS
from raworder.reading.patterns import targets as ranges_of
from raworder.solving.demands import MOST_OF_ONE, Demand, Level
from raworder.studies.limit_text import limit_name, limits_text
from raworder.studies.loosenings import Loosening
from raworder.trade.bags import USUAL_MOST_A_DAY, Portioning
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.dogs import Dog, Target
from raworder.trade.nutrients import NutrientLimit, RatioLimit
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import grams_text

PERCENT_DIGITS = 9
"""Decimals of a percentage at most, as many as are read; people write one or two."""

PLAIN = re.compile(r"[^\W\d_][\w ()%./-]*")
"""Words that need no quotation marks in YAML."""

Changes = Sequence[Loosening]


def key_text(final: Scenario, changes: Changes) -> str:
    """The key with all under it that these changes of it make, from the scenario with them; not for what dogs are fed.

    What they change is told even where it comes to what holds anyway.
    """
    return _WRITES[changes[0].demand.rule](final, changes)


def under_dog_text(scenario: Scenario, key: str, dog: Dog, changes: Changes, *, is_shared: bool) -> str:
    """All that must stand under `targets`, `caps` or `nutrients` for a dog with the changes, or under `all_dogs`."""
    if key == "nutrients":
        common = (
            [] if is_shared else [name.removeprefix(f"{key} ") for name, _ in scenario.places if name[:10] == f"{key} "]
        )
        return limits_text((*dog.nutrient_limits, *dog.ratio_limits), common)
    lines = _ranges(dog, changes) if key == "targets" else _caps(scenario, dog, changes, is_shared=is_shared)
    return f"{key}: {{{', '.join(lines)}}}"


def percent_text(share: Level) -> str:
    """A share as a person writes it: `7.3 %`, `12 %`.

    >>> percent_text(Fraction(73, 1000)), percent_text(Fraction(12, 100))
    ('7.3 %', '12 %')
    """
    percent = round(Fraction(share or 0) * 100, PERCENT_DIGITS)
    text = f"{Decimal(percent.numerator) / Decimal(percent.denominator):f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} %"


def units_text(scenario: Scenario, offer: Offer, units: int) -> str:
    """So much of an offer as a scenario is told what is available."""
    return _weight(scenario, offer.grams(units)) if offer.by_weight else str(units)


def word_of(demand: Demand) -> str:
    """What a demand is about, as it is written in a scenario."""
    if isinstance(demand.about, Target):
        return str(demand.about.part)
    if isinstance(demand.about, NutrientLimit | RatioLimit):
        return limit_name(demand.about)
    return _word(demand.about) if isinstance(demand.about, Subject) else demand.about


def _word(subject: Subject) -> str:
    return subject.word or str(subject.measure)


def _quoted(word: str) -> str:
    """The word as YAML takes it.

    >>> _quoted("beef heart"), _quoted("turkey neck (bone 42 %, piece 90 g)")
    ('beef heart', '"turkey neck (bone 42 %, piece 90 g)"')
    """
    return word if PLAIN.fullmatch(word) and word.casefold() != "null" else json.dumps(word, ensure_ascii=False)


def _weight(scenario: Scenario, grams: int) -> str:
    """A weight that a scenario can be given; where people read pounds, in grams, lest it be rounded."""
    return f"{grams} g" if scenario.weight_unit == "lb" else grams_text(grams, scenario.weight_unit)


def _ranges(dog: Dog, changes: Changes) -> Iterator[str]:
    """The dog's pattern and what differs from it, or all its own ranges."""
    pattern = PATTERNS.get(dog.targets_named)
    if pattern is not None:
        yield f"pattern: {dog.targets_named}"
    usual = ranges_of(FREE if pattern is None else pattern)
    changed = {word_of(loosening.demand) for loosening in changes if dog.name in loosening.demand.dogs}
    for target in dog.targets:
        if target not in usual or target.part in changed:
            yield f"{target.part}: {percent_text(target.low)} to {percent_text(target.high)}"


def _caps(scenario: Scenario, dog: Dog, changes: Changes, *, is_shared: bool) -> Iterator[str]:
    """All caps of the dog but the usual ones, which hold anyway; `none` for what would hold and does not."""
    common = [] if is_shared else [name.removeprefix("caps ") for name, _ in scenario.places if name[:5] == "caps "]
    said = {*common, *(folded(word_of(loosening.demand)) for loosening in changes)}
    usual = [cap for cap in DEFAULT_CAPS if _word(cap.subject) not in said]
    yield from (f"{_quoted(_word(cap.subject))}: {percent_text(cap.most)}" for cap in dog.caps if cap not in usual)
    kept = {folded(_word(cap.subject)) for cap in dog.caps}
    would_hold = dict.fromkeys([*(_word(cap.subject) for cap in DEFAULT_CAPS), *common])
    gone = _known(scenario) - kept
    yield from (f"{_quoted(word)}: none" for word in would_hold if species_named(word) in gone)


def _known(scenario: Scenario) -> frozenset[str]:
    """What a cap can be about here; by another name of the same it would be told twice."""
    cuts = [folded(word) for cut in scenario.cuts for word in (cut.name, cut.kind)]
    usual = [_word(cap.subject) for cap in DEFAULT_CAPS]
    return frozenset([*cuts, *usual, *scenario.species(), *Part, Measure.RICH])


def _variety(final: Scenario, changes: Changes) -> str:
    """All that is asked of variety."""
    wanted, changed = final.variety, {loosening.demand.about for loosening in changes}
    told = {
        "species": (str(wanted.least_species), wanted.least_species > 0),
        "each_at_least": (
            percent_text(wanted.least_share),
            wanted.least_species > 0 and wanted.least_share != LEAST_SPECIES_SHARE,
        ),
        "most_of_one": (percent_text(wanted.most_share), wanted.most_share < 1 or MOST_OF_ONE in changed),
    }
    return f"variety: {{{_said(told)}}}"


def _portioning(final: Scenario, changes: Changes) -> str:
    """All that is asked of bags, less what holds anyway."""
    now, usual = final.portioning, Portioning()
    rules = {loosening.demand.rule for loosening in changes}
    least_usual_g = 2 * now.scale_step_g
    told = {
        "working": (str(now.working), now.working != usual.working),
        "scale_step": (f"{now.scale_step_g} g", now.scale_step_g != usual.scale_step_g),
        "least_portion": (
            f"{now.least_portion_g} g",
            now.least_portion_g != least_usual_g or "least_portion" in rules,
        ),
        "bag_tolerance": (percent_text(now.bag_tolerance), now.bag_tolerance != usual.bag_tolerance),
        "week_allowance": (
            percent_text(now.week_allowance),
            now.week_allowance != usual.week_allowance or "week_share" in rules,
        ),
        "most_a_day": _most_a_day(now, changes),
        "divided": (f"[{', '.join(map(_quoted, sorted(now.divided)))}]", bool(now.divided)),
        **_of_tubs_and_freezing(now),
    }
    return f"portioning: {{{_said(told)}}}"


def _of_tubs_and_freezing(now: Portioning) -> dict[str, tuple[str, bool]]:
    """What never changes, as it is said."""
    usual = Portioning()
    return {
        "tub": (f"{now.tub_g} g", now.tub_g != usual.tub_g),
        "scale": (f"{now.scale_g} g", now.scale_g != usual.scale_g),
        "freezes": (f"{now.freezes_g} g", now.freezes_g is not None),
        "day": (str(now.day), now.day is not None),
    }


def _most_a_day(now: Portioning, changes: Changes) -> tuple[str, bool]:
    """The limits of a day that are not the usual ones, or that change, and whether there are any."""
    most, changed = (
        dict(now.most_a_day),
        {loosening.demand.about for loosening in changes if loosening.demand.rule == "day_most"},
    )
    told = [
        f"{_quoted(_word(subject))}: {percent_text(share)}"
        for subject, share in most.items()
        if (subject, share) not in USUAL_MOST_A_DAY or subject in changed
    ]
    told += [f"{_word(subject)}: none" for subject, _ in USUAL_MOST_A_DAY if subject not in most]
    return f"{{{', '.join(told)}}}", bool(told)


def _said(told: Mapping[str, tuple[str, bool]]) -> str:
    """The fields that are to be said, in their order."""
    return ", ".join(f"{field}: {text}" for field, (text, is_said) in told.items() if is_said)


def _available(final: Scenario, changes: Changes) -> str:
    offer = final.offer(str(changes[0].demand.about))
    return f"available: {units_text(final, offer, offer.available or 0)}"


def _least_order(final: Scenario, changes: Changes) -> str:
    return f"minimum_order: {_money(final, final.supplier(str(changes[0].demand.about)).minimum_order)}"


def _money(final: Scenario, amount: Decimal | None) -> str:
    """An amount with the decimals of its currency, without its code."""
    return final.currency.text(amount or Decimal(0)).removesuffix(f" {final.currency.code}")


_WRITES: Mapping[str, Callable[[Scenario, Changes], str]] = MappingProxyType(
    {
        "budget": lambda final, _: f"budget: {_money(final, final.budget)}",
        "room": lambda final, _: f"freezer: {{room: {_weight(final, final.room_g or 0)}}}",
        "supplier_count": lambda final, _: f"most_suppliers: {final.most_suppliers}",
        "minimum_order": _least_order,
        "pack_count": _available,
        "variety": _variety,
        **dict.fromkeys(("whole_pieces", "least_portion", "day_most", "week_share"), _portioning),
    }
)
"""What to write by the rule that changes, where it is not about dogs."""
