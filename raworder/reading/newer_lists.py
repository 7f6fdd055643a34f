"""Which of a supplier's lists is newer, by the numbers and months in the names of their files."""

import re
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType


def newer_list(folder: Path, file: str) -> str:
    """The file beside a price list that has its name but for a later day or month; empty for none.

    >>> newer_list(Path("nowhere"), "northfold-2027-02.csv")
    ''
    """
    named = folder / file
    stem, numbers = _name_and_numbers(named)
    newest, name = numbers, ""
    for other in sorted(named.parent.glob(f"*{named.suffix}")) if named.parent.is_dir() else ():
        if (found := _name_and_numbers(other))[0] == stem and found[1] > newest:
            newest, name = found[1], other.relative_to(folder).as_posix()
    return name


def _name_and_numbers(path: Path) -> tuple[str, tuple[int, ...]]:
    """The letters of a file's name, and the numbers in it, months by name among them; years first.

    >>> _name_and_numbers(Path("mill-feb-2027.csv")) < _name_and_numbers(Path("Mill mar 2027.csv"))
    True
    """
    pieces = [_MONTHS.get(piece, piece) for piece in re.findall(r"[^\W\d_]+|[0-9]{1,9}", path.stem.casefold())]
    numbers = [int(piece) for piece in pieces if piece.isdecimal()]
    letters = "".join(piece for piece in pieces if not piece.isdecimal())
    return letters, tuple(sorted(numbers, key=lambda number: number < _A_YEAR))


_A_YEAR = 1900
_MONTHS: Mapping[str, str] = MappingProxyType({
    word: str(number)
    for number, words in enumerate(
        (
            "jan january januar", "feb february februar", "mar march mrz mär märz maerz", "apr april", "may mai",
            "jun june juni", "jul july juli", "aug august", "sep sept september", "oct october okt oktober",
            "nov november", "dec december dez dezember",
        ),
        1,
    )
    for word in words.split()
})  # fmt: skip
"""Months as file names call them, in English and German."""
