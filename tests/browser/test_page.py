"""The page of a batch in a real browser: on a screen, on a phone, and on paper.

**Sources:** WCAG 2.2 for contrast (1.4.3), reflow (1.4.10) and tables (1.3.1), from memory, not looked up; the rules
that axe-core holds a page against are its own.
"""

import io
import json
import re
from itertools import groupby
from pathlib import Path
from random import Random
from typing import Any, Literal

import pdfplumber
import pytest
from playwright.sync_api import Browser, Page

from raworder.rendering.html import html
from tests.browser.printed import PAPER_POINTS, feet, opened, page_of, printed, rows, tables
from tests.drawn import Draw, few
from tests.rendering.hell import HELL, NAMES

pytestmark = [pytest.mark.slow, pytest.mark.long]

SHIPPED = ("owner", "pounds", "household")
PAGES = ("hell", *(SHIPPED if Draw.times > 1 else Random(Draw.seed).sample(SHIPPED, 1)))
"""Names from hell, and one of the examples in turn; all of them on demand."""

PHONE_PX = 360
LEAST_CONTRAST = 4.5
MM_PX = 96 / 25.4
"""A millimetre in pixels of CSS. **Source:** CSS Values and Units, absolute lengths, from memory, not looked up."""


@pytest.fixture(scope="module", params=PAGES)
def page(request: pytest.FixtureRequest) -> str:
    """The page of a shipped scenario, or the one with names from hell."""
    if request.param == "hell":
        return html(HELL)
    return page_of(request.param, "--prices") if request.param == "owner" else page_of(request.param)


def test_a_page_needs_nothing_and_says_nothing(browser: Browser, page: str) -> None:
    context = browser.new_context(java_script_enabled=True)
    seen: list[str] = []
    tab = context.new_page()
    tab.on("request", lambda request: seen.append(request.url))
    tab.on("console", lambda message: seen.append(message.text))
    tab.on("pageerror", lambda error: seen.append(str(error)))
    tab.on("dialog", lambda dialog: seen.append(dialog.message))
    tab.set_content(page, wait_until="load")
    assert seen == []
    assert tab.locator("body").evaluate("body => getComputedStyle(body).margin") == "0px"  # its style is let through
    context.close()


def test_the_policy_keeps_out_what_is_not_the_page_s_own(browser: Browser) -> None:
    more = (
        '<img src="https://example.org/a.png"><script>document.title = "run"</script><p style="color: red" id="p">a</p>'
    )
    tab = browser.new_context(java_script_enabled=True).new_page()
    said: list[str] = []
    tab.on("console", lambda message: said.append(message.text))
    tab.set_content(html(HELL).replace("</main>", f"{more}</main>"), wait_until="load")
    assert tab.title() != "run"
    assert tab.locator("#p").evaluate("one => getComputedStyle(one).color") != "rgb(255, 0, 0)"
    assert sum("Content Security Policy" in one for one in said) >= 3
    tab.context.close()


def test_boxes_are_large_enough_and_can_be_ticked_without_scripts(browser: Browser) -> None:
    tab = opened(browser, page_of("owner"))
    for medium in ("screen", "print"):
        tab.emulate_media(media=medium)
        boxes = tab.locator("section.shopping-list input")
        assert boxes.count() == 6
        for one in boxes.all():
            size = one.bounding_box()
            assert size is not None
            assert min(size["width"], size["height"]) >= 6 * MM_PX
    tab.emulate_media(media="screen")
    first = tab.locator("input").first
    assert not first.is_checked()
    first.click()
    assert first.is_checked()
    assert (first.get_attribute("aria-label") or "").startswith("Done: 250 g by weight, beef kidney")
    tab.context.close()


def test_an_order_is_printed_in_large_type_with_room_to_write(browser: Browser) -> None:
    tab = opened(browser, page_of("owner"))
    tab.emulate_media(media="print")
    cell = tab.locator("section.shopping-list tbody td.c-item").first
    points = float(cell.evaluate("one => parseFloat(getComputedStyle(one).fontSize)")) * 72 / 96
    assert points == pytest.approx(12, rel=1e-4)
    assert tab.locator("section.large").first.locator("th.blank").all_inner_texts() == ["Got", "Paid"]
    widths = [one.bounding_box() for one in tab.locator("section.large").first.locator("th.blank").all()]
    assert all(one and one["width"] >= 17.5 * MM_PX for one in widths)
    amount = tab.locator("section.shopping-list th.c-to-buy").first
    assert amount.evaluate("one => getComputedStyle(one).whiteSpace") == "nowrap"
    tab.context.close()


