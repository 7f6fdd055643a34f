"""Dogs: each entry of the file, with the fields common to all dogs, becomes a `Dog`."""

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, partial
from math import floor
from typing import TYPE_CHECKING

from raworder.reading.form import AllDogsForm, DogForm, OtherFoodForm, TargetsForm
from raworder.reading.given import Given
from raworder.reading.limits import Limits, amounts, dog_limits
from raworder.reading.located import Text
from raworder.reading.names import did_you_mean, fold_name, join_in_backticks, nearest
from raworder.reading.notes import SearchedRemedy
from raworder.reading.offers import cuts_of_name, note_unknown_cut
from raworder.reading.patterns import FREE, PATTERNS, default_caps, targets
from raworder.reading.rations import (
    LARGEST_DAILY_KCAL,
    Daily,
    DailyEnergy,
    daily_energy,
    daily_ration,
    day_g_of,
    day_kcal,
    days_in_care_g,
    days_of_batch_g,
    densest_kcal_per_g,
    mean_g,
    note_absurd_ration,
    note_weights,
    stated_ration,
)
from raworder.reading.reference import read_needs
from raworder.trade.cuts import Cut, Measure, Subject
from raworder.trade.dogs import (
    LARGE_ADULT_G,
    Cap,
    Care,
    Dog,
    EnergyRation,
    Goal,
    OtherFood,
    Target,
    VetAmount,
    least_resting_kcal,
)
from raworder.trade.nutrients import GROWN_PROFILES, LARGE_GROWTH, Analysis, NutrientLimit, RatioLimit
from raworder.trade.rounding import half_up
from raworder.trade.units import share_text

if TYPE_CHECKING:
    from raworder.trade.findings import Place


def read_caps(written: Mapping[Text, Fraction | None], given: Given) -> dict[Subject, Fraction | None]:
    """The cap of each subject, None where it is switched off; unknown words are noted and left out."""
    subjects = {word: given.words.capped(word) for word in written}
    how_often = Counter(subjects.values())
    for word, subject in subjects.items():
        if subject is not None and how_often[subject] > 1:
            message = f"`{word}` is capped under another name too"
            given.notes.add("two-ways", message, word.place, "keep one of the two")
        elif subject is None and given.words.is_group(word):
            message = f"`{word}` is a group, and a cap is about one thing"
            help_ = "cap `bone`" if fold_name(word) == Measure.WHOLE_BONE else "cap each species of it by itself"
            given.notes.add("unknown-word", message, word.place, help_)
        elif subject is None:
            note_unknown_word(word, given)
    return {subject: written[word] for word, subject in subjects.items() if subject is not None}


def note_unknown_word(word: Text, given: Given) -> None:
    """Note that the word is unknown, unless an error before has already taken it out."""
    if given.was_lost(word):
        return
    if given.toxic(word):
        message = f"`{word}` is toxic to dogs and refused anywhere"
        given.notes.add("needless-word", message, word.place, "take it out")
        return
    otherwise = "name a part, a species, a kind or a cut; `raworder cuts` lists them"
    help_ = SearchedRemedy(lambda: did_you_mean(word, given.words.known(), otherwise), otherwise)
    given.notes.add("unknown-word", f"nothing is called `{word}`", word.place, help_)


def read_vet_amounts(
    form: DogForm, days: int, avoid: Sequence[Subject], cuts: Sequence[Cut], given: Given
) -> tuple[VetAmount, ...] | None:
    """The veterinarian's amounts in grams of each cut over all fed days; None with the reasons noted."""
    if not form.vet_amounts:
        if "vet_amounts" not in form.model_fields_set:
            help_ = "add `vet_amounts: {...}` with what the veterinarian gave; none are computed"
            message = f"`{form.name}` is in care and has no `vet_amounts`"
            given.notes.add("missing-field", message, form.at("care"), help_)
        else:
            given.notes.add(
                "empty-list", "`vet_amounts` has no entry", form.at("vet_amounts"), "write at least one cut"
            )
        return None
    fed = [(_find_fed_cut(name, cuts, given), name, grams) for name, grams in form.vet_amounts.items()]
    for cut, name, _ in fed:
        _note_avoided(cut, name, avoid, given)
    _note_unused_variants([name for _, name, _ in fed], cuts, given)
    if any(cut is None for cut, _, _ in fed):
        return None
    _note_repeated_amounts(fed, given)
    return tuple(VetAmount(cut.name, floor(grams * days)) for cut, _, grams in fed if cut)


