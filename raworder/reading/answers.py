"""What a person answers when a scenario is begun: read as the fields of the form are, and given back as text.

Each reader raises `UnitError` with one remedy where an answer cannot be taken.
"""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any

from raworder.reading.catalogue import Catalogue, Words, catalogue_words, help_for_unknown_cut, reference_catalogue
from raworder.reading.characters import describe_forbidden
from raworder.reading.currencies import read_currency
from raworder.reading.fields import (
    CurrencyCode,
    Day,
    DogWeight,
    Grams,
    Name,
    OtherEnergyText,
    PackText,
    PartName,
    PriceText,
    RationText,
    Share,
)
from raworder.reading.form import ACTIVITIES, LONGEST_BATCH_DAYS
from raworder.reading.form_fields import count_from, one_of
from raworder.reading.located import text_at
from raworder.reading.names import did_you_mean, fold_name, join_in_backticks, normalise_name
from raworder.reading.patterns import PATTERNS
from raworder.reading.quantities import read_kcal, read_percentage
from raworder.reading.reference import read_cuts, read_toxic_foods, toxic_food
from raworder.trade.cuts import Part
from raworder.trade.dogs import Care, Goal, OtherFood
from raworder.trade.draft import DogDraft
from raworder.trade.findings import Place
from raworder.trade.rounding import half_up
from raworder.trade.units import Currency, UnitError, read_grams

if TYPE_CHECKING:
    from pydantic import TypeAdapter

NAME, CURRENCY, DAY, WEIGHT, RATION, SHARE, PACK, PRICE = (
    Name, CurrencyCode, Day, DogWeight, RationText, Share, PackText, PriceText
)  # fmt: skip
"""The kinds of field that an answer may be."""

DAYS = Annotated[int, count_from(1, LONGEST_BATCH_DAYS)]
UNITS = Annotated[str, one_of("kg", "lb")]

NOWHERE = Place("", 1, 1)


def check_answer(text: str, kind: Any, currency: Currency | None = None) -> str:
    """The text of an answer, checked by reading it as a field of that kind."""
    from pydantic import ValidationError

    said = printable(text)
    try:
        _reader_of(kind).validate_python(text_at(said, NOWHERE, plain=False), context=currency)
    except ValidationError as error:
        told = error.errors()[0]["ctx"]
        raise UnitError(told["message"], told["help"], told["slug"]) from None
    return said


@cache
def _reader_of(kind: Any) -> "TypeAdapter[Any]":
    """What reads a field of that kind; made once, as a long list asks for it thousands of times."""
    from pydantic import TypeAdapter

    return TypeAdapter(kind)


def printable(text: str) -> str:
    """The text in NFC with single spaces; characters that no scenario may hold are refused."""
    if strange := describe_forbidden(text.strip()):
        raise UnitError(strange, "leave it out")
    return normalise_name(text)


def read_choice(text: str, choices: Sequence[str]) -> str:
    """The answer as one of the allowed words, ignoring case."""
    said = printable(text)
    known = {fold_name(word): word for word in choices}
    if fold_name(said) not in known:
        raise UnitError(f"`{said}` is none of the choices", f"write {join_in_backticks(choices)}")
    return known[fold_name(said)]


def yes_or_no(text: str) -> bool:
    """Whether the answer is yes."""
    return read_choice(text, ("yes", "y", "no", "n")) in {"yes", "y"}


def care(text: str) -> str:
    """The reason why a veterinarian gives the amounts; nothing for `no`."""
    said = read_choice(text, ("no", *Care))
    return "" if said == "no" else said


def pattern(text: str) -> str:
    """A pattern of the trade."""
    return read_choice(text, tuple(PATTERNS))


def growth_or_goal(text: str) -> str:
    """`growing`, `lose` or `gain`; nothing for `no`."""
    said = read_choice(text, ("no", GROWING, Goal.LOSE, Goal.GAIN))
    return "" if said == "no" else said


GROWING = "growing"
"""The answer for a dog that is not grown yet."""


def activity(text: str) -> str:
    """An activity, as a scenario names it."""
    return read_choice(text, ACTIVITIES)


