"""Words that several papers share.

**Source:** the docstring of each.
"""

import pytest

from raworder.reporting.words import dogs_text

NAMES = ("Maple", "Juniper", "Sorrel", "Fern", "Thistle")


@pytest.mark.parametrize(
    ("names", "of", "told"),
    [
        (NAMES[:1], (), "Maple"),
        (NAMES[:4], (), "Maple, Juniper, Sorrel and Fern"),
        (NAMES, (), "5 dogs"),
        (NAMES, NAMES, "all dogs"),
        (NAMES[:2], NAMES[:2], "all dogs"),
        (NAMES[:1], NAMES[:1], "Maple"),
        (NAMES[:2], NAMES, "Maple and Juniper"),
    ],
)
def test_up_to_four_dogs_are_named_and_more_counted(names: tuple[str, ...], of: tuple[str, ...], told: str) -> None:
    assert dogs_text(names, of) == told
