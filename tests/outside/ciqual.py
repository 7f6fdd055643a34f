"""The table of an independent laboratory, as text, for the tests that compare with it.

**Source:** ANSES CIQUAL 2017, `TableCiqual2017.csv` inside the registry package `pyfood==0.0.5`; none of its code runs.
"""

import csv
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from pathlib import Path


def rows(path: Path, encoding: str = "utf-8") -> list[dict[str, str]]:
    """The rows of a table, by heading."""
    with path.open(encoding=encoding, newline="") as file:
        return list(csv.DictReader(file))


def number(text: str) -> Fraction | None:
    """A value with its decimal comma; none where it is missing or below a limit."""
    text = text.strip()
    return None if text in {"-", "", "traces"} or "<" in text else Fraction(text.replace(",", "."))


@cache
def ciqual_foods() -> dict[str, dict[str, str]]:
    """The foods of the table, by their code."""
    spec = find_spec("pyfood")
    assert spec is not None
    assert spec.origin is not None
    table = Path(spec.origin).parent / "assets" / "nutri" / "CIQUAL" / "TableCiqual2017.csv"
    return {row["alim_code"].strip(): row for row in rows(table, "latin-1")}
