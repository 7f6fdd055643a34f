"""Characters that no text may hold, and names that show nothing. All names are invented.

**Source:** the categories of Unicode as Python's `unicodedata` has them; which characters are noncharacters from
memory, not looked up. What papers leave out of a name is asked of the rendering itself.
"""

import json
import sys
import time
import unicodedata
from pathlib import Path

import pytest

from raworder.reading.answers import NAME, check_answer, printable
from raworder.rendering.clean import one_line
from raworder.trade.units import UnitError
from tests.drawn import some
from tests.reading.written import DOG, a_text, reading_of, slugs

JOINERS = "\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}"
INVISIBLE = (
    "\N{HANGUL FILLER}", "\N{HANGUL CHOSEONG FILLER}", "\N{HANGUL JUNGSEONG FILLER}", "\N{HALFWIDTH HANGUL FILLER}",
    "\N{BRAILLE PATTERN BLANK}", JOINERS, "\N{COMBINING ACUTE ACCENT}", "\N{VARIATION SELECTOR-16}",
    "\N{NO-BREAK SPACE}\N{ZERO WIDTH JOINER}\N{IDEOGRAPHIC SPACE}",
)  # fmt: skip
SHOWN = (
    "Zoë", "e\N{COMBINING ACUTE ACCENT}", "日本語", "\N{DOG FACE}", "\N{HEAVY BLACK HEART}\N{VARIATION SELECTOR-16}",
    "\N{WOMAN}\N{ZERO WIDTH JOINER}\N{DOG FACE}", "می\N{ZERO WIDTH NON-JOINER}خواهم", "\ue000",
)  # fmt: skip


def said(text: str) -> str | None:
    """The text as it was taken, or None where it was refused."""
    try:
        return printable(text)
    except UnitError:
        return None


@pytest.mark.long
def test_no_name_holds_a_character_that_papers_leave_out() -> None:
    every = [f"A{chr(code)}B" for code in (*range(0x3000), *some(range(0x3000, sys.maxunicode + 1), 50_000))]
    changed = [one for one in every if not one[1].isspace() and one_line(one) != one and said(one) is not None]
    assert changed == []


@pytest.mark.slow
def test_nothing_but_characters_of_control_and_noncharacters_is_refused() -> None:
    refused = {one for one in map(chr, range(sys.maxunicode + 1)) if said(f"A{one}B") is None}
    categories = {unicodedata.category(one) for one in refused}
    assert categories == {"Cc", "Cf", "Cs", "Zl", "Zp", "Cn"}
    assert len([one for one in refused if unicodedata.category(one) == "Cn"]) == 66
    assert not refused & set(JOINERS + "\t\n")


def test_two_dogs_that_print_alike_are_never_taken_for_two(tmp_path: Path) -> None:
    twin = DOG.replace("Maple", '"Maple\\U000E0041"')
    assert slugs(reading_of(tmp_path, a_text(dogs=f"  - {DOG}\n  - {twin}"))) == ["control-character"]


@pytest.mark.parametrize("name", INVISIBLE)
def test_a_name_of_which_nothing_shows_is_refused_as_an_empty_one(name: str, tmp_path: Path) -> None:
    with pytest.raises(UnitError, match=r"nothing of the name can be seen|the name is empty") as refused:
        check_answer(name, NAME)
    assert refused.value.slug == "empty-value"
    assert slugs(
        reading_of(tmp_path, a_text(dogs=f"  - {DOG.replace('Maple', json.dumps(name, ensure_ascii=False))}"))
    ) == ["empty-value"]


@pytest.mark.parametrize("name", SHOWN)
def test_a_name_that_shows_is_taken_as_it_is(name: str) -> None:
    assert said(name) == unicodedata.normalize("NFC", name)


def test_the_characters_of_a_long_text_are_looked_at_in_no_time(tmp_path: Path) -> None:
    wide = "# Zoë 日本語 \N{DOG FACE}\n" * 70_000
    started = time.monotonic()
    assert slugs(reading_of(tmp_path, wide + a_text().replace("Maple", "Ma\N{SOFT HYPHEN}ple"))) in (
        ["control-character"], ["too-large"],
    )  # fmt: skip
    assert time.monotonic() - started < 2
