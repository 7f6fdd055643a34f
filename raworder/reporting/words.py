"""Amounts, prices, days, ranges and meals in words, and the frame that every paper shares."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import TypeVar

from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.document import Block, Document, Paragraph, Verbatim
from raworder.trade.dogs import Dog, Target
from raworder.trade.fingerprint import batch_number, stable_batch_number
from raworder.trade.plan import Plan
from raworder.trade.scenario import Batch, Offer, PriceStep, Scenario
from raworder.trade.units import WEEKDAYS, day_text, grams_text, share_text

MOST_NAMED = 4
"""More dogs than this are counted, not named."""


def paper(
    scenario: Scenario, key: str, title: str, blocks: Iterable[Block], *, at_arms_length: bool = False
) -> Document:
    """A document in the scenario's currency and unit of weight."""
    currency = scenario.currency
    return Document(
        key, title, currency.code, currency.digits, scenario.weight_unit, tuple(blocks), at_arms_length=at_arms_length
    )


def with_batch_number(scenario: Scenario, document: Document) -> Document:
    """The document, beginning with its batch number if bags were replanned after the shop.

    Else papers and labels of both plans could get mixed up, as both number their bags from 1.
    """
    if not scenario.shop_signs:
        return document
    says = (
        f"Batch {batch_number(scenario)}, replanned after the shop. Papers and labels of batch "
        f"{stable_batch_number(scenario)} are about other bags: throw them away."
    )
    return replace(document, blocks=(Paragraph(says), *document.blocks))


MOST_BESIDE = 73
"""A command and what it gives may have so many letters side by side: 80 columns less the margin and the gap."""


def next_commands(commands: tuple[tuple[str, str], ...]) -> Verbatim:
    """What to do next: commands, and beside each what it gives; below each where that is too wide for a screen."""
    widest = max(len(command) for command, _ in commands)
    if widest + max(len(gives) for _, gives in commands) > MOST_BESIDE:
        return Verbatim("Next", "\n".join(f"{command}\n    {gives}" for command, gives in commands))
    return Verbatim("Next", "\n".join(f"{command.ljust(widest)}   {gives}" for command, gives in commands))


def count_text(number: int, singular: str, plural: str = "") -> str:
    """A number with its noun: `1 pack`, `3 packs`."""
    return f"{number} {singular if number == 1 else plural or singular + 's'}"


def join_names(names: Sequence[str]) -> str:
    """Names in a sentence: `Maple, Juniper and Sorrel`."""
    *before, last = names or ("",)
    return f"{', '.join(before)} and {last}" if before else last


def capitalised(text: str) -> str:
    """The text with a capital at its beginning."""
    return text[:1].upper() + text[1:]


def dogs_text(names: Iterable[str], all_names: Iterable[str] = ()) -> str:
    """The dogs by name, or how many they are; `all dogs` if they are all of `all_names`, and more than one."""
    listed, every_dog = tuple(names), tuple(all_names)
    if len(every_dog) > 1 and len(listed) == len(every_dog):
        return "all dogs"
    return join_names(listed) if len(listed) <= MOST_NAMED else count_text(len(listed), "dog")


def units_text(offer: Offer, units: int, weight_unit: str) -> str:
    """An amount of an offer as one asks for it in a shop: `3 packs of 1 kg`, `1.25 kg by weight`."""
    if offer.by_weight:
        return f"{grams_text(offer.grams(units), weight_unit)} by weight"
    about = "about " if offer.heaviest_g else ""
    return f"{count_text(units, 'pack')} of {about}{grams_text(offer.grams(1), weight_unit)}"


def price_text(offer: Offer, step: PriceStep, weight_unit: str) -> str:
    """The price as listed with its basis, and the step it belongs to: `2.20 per pack, from 5 packs`."""
    price = f"{step.listed:f} per {step.per.removeprefix('per ')}"
    return f"{price}, {step_text(offer, step, weight_unit)}" if step.at_least > 1 else price


def step_text(offer: Offer, step: PriceStep, weight_unit: str) -> str:
    """From which amount on a step's price holds: `from 5 packs`, `from 5 kg`."""
    if offer.by_weight:
        return f"from {grams_text(offer.grams(step.at_least), weight_unit)}"
    return f"from {count_text(step.at_least, 'pack')}"


def batch_text(batch: Batch) -> str:
    """The days of a batch: `Sat 6 to Fri 19 Feb, 14 days`."""
    return f"{days_text(batch.starts, batch.ends)}, {count_text(batch.days, 'day')}"


