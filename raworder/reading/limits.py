"""Rules on nutrients, own profiles and analyses of cuts, as the scenario says them."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from raworder.reading.form import AllDogsForm, DogForm
from raworder.reading.located import Text
from raworder.reading.names import did_you_mean, fold_name
from raworder.reading.notes import Notes, SearchedRemedy
from raworder.reading.quantities import LimitText, NutrientAmount
from raworder.reading.reference import PER_UNIT, KnownNutrients, in_our_unit
from raworder.reading.settings_form import ProfileForm
from raworder.trade.nutrients import (
    KCAL_PER_G,
    NUTRIENTS,
    Analysis,
    BoneCalcium,
    BoneEstimate,
    Bound,
    Nutrient,
    NutrientLimit,
    Per,
    Profile,
    RatioLimit,
    Trust,
    nutrient_of,
)

MG_IN_100_G = 100_000


@dataclass(frozen=True, slots=True)
class Bone:
    """The bone in a food: its share of the weight as bought, the ends of that share, and the calcium in it."""

    share: Fraction
    ends: tuple[Fraction, Fraction]
    calcium: BoneCalcium

    def estimates(self) -> Iterator[BoneEstimate]:
        """The calcium and the phosphorus of the bone in 100 g; nothing where there is no bone."""
        least, most = self.ends
        calcium = (self.share * self.calcium.share, least * self.calcium.least, most * self.calcium.most)
        for nutrient, per_calcium in (("calcium", Fraction(1)), ("phosphorus", 1 / self.calcium.to_phosphorus)):
            if self.share:
                yield BoneEstimate(nutrient, *(part * MG_IN_100_G * per_calcium for part in calcium))


def analysis(
    known: KnownNutrients | None, bone: Bone, fat_share: Fraction | None, given: Mapping[str, Fraction]
) -> Analysis:
    """What is known of 100 g as bought.

    The tables speak of the edible portion; with bone there is less of it, and an estimate of the bone's calcium and
    phosphorus, but for what was measured with its bone. `fat_share`, if stated, is of the weight as bought. What is
    `given` is of 100 g as bought, bone in it, and wins over all else.
    """
    told = known.share_told(bone.share) if known else Fraction(0)
    values = {key: amount * told for key, amount in known.values} if known else {}
    if fat_share is not None:
        values["fat"] = fat_share * 100
    reckoned = () if known and known.bone_in else bone.estimates()
    estimates = tuple(part for part in reckoned if part.nutrient in values and part.nutrient not in given)
    for estimate in estimates:
        values[estimate.nutrient] += estimate.amount
    sources = (known.source if known else "", "the scenario" if given or fat_share is not None else "")
    whole = add_nutrient_sums({**values, **given}, given)
    lent = {*(known.borrowed if known else ())} - {*given, *(("fat",) if fat_share is not None else ())}
    return Analysis(
        values=whole,
        estimates=estimates,
        bone_calcium=bone.calcium if estimates else None,
        borrowed=_with_sums(lent, [key for key, _ in whole if key not in given]),
        given=tuple(given),
        source="; ".join(filter(None, sources)),
    )


def _with_sums(lent: Collection[str], known: Iterable[str]) -> tuple[str, ...]:
    """The keys that are borrowed, and the sums, energy among them, that something borrowed is in, in their order."""
    members = {nutrient.key: nutrient.made_of for nutrient in NUTRIENTS} | {"energy": tuple(KCAL_PER_G)}
    return tuple(key for key in known if key in lent or set(members[key]) & set(lent))


def supplement_analysis(given: Mapping[str, Fraction], of_units: Fraction, step_units: Fraction) -> Analysis:
    """The nutrients in one step of a supplement, from the amounts stated for a number of units."""
    values = {key: amount * step_units / of_units for key, amount in given.items()}
    return Analysis(add_nutrient_sums(values, given), given=tuple(given), source="the scenario")


def find_nutrient(name: str) -> Nutrient | None:
    """The nutrient of that name, whatever its case."""
    return next((nutrient for nutrient in NUTRIENTS if fold_name(nutrient.name) == fold_name(name)), None)


def add_nutrient_sums(values: Mapping[str, Fraction], given: Iterable[str]) -> tuple[tuple[str, Fraction], ...]:
    """The values with energy and the sums whose members are all known, in the order of the nutrients.

    Bone gives no energy. Fibre is no part of the carbohydrate that gives energy; unknown, it is taken for none.
    """
    whole = dict(values)
    for nutrient in NUTRIENTS:
        if nutrient.made_of and nutrient.key not in given and all(key in values for key in nutrient.made_of):
            whole[nutrient.key] = sum((values[key] for key in nutrient.made_of), Fraction(0))
    if "energy" not in given and all(key in values for key in KCAL_PER_G):
        digested = dict(
            values, carbohydrate=max(values["carbohydrate"] - values.get("fibre", Fraction(0)), Fraction(0))
        )
        whole["energy"] = sum((digested[key] * kcal for key, kcal in KCAL_PER_G.items()), Fraction(0))
    return tuple((nutrient.key, whole[nutrient.key]) for nutrient in NUTRIENTS if nutrient.key in whole)


LISTED_ELSEWHERE = "see the names on the ration sheet that `raworder nourish` prints"
"""What to do about the name of a nutrient that is like no other."""

Limits = tuple[NutrientLimit | RatioLimit, ...]

MOST_IN_100_G = 100
"""Grams of anything in 100 g."""

MOST_KCAL = 902
"""Energy of 100 g of pure fat. Source: USDA SR28, lard 902 kcal."""


def dog_limits(form: DogForm, common: AllDogsForm | None, notes: Notes) -> Limits:
    """The limits for all dogs, with the dog's own in place of those for the same nutrient."""
    written: dict[str, tuple[Text, LimitText]] = {}
    for source in (common.nutrients if common else {}, form.nutrients):
        written |= {fold_name(name): (name, text) for name, text in source.items()}
    found = (limit_of(name, text, notes) for name, text in written.values() if not text.off)
    return tuple(limit for limit in found if limit is not None)


