"""Scenarios written to a folder and read; every name, price and amount in these tests is invented."""

from collections.abc import Mapping
from pathlib import Path

from raworder.reading.scenario_file import Reading, read_scenario
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog
from raworder.trade.scenario import Offer, Scenario

DOG = "{name: Maple, weight: 20 kg, ration: 2.5 %, targets: prey model}"
KALE = "{cut: kale, price: 3.00 per kg}"


def a_text(
    dogs: str = f"  - {DOG}", cuts: str = f"  - {KALE}", more: str = "", batch: str = "{starts: 2027-02-06}"
) -> str:
    """A scenario's text, sound unless an argument makes it otherwise."""
    return f"currency: EUR\nbatch: {batch}\ndogs:\n{dogs}\ncuts:\n{cuts}\n{more}"


def reading_of(folder: Path, text: str, lists: Mapping[str, str | bytes] | None = None) -> Reading:
    """The text, with price lists beside it, read."""
    for name, content in (lists or {}).items():
        (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode())
    path = folder / "scenario.yaml"
    path.write_bytes(text.encode())
    return read_scenario(path)


def scenario_of(folder: Path, text: str, lists: Mapping[str, str | bytes] | None = None) -> Scenario:
    """The scenario of a text that has no errors."""
    reading = reading_of(folder, text, lists)
    assert reading.scenario is not None, reading.findings
    return reading.scenario


def dog_of(folder: Path, fields: str, **more: str) -> Dog:
    """The only dog of a scenario, from its fields."""
    return scenario_of(folder, a_text(dogs=f"  - {{name: Maple, {fields}}}", **more)).dogs[0]


def offer_of(folder: Path, fields: str) -> Offer:
    """The only offer of a scenario, from its fields."""
    return scenario_of(folder, a_text(cuts=f"  - {{{fields}}}")).offers[0]


def cut_of(folder: Path, offer: str, more: str = "") -> Cut:
    """The only cut of a scenario, from its offer."""
    return scenario_of(folder, a_text(cuts=f"  - {{{offer}}}", more=more)).cuts[0]


def slugs(reading: Reading) -> list[str]:
    """The slugs of a reading's findings."""
    return [finding.slug for finding in reading.findings]
