"""The widths of letters as a TrueType file tells them: `hmtx` for what a letter takes, `cmap` for which it is.

**Source:** the OpenType specification, tables `head`, `hhea`, `hmtx` and `cmap` (format 4), from memory, not looked up.
"""

import struct
from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cache
from math import ceil
from pathlib import Path

FOLDERS = (Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), Path("/Library/Fonts"))
REGULAR, BOLD = ("LiberationSans-Regular", "DejaVuSans"), ("LiberationSans-Bold", "DejaVuSans-Bold")
"""The files of the typefaces that labels are set in: Liberation Sans is as wide as Arial, which they name first, and
DejaVu Sans is what `sans-serif` usually is where neither is."""


@cache
def file_of(name: str) -> Path | None:
    """The file of a typeface, None where it is not installed."""
    found = (path for folder in FOLDERS if folder.is_dir() for path in folder.rglob(f"{name}.ttf"))
    return next(iter(sorted(found)), None)


@cache
def widths(path: Path) -> Mapping[str, Fraction]:
    """What each letter of the file takes, in sizes of the letters."""
    data = path.read_bytes()
    tables = {
        data[at : at + 4]: struct.unpack(">II", data[at + 8 : at + 16])
        for at in range(12, 12 + 16 * struct.unpack(">H", data[4:6])[0], 16)
    }
    per_size = _short(data, tables[b"head"][0] + 18)
    count = _short(data, tables[b"hhea"][0] + 34)
    start = tables[b"hmtx"][0]
    advances = [_short(data, start + 4 * number) for number in range(count)]
    glyphs = dict(_glyphs(data, tables[b"cmap"][0]))
    return {chr(code): Fraction(advances[min(glyph, count - 1)], per_size) for code, glyph in glyphs.items() if glyph}


def widest(names: tuple[str, ...], letter: str) -> int | None:
    """The most that a letter takes in those typefaces, in whole thousandths; None where one is missing or lacks it."""
    files = [file_of(name) for name in names]
    found = [widths(path).get(letter) for path in files if path]
    known = [one for one in found if one is not None]
    return ceil(max(known) * 1000) if len(known) == len(names) else None


def _short(data: bytes, at: int) -> int:
    return int(struct.unpack(">H", data[at : at + 2])[0])


def _glyphs(data: bytes, start: int) -> Iterator[tuple[int, int]]:
    """Glyphs by the codes of letters, from the table for the basic plane."""
    for number in range(_short(data, start + 2)):
        platform, encoding, offset = struct.unpack(">HHI", data[start + 4 + 8 * number : start + 12 + 8 * number])
        if (platform, encoding) == (3, 1) and _short(data, start + offset) == 4:
            yield from _segments(data, start + offset)


def _segments(data: bytes, at: int) -> Iterator[tuple[int, int]]:
    """The codes of format 4, segment by segment."""
    twice = _short(data, at + 6)
    for place in range(0, twice, 2):
        end, begin = _short(data, at + 14 + place), _short(data, at + 16 + twice + place)
        delta, ranged = _short(data, at + 16 + 2 * twice + place), at + 16 + 3 * twice + place
        offset = _short(data, ranged)
        for code in range(begin, min(end, 0xFFFE) + 1):
            glyph = _short(data, ranged + offset + 2 * (code - begin)) if offset else code
            yield code, (glyph + delta) % 65536 if glyph or not offset else 0
