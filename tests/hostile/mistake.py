"""One mistake in the sound scenario."""

from typing import NamedTuple


class Mistake(NamedTuple):
    """Put something in the place of what stands in the sound scenario exactly once; findings are `slug@line:column`."""

    name: str
    find: str
    put: str
    expected: str
