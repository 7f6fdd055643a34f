"""The table of slugs."""

import re
from pathlib import Path

import pytest

import raworder.reading
from raworder.reading.slug import Slug
from raworder.reading.slugs import SLUGS, TABLES

SOURCE = "".join(path.read_text() for path in sorted(Path(raworder.reading.__path__[0]).glob("*.py")))


def test_no_slug_stands_in_two_tables() -> None:
    assert len(SLUGS) == sum(map(len, TABLES))


@pytest.mark.parametrize("slug", SLUGS.values(), ids=lambda slug: slug.name)
def test_a_slug_is_explained(slug: Slug) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", slug.name)
    assert slug.says.endswith(".")
    assert len(slug.says) > 25
    assert slug.wrong
    assert slug.right
    assert slug.wrong != slug.right


def test_every_slug_written_in_the_reader_is_in_the_table() -> None:
    written = set(re.findall(r'(?:add|note|refused|_add|refuse)\(\s*"([a-z]+(?:-[a-z]+)*)",', SOURCE))
    assert len(written) > 60
    assert written <= set(SLUGS)
