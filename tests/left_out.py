"""What no Python package brings. A test that needs such a thing is left out where it is not there, and says why.

The gate installs them all and fails when any test was left out.
"""

import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

NO_OFFICE = "there is no `soffice`: install LibreOffice Calc"
NO_AXE = "there is no axe-core: install its npm package, and name its axe.min.js in RAWORDER_AXE"


NO_TYPEFACES = "typefaces are missing: install Liberation Sans and DejaVu Sans"


def program(name: str) -> str:
    """Where the program is; the test that asks is left out where it is not."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"there is no `{name}`: install it")
    return found


def needs_office() -> pytest.MarkDecorator:
    """Marks tests that need an office program."""
    return pytest.mark.skipif(not shutil.which("soffice"), reason=NO_OFFICE)


def typefaces(names: Sequence[str], file_of: Callable[[str], Path | None]) -> None:
    """Leave out the test that asks where a file of a typeface is not there."""
    missing = [name for name in names if file_of(name) is None]
    if missing:
        pytest.skip(f"{NO_TYPEFACES} ({', '.join(missing)})")
