"""Nutrients outside what is published for a dog like this one: too little, too much, and what helps."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

from raworder.nourishing.fed_dog import LEAST_BONE, MOST_BONE, NEARLY, FedDog, points_of
from raworder.trade.nutrients import (
    LARGE_GROWTH,
    LEAST_COVERAGE,
    Bound,
    ComparedBound,
    NutrientLimit,
    NutrientLine,
    Standing,
    VetConcern,
    nutrient_of,
)
from raworder.trade.rulebook import PRACTICE
from raworder.trade.units import amount_text, one_decimal, over_text, share_text, short_text

Check = Callable[[FedDog], Iterator[VetConcern]]

MINIMUM, MAXIMUM = "the recommended minimum", "the maximum"

COPPER_TIMES_MINIMUM = 3
"""Warn when copper exceeds this multiple of the recommended minimum, as no profile here has a maximum.

Source: common practice, no source.
"""

BONELESS_SOURCE = (
    "puppies on boneless raw meat: Nowak 2024, Animals 14(12):1783; Dodd 2019, doi 10.1111/jpn.13118; Hutchinson 2012, "
    "JAVMA 241:477 (excerpts seen)"
)
"""What happened to puppies that were fed raw meat without bone."""

FILLED_BY: Mapping[str, str] = MappingProxyType(
    {
        "zinc": "Beef and lamb hold most zinc",
        "iodine": "Sea fish holds iodine; kelp holds so much that its dose must be known",
        "vitamin_d": "Oily fish holds most vitamin D",
        "vitamin_e": "Meat holds little vitamin E: list a supplement",
        "manganese": "Meat holds little manganese: mussels or a supplement bring it",
        "copper": "Liver of cattle and sheep holds most copper",
        "vitamin_a": "Liver holds most vitamin A",
        "thiamin": "Pork and heart hold most thiamin",
    }
)
"""What brings a nutrient that is short, and is missed only after months.

Source: the tables of foods, ANSES CIQUAL for iodine; that harm is slow is our own choice.
"""

FILLED_OTHERWISE: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "copper": ("vitamin_a", "Liver holds most copper, but there is much vitamin A already: list a supplement"),
        "iodine": ("vitamin_d", "Sea fish holds iodine, but there is much vitamin D already: list a supplement"),
    }
)
"""What brings a nutrient where there is too much already of another that its usual food holds."""

USUAL_SOURCES: Mapping[str, str] = MappingProxyType(
    {"vitamin_a": "liver", "vitamin_d": "oils and oily fish", "iodine": "seaweed and sea fish"}
)
"""Where most of a nutrient usually comes from."""


def too_little(key: str) -> Check:
    """A check for less of a nutrient than the profile's minimum."""

    def check(fed: FedDog) -> Iterator[VetConcern]:
        """What there is too little of, if there is."""
        for compared in _missed(fed.found.line(key).beside, Standing.BELOW):
            found = _below(fed, nutrient_of(key).name, compared, slow=True)
            much, otherwise = FILLED_OTHERWISE.get(key, ("", ""))
            is_much = bool(much) and any(too_much(much)(fed))
            yield replace(found, key=f"{_slug(key)}-low", advice=f"{otherwise if is_much else FILLED_BY[key]}.")

    return check


def _below(fed: FedDog, name: str, compared: ComparedBound, *, slow: bool = False) -> VetConcern:
    """A minimum that is missed: the share of it that is fed, and the figures; its key and advice are still to come."""
    bound, share = compared.bound, compared.of_bound
    points = points_of(1 / share if share else None, grows=fed.dog.puppy, trust=bound.trust, slow=slow)
    says = (
        f"{fed.called} gets {short_text(share)} of {MINIMUM} of {name} ({fed.found.profile}): "
        f"{_per_mcal_text(compared)}, at least {_amount_text(bound)}{_recalled_note(bound)}"
    )
    what = f"too little {name}"
    return VetConcern("", says, "", (bound.source,), points, what, share, MINIMUM, slow)


def _missed(beside: Iterable[ComparedBound], standing: Standing) -> Iterator[ComparedBound]:
    """The bounds that are missed that way; how many times a maximum of nothing is passed cannot be said."""
    return (compared for compared in beside if compared.standing is standing and compared.bound.amount)


