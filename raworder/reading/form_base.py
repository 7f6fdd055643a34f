"""What every form is: a mapping of a file, read field by field, that remembers where it stands."""

from typing import ClassVar, Self

from pydantic import BaseModel, ConfigDict, ModelWrapValidatorHandler, PrivateAttr, model_validator

from raworder.findings import Place
from raworder.reading.text import Entries, deepest

NOWHERE = Place("", 1, 1)
"""The place of a form that was read from no file."""


class Form(BaseModel):
    """A mapping of the file, read field by field; it remembers the node it was read from.

    `noun` is what messages call it, `main` the field that a single value in its place was probably meant for.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    noun: ClassVar[str] = "this"
    main: ClassVar[str] = ""
    _node: Entries = PrivateAttr(default_factory=lambda: Entries(NOWHERE))

    @model_validator(mode="wrap")
    @classmethod
    def _remember(cls, node: object, handler: ModelWrapValidatorHandler[Self]) -> Self:
        form = handler(node)
        if isinstance(node, Entries):
            form._node = node  # noqa: SLF001 - it is the form's own
        return form

    @property
    def place(self) -> Place:
        """Where the mapping begins."""
        return self._node.place

    def at(self, field: str) -> Place:
        """Where the field's value stands, or the mapping where the field is not written."""
        node = self._node.get(field)
        return self.place if node is None else node.place

    def entry_at(self, field: str, index: int) -> Place:
        """Where an entry of the field's list stands."""
        return deepest(self._node, (field, index)).place

    def key_at(self, field: str) -> Place:
        """Where the field's name stands, or the mapping where the field is not written."""
        key = self._node.key(field)
        return self.place if key is None else key.place

    def says(self, field: str) -> bool:
        """Whether the field is written."""
        return field in self._node