def read_other_food(text: str) -> str:
    """What a dog eats beside the plan as `350 kcal`, `half`, or `90 g at 380 kcal`; nothing for no answer or `no`."""
    said = printable(text)
    if said.casefold() in {"", "no", "none", "nothing"}:
        return ""
    if said.casefold() == "half":
        return "half"
    grams, at, energy = said.removesuffix("per 100 g").strip().rpartition(" at ")
    if not energy.endswith("kcal"):
        help_ = "write `350 kcal`, `half`, or grams with what 100 g hold, such as `90 g at 380 kcal`"
        raise UnitError(f"`{said}` does not tell the energy of the other food", help_)
    kcal = check_answer(energy, OtherEnergyText)
    return f"{check_answer(grams, Grams)} at {kcal}" if at else kcal


def other_food(text: str) -> OtherFood:
    """What the text of other food means, as `read_other_food` gives it.

    >>> other_food("90 g at 380 kcal").kcal, other_food("half").as_much, other_food("").kcal
    (Fraction(342, 1), True, Fraction(0, 1))
    """
    grams, at, energy = text.partition(" at ")
    if at:
        return OtherFood(read_grams(grams) * read_kcal(energy) / 100)
    return OtherFood(as_much=True) if text == "half" else OtherFood(read_kcal(text) if text else Fraction(0))


def read_dog_line(text: str) -> DogDraft:
    """A dog from `Maple, 22 kg, 2.5 %, prey model` or `Sorrel, 9 kg, nursing`; a comma in a name needs quotes.

    Without a ration it says what a proposal takes: `Juniper, 9 kg, puppy, adult weight 20 kg, other food 100 kcal`.
    """
    name, *rest = _cells(text) or [""]
    said: dict[str, str] = {}
    for word in rest:
        field, value = _dog_field(word.strip(), weighed="weight" in said)
        if field in said:
            raise UnitError(f"`{word.strip()}` tells the {field.replace('_', ' ')} twice", "keep one of the two")
        said[field] = value
    texts: dict[str, Any] = {**said, "puppy": "puppy" in said}
    told = DogDraft(**{"name": check_answer(name, NAME), "weight": "", **texts})
    _complete(told)
    return told


def _complete(told: DogDraft) -> None:
    """Refuse what a dog in care may not say, and what another must."""
    if not told.weight:
        raise UnitError(f"`{told.name}` has no weight", "write it behind the name, such as `22 kg`")
    if told.care and told != DogDraft(told.name, told.weight, care=told.care):
        raise UnitError(
            f"`{told.name}` is in care, so the veterinarian gives the amounts", "leave all but name and weight out"
        )
    if told.puppy and not told.ration and not told.adult_weight:
        raise UnitError(f"`{told.name}` has no adult weight", "write it, such as `adult weight 30 kg`: a guess will do")
    if told.goal and not told.ideal_weight:
        raise UnitError(f"`{told.name}` has no ideal weight", "write it, such as `ideal weight 20 kg`")


def _dog_field(said: str, *, weighed: bool) -> tuple[str, str]:
    """The field that one part of the line fills, and its value."""
    word = fold_name(said)
    for field, read in _NAMED_FIELDS:
        if word.startswith(f"{field} "):
            return field.replace(" ", "_"), read(said[len(field) :])
    for field, words in _WORDS_OF_FIELDS:
        if word in {fold_name(choice) for choice in words}:
            return field, read_choice(said, words)
    if "%" in said or "kcal" in said or weighed:
        return "ration", check_answer(said, RATION)
    return "weight", check_answer(said, WEIGHT)


def weight(text: str) -> str:
    """The weight of a dog, as typed."""
    return check_answer(text, WEIGHT)


_NAMED_FIELDS = (("other food", read_other_food), ("ideal weight", weight), ("adult weight", weight))
"""The fields of a dog that its line names, each with what reads the value."""

_WORDS_OF_FIELDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("care", tuple(Care)),
    ("pattern", tuple(PATTERNS)),
    ("activity", ACTIVITIES),
    ("goal", (Goal.LOSE, Goal.GAIN)),
    ("puppy", ("puppy",)),
)
"""The fields of a dog that a word of its line fills by itself."""


