"""What a dog's food may do: a number, its limit and the limit's source each time, and never a diagnosis."""

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType

from raworder.nourishing.fed_dog import MOST_BONE, NEARLY, FedDog, points_of
from raworder.nourishing.outside_bounds import OUTSIDE_BOUNDS, Check
from raworder.trade.dogs import Goal
from raworder.trade.nutrients import Standing, VetConcern, worst_first
from raworder.trade.rounding import half_up
from raworder.trade.rulebook import PRACTICE
from raworder.trade.units import share_text

WEIGHT_SHARE_ADVICE = (
    "A flat share of weight leaves small dogs short and giants over: write kcal instead, and weigh every week."
)
ENERGY_ADVICE = "Needs differ widely from dog to dog: weigh every week."
"""The advice where the ration was given in energy, not as a share of body weight."""

GOAL_MISSED: Mapping[tuple[Goal, Standing], str] = MappingProxyType(
    {
        (Goal.LOSE, Standing.ABOVE): ": on that it is not likely to lose weight",
        (Goal.LOSE, Standing.BELOW): ": it may lose weight too fast",
        (Goal.GAIN, Standing.BELOW): ": on that it is not likely to gain weight",
    }
)
"""What energy outside the range means for a dog whose weight is to change."""

WEIGHING_ADVICE = "Nobody can say whether that is enough: weigh the dog every week."

LESS_BONE = "Give less bone: a lower `bone` under `targets`."

FAT_JUMP = Fraction(3, 2)
"""Warn when fat exceeds this multiple of what the dog is used to. Source: common practice, no source."""

HALF_OF_THE_FOOD = Fraction(50, 100)
"""From this share on such a cut counts in full. Source: our own choice."""

MUCH_OF_A_FOOD = Fraction(5, 100)
"""Warn when more of the food than this is a cut that a caution calls a danger in quantity. Source: our own choice."""


def vet_concerns(fed: FedDog) -> tuple[VetConcern, ...]:
    """All that the food may do, the worst first."""
    found = (concern for check in CHECKS for concern in check(fed))
    return tuple(sorted(found, key=lambda concern: worst_first(concern.points, slow=concern.slow)))


def _energy_outside_range(fed: FedDog) -> Iterator[VetConcern]:
    """Energy outside the published range, with advice by how the ration was given."""
    line, dog = fed.found.energy, fed.dog
    if line is None or line.standing not in {Standing.BELOW, Standing.ABOVE}:
        return
    is_below = line.standing is Standing.BELOW
    day = line.day if line.is_known or not is_below else line.most_day
    unsure = "" if line.is_known else "at most " if is_below else "at least "
    other = f" with {half_up(line.other)} kcal of other food" if line.other else ""
    by_weight = "" if dog.energy or other else f", {dog.share_of_weight}"
    says = (
        f"{fed.called} gets {unsure}{half_up(day)} kcal a day{other}{by_weight}, {line.standing} the "
        f"{half_up(line.low)} to {half_up(line.high)} kcal published for {line.applies}"
        f"{GOAL_MISSED.get((dog.goal, line.standing), '')}"
    )
    of_bound = day / (line.low if is_below else line.high)
    off = of_bound if not is_below else 1 / of_bound if of_bound else None
    yield VetConcern(
        f"energy-{'low' if is_below else 'high'}", says,
        WEIGHT_SHARE_ADVICE if by_weight else ENERGY_ADVICE, line.sources,
        points_of(off, grows=dog.puppy, trust=line.trust), f"too {'little' if is_below else 'much'} energy", of_bound,
        f"the {'least' if is_below else 'most'} published",
    )  # fmt: skip


