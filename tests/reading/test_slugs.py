"""The pages about findings: every slug of the code has its page, every page its slug, and all are written alike.

**Source:** CommonMark, through the reference library markdown-it-py.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

import raworder
from raworder.reading.help_pages import SHAPE, BadPageError, Slug, read_slug, read_slugs
from raworder.reading.reference import shipped_folder
from raworder.trade.findings import Severity

SLUGS = read_slugs()
PAGES = shipped_folder("help") / "findings"
GIVES = frozenset({"add", "_add", "note", "refuse", "_refuse", "refused"})
"""What gives a finding, its slug first; a `UnitError` names it third."""
SOUND = SHAPE.replace("error or warning", "warning")


def test_what_a_page_says_is_read_from_it(tmp_path: Path) -> None:
    said = "A paragraph that says what is wrong."
    assert read_slug(_page(tmp_path, SOUND.replace(said, f"{said}\n2 lines of it."))) == Slug(
        "the-slug",
        Severity.WARNING,
        f"{said} 2 lines of it.",
        "a piece of a scenario or a price list",
        "the same, mended",
    )


@pytest.mark.parametrize("slug", SLUGS.values(), ids=lambda slug: slug.name)
def test_a_slug_is_explained(slug: Slug) -> None:
    assert slug.says.endswith(".")
    assert len(slug.says) > 25
    assert slug.wrong
    assert slug.right
    assert slug.wrong != slug.right


@pytest.mark.parametrize("slug", SLUGS.values(), ids=lambda slug: slug.name)
def test_a_page_shows_as_markdown_what_is_read_from_it(slug: Slug) -> None:
    shown = MarkdownIt().parse((PAGES / f"{slug.name}.md").read_text(encoding="utf-8"))
    texts = [one.content.replace("\n", " ") for one in shown if one.type == "inline"]
    assert texts == [slug.name, f"Severity: {slug.severity.value}", slug.says, "Wrong:", "Right:"]
    assert [one.tag for one in shown if one.type == "heading_open"] == ["h1"]
    assert [one.content for one in shown if one.type == "fence"] == [f"{slug.wrong}\n", f"{slug.right}\n"]
    marks = {mark.type for one in shown for mark in one.children or ()}
    assert marks <= {"text", "code_inline", "softbreak"}


def test_every_page_is_read_and_nothing_else_lies_beside_the_pages() -> None:
    assert sorted(path.name for path in PAGES.iterdir()) == sorted(f"{slug}.md" for slug in SLUGS)


def test_every_slug_that_the_code_gives_has_its_page() -> None:
    given = set(_given())
    assert len(given) > 140
    assert given - set(SLUGS) == set()


def test_every_page_is_of_a_slug_that_the_code_knows() -> None:
    written = {node.value for tree in _trees() for node in ast.walk(tree) if isinstance(node, ast.Constant)}
    assert set(SLUGS) - written == set()


@pytest.mark.parametrize(
    "text",
    [
        "",
        SHAPE,
        SOUND.replace("# the-slug", "# The slug"),
        SOUND.replace("warning", "grave"),
        SOUND.replace("A paragraph that says what is wrong.\n\n", ""),
        SOUND.replace("A paragraph", "A paragraph\n\nand another"),
        SOUND.replace("Right:", "Better:"),
        SOUND.replace("the same, mended\n", ""),
        SOUND.replace("```\n\nRight", "\nRight"),
        f"{SOUND}\nMore.\n",
    ],
    ids=(
        "nothing at all",
        "two severities",
        "a heading that is no slug",
        "a severity that there is not",
        "no paragraph",
        "two paragraphs",
        "no right example",
        "an empty example",
        "a fence that is not closed",
        "something after it",
    ),
)
def test_a_page_of_another_shape_is_refused_with_its_name_and_the_shape(tmp_path: Path, text: str) -> None:
    with pytest.raises(BadPageError) as refused:
        read_slug(_page(tmp_path, text))
    assert "the-slug.md" in str(refused.value)
    assert SHAPE in str(refused.value)


def test_a_page_that_is_named_otherwise_than_its_slug_is_refused(tmp_path: Path) -> None:
    page = _page(tmp_path, SOUND).rename(tmp_path / "another.md")
    with pytest.raises(BadPageError, match=r"is about `the-slug`, so its name must be the-slug\.md"):
        read_slug(page)


def _page(folder: Path, text: str) -> Path:
    page = folder / "the-slug.md"
    page.write_text(text, encoding="utf-8")
    return page


def _trees() -> Iterator[ast.Module]:
    """Every module of the package."""
    for path in sorted(Path(raworder.__path__[0]).rglob("*.py")):
        yield ast.parse(path.read_text(encoding="utf-8"))


def _given() -> Iterator[str]:
    """Slugs that are written where a finding is given."""
    for tree in _trees():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and len(node.args) > 2:
                name = ast.unparse(node.func).rpartition(".")[2]
                slug = node.args[2] if name == "UnitError" else node.args[0]
                if name in GIVES | {"UnitError"} and isinstance(slug, ast.Constant):
                    yield str(slug.value)