@few("paper", tuple(PAPER_POINTS), 1)
def test_every_page_begins_on_a_sheet_of_its_own_and_no_row_is_cut(browser: Browser, page: str, paper: str) -> None:
    with printed(browser, page, paper) as pdf:
        told = feet(pdf)
        with_foot = [pdf.pages[number - 1] for _, number, _ in told]  # labels have the paper of their sheet
        sizes = {tuple(sorted((round(sheet.width), round(sheet.height)))) for sheet in with_foot}
        wide, high = PAPER_POINTS[paper]
        assert all(abs(short - wide) < 2 and abs(long - high) < 2 for short, long in sizes)
        labelled = page.count('<div class="sheet"')
        numbers = [number for _, number, _ in told]
        sheets = sorted({*range(1, len(pdf.pages) + 1)} - {*numbers})  # labels have no foot, and follow one another
        assert len(sheets) == labelled
        assert sheets == [*range(sheets[0], sheets[0] + labelled)] if sheets else not labelled
        assert numbers == sorted(numbers)
        assert {of for _, _, of in told} == {len(pdf.pages)}
        begun = [name for name, _ in groupby(name for name, _, _ in told)]
        held = on_paper(page)
        assert len(begun) == held.count('<section id="') - held.count(" labelled")
        on_pages = rows(pdf)
        assert len(on_pages) == len(re.findall('<tr role="row" class="(?:item|total|between)"', held))
        assert [one for one in on_pages if len(one) > 1] == []
        assert all(len(sheet.extract_text().strip().split("\n")) > 1 for sheet in pdf.pages)


def test_a_row_that_is_cut_would_be_noticed(browser: Browser) -> None:
    words = f'<td role="cell">{"word " * 3000}</td>'
    tall = f'<table role="table"><tbody role="rowgroup"><tr role="row">{words}</tr></tbody></table></main>'
    with printed(browser, html(HELL).replace("</main>", tall), "A4") as pdf:
        assert max(len(one) for one in rows(pdf)) > 1


def on_paper(page: str) -> str:
    """The page without what is not printed: the figures, and of labels what the screen shows in their place."""
    held = re.sub("<details.*</details>", "", page, flags=re.DOTALL)
    return re.sub(r' labelled".*?<div class="sheets">', ' labelled"', held, flags=re.DOTALL)


def alone(browser: Browser, page: str, anchor: str, folder: Path) -> list[str]:
    """The papers that are printed where one was opened from the contents first."""
    path = folder / "page.html"
    path.write_text(page, encoding="utf-8")
    tab = browser.new_context(java_script_enabled=True).new_page()
    tab.goto(f"{path.as_uri()}#{anchor}")
    with pdfplumber.open(io.BytesIO(tab.pdf(format="A4", prefer_css_page_size=True))) as pdf:
        found = [name for name, _ in groupby(name for name, _, _ in feet(pdf))]
    tab.context.close()
    return found


def test_a_page_that_was_opened_is_printed_alone_and_so_are_the_figures(browser: Browser, tmp_path: Path) -> None:
    page = page_of("owner")
    names = dict(re.findall(r'<section id="([\w-]+)" class="\w+ ([\w-]+)', page))
    kitchen = next(name for name, kind in names.items() if kind == "kitchen")
    costs = next(name for name, kind in names.items() if kind == "costs")
    assert [one.split(" - ")[0] for one in alone(browser, page, kitchen, tmp_path)] == ["Kitchen"]
    assert [one.split(" - ")[0] for one in alone(browser, page, costs, tmp_path)] == ["What it costs"]
    figures = [one.split(" - ")[0] for one in alone(browser, page, "figures", tmp_path)]
    assert "Kitchen" not in figures
    assert {"Summary", "Counter sheet", "Bag list", "Cautions"} <= set(figures)


def without_labels(page: str) -> str:
    """The page without its labels, which take long to print and have tests of their own."""
    labels = r'<section id="[\w-]+" class="[^"]* labelled".*?(?=<details|<section id="paper-)'
    assert len(re.findall(labels, page, flags=re.DOTALL)) == 1
    return re.sub(labels, "", page, flags=re.DOTALL)


