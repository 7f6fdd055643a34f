"""Labels as a real browser prints them lie where the sheet has its labels, and every text inside its own.

All names and amounts are invented. **Source:** the dimensions that each sheet is named by.
"""

from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser

import pytest
from playwright.sync_api import Browser

from raworder.rendering.clean import one_line
from raworder.rendering.label_sheets import cut_labels, label_page
from raworder.rendering.letter_widths import letter_width
from raworder.rendering.templated import policy
from raworder.reporting.bag_labels import frame_page
from raworder.trade.document import Document, Label, Labels
from raworder.trade.labels import SHEETS, LabelSheet, usual_sheet
from tests.browser.sheets import Box, Sheet, opened, printed, printed_letters
from tests.drawn import few
from tests.rendering.hell import NAMES
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN
from tests.worked_out import bag_labels

IN_A_FILE_PT = 0.001
"""How finely a PDF tells where a letter is."""

WITHIN_MM = 0.5
"""How far an outline may be off. A browser draws on pixels of 0.26 mm, and a line is as wide as one."""

PLAIN = Label(
    "Maple", ("Sat 2027-02-06, 550 g", "batch 270206-AB12", "2 chicken necks (156 g), 394 g beef trim"), "bag 7"
)
CROWDED = Label(
    "Sir Bartholomew Longwhiskers of Birch Row",
    (
        "Sat 2027-02-06, meal 2, 1.245 kg",
        "frozen Fri 2027-02-05, to the refrigerator Fri 2027-02-12, feed by Sun 2027-02-14",
        "kennel North, third row, batch 270206-AB12",
        "12 chicken necks (936 g), 120 g beef heart, 60 g turkey thigh, 55 g lamb liver, 40 g pork kidney, 34 g kale",
    ),
    "bag 1288",
    ("no chicken, no turkey: keep apart", "bones inside: stay with the dog"),
)


def places(sheet: LabelSheet) -> Iterator[Box]:
    """Where the sheet's labels are, by plain arithmetic on its dimensions."""
    wide, high = map(float, sheet.label_mm)
    for row in range(sheet.rows):
        for column in range(sheet.columns):
            left = float(sheet.left_mm) + column * float(sheet.across_mm)
            top = float(sheet.top_mm) + row * float(sheet.down_mm)
            yield Box(left, top, left + wide, top + high)


def letters(text: str) -> str:
    """A text without its spaces, as where lines break is the browser's."""
    return "".join(text.split())


def said(label: Label) -> str:
    """All that a label says, as it is read from the top."""
    first, *rest = label.lines
    # the corner and the heading are on one line, and either may be read first
    return letters(" ".join((first, *label.mind, *rest)))


def page_of(sheet: LabelSheet, *labels: Label, first: int = 1, frames: bool = False) -> str:
    return label_page(Labels(sheet, labels, first, frames))


@few("key", list(SHEETS), 5)
def test_the_outlines_are_where_the_sheet_has_its_labels(measuring: Browser, key: str) -> None:
    sheet = SHEETS[key]
    (one,) = printed(measuring, label_page(labels_of(frame_page(HOUSE, sheet))))
    assert abs(one.width - float(sheet.paper_mm[0])) < WITHIN_MM
    assert abs(one.height - float(sheet.paper_mm[1])) < WITHIN_MM
    assert len(one.outlines) == sheet.places
    for place in places(sheet):
        assert any(place.is_near(outline, WITHIN_MM) for outline in one.outlines), place


@pytest.mark.slow
@few("key", list(SHEETS), 5)
def test_every_label_is_printed_inside_its_own_place_on_as_many_pages_as_it_takes(measuring: Browser, key: str) -> None:
    sheet = SHEETS[key]
    count, first = sheet.places + 2, 3
    labels = [PLAIN if number % 2 else CROWDED for number in range(count)]
    pages = printed(measuring, page_of(sheet, *labels, first=first))
    assert len(pages) == 2
    told = [page.text_in(place) for page in pages for place in places(sheet)]
    assert told[: first - 1] == [""] * (first - 1)
    assert told[first - 1 + count :] == [""] * (2 * sheet.places - count - first + 1)
    for label, text in zip(labels, told[first - 1 :], strict=False):
        assert label.corner in text
    assert_each_word_is_in_a_place(pages, sheet)


@pytest.mark.slow
@few("key", list(SHEETS), 5)
def test_a_crowded_label_says_everything_or_shows_that_it_does_not(measuring: Browser, key: str) -> None:
    sheet = SHEETS[key]
    (one,) = printed(measuring, page_of(sheet, CROWDED))
    text = letters(one.text_in(next(places(sheet)))).replace(letters(CROWDED.corner), "", 1)
    assert letters(CROWDED.heading) in text
    if cut_labels(Labels(sheet, (CROWDED,))):
        assert "…" in text or letters(CROWDED.lines[-1]) in text
        assert all(letters(line) in text for line in (CROWDED.lines[0], *CROWDED.mind))
    else:
        assert "…" not in text
        assert said(CROWDED) in text.replace(";", "")  # lines that were run together