def _find_fed_cut(name: Text, cuts: Sequence[Cut], given: Given) -> Cut | None:
    """The only cut of that name, or the only variant of it, that is sold or on hand; None with the reason noted."""
    exact, described = cuts_of_name(name, cuts, given.catalogue)
    candidates = exact or described
    if len(candidates) == 1:
        return candidates[0]
    if candidates:
        message = f"`{name}` is sold in more than one kind"
        help_ = f"say which: {join_in_backticks(cut.name for cut in candidates)}"
        given.notes.add("ambiguous-cut", message, name.place, help_)
    elif given.catalogue.find(name) is None:
        note_unknown_cut(name, name.place, given)
    elif not given.was_lost(name) and not given.lost & {"cuts", "suppliers", "on_hand"}:
        message = f"nobody sells `{name}` and none is on hand"
        given.notes.add("vet-amount-not-sold", message, name.place, "add an offer of it, or what is on hand")
    return None


def _note_unused_variants(names: Sequence[Text], cuts: Sequence[Cut], given: Given) -> None:
    """Note each amount that means the plain cut while described variants of it are offered, which then go unused."""
    used = {fold_name(name) for name in names}
    for name in names:
        exact, described = cuts_of_name(name, cuts, given.catalogue)
        others = [cut.name for cut in described if fold_name(cut.name) not in used]
        if exact and others:
            unused = join_in_backticks(others, "and")
            message = f"`{name}` is taken as the plain cut, so offers of {unused} are not used for it"
            help_ = f"if the veterinarian means that one, name it so: `'{others[0]}': ...`"
            given.notes.add("offer-passed-over", message, name.place, help_)


def _note_avoided(cut: Cut | None, name: Text, avoid: Sequence[Subject], given: Given) -> None:
    if cut is not None and any(subject.touches(cut) for subject in avoid):
        message = f"`{name}` is among what the dog must not eat"
        given.notes.add("vet-amount-avoided", message, name.place, "ask the veterinarian, or take it out of `avoid`")


def _note_repeated_amounts(fed: Sequence[tuple[Cut | None, Text, object]], given: Given) -> None:
    seen: set[str] = set()
    for cut, name, _ in fed:
        if cut is not None and cut.name in seen:
            message = f"`{name}` names a cut that has an amount already"
            given.notes.add("repeated-amount", message, name.place, "write one amount for each cut")
        seen |= {cut.name} if cut else set()


GROWN, SMALL_PUPPY = "AAFCO adult maintenance", "AAFCO growth and reproduction"
"""The profiles that food is compared with where the scenario names none, as a choice of our own."""


@dataclass(frozen=True)  # no slots: the default caps are worked out once and kept
class Kennel:
    """What all dogs share: the common fields, the cuts that can be fed, and what else is read."""

    common: AllDogsForm | None
    cuts: tuple[Cut, ...]
    given: Given

    @cached_property
    def default_caps(self) -> tuple[Cap, ...]:
        """The caps that hold unless the file says otherwise."""
        return default_caps(self.cuts)

    def densest_kcal_per_g(self, rules: "_Rules") -> Fraction:
        """The bound on energy in a gram by these rules; worked out once for all dogs that have them."""
        by = rules.avoid, rules.targets, rules.caps
        if by not in self._densest:
            self._densest[by] = densest_kcal_per_g(rules, self.cuts)
        return self._densest[by]

    @cached_property
    def _densest(self) -> dict[Hashable, Fraction]:
        return {}


@dataclass(frozen=True, slots=True)
class _Rules:
    """The rules for a dog's food; for a dog in care only what it must not eat."""

    avoid: tuple[Subject, ...]
    targets_named: str = ""
    targets: tuple[Target, ...] = ()
    caps: tuple[Cap, ...] = ()
    limits: Limits = ()
    profile: str = ""

    def avoids(self, cut: Cut) -> bool:
        """Whether the dog must not eat the cut, in any form."""
        return any(subject.touches(cut) for subject in self.avoid)


@dataclass(frozen=True, slots=True)
class _Intake:
    """How much a dog eats on each day of the batch and on average, and in words where that comes from."""

    day_g: tuple[int, ...]
    daily_g: Fraction
    says: str
    energy: EnergyRation | None = None
    vet_amounts: tuple[VetAmount, ...] = ()
    treats_kcal: Fraction = Fraction(0)


def read_dogs(forms: Sequence[DogForm], kennel: Kennel) -> tuple[Dog, ...]:
    """The dogs that are fed on at least one day of the batch, in the order of the file."""
    _note_repeated_dogs(forms, kennel.given)
    read = [_read_dog(form, kennel) for form in forms]
    return tuple(dog for dog in read if dog is not None)