def limit_of(name: Text, text: LimitText, notes: Notes) -> NutrientLimit | RatioLimit | None:
    """One limit; None with the reason noted."""
    over, to, under = name.partition(" to ")
    if to:
        return _ratio(name, over, under, text, notes)
    nutrient = _nutrient_key(name, name, notes)
    if nutrient is None:
        return None
    if text.per is None:
        help_ = "add `a day` or `per 1000 kcal`"
        notes.add("limit-without-basis", f"the limit of `{name}` does not say for what it is", name.place, help_)
        return None
    ends = [_amount(nutrient_amount, nutrient, name, notes) for nutrient_amount in (text.low, text.high)]
    low, high = ends
    if (text.low and low is None) or (text.high and high is None) or _is_reversed(low, high, name, notes):
        return None
    return NutrientLimit(nutrient, text.per, low, high)


def own_profiles(forms: Sequence[ProfileForm], published: Iterable[Profile], notes: Notes) -> tuple[Profile, ...]:
    """The profiles of the file; their bounds are per 1000 kcal, or ratios."""
    taken = {fold_name(profile.name) for profile in published}
    made = []
    for form in forms:
        if fold_name(form.name) in taken:
            message = f"there is a profile `{form.name}` already"
            notes.add("repeated-profile", message, form.at("name"), "give it a name of its own")
        taken.add(fold_name(form.name))
        limits = [limit_of(name, text, notes) for name, text in form.bounds.items() if _per_mcal(name, text, notes)]
        bounds = [bound for limit in limits if limit for bound in _bounds(limit)]
        made.append(Profile(str(form.name), tuple(bounds)))
    return tuple(made)


def amounts(written: Mapping[Text, NutrientAmount], notes: Notes, *, of_100_g: bool) -> dict[str, Fraction]:
    """Amounts by nutrient key; unknown nutrients are noted and left out, impossible amounts noted."""
    found: dict[str, Fraction] = {}
    for name, amount in written.items():
        key = _nutrient_key(name, name, notes)
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
            yield Bound(one, is_upper, Trust.GIVEN, "the scenario")


def _ratio(name: Text, over: str, under: str, text: LimitText, notes: Notes) -> RatioLimit | None:
    keys = _nutrient_key(over.strip(), name, notes), _nutrient_key(under.strip(), name, notes)
    numbers = [nutrient_amount for nutrient_amount in (text.low, text.high) if nutrient_amount]
    if any(nutrient_amount.unit for nutrient_amount in numbers) or text.per is not None:
        message = f"`{name}` is a ratio and has neither a unit nor a basis"
        notes.add("unit-of-another-nutrient", message, name.place, "write plain numbers, such as `1.1 to 1.8`")
        return None
    low, high = (nutrient_amount.number if nutrient_amount else None for nutrient_amount in (text.low, text.high))
    if keys[0] is None or keys[1] is None or _is_reversed(low, high, name, notes):
        return None
    times = PER_UNIT[nutrient_of(keys[0]).unit] / PER_UNIT[nutrient_of(keys[1]).unit]
    return RatioLimit(keys[0], keys[1], None if low is None else low / times, None if high is None else high / times)


def _nutrient_key(word: str, name: Text, notes: Notes) -> str | None:
    """The key of the nutrient of that name; an unknown name is noted at its place."""
    found = find_nutrient(word)
    if found is None:
        help_ = SearchedRemedy(lambda: _meant(word), LISTED_ELSEWHERE)
        notes.add("unknown-nutrient", f"no nutrient is called `{word}`", name.place, help_)
    return found.key if found else None


def _meant(word: str) -> str:
    """The nutrient that was probably meant, as its name is written."""
    by_fold = {fold_name(nutrient.name): nutrient.name for nutrient in NUTRIENTS}
    close = did_you_mean(word, by_fold, LISTED_ELSEWHERE)
    return next((close.replace(fold, name) for fold, name in by_fold.items() if f"`{fold}`" in close), close)


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
    """Note amounts that 100 g cannot hold."""
    grams = amount.number if key == "energy" else in_our_unit(amount.number, amount.unit, key) or Fraction(0)
    most = MOST_KCAL if key == "energy" else (in_our_unit(Fraction(MOST_IN_100_G), "g", key) or 0)
    if grams > most:
        notes.add("absurd-analysis", f"100 g cannot hold so much `{name}`", name.place, "check the number and its unit")
