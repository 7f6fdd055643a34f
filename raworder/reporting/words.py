"""How amounts, prices and days are put into words, and the frame that every paper of a scenario shares."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from raworder.cuts import Measure, Subject
from raworder.document import Block, Document, Paragraph
from raworder.fingerprint import batch_named, batch_number
from raworder.trade import Batch, Offer, PriceStep, Scenario
from raworder.units import grams_text

MOST_NAMED = 4
"""More dogs than this are counted, not named."""


def paper(scenario: Scenario, key: str, title: str, blocks: Iterable[Block]) -> Document:
    """A document in the scenario's currency and unit of weight."""
    currency = scenario.currency
    return Document(key, title, currency.code, currency.digits, scenario.weight_unit, tuple(blocks))


def of_its_batch(scenario: Scenario, document: Document) -> Document:
    """The document with its batch number first where bags were replanned after the shop, so that none are mixed up."""
    if not scenario.shop_signs:
        return document
    says = (
        f"Batch {batch_number(scenario)}, replanned after the shop. Papers and labels of batch "
        f"{batch_named(scenario)} are about other bags: throw them away."
    )
    return replace(document, blocks=(Paragraph(says), *document.blocks))


def counted(number: int, singular: str, plural: str = "") -> str:
    """A number with its noun: `1 pack`, `3 packs`."""
    return f"{number} {singular if number == 1 else plural or singular + 's'}"


def listed(names: Sequence[str]) -> str:
    """Names in a sentence: `Maple, Juniper and Sorrel`."""
    *before, last = names or ("",)
    return f"{', '.join(before)} and {last}" if before else last


def dogs_text(names: Iterable[str], of: Iterable[str] = ()) -> str:
    """The dogs by name, or how many they are; `all dogs` where they are all of several that are given."""
    told, everyone = tuple(names), tuple(of)
    if len(everyone) > 1 and len(told) == len(everyone):
        return "all dogs"
    return listed(told) if len(told) <= MOST_NAMED else counted(len(told), "dog")


def units_text(offer: Offer, units: int, weight_unit: str) -> str:
    """So many units of an offer as one asks for them in a shop: `3 packs of 1 kg`, `1.25 kg by weight`."""
    if offer.by_weight:
        return f"{grams_text(offer.grams(units), weight_unit)} by weight"
    about = "about " if offer.heaviest_g else ""
    return f"{counted(units, 'pack')} of {about}{grams_text(offer.grams(1), weight_unit)}"


def price_text(offer: Offer, step: PriceStep, weight_unit: str) -> str:
    """The price as listed with its basis, and the step it belongs to: `2.20 per pack, from 5 packs`."""
    price = f"{step.listed:f} per {step.per.removeprefix('per ')}"
    return f"{price}, {step_text(offer, step, weight_unit)}" if step.at_least > 1 else price


def step_text(offer: Offer, step: PriceStep, weight_unit: str) -> str:
    """From which amount on a step's price holds: `from 5 packs`, `from 5 kg`."""
    if offer.by_weight:
        return f"from {grams_text(offer.grams(step.at_least), weight_unit)}"
    return f"from {counted(step.at_least, 'pack')}"


def batch_text(batch: Batch) -> str:
    """The days of a batch: `2027-02-06 to 2027-02-19, 14 days`."""
    return f"{batch.starts} to {batch.ends}, {counted(batch.days, 'day')}"


def subject_text(subject: Subject) -> str:
    """What a cap is about, in a word."""
    match subject.measure:
        case Measure.FAT:
            return "fat"
        case Measure.RICH:
            return "rich cuts"
        case _:
            return subject.word