def _read_dog(form: DogForm, kennel: Kennel) -> Dog | None:
    """The dog of an entry; None with the reason noted, or where it is away throughout."""
    note_weights(form, kennel.common, kennel.given)
    fed = _fed_days(form, kennel.given)
    facts = _read_in_care(form, fed, kennel) if form.care else _read_healthy(form, fed, kennel)
    if facts is None or not fed:
        return None
    rules, eaten = facts
    if not any(eaten.day_g):
        message = f"what `{form.name}` eats comes to less than a gram"
        kennel.given.notes.add("zero-amount", message, form.at("name"), "check its weight and its ration")
    return _build_dog(form, rules, eaten, len(fed), kennel)


def _resting_kcal(form: DogForm) -> Fraction | None:
    """The least energy a day of a healthy dog; None where the weight is not known that it is reckoned from."""
    if form.care:
        return None
    needs = {row.key: row for row in read_needs()}
    return least_resting_kcal(needs, Goal(form.goal), form.weight, form.ideal_weight)


def _read_other_food(form: DogForm, given: Given) -> OtherFood:
    """What the dog eats beside the plan; nothing, and noted, where its energy is not said, or said twice."""
    other = form.other_food
    if other is None:
        return OtherFood()
    if (other.energy is None) == (other.weight is None):
        message = "other food is its energy a day, or a weight a day of a food with an analysis"
        help_ = "write `other_food: 350 kcal`, `half`, or `{weight: 90 g, analysis: {energy: 380 kcal}}`"
        given.notes.add("two-ways" if other.energy else "missing-field", message, form.key_at("other_food"), help_)
        return OtherFood()
    if other.energy is not None and other.analysis:
        help_ = "take it out, or write the weight in place of the energy"
        given.notes.add("unused-value", "`analysis` counts only beside a weight", other.key_at("analysis"), help_)
    held = amounts(other.analysis, given.notes, of_100_g=True) if other.weight else {}
    if other.weight and "energy" not in held:
        help_ = "add `analysis: {energy: 380 kcal}`, what 100 g of it hold"
        given.notes.add("missing-field", "the energy of the other food is not said", other.at("weight"), help_)
    food = _other_food(other, held)
    if food.kcal > LARGEST_DAILY_KCAL:
        message, place = f"other food comes to {half_up(food.kcal)} kcal a day", form.key_at("other_food")
        given.notes.add("absurd-amount", message, place, "check the numbers and their units")
    return food


def _other_food(form: OtherFoodForm, held: Mapping[str, Fraction]) -> OtherFood:
    """Other food by its energy, or by its weight and what 100 g of it hold."""
    if form.energy is not None:
        return OtherFood(form.energy.kcal, form.energy.half)
    daily_g = form.weight or Fraction(0)
    return OtherFood(held.get("energy", Fraction(0)) * daily_g / 100, False, daily_g, Analysis(tuple(held.items())))


def _build_dog(form: DogForm, rules: _Rules, eaten: _Intake, days: int, kennel: Kennel) -> Dog:
    """The dog from its entry, its rules and what it eats."""
    common = kennel.common
    return Dog(
        name=str(form.name), place=form.at("name"),
        owner=str(form.owner or ""), kennel=str(form.kennel or ""),
        weight_g=half_up(form.weight or Fraction(0)),
        adult_weight_g=half_up(form.adult_weight) if form.adult_weight else None,
        ideal_weight_g=half_up(form.ideal_weight) if form.ideal_weight and form.goal != "keep" else None,
        puppy=form.puppy, care=Care(form.care) if form.care else None,
        activity=form.activity or (common.activity if common else None) or "",
        used_to_fat=form.used_to_fat, goal=Goal(form.goal), other_food=_read_other_food(form, kennel.given),
        treats_kcal=eaten.treats_kcal, treats_g=(form.treats.grams if form.treats else None) or Fraction(0),
        resting_kcal=_resting_kcal(form), resting_share=Fraction(not form.vet_asked_for_less),
        meals=form.meals or (common.meals if common else None) or 1,
        days=days, day_g=eaten.day_g, batch_g=sum(eaten.day_g), daily_g=eaten.daily_g,
        ration_says=eaten.says, energy=eaten.energy, vet_amounts=eaten.vet_amounts,
        avoid=rules.avoid, targets=rules.targets, targets_named=rules.targets_named, caps=rules.caps,
        nutrient_limits=tuple(limit for limit in rules.limits if isinstance(limit, NutrientLimit)),
        ratio_limits=tuple(limit for limit in rules.limits if isinstance(limit, RatioLimit)),
        profile=rules.profile,
    )  # fmt: skip