def _energy_unknown(fed: FedDog) -> Iterator[VetConcern]:
    """Too little known of the energy to say whether it is enough."""
    line = fed.found.energy
    if line is not None and line.standing is Standing.UNKNOWN:
        unknown = ", ".join(name for name, cut in fed.cuts.items() if fed.portions.get(name) and cut.kcal_per_g is None)
        known = share_text(line.coverage, 0) if line.coverage else "none"
        least = f": at least {half_up(line.day)} kcal a day" if line.day else ""
        whose = "this plan's food" if line.other else "its food"
        says = (
            f"{fed.dog.name}'s energy is known of {known} of {whose}, not of {unknown}{least}, beside "
            f"{half_up(line.low)} to {half_up(line.high)} kcal published for {line.applies}"
        )
        yield VetConcern("energy-unknown", says, WEIGHING_ADVICE, line.sources, 1)


def _much_bone(fed: FedDog) -> Iterator[VetConcern]:
    """More bone than is usual, whatever range is set; or perhaps more, where the table doubts its shares of bone."""
    share = fed.bone_share
    most = fed.share(lambda cut: fed.cuts[cut].bone_ends[1])
    if most <= MOST_BONE:
        return
    usual = f"above {share_text(MOST_BONE, 0)}, can block a gut"
    says = f"{share_text(share)} of what {fed.eats} is bone: much bone, {usual}"
    points = points_of(max(share / MOST_BONE, NEARLY), grows=fed.dog.puppy)
    if share <= MOST_BONE:
        says = f"{share_text(share)} of what {fed.eats} is bone, or up to {share_text(most)}, as shares of bone differ"
        says, points = f"{says}; much bone, {usual}", int(fed.dog.puppy)
    yield VetConcern("bone-high", says, LESS_BONE, (PRACTICE,), points)


def _fat_jump(fed: FedDog) -> Iterator[VetConcern]:
    """Much more fat than the dog is used to."""
    used = fed.dog.used_to_fat
    share = fed.share(lambda cut: fed.cuts[cut].fat_share)
    if used is not None and share > used * FAT_JUMP:
        says = f"{share_text(share)} of what {fed.eats} is fat, and it is used to {share_text(used)}"
        advice = "A jump of more than half can upset a stomach or worse: change over slowly."
        off = share / (used * FAT_JUMP) if used else None
        points = points_of(None if off is None else max(off, NEARLY), grows=fed.dog.puppy)
        yield VetConcern("fat-jump", says, advice, (PRACTICE,), points)


def _much_of(key: str, caution_key: str, advice: str, *, slow: bool) -> Check:
    """A check for cuts with this caution that are more than `MUCH_OF_A_FOOD`."""

    def check(fed: FedDog) -> Iterator[VetConcern]:
        """What the cuts with that caution may do, if the dog gets enough of them."""
        cuts = fed.warned_of(caution_key)
        share = fed.share(lambda cut: Fraction(cut in cuts))
        caution = next((caution for caution in fed.scenario.cautions if caution.key == caution_key), None)
        if caution is not None and share > MUCH_OF_A_FOOD:
            says = f"{share_text(share)} of what {fed.eats} is {', '.join(cuts)}, above {share_text(MUCH_OF_A_FOOD, 0)}"
            # one less below half of the food, as the limit is our own choice; what harms quickly is no mere note
            points = points_of(max(share / MUCH_OF_A_FOOD, NEARLY), grows=fed.dog.puppy, slow=slow)
            points -= share < HALF_OF_THE_FOOD
            points = points if slow else max(points, 1)
            yield VetConcern(key, says, advice, (caution.source,), points, slow=slow)

    return check


CHECKS: tuple[Callable[[FedDog], Iterator[VetConcern]], ...] = (
    _energy_outside_range,
    _energy_unknown,
    *OUTSIDE_BOUNDS,
    _much_bone,
    _fat_jump,
    _much_of("thiamin-destroyed", "thiaminase-fish", "It destroys thiamine: no staple. Feed other fish.", slow=False),
    _much_of("raw-egg", "raw-egg", "Raw egg white binds biotin: an egg now and then is enough.", slow=True),
    _much_of("brassica", "brassica", "The cabbage family can slow the thyroid: keep the amount small.", slow=True),
)
"""Every check, in the order in which papers list them."""