def too_much(key: str) -> Check:
    """A check for more of a nutrient per 1000 kcal than the maximum of some profile for dogs of that age."""

    def check(fed: FedDog) -> Iterator[VetConcern]:
        """What there is too much of, if there is."""
        per_mcal = fed.found.line(key).per_mcal if fed.energy_is_known else None
        passed = [(name, bound) for name, bound in _profile_maximums(fed, key) if per_mcal and per_mcal > bound.amount]
        if passed and per_mcal:
            nutrient, (_, least) = nutrient_of(key), passed[0]
            limits = ", ".join(f"{name} {_amount_text(bound)}{_recalled_note(bound)}" for name, bound in passed)
            off = per_mcal / least.amount
            says = (
                f"{fed.called} gets {amount_text(per_mcal)} {nutrient.unit} of {nutrient.name} per 1000 kcal"
                f"{_mostly(fed, key)}: {over_text(off)} {MAXIMUM} ({limits})"
            )
            points = max(
                points_of(per_mcal / bound.amount, grows=fed.dog.puppy, trust=bound.trust) for _, bound in passed
            )
            yield VetConcern(
                f"{_slug(key)}-high", says,
                fed.give_less(key, f"It usually comes from {USUAL_SOURCES[key]}: give less of that."),
                _sources(bound for _, bound in passed), points, f"too much {nutrient.name}", off, MAXIMUM,
            )  # fmt: skip

    return check


def copper_excess(fed: FedDog) -> Iterator[VetConcern]:
    """Copper well above the profile's minimum; no profile here has a maximum."""
    line = fed.found.line("copper")
    for compared in line.beside if fed.energy_is_known else ():
        bound = compared.bound
        if not bound.is_upper and compared.of_bound > COPPER_TIMES_MINIMUM:
            says = (
                f"{fed.called} gets {one_decimal(compared.given)} mg of copper per 1000 kcal{_mostly(fed, 'copper')}: "
                f"{one_decimal(compared.of_bound)} times {MINIMUM} of {fed.found.profile}"
            )
            off = compared.of_bound / COPPER_TIMES_MINIMUM
            yield VetConcern(
                "copper-high", says,
                "No profile here has a maximum for it; some dogs store it in the liver. "
                f"{fed.give_less('copper', 'Give less liver.')}",
                (bound.source, f"the threshold: {PRACTICE}"),
                points_of(off, grows=fed.dog.puppy, trust=bound.trust, slow=True),
                "too much copper", compared.of_bound, MINIMUM, slow=True,
            )  # fmt: skip


OFFER_CALCIUM = (
    "Offer cuts with bone, minced bone, or eggshell powder or another calcium supplement with a rule on calcium "
    "(`raworder help nutrients`); `raworder gaps FILE` prices what is listed."
)
"""What helps a grown dog that gets too little calcium."""

CALCIUM_TO_GROW = (
    "Puppies on boneless raw meat were lamed. Feed bone, or calcium in the amount that its veterinarian gives: none is "
    "computed for a growing dog."
)
"""What helps a growing dog that gets too little calcium and hardly any bone."""

CALCIUM_BESIDE_BONE = (
    f"Bone can be up to {share_text(MOST_BONE, 0)} of the food; beyond that give calcium in the amount that a "
    "veterinarian gives: none is computed for a growing dog."
)
"""What helps a growing dog that gets too little calcium though it eats bone."""

LESS_CALCIUM = "Give less bone, and add no calcium."

LEAVE_CALCIUM: Mapping[frozenset[bool], str] = MappingProxyType(
    {
        frozenset({False}): "Take no bone away, and add no calcium on this figure.",
        frozenset({True}): "Add no calcium, and rather give less bone.",
        frozenset({False, True}): "Neither add calcium nor take bone away on this figure.",
    }
)
"""What to do where calcium may be below its minimum (False), above its maximum (True), or either."""


BONE_UNKNOWN = (
    "Offer cuts with bone, minced bone or a calcium supplement, or state what your food holds under `analysis`."
)