def _read_healthy(form: DogForm, fed: Sequence[int], kennel: Kennel) -> tuple[_Rules, _Intake] | None:
    """Rules and ration of a healthy dog; None with the reason noted."""
    given, common = kennel.given, kennel.common
    if form.vet_amounts:
        help_ = "add `care: ...`, or give a `ration` instead"
        given.notes.add(
            "amounts-without-care", "`vet_amounts` are for a dog in care", form.key_at("vet_amounts"), help_
        )
        return None
    ranges, caps, avoid = _read_targets(form, common, given), _all_caps(form, kennel), _all_avoided(form, kennel)
    limits = dog_limits(form, common, given.notes)
    ration = stated_ration(form, common)
    by_energy = ration is not None and ration.in_energy
    daily = daily_energy(ration, form, given) if ration and by_energy else daily_ration(form, common, given)
    profile = _profile_name(form, common, given)
    if daily is None or ranges is None:
        return None
    rules = _Rules(avoid, *ranges, caps, limits, profile)
    if isinstance(daily, DailyEnergy):
        return rules, _energy_eaten(daily, rules, fed, kennel)
    return rules, _grams_eaten(daily, fed, given.batch.days)


def _grams_eaten(daily: Daily, fed: Sequence[int], days: int) -> _Intake:
    """What a ration in grams comes to, day by day."""
    return _Intake(days_of_batch_g(daily, fed, days), mean_g(daily, fed, days), daily.says)


def _energy_eaten(daily: DailyEnergy, rules: _Rules, fed: Sequence[int], kennel: Kennel) -> _Intake:
    """What a ration in energy comes to, with the least grams that can hold it within the rules.

    The grams are known only after solving, so pieces must fit the least of them.
    """
    energy = EnergyRation(day_kcal(daily, fed, kennel.given.batch.days))
    day_g = day_g_of(energy, kennel.densest_kcal_per_g(rules))
    return _Intake(
        day_g, Fraction(sum(day_g), len(fed)) if fed else Fraction(0), daily.says, energy, treats_kcal=daily.treats
    )


def _profile_name(form: DogForm, common: AllDogsForm | None, given: Given) -> str:
    """The name of the profile that the dog's food is compared with; empty, and noted, where it is unknown."""
    written = form.profile or (common.profile if common else None)
    if written is None:
        return _usual_profile(form)
    known = {fold_name(profile.name): profile.name for profile in given.profiles}
    if fold_name(written) not in known and "profiles" not in given.lost:
        help_ = SearchedRemedy(partial(_profile_remedy, written, known), f"write {join_in_backticks(known.values())}")
        given.notes.add("unknown-profile", f"no profile is called `{written}`", written.place, help_)
    name = known.get(fold_name(written), "")
    if form.puppy and name in GROWN_PROFILES:
        message = f"`{form.name}` grows, and `{name}` is for grown dogs"
        given.notes.add("grown-dogs-profile", message, form.at("name"), f"give it `profile: {_usual_profile(form)}`")
    return name


def _usual_profile(form: DogForm) -> str:
    """The profile of a dog for which none is named."""
    adult_g = form.adult_weight if form.puppy else None
    is_large = adult_g is not None and adult_g >= LARGE_ADULT_G
    return (LARGE_GROWTH if is_large else SMALL_PUPPY) if form.puppy else GROWN


def _profile_remedy(written: str, known: Mapping[str, str]) -> str:
    """The remedy for an unknown profile."""
    close = nearest(written, known)
    return f"did you mean `{known[close]}`?" if close else f"write {join_in_backticks(known.values())}"


def _read_in_care(form: DogForm, fed: Sequence[int], kennel: Kennel) -> tuple[_Rules, _Intake] | None:
    """Rules and amounts of a dog in care, as its veterinarian gave them: none are computed.

    Of the fields common to all dogs only `avoid` and `meals` count for it.
    """
    _note_own_amounts(form, kennel.given)
    avoid = _all_avoided(form, kennel)
    amounts = read_vet_amounts(form, len(fed), avoid, kennel.cuts, kennel.given)
    daily_g = sum(form.vet_amounts.values(), Fraction(0))
    if amounts is None or note_absurd_ration(daily_g, form.key_at("vet_amounts"), kennel.given, form.weight):
        return None
    day_g = days_in_care_g(amounts, fed, kennel.given.batch.days)
    return _Rules(avoid), _Intake(day_g, daily_g, "as the veterinarian gave it", vet_amounts=amounts)


