"""Where a scenario sets its rules: the line of each by the rule's key, and by dog where dogs have their own."""

from collections.abc import Iterator

from raworder.findings import Place
from raworder.reading.form import AllDogsForm, ScenarioForm
from raworder.reading.form_base import Form
from raworder.reading.names import folded

FIELDS = (
    ("budget", "budget"),
    ("most_suppliers", "supplier_count"),
    ("freezer", "room"),
    ("variety", "variety"),
)
"""The fields of a scenario that set a rule, with its key."""

FIELDS_OF_BAGS = (
    ("divided", "whole_pieces"),
    ("least_portion", "least_portion"),
    ("most_a_day", "day_most"),
    ("week_allowance", "week_share"),
)
"""The fields of `portioning` that set a rule, with its key."""


def where_set(form: ScenarioForm) -> tuple[tuple[str, Place], ...]:
    """The places by `budget`, `targets`, `caps heart` or `nutrients zinc` for all dogs, `Maple: targets` for one."""
    return tuple(_places(form))


def _places(form: ScenarioForm) -> Iterator[tuple[str, Place]]:
    yield from _written(form, FIELDS)
    if form.portioning is not None:
        yield from _written(form.portioning, FIELDS_OF_BAGS)
    if form.all_dogs is not None:
        yield from _of_dogs(form.all_dogs, "")
    for dog in form.dogs:
        yield from _of_dogs(dog, f"{dog.name}: ")


def _written(form: Form, fields: tuple[tuple[str, str], ...]) -> Iterator[tuple[str, Place]]:
    yield from ((rule, form.key_at(field)) for field, rule in fields if form.says(field))


def _of_dogs(form: AllDogsForm, whose: str) -> Iterator[tuple[str, Place]]:
    """Where targets are named, every cap, and every rule on nutrients."""
    if form.says("targets"):
        yield f"{whose}targets", form.key_at("targets")
    for word in form.caps:
        yield f"{whose}caps {folded(word)}", word.place
    for name in form.nutrients:
        yield f"{whose}nutrients {folded(name)}", name.place
