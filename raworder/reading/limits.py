"""Rules on nutrients and own profiles, as the scenario says them."""

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from raworder.nutrients import NUTRIENTS, Bound, NutrientLimit, Per, Profile, RatioLimit, Trust, nutrient_of
from raworder.reading.analyses import nutrient_called
from raworder.reading.form import AllDogsForm, DogForm
from raworder.reading.names import did_you_mean, folded
from raworder.reading.notes import Notes, Sought
from raworder.reading.nutrient_quantities import LimitText, NutrientAmount
from raworder.reading.nutrient_tables import PER_UNIT, in_our_unit
from raworder.reading.nutrients_form import ProfileForm
from raworder.reading.text import Text

LISTED_ELSEWHERE = "see the names on the ration sheet that `raworder nourish` prints"
"""What to do about the name of a nutrient that is like no other."""

Limits = tuple[NutrientLimit | RatioLimit, ...]

MOST_IN_100_G = 100
"""Grams of anything in 100 g."""

MOST_KCAL = 902
"""Energy of 100 g of pure fat. Source: USDA SR28, lard 902 kcal."""


def dog_limits(form: DogForm, common: AllDogsForm | None, notes: Notes) -> Limits:
    """The rules of all dogs and the dog's own, which say it where both are about the same."""
    written: dict[str, tuple[Text, LimitText]] = {}
    for source in (common.nutrients if common else {}, form.nutrients):
        written |= {folded(name): (name, text) for name, text in source.items()}
    found = (limit_of(name, text, notes) for name, text in written.values() if not text.off)
    return tuple(one for one in found if one is not None)


def limit_of(name: Text, text: LimitText, notes: Notes) -> NutrientLimit | RatioLimit | None:
    """One limit; None with the reason noted."""
    over, to, under = name.partition(" to ")
    if to:
        return _ratio(name, over, under, text, notes)
    nutrient = _called(name, name, notes)
    if nutrient is None:
        return None
    if text.per is None:
        help_ = "add `a day` or `per 1000 kcal`"
        notes.add("limit-without-basis", f"the limit of `{name}` does not say for what it is", name.place, help_)
        return None
    ends = [_amount(one, nutrient, name, notes) for one in (text.low, text.high)]
    low, high = ends
    if (text.low and low is None) or (text.high and high is None) or _is_reversed(low, high, name, notes):
        return None
    return NutrientLimit(nutrient, text.per, low, high)


def own_profiles(forms: Sequence[ProfileForm], published: Iterable[Profile], notes: Notes) -> tuple[Profile, ...]:
    """The profiles of the file; their bounds are per 1000 kcal, or ratios."""
    taken = {folded(one.name) for one in published}
    made = []
    for form in forms:
        if folded(form.name) in taken:
            message = f"there is a profile `{form.name}` already"
            notes.add("repeated-profile", message, form.at("name"), "give it a name of its own")
        taken.add(folded(form.name))
        limits = [limit_of(name, text, notes) for name, text in form.bounds.items() if _per_mcal(name, text, notes)]
        bounds = [bound for limit in limits if limit for bound in _bounds(limit)]
        made.append(Profile(str(form.name), tuple(bounds)))
    return tuple(made)


def amounts(written: Mapping[Text, NutrientAmount], notes: Notes, *, of_100_g: bool) -> dict[str, Fraction]:
    """Amounts by nutrient key; what nobody knows, is noted and left out; what cannot be is noted."""
    found: dict[str, Fraction] = {}
    for name, amount in written.items():
        key = _called(name, name, notes)
        value = None if key is None else _amount(amount, key, name, notes)
        if key is not None and value is not None:
            found[key] = value
            if of_100_g:
                _note_absurd(key, amount, name, notes)
    return found


def _per_mcal(name: Text, text: LimitText, notes: Notes) -> bool:
    if text.per is Per.DAY:
        help_ = "write it `per 1000 kcal`"
        notes.add("limit-without-basis", f"the bound of `{name}` is for a day, a profile's are not", name.place, help_)
    return text.per is not Per.DAY and not text.off


def _bounds(limit: NutrientLimit | RatioLimit) -> Iterable[Bound]:
    """A bound for each end of a limit."""
    for is_upper, amount in ((False, limit.low), (True, limit.high)):
        if amount is not None:
            low, high = (None, amount) if is_upper else (amount, None)
            if isinstance(limit, NutrientLimit):
                one: NutrientLimit | RatioLimit = NutrientLimit(limit.nutrient, limit.per, low, high)
            else:
                one = RatioLimit(limit.over, limit.under, low, high)
            yield Bound(one, is_upper, str(amount), Trust.GIVEN, "the scenario")


def _ratio(name: Text, over: str, under: str, text: LimitText, notes: Notes) -> RatioLimit | None:
    keys = _called(over.strip(), name, notes), _called(under.strip(), name, notes)
    numbers = [one for one in (text.low, text.high) if one]
    if any(one.unit for one in numbers) or text.per is not None:
        message = f"`{name}` is a ratio and has neither a unit nor a basis"
        notes.add("unit-of-another-nutrient", message, name.place, "write plain numbers, such as `1.1 to 1.8`")
        return None
    low, high = (one.number if one else None for one in (text.low, text.high))
    if keys[0] is None or keys[1] is None or _is_reversed(low, high, name, notes):
        return None
    times = PER_UNIT[nutrient_of(keys[0]).unit] / PER_UNIT[nutrient_of(keys[1]).unit]
    return RatioLimit(keys[0], keys[1], None if low is None else low / times, None if high is None else high / times)


def _called(word: str, name: Text, notes: Notes) -> str | None:
    """The key of the nutrient that is called so, noted at the name where nobody knows it."""
    found = nutrient_called(word)
    if found is None:
        help_ = Sought(lambda: _meant(word), LISTED_ELSEWHERE)
        notes.add("unknown-nutrient", f"no nutrient is called `{word}`", name.place, help_)
    return found.key if found else None


def _meant(word: str) -> str:
    """The nutrient that was probably meant, as its name is written."""
    by_fold = {folded(one.name): one.name for one in NUTRIENTS}
    close = did_you_mean(word, by_fold, LISTED_ELSEWHERE)
    return next((close.replace(fold, one) for fold, one in by_fold.items() if f"`{fold}`" in close), close)


def _amount(amount: NutrientAmount | None, key: str, name: Text, notes: Notes) -> Fraction | None:
    if amount is None:
        return None
    found = in_our_unit(amount.number, amount.unit, key)
    if found is None:
        unit = f"`{amount.unit}`" if amount.unit else "a plain number"
        message = f"{unit} is no amount of `{name}`"
        help_ = "use kcal or kJ" if key == "energy" else "use g, mg or ug"
        notes.add("unit-of-another-nutrient", message, name.place, help_)
    return found


def _is_reversed(low: Fraction | None, high: Fraction | None, name: Text, notes: Notes) -> bool:
    if low is not None and high is not None and low > high:
        notes.add("range-reversed", f"the limit of `{name}` ends below where it begins", name.place, "swap the two")
        return True
    return False


def _note_absurd(key: str, amount: NutrientAmount, name: Text, notes: Notes) -> None:
    """Note what 100 g cannot hold."""
    grams = amount.number if key == "energy" else in_our_unit(amount.number, amount.unit, key) or Fraction(0)
    most = MOST_KCAL if key == "energy" else (in_our_unit(Fraction(MOST_IN_100_G), "g", key) or 0)
    if grams > most:
        notes.add("absurd-analysis", f"100 g cannot hold so much `{name}`", name.place, "check the number and its unit")