def _fed_days(form: DogForm, given: Given) -> tuple[int, ...]:
    """The days of the batch, from 0, on which the dog is not away."""
    if not form.away:
        return tuple(range(given.batch.days))
    days = tuple(given.batch.each_day())
    fed = tuple(place for place, day in enumerate(days) if not any(span.holds(day) for span in form.away))
    if "batch" in given.lost:
        return fed or (0,)
    for index, span in enumerate(form.away):
        if not any(span.holds(day) for day in days):
            message = f"`{form.name}` is away outside the batch"
            help_ = f"the batch is {given.batch.starts} to {given.batch.ends}"
            given.notes.add("away-outside-batch", message, form.entry_at("away", index), help_)
    if not fed:
        message = f"`{form.name}` is away for the whole batch and is left out"
        given.notes.add("away-throughout", message, form.at("away"), "take the dog or the days out")
    return fed


def _read_targets(form: DogForm, common: AllDogsForm | None, given: Given) -> tuple[str, tuple[Target, ...]] | None:
    """The name of the targets and a range for every part; None with the reason noted."""
    entry = form.targets or (common.targets if common else None)
    if entry is None:
        if "all_dogs" not in given.lost:
            help_ = "add `targets: prey model`, `targets: BARF` or own ranges"
            given.notes.add("missing-field", f"`{form.name}` has no `targets`", form.at("name"), help_)
        return None
    own = entry.ranges()
    if entry.pattern and not own:
        return entry.pattern, given.memory.once(
            ("targets", entry.pattern), lambda: targets(PATTERNS[entry.pattern or ""])
        )
    start = PATTERNS[entry.pattern] if entry.pattern else FREE
    ranges = targets({**start, **{part: (range_.low, range_.high) for part, range_ in own.items()}})
    if not _can_add_up(entry, ranges, given):
        return None
    return "own", ranges


def _can_add_up(form: TargetsForm, ranges: tuple[Target, ...], given: Given) -> bool:
    upside_down = [target for target in ranges if target.low > target.high]
    for target in upside_down:
        message = f"the range of {target.part} ends below where it begins"
        given.notes.add("range-reversed", message, form.at(target.part), "write the lower share first")
    low, high = (
        sum((target.low for target in ranges), Fraction(0)),
        sum((target.high for target in ranges), Fraction(0)),
    )
    if not upside_down and not low <= 1 <= high:
        bound = f"at least {share_text(low)}" if low > 1 else f"at most {share_text(high)}"
        message = f"the targets add up to {bound}"
        given.notes.add("targets-not-whole", message, form.place, "widen a range so that 100 % can be reached")
    return not upside_down and low <= 1 <= high


def _all_caps(form: DogForm, kennel: Kennel) -> tuple[Cap, ...]:
    """The default caps, those of all dogs and the dog's own; of two on the same subject the later counts."""
    caps: dict[Subject, Cap | None] = {cap.subject: cap for cap in kennel.default_caps}
    for written in (kennel.common.caps if kennel.common else {}, form.caps):
        shares = read_caps(written, kennel.given)
        caps |= {subject: None if share is None else Cap(subject, share) for subject, share in shares.items()}
    return tuple(cap for cap in caps.values() if cap is not None)


def _all_avoided(form: DogForm, kennel: Kennel) -> tuple[Subject, ...]:
    """What all dogs must not eat, then what this one must not."""
    subjects: dict[Subject, None] = {}
    for word in (*(kennel.common.avoid if kennel.common else ()), *form.avoid):
        avoided = kennel.given.words.avoided(word)
        subjects |= dict.fromkeys(avoided)
        if not avoided:
            note_unknown_word(word, kennel.given)
    return tuple(subjects)


def _note_own_amounts(form: DogForm, given: Given) -> None:
    for field in (
        "ration",
        "ration_by_end",
        "weight_by_end",
        "targets",
        "caps",
        "treats",
        "other_food",
        "vet_asked_for_less",
        "vet_asked_for_no_bone",
        "goal",
        "nutrients",
        "profile",
    ):
        if form.says(field):
            message = f"`{field}` is not read for a dog in care"
            help_ = "take it out; `vet_amounts` says what the dog gets"
            given.notes.add("care-with-own-amounts", message, form.key_at(field), help_)


def _note_repeated_dogs(forms: Sequence[DogForm], given: Given) -> None:
    first: dict[str, Place] = {}
    for form in forms:
        place = first.setdefault(fold_name(form.name), form.at("name"))
        if place != form.at("name"):
            where = f"first named at {place.line}:{place.column}"
            given.notes.add(
                "repeated-dog", f"two dogs are called `{form.name}`", form.at("name"), "tell them apart", where
            )
