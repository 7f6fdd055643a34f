"""Random rescues of 20 to 150 dogs, few enough offers that each is proved in seconds, and what both models say."""

from pathlib import Path
from random import Random

from raworder.reading.scenario_file import read_scenario_text
from raworder.trade.scenario import Scenario
from tests.speed.rescues import NEEDED, Size, rescue_text

MANY = 200


def random_rescue(seed: int, *, dogs: tuple[int, int] = (20, 150)) -> Scenario:
    """A rescue by its seed: some fed by energy, some from tubs, from one to three suppliers."""
    chance = Random(seed)
    size = Size(chance.randint(*dogs), chance.randint(len(NEEDED), len(NEEDED) + 7), chance.choice((1, 2, 3)))
    text = rescue_text(size, seed=seed, by_energy=chance.random() < 0.5, tubs=chance.random() < 0.2)
    scenario = read_scenario_text(text, Path(f"rescue{seed}.yaml")).scenario
    assert scenario is not None, seed
    return scenario
