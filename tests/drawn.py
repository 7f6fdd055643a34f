"""Random comparisons: few in every run, drawn anew whenever the sources change, and as many as you like on demand.

A run tells its seed; `--seed` draws the same again. `python -m tests.long` draws many.
"""

from collections.abc import Callable, Iterable, Sequence
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any

import hypothesis
import pytest

ROOT = Path(__file__).resolve().parents[1]
SEEDS = 10**6


class Draw:
    """From which seed a run draws, and how many times as much as usual; set before tests are collected."""

    seed: int = 0
    times: int = 1


def seed_of_sources() -> int:
    """A seed that is the same for the same sources, on every machine."""
    digest = sha256()
    for path in sorted((ROOT / "raworder").rglob("*.py")):
        digest.update(path.read_bytes())
    return int.from_bytes(digest.digest()[:8]) % SEEDS


def drawn(blocks: int = 1) -> Callable[[Any], Any]:
    """Marks a test that compares at random, `block` by `block`."""

    def mark(test: Any) -> Any:
        return pytest.mark.long(pytest.mark.parametrize("block", range(blocks * Draw.times))(test))

    return mark


def seeds(block: int, each: int) -> range:
    """The seeds of a block."""
    return range(Draw.seed + block * each, Draw.seed + (block + 1) * each)


def few(name: str, cases: Sequence[Any], some: int) -> Callable[[Any], Any]:
    """Marks a test that is run on some of the cases, others for other sources; on demand on all of them."""
    chosen = sorted(Random(Draw.seed).sample(range(len(cases)), some))
    tried = cases if Draw.times > 1 else [cases[place] for place in chosen]

    def mark(test: Any) -> Any:
        return pytest.mark.long(pytest.mark.parametrize(name, tried)(test))

    return mark


def some(cases: Iterable[Any], count: int) -> list[Any]:
    """So many of the cases, others for other sources; on demand all of them."""
    every = list(cases)
    return every if Draw.times > 1 or len(every) <= count else Random(Draw.seed).sample(every, count)


def examples(most: int) -> Callable[[Any], Any]:
    """So many examples that Hypothesis invents, however long each takes."""
    slow = [
        hypothesis.HealthCheck.too_slow,
        hypothesis.HealthCheck.filter_too_much,
        hypothesis.HealthCheck.data_too_large,
    ]
    settings = hypothesis.settings(
        max_examples=most * Draw.times, deadline=None, suppress_health_check=slow, database=None, derandomize=False
    )

    def mark(test: Any) -> Any:
        return pytest.mark.long(hypothesis.seed(Draw.seed)(settings(test)))

    return mark