@dataclass(frozen=True, slots=True)
class KnownNames:
    """The cuts and words that an answer can name."""

    catalogue: Catalogue
    words: Words

    def cut(self, text: str) -> str:
        """The name of a cut of ours, exactly."""
        said = check_answer(text, NAME)
        if self.catalogue.find(said) is None:
            help_ = help_for_unknown_cut(said, self.catalogue, "`raworder cuts WORD` looks names up")
            raise UnitError(f"no cut is called `{said}`", help_)
        return said

    def avoided(self, text: str) -> tuple[str, ...]:
        """Words for what a dog must not eat, with commas between them; none where nothing is said."""
        said = tuple(check_answer(part, NAME) for part in text.split(",") if part.strip())
        for word in said:
            if not self.words.means_something(word):
                help_ = did_you_mean(word, self.words.known(), "name a species, a kind, a part or a cut")
                raise UnitError(f"nobody knows what `{word}` is", help_)
        return tuple({fold_name(word): word for word in said}.values())


def known() -> KnownNames:
    """What the reference tables know."""
    catalogue = reference_catalogue(read_cuts())
    return KnownNames(catalogue, catalogue_words(catalogue))


def safe_food(name: str) -> str:
    """The name; names of food that is dangerous to dogs are refused."""
    if food := toxic_food(name, read_toxic_foods()):
        raise UnitError(f"`{name}` names food that is dangerous to dogs: {food.food}", "leave it out")
    return name


def read_offer_line(text: str, currency: str) -> tuple[str, str, str]:
    """Cut, pack and price from `chicken neck, 1 kg, 2.40` or `beef trim, 6.20 per kg`."""
    said = _cells(text)
    if len(said) not in {2, 3}:
        raise UnitError(f"`{text}` is no offer", "write cut, pack and price, such as `chicken neck, 1 kg, 2.40`")
    pack = check_answer(said[1], PACK) if len(said) == 3 else ""
    return said[0], pack, check_answer(said[-1], PRICE, read_currency(currency) if currency else None)


def _cells(text: str) -> list[str]:
    """The cells of a line, split at commas outside double quotes."""
    return [name.strip() for name in next(csv.reader([printable(text)], skipinitialspace=True), [])]


def read_parts(text: str) -> tuple[tuple[str, str], ...]:
    """Parts with their shares from `muscle 80 %, bone 12 %, liver 8 %`; a part alone is all of it."""
    shares: dict[str, str] = {}
    for piece in text.split(","):
        name = re.sub(r"[0-9.,]+\s*%$", "", piece.strip()).strip()
        part = fold_name(check_answer(name, PartName))
        if part in shares:
            raise UnitError(f"`{part}` is told twice", "write each part once")
        shares[part] = check_answer(piece.strip().removeprefix(name).strip() or "100 %", SHARE)
    whole = sum(map(read_percentage, shares.values()), Fraction(0))
    if whole != 1:
        raise UnitError("these parts do not add up to 100 %", "write all of them, such as `muscle 88 %, bone 12 %`")
    return tuple(shares.items())


def read_energy(text: str) -> str:
    """The energy of 100 g of a food, as typed: `190 kcal`."""
    said = printable(text)
    if not said.endswith("kcal"):
        raise UnitError(f"`{said}` has no unit", "write it in kcal, such as `190 kcal`", "no-unit")
    read_kcal(said)
    return said


LEAN_KCAL = 84
"""The energy of 100 g of meat without its fat and bone: 21 % of protein at 4 kcal a gram, fat giving 9.

Source: FEDIAF 2018 Annex 1, 2.2.1 b for both; the share of protein is our own choice, near that of the table's cuts.
"""


def estimate_energy(parts: Sequence[tuple[str, str]], fat: str) -> str:
    """About what 100 g of meat hold, from its fat and bone; nothing where the fat is not known, or plants are in it.

    >>> estimate_energy((("muscle", "88 %"), ("bone", "12 %")), "10 %")
    '156 kcal'
    """
    shares = {part: read_percentage(share) for part, share in parts}
    if not fat or {Part.VEGETABLES, Part.BERRIES} & set(shares):
        return ""
    fat_share = read_percentage(fat)
    lean = max(1 - shares.get(Part.BONE, Fraction(0)) - fat_share, Fraction(0))
    return f"{half_up(LEAN_KCAL * lean + 900 * fat_share)} kcal"