def days_text(first: date, last: date) -> str:
    """From one day to another as people say it: `Sat 6 to Fri 19 Feb`, `Sat 27 Feb to Fri 12 Mar`."""
    if first == last:
        return day_text(last)
    if first.year != last.year:
        return f"{day_text(first)} {first.year} to {day_text(last)} {last.year}"
    same_month = first.month == last.month
    begins = f"{WEEKDAYS[first.weekday()]} {first.day}" if same_month else day_text(first)
    return f"{begins} to {day_text(last)}"


def subject_text(subject: Subject) -> str:
    """What a cap is about, in a word."""
    match subject.measure:
        case Measure.FAT:
            return "fat"
        case Measure.RICH:
            return "rich cuts"
        case Measure.THIAMINASE:
            return "fish and shellfish that destroy thiamine"
        case _:
            return subject.word


PRINTED = Fraction(1, 2000)
"""Half of the last printed digit, as shares are printed to a tenth of a percent; less room than this is none."""


NOT_ASKED = "none"
"""The range of a part that a dog must get nothing of."""


def range_text(least: Fraction, most: Fraction) -> str:
    """A range as people write it, on every page: `8 to 12 %`, `exactly 5 %`, `at most 10 %`, `none`."""
    low, high = short_share(least), short_share(most)
    if not most:
        return NOT_ASKED
    if not least:
        return f"at most {high}"
    return f"exactly {high}" if low == high else f"{low.removesuffix(' %')} to {high}"


def short_share(share: Fraction) -> str:
    """A share without an idle decimal: `8 %`, `7.5 %`."""
    return share_text(share).replace(".0 %", " %")


def reaches_limit(given: Fraction, most: Fraction) -> bool:
    """Whether a share is at its limit or above it, going by what is printed."""
    return given >= most - PRINTED


def is_above(share: Fraction, other: Fraction) -> bool:
    """Whether a share is above another, going by what is printed."""
    return share > other + PRINTED


def too_much_text(share: Fraction) -> str:
    """By how many points a share is above its limit, in words."""
    return f"{percentage_points(share)} too much"


def room_text(target: Target, given: Fraction) -> str:
    """The room a share has in its range, in points; that it is at an end, or by how much it is outside."""
    if is_above(given, target.high):
        return too_much_text(given - target.high)
    if is_above(target.low, given):
        return f"{percentage_points(target.low - given)} too little"
    if target.low == target.high:
        return "as asked"
    if reaches_limit(given, target.high):
        return "at the maximum"
    if target.low > 0 and reaches_limit(target.low, given):
        return "at the minimum"
    down = f"{percentage_points(given - target.low)} down, " if target.low > 0 else ""
    return f"{down}{percentage_points(target.high - given)} up"


def percentage_points(share: Fraction) -> str:
    """A difference of shares in percentage points, as a number: `2`, `0.5`."""
    return short_share(share).removesuffix(" %")


Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class Meal:
    """What one dog eats over the batch: grams of each cut, in the scenario's order of cuts."""

    dog: Dog
    cuts: tuple[tuple[Cut, int], ...]

    @property
    def total_g(self) -> int:
        """Grams over the batch."""
        return sum(grams for _, grams in self.cuts)

    def share_of(self, subject: Subject) -> Fraction:
        """How much of what is eaten counts as the subject."""
        return self.share(tuple(subject.share_in(cut) for cut, _ in self.cuts))

    def part_share(self, part: Part) -> Fraction:
        """How much of what is eaten is a part."""
        return self.share(tuple(cut.part_share(part) for cut, _ in self.cuts))

    def share(self, counted_shares: tuple[Fraction, ...]) -> Fraction:
        """The share of what is eaten that counts, from the share of each cut that does; 0 if nothing is eaten."""
        counted_g = sum(
            (share * grams for share, (_, grams) in zip(counted_shares, self.cuts, strict=True)), Fraction(0)
        )
        return counted_g / self.total_g if self.total_g else Fraction(0)


def meals(scenario: Scenario, plan: Plan) -> tuple[Meal, ...]:
    """What every dog eats, in the scenario's order."""
    eaten_g: dict[str, dict[str, int]] = {dog.name: {} for dog in scenario.dogs}
    for portion in plan.portions:
        eaten_g[portion.dog][portion.cut] = eaten_g[portion.dog].get(portion.cut, 0) + portion.batch_g
    return tuple(
        Meal(dog, tuple((cut, eaten_g[dog.name][cut.name]) for cut in scenario.cuts if eaten_g[dog.name].get(cut.name)))
        for dog in scenario.dogs
    )


def group_alike(things: Iterable[Thing], look: Callable[[Thing], Hashable]) -> tuple[tuple[Thing, ...], ...]:
    """The things in groups of those that look the same, in the order of the first of each group."""
    groups: dict[Hashable, list[Thing]] = {}
    for thing in things:
        groups.setdefault(look(thing), []).append(thing)
    return tuple(tuple(group) for group in groups.values())