OTHER_PROFILE = "Offer cuts with bone, or name a `profile` that asks for calcium."

STATE_CALCIUM = "State what your food holds under `analysis`."


def calcium(fed: FedDog) -> Iterator[VetConcern]:
    """Calcium, or its ratio to phosphorus, outside its bounds; one finding, as what mends the one mends the other."""
    line = fed.found.line("calcium")
    ratio = next((line for line in fed.found.ratios if (line.over, line.under) == ("calcium", "phosphorus")), None)
    ratios = ratio.beside if ratio else ()
    to_phosphorus = f", calcium to phosphorus {amount_text(ratio.ratio)}" if ratio and ratio.ratio is not None else ""
    for standing, judge in ((Standing.BELOW, _little_calcium), (Standing.ABOVE, _much_calcium)):
        amount, beside = next(_missed(line.beside, standing), None), next(_missed(ratios, standing), None)
        if amount is not None:
            yield judge(fed, "calcium", "calcium", amount, f"{to_phosphorus}{_as_bone_differs(line)}")
        elif beside is not None:
            yield judge(fed, "ca-p", "calcium for its phosphorus", beside, "")
        if amount is not None or beside is not None:
            return
    yield from _calcium_in_doubt(fed, line)


def _little_calcium(fed: FedDog, key: str, name: str, compared: ComparedBound, more: str) -> VetConcern:
    found, boneless = _below(fed, name, compared), fed.bone_share < LEAST_BONE
    to_grow = CALCIUM_TO_GROW if boneless else CALCIUM_BESIDE_BONE
    return replace(
        found,
        key=f"{key}-low",
        says=f"{found.says}{more}",
        advice=to_grow if fed.dog.puppy else OFFER_CALCIUM,
        sources=(*found.sources, BONELESS_SOURCE) if fed.dog.puppy and boneless else found.sources,
    )


def _much_calcium(fed: FedDog, key: str, name: str, compared: ComparedBound, more: str) -> VetConcern:
    bound, off = compared.bound, compared.of_bound
    says = (
        f"{fed.called} gets {over_text(off)} {MAXIMUM} of {name} ({_profile_with(fed, bound)}): "
        f"{_per_mcal_text(compared)}, at most {_amount_text(bound)}{_recalled_note(bound)}{more}"
    )
    points = points_of(off, grows=fed.dog.puppy, trust=bound.trust)
    advice = fed.give_less("calcium", LESS_CALCIUM)
    return VetConcern(f"{key}-high", says, advice, (bound.source,), points, f"too much {name}", off, MAXIMUM)


def _profile_with(fed: FedDog, bound: Bound) -> str:
    """The profile that has the bound: the dog's own, or that for dogs that grow large."""
    own = next((profile for profile in fed.scenario.profiles if profile.name == fed.found.profile), None)
    return fed.found.profile if own is None or bound in own.bounds else LARGE_GROWTH


def calcium_not_known(fed: FedDog) -> Iterator[VetConcern]:
    """Hardly any bone, or a growing dog, where nobody can judge the calcium of the food."""
    line, share, profile = fed.found.line("calcium"), fed.bone_share, fed.found.profile
    if {compared.standing for compared in line.beside} - {Standing.UNKNOWN}:
        return
    known = line.coverage >= LEAST_COVERAGE
    not_asked = known and not line.beside
    why = f"{profile} asks for no calcium" if not_asked else "its calcium cannot be judged"
    says = f"{share_text(share) if share else 'None'} of what {fed.eats} is bone, and {why}"
    if share < LEAST_BONE:
        points, advice = points_of(NEARLY, grows=fed.dog.puppy), OTHER_PROFILE if not_asked else BONE_UNKNOWN
        yield VetConcern("bone-low", says, advice, (PRACTICE,), points)
    elif fed.dog.puppy and not known and not fed.dog.other_food.says:
        yield VetConcern("calcium-unsure", says, STATE_CALCIUM, (PRACTICE,), 1)


def _calcium_ends(line: NutrientLine) -> str:
    """The least and the most calcium per 1000 kcal: `0.98 to 2.6 g`; empty where there is no range."""
    if line.least_day == line.most_day or not line.per_mcal or not line.day:
        return ""
    least, most = (amount_text(line.per_mcal * end / line.day / 1000, 2) for end in (line.least_day, line.most_day))
    return f"{least} to {most} g"


