"""The questions of `start` about one dog, and the ration that is proposed for it from the published needs."""

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor
from pathlib import Path
from typing import TYPE_CHECKING

from raworder.commands.interview import PATTERN, Dialogue, Question, check_draft, new_name

if TYPE_CHECKING:
    from raworder.nourishing.needs import Body, Proposal
    from raworder.reading.answers import KnownNames
    from raworder.reading.quantities import Ration
    from raworder.trade.draft import DogDraft, Draft


ACTIVITY = Question(
    "Activity a day: low (under 1 h, on a lead), moderate (1 to 3 h, calm), active (1 to 3 h, fast), working (3 h up)",
    "low",
)
GROWTH_OR_GOAL = Question("Is it growing, or to lose or gain weight? growing, lose, gain or no", "no")
OTHER_FOOD = Question("Food a day beside this plan, such as 350 kcal, half or 90 g at 380 kcal (Enter: none)", "")


@dataclass(frozen=True, slots=True)
class DogInterview:
    """Asks about a dog until the reader accepts a scenario with it; `path` is where the scenario is saved."""

    known: "KnownNames"
    path: Path

    def __call__(self, talk: Dialogue, draft: "Draft") -> "DogDraft":
        """The next dog of the draft."""
        from raworder.reading.answers import care, weight
        from raworder.trade.draft import DogDraft

        name = talk.ask(Question("Name"), lambda text: new_name(text, [dog.name for dog in draft.dogs]))
        example = "22 kg" if draft.units == "kg" else "48 lb"
        dog = DogDraft(name, talk.ask(Question(f"Weight, such as {example}"), weight))
        illness = talk.ask(Question("Is it ill, pregnant, nursing or on a prescription diet?", "no"), care)
        if illness:
            talk.say(f"The veterinarian gives the amounts for {name}; the file keeps a place for them.\n")
            dog = replace(dog, care=illness)
        else:
            dog = self._ask_ration(talk, draft, self._ask_need(talk, draft, dog))
        avoid = Question("What it must not eat, such as chicken, whole bone (Enter: nothing)", "")
        return replace(dog, avoid=talk.ask(avoid, self.known.avoided))

    def _ask_need(self, talk: Dialogue, draft: "Draft", dog: "DogDraft") -> "DogDraft":
        """The dog with what its published need depends on, and what it eats beside the plan."""
        from raworder.reading.answers import GROWING, activity, growth_or_goal, read_other_food

        change = talk.ask(GROWTH_OR_GOAL, growth_or_goal)
        if change == GROWING:
            grown = Question("What it will weigh when grown; a guess will do")
            dog = talk.ask(grown, lambda text: with_adult_weight(dog, text))
        elif change:
            ideal = Question("What it should weigh")
            dog = talk.ask(ideal, lambda text: self._with_ideal_weight(draft, replace(dog, goal=change), text))
        if change not in {GROWING, "lose"}:  # their published needs are for any activity
            dog = replace(dog, activity=talk.ask(ACTIVITY, activity))
        return talk.ask(OTHER_FOOD, lambda text: refuse_without_need(replace(dog, other_food=read_other_food(text))))

    def _with_ideal_weight(self, draft: "Draft", dog: "DogDraft", text: str) -> "DogDraft":
        """The dog with a weight to reach; UnitError where that is on the wrong side of what it weighs."""
        from raworder.reading.answers import weight

        dog = replace(dog, ideal_weight=weight(text))
        self._check(draft, replace(dog, ration="2 %", pattern=PATTERN))  # any ration: none is known yet
        return dog

    def _ask_ration(self, talk: Dialogue, draft: "Draft", dog: "DogDraft") -> "DogDraft":
        """The dog with its pattern and ration, which is proposed; Enter takes the proposal."""
        from raworder.reading.answers import RATION, check_answer, pattern

        dog = replace(dog, pattern=talk.ask(Question("Pattern, prey model or BARF", PATTERN), pattern))
        proposed = with_proposed_ration(dog)
        talk.say(describe_proposal(proposed, draft.units))

        def with_ration(text: str) -> "DogDraft":
            """The dog with that ration, once the reader accepts it."""
            said = check_answer(text, RATION)
            accepted = proposed if said == proposed.ration else replace(dog, ration=said)
            refuse_below_rest(self._check(draft, accepted))
            return accepted

        question = Question(
            "Food a day in kcal (or in grams, or percent of its weight, such as 2.5 %)", proposed.ration
        )
        return talk.ask(question, with_ration)

    def _check(self, draft: "Draft", dog: "DogDraft") -> "DogDraft":
        """The dog, once the reader accepts a scenario with it."""
        check_draft(replace(draft, dogs=(*draft.dogs, dog)), self.path)
        return dog


def with_adult_weight(dog: "DogDraft", text: str) -> "DogDraft":
    """The puppy with what it will weigh when grown; UnitError where that is less than it weighs."""
    from raworder.reading.answers import weight

    puppy = replace(dog, puppy=True, adult_weight=weight(text))
    _refuse_outgrown(puppy)
    return puppy


