"""Every example in a docstring gives what it shows, and none is overlooked.

**Source:** the examples themselves; what is counted is the text of the sources; no outside source.
"""

import doctest
import importlib
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PROMPT = re.compile(r"^ *>>> ", re.MULTILINE)


def examples(path: Path) -> int:
    """How many lines of a source ask the interpreter."""
    return len(PROMPT.findall(path.read_text(encoding="utf-8")))


WITH_EXAMPLES = [path for path in sorted((ROOT / "raworder").rglob("*.py")) if examples(path)]


@pytest.mark.parametrize("path", WITH_EXAMPLES, ids=lambda path: str(path.relative_to(ROOT)))
def test_the_examples_of_a_module_give_what_they_show(path: Path) -> None:
    module = importlib.import_module(".".join(path.relative_to(ROOT).with_suffix("").parts))
    result = doctest.testmod(module, raise_on_error=False)
    assert (result.failed, result.attempted) == (0, examples(path))


def test_there_are_examples() -> None:
    assert sum(map(examples, WITH_EXAMPLES)) >= 47