@pytest.mark.parametrize(
    ("name", "most"), [("owner", 6), ("household", 12), ("kennel", 20), ("volunteer", 25), ("pounds", 6)]
)
def test_a_batch_is_few_sheets_of_paper(browser: Browser, name: str, most: int) -> None:
    """Sheets of A4 without those of labels. **Source:** our own goals."""
    page = without_labels(page_of(name))
    with printed(browser, page, "A4") as pdf:
        held = [one.split(" - ")[0].partition(":")[0] for one, _, _ in feet(pdf)]
        assert len(pdf.pages) == len(held) <= most
    assert held.count("Fridge door") == 1
    # whatever is wider than its paper makes a browser shrink every page, and labels miss their sheets
    for name_of, width_mm in (("section:not(.wide)", 210 - 28), ("section.wide", 297 - 28)):
        tab = opened(browser, page, width=int(width_mm * MM_PX))
        tab.emulate_media(media="print")
        widest = f"""() => Math.max(0, ...[...document.querySelectorAll('main > {name_of} *')]
            .filter(one => !one.closest('.sheets')).map(one => one.getBoundingClientRect().right))"""
        assert _asked(tab, widest) <= width_mm * MM_PX + 1
        tab.context.close()
    if name in {"owner", "household", "pounds"}:
        assert held.count("Kitchen") <= (2 if name == "household" else 1)
        assert held.count("Shop") == page.count(" shopping-list")


def test_ticks_are_kept_when_the_page_is_opened_again_and_not_for_another_plan(
    browser: Browser, tmp_path: Path
) -> None:
    first, second = tmp_path / "first.html", tmp_path / "second.html"
    first.write_text(page_of("owner"), encoding="utf-8")
    second.write_text(page_of("pounds"), encoding="utf-8")
    context = browser.new_context(java_script_enabled=True)
    tab = context.new_page()
    tab.goto(first.as_uri())
    boxes = tab.locator("input[type=checkbox]")
    boxes.nth(1).check()
    boxes.nth(3).check()
    boxes.nth(3).uncheck()
    tab.reload()
    assert [place for place in range(boxes.count()) if boxes.nth(place).is_checked()] == [1]
    tab.goto(second.as_uri())
    assert tab.locator("input:checked").count() == 0
    context.close()


def test_headings_are_repeated_where_a_table_goes_on(browser: Browser) -> None:
    unfolded = page_of("owner", "--prices").replace("<details", "<div").replace("</details", "</div")
    with printed(browser, unfolded, "A4") as pdf:
        found = [(heads, set().union(*below)) for heads, below in tables(pdf) if below]
        assert all(below <= heads for heads, below in found)
        assert sum(len(below) > 1 for _, below in found) >= 3


def test_nothing_is_wider_than_a_phone(browser: Browser, page: str) -> None:
    tab = opened(browser, page, width=PHONE_PX, height=800)
    widest = """() => [document.documentElement.scrollWidth, document.body.scrollWidth,
        ...[...document.querySelectorAll('main *')]
            .filter(one => !['hidden', 'clip'].includes(getComputedStyle(one).overflowX))
            .filter(one => one.clientWidth > 1 && one.scrollWidth > one.clientWidth + 1)
            .map(one => one.scrollWidth)]"""
    assert max(_asked(tab, widest)) <= PHONE_PX
    edges = "() => Math.max(...[...document.querySelectorAll('main *')].map(one => one.getBoundingClientRect().right))"
    assert _asked(tab, edges) <= PHONE_PX
    tab.context.close()


COLOURS = """() => {
    for (const fold of document.querySelectorAll('details')) fold.open = true;
    const seen = {};
    const painted = one => {
        for (let at = one; at; at = at.parentElement) {
            const colour = getComputedStyle(at).backgroundColor;
            if (!/, 0\\)$/.test(colour)) return colour;
        }
        return 'rgb(255, 255, 255)';
    };
    for (const one of document.querySelectorAll('body *')) {
        const own = [...one.childNodes].some(node => node.nodeType == 3 && node.textContent.trim());
        if (!own || !one.getClientRects().length || one.closest('title, desc')) continue;
        const style = getComputedStyle(one);
        const ink = one.closest('svg') ? style.fill : style.color;
        seen[ink + ' on ' + painted(one)] = one.tagName;
    }
    return Object.keys(seen);
}"""