def _refuse_outgrown(dog: "DogDraft") -> None:
    from raworder.trade.units import UnitError, read_grams

    if dog.puppy and dog.adult_weight and read_grams(dog.adult_weight) < read_grams(dog.weight):
        raise UnitError(f"`{dog.name}` weighs more than that already", "write what it will weigh when grown")


def with_proposed_ration(dog: "DogDraft") -> "DogDraft":
    """The dog with the ration that is proposed for it, and where that comes from; UnitError where none can be."""
    _refuse_outgrown(dog)
    proposal = _propose(refuse_without_need(dog))
    of_all = f", less {dog.other_food} of other food" if dog.other_food else ""
    return replace(dog, ration=f"{proposal.kcal} kcal", ration_from=f"{proposal.need.least_from}{of_all}")


def refuse_without_need(dog: "DogDraft") -> "DogDraft":
    """The dog; UnitError where its other food covers all that it needs, or leaves less than a gram of fat."""
    from raworder.nourishing.needs import STEP_KCAL
    from raworder.trade.units import UnitError

    if _propose(dog).kcal <= STEP_KCAL:
        message = f"`{dog.other_food}` of other food is already all that is published for `{dog.name}`"
        raise UnitError(message, "write less of it, or leave this dog out of the plan")
    return dog


def _propose(dog: "DogDraft") -> "Proposal":
    """The ration proposed for a healthy dog."""
    from raworder.nourishing.needs import propose_ration
    from raworder.reading.answers import other_food
    from raworder.reading.reference import read_needs

    proposal = propose_ration(_body(dog), other_food(dog.other_food), {row.key: row for row in read_needs()})
    if proposal is None:
        raise AssertionError(f"a weight is given for {dog.name}, so a need is published")
    return proposal


def _body(dog: "DogDraft") -> "Body":
    """What the published need of a dog depends on."""
    from raworder.nourishing.needs import Body
    from raworder.trade.dogs import Goal
    from raworder.trade.rounding import half_up
    from raworder.trade.units import read_grams

    weights = (dog.weight, dog.ideal_weight, dog.adult_weight)
    weight_g, ideal_g, adult_g = (half_up(read_grams(weight)) if weight else None for weight in weights)
    goal = Goal(dog.goal) if dog.goal else Goal.KEEP
    return Body(weight_g or 0, goal, ideal_g, dog.puppy, adult_g if dog.puppy else None, dog.activity)


def describe_proposal(dog: "DogDraft", units: str) -> str:
    """Where the proposed ration of a dog comes from, and what it is in grams and percent on typical food."""
    from raworder.trade.rounding import half_up
    from raworder.trade.units import grams_text

    least_g, most_g = _propose(dog).typical_g(dog.pattern)
    counted_g = _body(dog).counted_g
    weight = "ideal weight" if dog.ideal_weight else "weight"
    tenths = [half_up(Fraction(1000 * grams, counted_g)) for grams in (least_g, most_g)]
    # a third: measured needs spread by 55 around 143 kcal x kg^0.75 (Bermingham 2014, abstract seen)
    percents = " to ".join(f"{tenth // 10}.{tenth % 10}" for tenth in tenths)
    return (
        f"Proposed for {dog.name}: {dog.ration} a day\n  {dog.ration_from}\n"
        f"  on typical food {grams_text(least_g, units)} to {grams_text(most_g, units)}, {percents} % of its {weight}\n"
        "A dog may need a third more or less: weigh it every two weeks and adjust.\n"
    )


def refuse_below_rest(dog: "DogDraft") -> None:
    """UnitError where the ration, however rich the food, is less than the dog needs at rest."""
    from raworder.nourishing.needs import least_due_kcal
    from raworder.reading.answers import other_food
    from raworder.reading.quantities import read_ration
    from raworder.reading.reference import read_needs
    from raworder.trade.units import UnitError

    body = _body(dog)
    least = least_due_kcal(body, other_food(dog.other_food), {row.key: row for row in read_needs()})
    ration = read_ration(dog.ration)
    most = _most_kcal(ration, body)
    if most < least:
        known = f"`{dog.ration}` is" if ration.in_energy else f"`{dog.ration}` is at most {floor(most)} kcal a day,"
        need = "must get at least to lose weight safely" if dog.goal == "lose" else "needs at rest"
        message = f"{known} less than {dog.name} {need}, {ceil(least)} kcal"
        proposal = with_proposed_ration(dog).ration
        raise UnitError(message, f"write `{proposal}`; for less, ask a veterinarian, and see `vet_asked_for_less`")


def _most_kcal(ration: "Ration", body: "Body") -> Fraction:
    """The energy a day of a ration: exact where it is in energy, else that of food as rich as the usual caps allow."""
    from raworder.nourishing.needs import MOST_KCAL_PER_G
    from raworder.trade.units import metabolic_kg

    if ration.kcal is not None:
        return ration.kcal
    if ration.kcal_per_metabolic_kg is not None:
        return ration.kcal_per_metabolic_kg * metabolic_kg(Fraction(body.counted_g))
    weight_g = body.adult_weight_g if ration.of_adult_weight and body.adult_weight_g else body.counted_g
    return MOST_KCAL_PER_G * (ration.grams or (ration.share or Fraction(0)) * weight_g)
