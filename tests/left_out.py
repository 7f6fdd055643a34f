"""What no Python package brings. A test that needs such a thing is left out where it is not there, and says why.

The gate installs them all and fails when any test was left out.
"""

import shutil

import pytest

NO_OFFICE = "there is no `soffice`: install LibreOffice Calc"
NO_AXE = "there is no axe-core: install its npm package, and name its axe.min.js in RAWORDER_AXE"


def program(name: str) -> str:
    """Where the program is; the test that asks is left out where it is not."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"there is no `{name}`: install it")
    return found


def needs_office() -> pytest.MarkDecorator:
    """Marks tests that need an office program."""
    return pytest.mark.skipif(not shutil.which("soffice"), reason=NO_OFFICE)
