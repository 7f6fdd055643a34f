"""How reading and building grow with dogs and offers: run `python -m tests.speed.growth` in the project's folder.

It is run on demand and is no test. Told are the seconds of the processor that each took, and what ten times as much
takes times as much: near 10 where it grows as the scenario does, near 100 where something goes through all for each.
Half of the dogs need what no other does, so that they are not all fed alike.

    python -m tests.speed.growth
"""

import json
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from time import process_time
from typing import TypeVar

from raworder.reading.scenario_file import read_scenario_text
from raworder.solving.search import build
from tests.speed.awkward import CUTS, DOGS, HEAD, offers

Thing = TypeVar("Thing")

MANY_DOGS, MANY_OFFERS = (100, 1_000, 10_000), (100, 1_000, 10_000)


def with_dogs(many: int) -> str:
    """A scenario of so many dogs and a handful of offers."""
    rations = (f"{2 + place % 900 / 1000:.3f}" if place % 2 else "2.5" for place in range(many))
    lines = (
        f"  - {{name: Dog {place}, weight: {10 + place % 30} kg, ration: {ration} %, targets: prey model}}\n"
        for place, ration in enumerate(rations)
    )
    return f"{HEAD}dogs:\n{''.join(lines)}{CUTS}"


def with_offers(many: int) -> str:
    """A scenario of one dog and so many offers."""
    return f"{HEAD}{DOGS}cuts:\n{''.join(offers(many))}"


def spent(work: Callable[[], Thing]) -> tuple[Thing, float]:
    """What the work gives, and the seconds of the processor that it took."""
    began = process_time()
    thing = work()
    return thing, process_time() - began


def grown(text_of: Callable[[int], str], sizes: tuple[int, ...]) -> dict[str, object]:
    """Seconds of reading and of building at each size, and each beside the size before."""
    reading_s, building_s = [], []
    for many in sizes:
        text = text_of(many)
        reading, seconds = spent(lambda text=text: read_scenario_text(text, Path("grown.yaml")))  # type: ignore[misc] # the text of this round
        scenario = reading.scenario
        assert scenario is not None
        reading_s.append(seconds)
        building_s.append(spent(lambda one=scenario: build(one, whole=not one.solved_by_groups))[1])  # type: ignore[misc] # the scenario of this round
    return {
        name: {"s": [round(one, 2) for one in seconds], "times": _ratios(seconds)}
        for name, seconds in (("reading", reading_s), ("building", building_s))
    }


def _ratios(seconds: list[float]) -> list[float]:
    return [round(after / before, 1) for before, after in pairwise(seconds)]


def main() -> None:
    """Measure and print."""
    read_scenario_text(with_dogs(2), Path("warm.yaml"))  # what is imported late is imported now
    said = {"dogs": MANY_DOGS, "with_dogs": grown(with_dogs, MANY_DOGS)}
    said |= {"offers": MANY_OFFERS, "with_offers": grown(with_offers, MANY_OFFERS)}
    sys.stdout.write(json.dumps(said, indent=2) + "\n")


if __name__ == "__main__":
    main()