def test_a_crowded_label_fits_on_every_common_sheet() -> None:
    assert {key for key, sheet in SHEETS.items() if cut_labels(Labels(sheet, (CROWDED,)))} == set()


def test_what_does_not_fit_ends_in_points_and_is_told_by_name(measuring: Browser) -> None:
    sheet = SHEETS["letter-3x10-2.625x1"]
    *lines, contents = CROWDED.lines
    overfull = replace(CROWDED, lines=(*lines, ", ".join([contents] * 3)))
    assert cut_labels(Labels(sheet, (PLAIN, overfull))) == (f"{CROWDED.heading}, bag 1288",)
    (one,) = printed(measuring, page_of(sheet, PLAIN, overfull))
    text = one.text_in(list(places(sheet))[1])
    assert text.endswith("…")
    assert all(letters(line) in letters(text) for line in (CROWDED.lines[0], *CROWDED.mind, "12 chicken necks"))


@pytest.mark.parametrize("key", ["a4-3x7-63.5x38.1", "letter-3x10-2.625x1"])
def test_no_letter_is_cut_off_at_the_edge_of_its_label(measuring: Browser, key: str) -> None:
    labels = (
        PLAIN,
        CROWDED,
        Label("Juniper", ("Sun 2027-02-07, 190 g", "x" * 400)),
        Label("W" * 120, ("Sun 2027-02-07, 190 g", "W" * 90), "bag 1288", ("M" * 90,) * 9),
    )
    with opened(measuring, page_of(SHEETS[key], *labels)) as page:
        for place in page.locator(".place").all()[: len(labels)]:
            label = place.bounding_box()
            assert label
            for line in place.locator("p").all():
                box = line.bounding_box()
                assert box
                assert label["x"] <= box["x"]
                assert box["x"] + box["width"] <= label["x"] + label["width"]
                assert box["y"] + box["height"] <= label["y"] + label["height"]


def test_no_letter_is_wider_than_reckoned(measuring: Browser) -> None:
    known = "".join(chr(code) for code in range(33, 127)) + "äéîøßçñÅÉŒžłаяΩ日…"
    label = Label("Maple", ("Sat", known), mind=(known,))
    found = printed_letters(measuring, page_of(SHEETS["a4-2x4-99.1x67.7"], label))
    assert {(one["text"], "Bold" in one["fontname"]) for one in found} >= {
        (one, bold) for one in known[:94] for bold in (True, False)
    }
    for one in found:
        most = letter_width(one["text"], bold="Bold" in one["fontname"]) / 1000 * one["size"]
        assert one["x1"] - one["x0"] <= most + IN_A_FILE_PT, (one["text"], one["fontname"])


@pytest.mark.slow
def test_names_from_hell_are_shown_as_they_stand_and_nothing_is_run(measuring: Browser) -> None:
    sheet = SHEETS["a4-2x4-105x74"]
    labels = [Label(name, ("Sat 2027-02-06", name), name, (name,)) for name in NAMES]
    html = page_of(sheet, *labels)
    assert_harmless(html)
    pages = printed(measuring, html)
    assert len(pages) == -(-len(NAMES) // sheet.places)
    told = [letters(page.text_in(place)) for page in pages for place in places(sheet)]
    for name, text in zip(NAMES, told, strict=False):
        if one_line(name).isascii() and len(name) < 100:
            assert letters(one_line(name)) in text, name


@pytest.mark.slow
def test_the_page_of_the_house_tells_every_bag_once(measuring: Browser) -> None:
    document = bag_labels(HOUSE, HOUSE_PLAN)
    (first, second) = printed(measuring, label_page(labels_of(document)))
    sheet = usual_sheet("kg")
    told = [page.text_in(place) for page in (first, second) for place in places(sheet)]
    numbers = [f"bag {number}" for number in range(1, 27)]
    assert [number for number, text in zip(numbers, told, strict=False) if number not in text] == []
    assert [text for text in told[26:] if text] == []


def labels_of(document: Document) -> Labels:
    """The labels of a document."""
    (found,) = [block for block in document.blocks if isinstance(block, Labels)]
    return found


def assert_each_word_is_in_a_place(pages: tuple[Sheet, ...], sheet: LabelSheet) -> None:
    """No word lies across the edge of a label, or outside of all."""
    boxes = list(places(sheet))
    for page in pages:
        for word in page.words:
            assert any(word.is_inside(box) for box in boxes), word


class Elements(HTMLParser):
    """Every element of a page with the names of its attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[tuple[str, str]] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found |= {(tag, name) for name, _ in attrs} or {(tag, "")}


def assert_harmless(page: str) -> None:
    """Nothing but our own elements, none with a style of its own, and one style element that is allowed by its hash."""
    parser = Elements()
    parser.feed(page)
    tags = {tag for tag, _ in parser.found}
    assert tags == {"html", "head", "meta", "title", "style", "body", "section", "div", "p", "span"}
    assert {name for _, name in parser.found} == {"lang", "charset", "http-equiv", "content", "class", ""}
    rules = page.split("<style>")[1].partition("</style>")[0]
    assert policy(rules) in unescape(page)
