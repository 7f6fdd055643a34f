"""Random small dogs with portions that keep to their ranges over the batch. All of it is invented."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random
from typing import Any

from raworder.portioning.bag_needs import Need, ingredient
from raworder.solving.solver import BagSolver
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Cap, Dog, Target
from raworder.trade.scenario import slots_of
from tests import builders as b

RIB = b.a_cut(
    "lamb rib", species="lamb", kind="rib", parts={Part.MUSCLE: "7/10", Part.BONE: "3/10"}, fat="1/5", piece_g=85
)
SPLEEN = b.a_cut("pork spleen", species="pork", kind="spleen", parts={Part.OTHER_ORGAN: 1}, fat="3/100")
WEIGHED = (b.HEART, b.LIVER, b.KIDNEY, SPLEEN)
WHOLE = (b.NECK, RIB)


@dataclass
class Counting:
    """A solver of bags that counts how often it is asked."""

    solve: BagSolver
    asked: int = 0

    def __call__(self, *asking: Any) -> bool:
        """As the solver says."""
        self.asked += 1
        return self.solve(*asking)

    def least(self, *asking: Any) -> Any:
        """As the solver says."""
        self.asked += 1
        return self.solve.least(*asking)

    def is_late(self) -> bool:
        """As the solver says."""
        return self.solve.is_late()


def a_need(
    dog: Dog, portions_g: Mapping[Cut, int], portioning: Portioning | None = None, *, shared_pieces: bool = False
) -> Need:
    """What a dog's bags must hold; the cut of which there is most tops them up."""
    how = portioning or Portioning()
    weighed = [cut for cut in portions_g if how.whole_piece_g(cut) is None]
    top_up = max(weighed, key=lambda cut: (portions_g[cut], cut.name))
    others = [ingredient(cut, portions_g[cut], dog, how) for cut in sorted(portions_g, key=lambda cut: cut.name)]
    scenario = b.a_scenario(days=len(dog.day_g), dogs=[dog], cuts=portions_g, portioning=how)
    return Need(
        dog,
        how,
        slots_of(dog, scenario),
        tuple(one for one in others if one.name != top_up.name),
        ingredient(top_up, portions_g[top_up], dog, how),
        shared_pieces,
    )


def random_dog(random: Random) -> tuple[Dog, dict[Cut, int], Portioning]:
    """A dog of one to three meals, now and then away, growing, or here for a few days; and what it is to eat."""
    days = random.choice((1, 3, 5, 7, 9, 14, 14, 21))
    day_g = [random.randint(12, 90) * 10] * days
    if random.random() < 0.3:
        day_g = [grams + random.choice((3, 7, 10)) * day for day, grams in enumerate(day_g)]
    if random.random() < 0.3:
        day_g = [0 if random.random() < 0.3 else grams for grams in day_g]
        day_g[random.randrange(days)] = 400
    dog = b.a_dog(batch_g=sum(day_g), days=days, day_g=day_g, meals=random.choice((1, 1, 2, 3)))
    portioning = Portioning(
        scale_step_g=random.choice((1, 2, 5, 10)), week_allowance=Fraction(random.randint(2, 8), 400)
    )
    portions_g = _portions_g(random, dog.batch_g)
    return _ruled(random, dog, portions_g), portions_g, portioning


def _portions_g(random: Random, batch_g: int) -> dict[Cut, int]:
    """Bone to an eighth, a few per cent of each weighed cut, and trim."""
    portions_g: dict[Cut, int] = {}
    for cut in random.sample(WHOLE, random.choice((0, 1, 1, 2))):
        most_g = batch_g * Fraction(12, 100) / cut.part_share(Part.BONE) / 2
        pieces = int(most_g * random.randint(60, 100) // 100 // (cut.piece_g or 1))
        if pieces:
            portions_g[cut] = pieces * (cut.piece_g or 1)
    for cut in random.sample(WEIGHED, random.randint(0, 3)):
        grams = batch_g * random.randint(20, 80) // 1000
        if grams >= Portioning().least_portion_g:
            portions_g[cut] = grams
    return portions_g | {b.TRIM: batch_g - sum(portions_g.values())}


def _ruled(random: Random, dog: Dog, portions_g: Mapping[Cut, int]) -> Dog:
    """The dog with ranges and a cap around what it gets."""
    targets = []
    for part in (Part.BONE, Part.LIVER, Part.OTHER_ORGAN):
        share = sum((cut.part_share(part) * grams for cut, grams in portions_g.items()), Fraction(0)) / dog.batch_g
        slack = Fraction(random.randint(2, 20), 1000)
        if share and random.random() < 0.8:
            targets.append(Target(part, max(share - slack, Fraction(0)), share + slack))
    heart = Fraction(portions_g.get(b.HEART, 0), dog.batch_g)
    caps = (Cap(b.a_subject(b.Measure.KIND, "heart"), heart + Fraction(1, 100)),) if heart else ()
    return replace(dog, targets=tuple(targets), caps=caps)
