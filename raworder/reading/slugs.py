"""What every finding means, for `raworder help`: a page each in `raworder/help/findings`, named after its slug.

To add one, copy a page there and write it anew; to change what a finding says of itself, change its page.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from raworder.reading.reference import shipped_folder
from raworder.trade.findings import Severity

SHAPE = """\
# the-slug

Severity: error or warning

A paragraph that says what is wrong.

Wrong:

```
a piece of a scenario or a price list
```

Right:

```
the same, mended
```
"""
"""How a page is written."""

PAGE = re.compile(
    r"# (?P<name>[a-z]+(?:-[a-z]+)*)\n\n"
    r"Severity: (?P<severity>error|warning)\n\n"
    r"(?P<says>\S[^\n]*(?:\n\S[^\n]*)*)\n\n"
    r"Wrong:\n\n```\n(?P<wrong>[^`].*?)\n```\n\n"
    r"Right:\n\n```\n(?P<right>[^`].*?)\n```\n",
    re.DOTALL,
)


class BadPageError(Exception):
    """A page about a finding is not written as it must be: a fault of ours, not of the user."""


@dataclass(frozen=True, slots=True)
class Slug:
    """What is bad, by name: how much it matters, a paragraph about it, a wrong and a right example."""

    name: str
    severity: Severity
    says: str
    wrong: str
    right: str


@cache
def read_slugs() -> Mapping[str, Slug]:
    """Every slug that a reading can give, by its name."""
    pages = sorted((shipped_folder("help") / "findings").glob("*.md"))
    return MappingProxyType({page.stem: read_slug(page) for page in pages})


def read_slug(page: Path) -> Slug:
    """What a page says; BadPageError where it is not written as `SHAPE`, or named otherwise than its slug."""
    written = PAGE.fullmatch(page.read_text(encoding="utf-8"))
    if written is None:
        raise BadPageError(f"{page} is not written as all pages about findings are:\n\n{SHAPE}")
    if written["name"] != page.stem:
        raise BadPageError(f"{page} is about `{written['name']}`, so its name must be {written['name']}.md")
    says = written["says"].replace("\n", " ")  # lines are broken where they are full, which says nothing
    return Slug(page.stem, Severity(written["severity"]), says, written["wrong"], written["right"])
