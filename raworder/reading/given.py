"""The context in which every part of a scenario is read."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from raworder.reading.catalogue import Catalogue, Words
from raworder.reading.located import Text
from raworder.reading.names import fold_name, holds_words
from raworder.reading.notes import Notes
from raworder.reading.reference import Foods, ToxicFood, toxic_food
from raworder.trade.nutrients import BoneCalcium, Profile
from raworder.trade.scenario import Batch
from raworder.trade.units import Currency

Thing = TypeVar("Thing")


class Memory:
    """What one reading has looked up already, so that ten thousand lines about one cut ask for it once."""

    def __init__(self) -> None:
        self._found: dict[Hashable, Any] = {}

    def once(self, about: Hashable, find: Callable[[], Thing]) -> Thing:
        """The result for this key, computed the first time only."""
        if about not in self._found:
            self._found[about] = find()
        found: Thing = self._found[about]
        return found


@dataclass(frozen=True, slots=True)
class Given:
    """The frame of one scenario, the notebook its findings go to, and what was lost to errors before.

    `lost` names top-level fields out of which something was taken, `lost_names` the folded names in them.
    """

    currency: Currency
    weight_unit: str
    batch: Batch
    catalogue: Catalogue
    words: Words
    notes: Notes
    lost: frozenset[str]
    lost_names: frozenset[str]
    toxic_foods: tuple[ToxicFood, ...]
    foods: Foods
    profiles: tuple[Profile, ...]
    bone_calcium: tuple[BoneCalcium, ...]
    memory: Memory = field(default_factory=Memory, compare=False)

    def was_lost(self, name: str) -> bool:
        """Whether something of that name was in error, so that it is not to be called unknown."""
        return fold_name(name) in self.lost_names

    def toxic(self, name: str) -> ToxicFood | None:
        """The food dangerous to dogs that the name mentions, if any."""
        return self.memory.once(("toxic", str(name)), lambda: toxic_food(name, self.toxic_foods))

    def note_toxic(self, name: Text) -> None:
        """Refuse a name that mentions food dangerous to dogs."""
        if food := self.toxic(name):
            self.refuse_as(
                food, name, _berry(name) or "take it out; if there is none in it, leave that word out of its name"
            )

    def refuse_as(self, food: ToxicFood, name: Text, remedy: str) -> None:
        """Refuse a name as one of food dangerous to dogs."""
        message = f"`{name}` names food that is dangerous to dogs: {food.food}"
        self.notes.add("toxic-food", message, name.place, remedy, f"{food.hazard}; source: {food.source}")


def _berry(name: str) -> str:
    """What to write for a berry whose name in two words is that of a dried grape."""
    colour = next((number for number in ("black", "red") if holds_words(name, f"{number} currant")), "")
    return f"if the berry is meant write `{colour}currant` in one word, else take it out" if colour else ""