def _as_bone_differs(line: NutrientLine) -> str:
    """Between what the calcium may be, where that of bone is known only as a range."""
    ends = _calcium_ends(line)
    return f"; as bone differs, it may be {ends}" if ends else ""


def _calcium_in_doubt(fed: FedDog, line: NutrientLine) -> Iterator[VetConcern]:
    """Calcium that may be outside its bounds, as that of bone is known only as a range."""
    unsure = [compared.bound for compared in line.beside if compared.standing is Standing.UNKNOWN]
    ends = _calcium_ends(line)
    if not unsure or not ends or line.coverage < LEAST_COVERAGE:
        return
    bounds = " and ".join(f"{'at most' if bound.is_upper else 'at least'} {_amount_text(bound)}" for bound in unsure)
    says = (
        f"{fed.called} gets {ends} of calcium per 1000 kcal, as bone differs so much; "
        f"{fed.found.profile} asks for {bounds}"
    )
    # one less than if what is counted were sure; for a growing dog it is no mere note
    off = (compared for compared in line.beside if compared.standing is Standing.UNKNOWN)
    points = max((points_of(_times_off(compared), grows=fed.dog.puppy) for compared in off), default=0) - 1
    points = max(points, int(fed.dog.puppy))
    advice = LEAVE_CALCIUM[frozenset(bound.is_upper for bound in unsure)]
    yield VetConcern("calcium-unsure", says, advice, _sources(unsure), points)


def _times_off(compared: ComparedBound) -> Fraction | None:
    """How many times what is counted is off a bound, less than once where it is not; None where there is nothing."""
    if compared.bound.is_upper:
        return compared.of_bound
    return 1 / compared.of_bound if compared.of_bound else None


def _profile_maximums(fed: FedDog, key: str) -> list[tuple[str, Bound]]:
    """The maximum of a nutrient in each profile for dogs of that age, the lowest first."""
    word = "growth" if fed.dog.puppy else "adult"
    maximums = [
        (profile.name, bound)
        for profile in fed.scenario.profiles
        for bound in profile.bounds
        if word in profile.name
        and bound.is_upper
        and bound.amount
        and isinstance(bound.limit, NutrientLimit)
        and bound.limit.nutrient == key
    ]
    return sorted(maximums, key=lambda pair: (pair[1].amount, pair[0]))


def _mostly(fed: FedDog, key: str) -> str:
    """Where most of a nutrient comes from; empty where there is none of it."""
    source = fed.main_source(key)
    return f", mostly from {source}" if source else ""


def _slug(key: str) -> str:
    return key.replace("_", "-")


def _amount_text(bound: Bound) -> str:
    """The amount of a bound: `3 g`, `1.2`; large amounts in grams, as bounds are published."""
    return _with_unit(bound.amount, bound)


def _per_mcal_text(compared: ComparedBound) -> str:
    """What is fed, as the bound counts it: `0.08 g per 1000 kcal`, `0.6`."""
    per = " per 1000 kcal" if isinstance(compared.bound.limit, NutrientLimit) else ""
    return f"{_with_unit(compared.given, compared.bound)}{per}"


def _with_unit(amount: Fraction, bound: Bound) -> str:
    if not isinstance(bound.limit, NutrientLimit):
        return amount_text(amount)
    unit = nutrient_of(bound.limit.nutrient).unit
    in_grams = unit == "mg" and bound.amount >= 1000
    return f"{amount_text(amount / 1000 if in_grams else amount)} {'g' if in_grams else unit}"


def _sources(bounds: Iterable[Bound]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(bound.source for bound in bounds))


def _recalled_note(bound: Bound) -> str:
    return f" ({bound.trust.says})" if bound.trust.says else ""


OUTSIDE_BOUNDS: tuple[Check, ...] = (
    calcium,
    calcium_not_known,
    *map(too_little, FILLED_BY),
    *map(too_much, USUAL_SOURCES),
    copper_excess,
)
"""Every check of nutrients, in the order in which papers list them."""
