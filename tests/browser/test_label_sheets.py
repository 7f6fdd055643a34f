"""Labels as a real browser prints them lie where the sheet has its labels, and every text inside its own.

All names and amounts are invented. **Source:** the dimensions that each sheet is named by.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from html import unescape
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from playwright.sync_api import Browser

from raworder.rendering.clean import one_line
from raworder.rendering.html import html
from raworder.rendering.label_sheets import FittedLabel, cut_labels, label_page, lay_out_labels, line_text
from raworder.rendering.letter_widths import letter_width
from raworder.rendering.templated import policy
from raworder.reporting.bag_labels import frame_page
from raworder.trade.document import Document, Label, Labels
from raworder.trade.labels import SHEETS, LabelSheet, label_sheet, usual_sheet
from tests.browser.sheets import Box, Sheet, opened, printed, printed_letters
from tests.drawn import few
from tests.planned import SMALLER, papers_of
from tests.rendering.hell import NAMES
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN
from tests.worked_out import bag_labels

IN_A_FILE_PT = 0.001
"""How finely a PDF tells where a letter is."""

WITHIN_MM = 0.5
"""How far an outline may be off. A browser draws on pixels of 0.26 mm, and a line is as wide as one."""

SMALLEST_SHEET = "letter-3x10-2.625x1"
TYPEFACES = ("Liberation Sans", "DejaVu Sans")
"""The typefaces that were measured; Arial is as wide as the first, the second is wider and what is often there."""

OVERFLOWING = """() => [...document.querySelectorAll('.place')].flatMap((place) => {
  const inside = place.getBoundingClientRect();
  const parts = [...place.querySelectorAll('p')];
  const boxes = parts.map((part) => part.getBoundingClientRect());
  const within = boxes.every((box, at) => box.left >= inside.left && box.right <= inside.right + 0.1
    && box.top >= inside.top && box.bottom <= inside.bottom + 0.1
    && (parts[at].classList.contains('kept') || parts[at].scrollHeight <= parts[at].clientHeight + 2)
    && parts[at].scrollWidth <= parts[at].clientWidth + 1);
  const apart = boxes.every((one, at) => boxes.slice(at + 1).every((other) =>
    one.right <= other.left + 0.1 || other.right <= one.left + 0.1
    || one.bottom <= other.top + 0.1 || other.bottom <= one.top + 0.1));
  return within && apart ? [] : [place.innerText];
})"""
"""The texts of labels of which a part lies outside, overlaps another, or shows less than it holds."""

PLAIN = Label(
    "Maple",
    "Sat 6 Feb",
    "7",
    "A",
    lines=("to the refrigerator Fri 5 Feb", "550 g, batch 270206-AB12"),
    contents=("2 chicken necks, 45 g lamb liver, rest beef trim",),
)
CROWDED = Label(
    "Sir Bartholomew Longwhiskers",
    "Wed 24 Feb, meal 2",
    "1288",
    "AB",
    "no chicken or turkey: keep apart",
    "as the veterinarian gave it",
    ("to the refrigerator Fri 12 Feb", "1.245 kg, Ines, kennel North, batch 270206-AB12"),
    (
        "12 chicken necks, 120 g beef heart, 60 g turkey thigh, 55 g lamb liver, 40 g pork kidney, rest kale",
        "12 chicken necks, beef heart, turkey thigh, lamb liver, pork kidney, kale",
        "",
    ),
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


def said(label: FittedLabel) -> list[str]:
    """All that a label says, word by word."""
    parts = (label.dog, label.day, label.apart, label.note, *label.small)
    return [label.number, label.kind, *(word for part in parts for word in line_text(part.words).split())]


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
    labels = Labels(sheet, tuple(PLAIN if number % 2 else CROWDED for number in range(count)), first)
    pages = printed(measuring, label_page(labels))
    assert len(pages) == 2
    told = [page.text_in(place).split() for page in pages for place in places(sheet)]
    fitted = [label for places_of_sheet in lay_out_labels(labels).sheets for label in places_of_sheet]
    assert [bool(text) for text in told] == [label is not None for label in fitted]
    for label, text in zip(fitted, told, strict=True):
        if label is not None and label.is_cut:  # on the smallest sheet the last line ends in points
            assert {word.removesuffix("…") for word in text} <= set(said(label))
        else:
            assert label is None or sorted(said(label)) == sorted(text)
    assert_each_word_is_in_a_place(pages, sheet)


def test_a_crowded_label_fits_on_every_common_sheet_but_the_smallest() -> None:
    assert {key for key, sheet in SHEETS.items() if cut_labels(Labels(sheet, (CROWDED,)))} == {SMALLEST_SHEET}


def test_what_does_not_fit_ends_in_points_and_is_told_by_name(measuring: Browser) -> None:
    sheet = SHEETS["letter-3x10-2.625x1"]
    overfull = replace(CROWDED, contents=(", ".join(CROWDED.contents * 9),))
    assert cut_labels(Labels(sheet, (PLAIN, overfull))) == (f"{CROWDED.dog}, bag 1288",)
    (one,) = printed(measuring, page_of(sheet, PLAIN, overfull))
    text = one.text_in(list(places(sheet))[1])
    assert text.endswith("…")
    must = (CROWDED.number, CROWDED.dog, CROWDED.day, CROWDED.apart, CROWDED.note)
    assert set(" ".join(must).split()) <= set(text.split())


TALL = label_sheet("A4", (Fraction(60), Fraction(74)), 3, 3)
"""Labels as narrow as they may be, with room for large letters below each other."""

HARD = (
    PLAIN,
    CROWDED,
    Label("Juniper", "Sun 7 Feb", "8", "B", contents=("x" * 400,)),
    Label("W" * 120, "Sun 7 Feb, meal 2", "1288", "A", "M" * 90, "W" * 90, ("M" * 90,) * 9),
)


@pytest.mark.parametrize("typeface", TYPEFACES)
@pytest.mark.parametrize("sheet", [SHEETS["a4-3x7-63.5x38.1"], SHEETS[SMALLEST_SHEET], TALL], ids=lambda one: one.name)
def test_no_letter_is_cut_off_at_the_edge_of_its_label(measuring: Browser, sheet: LabelSheet, typeface: str) -> None:
    for labels in (HARD, (replace(PLAIN, number="1288", day="Wed 24 Feb, meal 2"),)):
        assert overflowing(measuring, Labels(sheet, labels), typeface) == []


@pytest.mark.slow
@pytest.mark.parametrize("typeface", TYPEFACES)
@pytest.mark.parametrize("name", SMALLER)
def test_no_label_of_a_shipped_scenario_is_cut_or_overlaps(measuring: Browser, name: str, typeface: str) -> None:
    document = next(paper for paper in papers_of(name).page if paper.key == "labels")
    usual = labels_of(document)
    for labels in (usual, replace(usual, sheet=SHEETS[SMALLEST_SHEET])):
        assert cut_labels(labels) == ()
        assert overflowing(measuring, labels, typeface) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", SMALLER)
def test_what_is_critical_has_eleven_points_on_the_usual_sheets_and_small_print_seven(name: str) -> None:
    """**Source:** US Pharmacopeia, general chapter 17, as summed up by Wisconsin Health Literacy: 11 point Arial."""
    sizes = lay_out_labels(labels_of(next(paper for paper in papers_of(name).page if paper.key == "labels"))).sizes
    assert sizes.critical >= 22
    assert sizes.small >= 14


def test_letters_have_the_points_that_are_stated(measuring: Browser) -> None:
    labels = Labels(usual_sheet("kg"), (PLAIN, CROWDED))
    sizes = lay_out_labels(labels).sizes
    found = {
        (letter["text"], round(2 * letter["size"], 1)) for letter in printed_letters(measuring, label_page(labels))
    }
    assert {size for _, size in found} == {sizes.number, sizes.critical, sizes.note, sizes.small}
    assert {("7", sizes.number), ("M", sizes.critical), ("v", sizes.note), ("2", sizes.small)} <= found


STYLES = """() => [...document.querySelectorAll('.labels p')].map((part) => {
  const { color, fontSize, fontWeight, fontFamily, lineHeight, whiteSpace, margin } = getComputedStyle(part);
  return [part.innerText, color, fontSize, fontWeight, fontFamily, lineHeight, whiteSpace, margin];
})"""
"""How each part of a label looks."""


@pytest.mark.parametrize("media", ["screen", "print"])
def test_on_the_page_of_a_batch_labels_look_as_on_a_page_of_their_own(measuring: Browser, media: str) -> None:
    labels = Labels(usual_sheet("kg"), (PLAIN, CROWDED))
    looks = []
    for text in (label_page(labels), html([Document("labels", "Labels", "EUR", 2, "kg", (labels,))])):
        with opened(measuring, text) as page:
            page.emulate_media(media=media)
            looks.append(page.evaluate(STYLES))
    alone, among_others = ([[*look[:1], *look[2:]] if media == "screen" else look for look in one] for one in looks)
    assert alone == among_others
    assert len({look[1] for look in looks[1]}) == 1  # one colour


@pytest.mark.slow
def test_labels_are_cards_on_a_phone_one_under_the_other(measuring: Browser) -> None:
    context = measuring.new_context(viewport={"width": 360, "height": 720}, java_script_enabled=False)
    page = context.new_page()
    page.set_content(label_page(Labels(usual_sheet("kg"), HARD, first=5)))
    cards = [card.bounding_box() for card in page.locator(".place").all()]
    assert len(cards) == len(HARD)
    for above, below in pairwise(card for card in cards if card):
        assert above["x"] == below["x"]
        assert above["y"] + above["height"] < below["y"]
    assert all(card and card["x"] >= 0 and card["x"] + card["width"] <= 360 for card in cards)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    least = page.evaluate(
        "Math.min(...[...document.querySelectorAll('p')].map(p => parseFloat(getComputedStyle(p).fontSize)))"
    )
    assert least >= 16
    context.close()


def test_no_letter_is_wider_than_reckoned(measuring: Browser) -> None:
    known = "".join(chr(code) for code in range(33, 127)) + "äéîøßçñÅÉŒžłаяΩ日…"
    label = Label("Maple", "Sat", note=known, lines=(known,))
    found = printed_letters(measuring, page_of(SHEETS["a4-2x4-99.1x67.7"], label))
    assert {(one["text"], "Bold" in one["fontname"]) for one in found} >= {
        (one, bold) for one in known[:94] for bold in (True, False)
    }
    for one in found:
        letter = one["text"] if len(one["text"]) == 1 else known[-2]  # no typeface has it, and a box is drawn
        most = letter_width(letter, bold="Bold" in one["fontname"]) / 1000 * one["size"]
        assert one["x1"] - one["x0"] <= most + IN_A_FILE_PT, (one["text"], one["fontname"])


@pytest.mark.slow
def test_a_page_of_labels_is_accessible(measuring: Browser, axe: str) -> None:
    context = measuring.new_context(viewport={"width": 360, "height": 720}, bypass_csp=True)
    page = context.new_page()
    page.set_content(label_page(Labels(usual_sheet("kg"), HARD, first=5, frames=True)))
    page.evaluate(axe)
    assert page.evaluate("async () => (await axe.run()).violations.map((one) => one.id)") == []
    context.close()


@pytest.mark.slow
def test_names_from_hell_are_shown_as_they_stand_and_nothing_is_run(measuring: Browser) -> None:
    sheet = SHEETS["a4-2x4-105x74"]
    labels = [Label(name, "Sat 6 Feb", "7", "A", name, name, (name,)) for name in NAMES]
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
    numbers = [str(number) for number in range(1, 27)]
    assert [number for number, text in zip(numbers, told, strict=False) if number not in text.split()] == []
    assert [text for text in told[26:] if text] == []


def overflowing(browser: Browser, labels: Labels, typeface: str) -> list[str]:
    """The labels that do not hold their text on paper in a typeface."""
    html = label_page(labels).replace("Arial, Helvetica, sans-serif", f'"{typeface}"')
    html = re.sub(r"<meta http-equiv[^>]*>", "", html)  # it lets through the rules as we wrote them, by their hash
    with opened(browser, html) as page:
        page.emulate_media(media="print")
        found: list[str] = page.evaluate(OVERFLOWING)
        return found


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
    assert tags == {"html", "head", "meta", "title", "style", "body", "main", "h1", "section", "div", "p", "span"}
    attributes = {"lang", "charset", "http-equiv", "content", "name", "class", "dir", "role", ""}
    assert {name for _, name in parser.found} == attributes
    rules = page.split("<style>")[1].partition("</style>")[0]
    assert policy(rules) in unescape(page)