@pytest.mark.parametrize(("medium", "scheme"), [("screen", "light"), ("screen", "dark"), ("print", "dark")])
def test_every_text_stands_out_from_what_is_behind_it(
    browser: Browser, page: str, medium: Literal["screen", "print"], scheme: Literal["light", "dark"]
) -> None:
    tab = opened(browser, page)
    tab.emulate_media(media=medium, color_scheme=scheme)
    is_dark = tab.locator("body").evaluate("one => getComputedStyle(one).color") != "rgb(22, 22, 22)"
    assert is_dark == ((medium, scheme) != ("screen", "light"))  # black on paper, light letters in the dark
    pairs = [re.findall(r"rgb\((\d+), (\d+), (\d+)\)", pair) for pair in _asked(tab, COLOURS)]
    assert len(pairs) >= 1
    assert min(_contrast(ink, behind) for ink, behind in pairs) >= LEAST_CONTRAST
    tab.context.close()


def test_the_contrast_is_reckoned_as_it_is_published() -> None:
    assert _contrast(("0", "0", "0"), ("255", "255", "255")) == pytest.approx(21)
    assert _contrast(("118", "118", "118"), ("255", "255", "255")) == pytest.approx(4.54, abs=0.01)


def _contrast(ink: tuple[str, ...], behind: tuple[str, ...]) -> float:
    """How much lighter one colour is than another. **Source:** WCAG 2.2, contrast ratio, from memory, not looked up."""
    light, dark = sorted((_luminance(ink), _luminance(behind)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: tuple[str, ...]) -> float:
    """**Source:** WCAG 2.2, relative luminance, from memory, not looked up."""
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (int(one) / 255 for one in colour)
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_tables_and_charts_say_what_they_are(browser: Browser, page: str) -> None:
    tab = opened(browser, page)
    assert tab.locator("html").get_attribute("lang") == "en"
    for place in range(tab.locator("table").count()):
        table = tab.locator("table").nth(place)
        assert table.locator("caption").count() == 1
        assert (table.locator("caption").text_content() or "").strip()
    assert tab.locator("thead th:not([scope=col]):not([scope=colgroup])").count() == 0
    assert tab.locator("tbody th:not([scope=row])").count() == 0
    assert tab.locator("svg:not(:has(title)), svg:not(:has(desc)), svg:not([role=img])").count() == 0
    assert tab.locator("[style], link, img, iframe, object").count() == 0
    ids = _asked(tab, "() => [...document.querySelectorAll('[id]')].map(one => one.id)")
    assert len(set(ids)) == len(ids)
    tab.context.close()


def test_hostile_names_are_shown_as_they_are(browser: Browser) -> None:
    tab = opened(browser, html(HELL))
    shown = [" ".join(one.split()) for one in tab.locator("tbody th").all_text_contents()]
    assert "<script>alert(1)</script>" in shown
    assert "[link](https://example.org)" in shown
    assert "=1+1" in shown
    assert any(one.replace("\u00ad", "") == "x" * 200 for one in shown)
    assert len(shown) >= len([name for name in NAMES if name.strip()]) - 1
    tab.context.close()


@pytest.mark.parametrize("width", [PHONE_PX, 1000])
def test_an_engine_for_accessibility_finds_nothing(browser: Browser, axe: str, page: str, width: int) -> None:
    tab = opened(browser, page, scripts=True, width=width)
    _asked(tab, "() => { for (const fold of document.querySelectorAll('details')) fold.open = true; }")
    tab.evaluate(axe)
    found: dict[str, Any] = tab.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
    told = [(one["id"], [node["html"][:200] for node in one["nodes"]][:3]) for one in found["violations"]]
    assert told == [], json.dumps(told, indent=1)
    tab.context.close()


def _asked(tab: Page, question: str) -> Any:
    """The answer of the browser to a question of ours, asked from outside the page."""
    return tab.evaluate(question)


def test_on_a_phone_a_whole_line_ticks_its_box(browser: Browser) -> None:
    tab = opened(browser, page_of("owner"), width=PHONE_PX, height=800)
    line = tab.locator("section.shopping-list tr.item").nth(2)
    size = line.bounding_box()
    assert size is not None
    line.click(position={"x": size["width"] - 20, "y": size["height"] / 2}, force=True)
    assert line.locator("input").is_checked()
    assert tab.locator("input:checked").count() == 1
    tab.context.close()
