"""The floors hold: every module keeps to its place, its size and its manners; and each checker can complain.

**Source:** the house's own rules, told in the contributor's guide; no outside source.
"""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.house import floors
from tests.house.floors import Source, source

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "raworder"
HEAVY = (
    "highspy", "icalendar", "jinja2", "numpy", "openpyxl", "pandas", "pulp", "pydantic", "rich", "xlsxwriter", "yaml",
)  # fmt: skip
Checker = Callable[[Source], Iterator[str]]


@cache
def _sources(folder: Path) -> tuple[Source, ...]:
    return tuple(source(_module(path), path.read_text(encoding="utf-8")) for path in sorted(folder.rglob("*.py")))


def _module(path: Path) -> str:
    names = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(names[:-1] if names[-1] == "__init__" else names)


def _complaints(checker: Checker, folder: Path = PACKAGE) -> list[str]:
    return [said for one in _sources(folder) for said in checker(one)]


def _says(checker: Checker, text: str, module: str = "raworder.reading.sample") -> list[str]:
    return list(checker(source(module, text)))


CHECKERS = (
    floors.imports_from_above,
    floors.early_imports_of_the_roof,
    floors.libraries_away_from_home,
    floors.work_at_import,
    floors.changeable_things,
    floors.floats,
    floors.long_modules,
    floors.long_functions,
    floors.missing_docstrings,
    floors.ignores_without_reason,
)


@pytest.mark.slow
@pytest.mark.parametrize("checker", CHECKERS, ids=lambda checker: checker.__name__)
def test_the_house_keeps_the_floor(checker: Checker) -> None:
    assert _complaints(checker) == []


@pytest.mark.slow
def test_the_house_has_sources_on_every_floor_that_is_built() -> None:
    rooms = {one.room for one in _sources(PACKAGE)}
    assert rooms >= {"raworder", *floors.FOLDERS, "workflow", "cli"}


@pytest.mark.slow
def test_no_module_imports_in_a_circle() -> None:
    assert list(floors.import_cycles(_sources(PACKAGE))) == []


@pytest.mark.slow
def test_no_module_is_a_scrap_of_another() -> None:
    assert list(floors.scraps(_sources(PACKAGE))) == []


@pytest.mark.slow
def test_no_two_folders_have_a_file_of_the_same_name() -> None:
    assert list(floors.names_used_twice(_sources(PACKAGE))) == []


@pytest.mark.slow
def test_ignores_in_tests_have_their_reasons_too() -> None:
    assert _complaints(floors.ignores_without_reason, ROOT / "tests") == []


BROKEN = (
    (floors.imports_from_above, "from raworder.solving.groups import Group", "raworder.reading.sample"),
    (floors.imports_from_above, "def f():\n    from raworder.solving import groups", "raworder.reading.sample"),
    (floors.imports_from_above, "from raworder import workflow", "raworder.solving.sample"),
    (floors.imports_from_above, "import raworder.workflow", "raworder.trade.scenario"),
    (floors.imports_from_above, "from raworder.cli import main", "raworder.commands.console"),
    (floors.imports_from_above, "from . import located", "raworder.reading.sample"),
    (floors.imports_from_above, "", "raworder.attic"),
    (floors.early_imports_of_the_roof, "from raworder.workflow import plan_batch", "raworder.cli"),
    (floors.early_imports_of_the_roof, "from raworder.trade.units import Unit", "raworder.trade.outputs"),
    (floors.libraries_away_from_home, "def f():\n    import yaml", "raworder.solving.sample"),
    (floors.libraries_away_from_home, "import requests", "raworder.reading.sample"),
    (floors.libraries_away_from_home, "import pandas as pd", "raworder.rendering.sample"),
    (floors.work_at_import, "TEXT = Path('a').read_text()", "raworder.reading.sample"),
    (floors.work_at_import, "class Form:\n    text = open('a')", "raworder.reading.sample"),
    (floors.work_at_import, "def f(text=open('a')):\n    pass", "raworder.reading.sample"),
    (floors.changeable_things, "WORDS = ['a']", "raworder.reading.sample"),
    (floors.changeable_things, "WORDS: dict[str, str] = {}", "raworder.reading.sample"),
    (floors.changeable_things, "WORDS = (1, [2])", "raworder.reading.sample"),
    (floors.changeable_things, "WORDS = {w for w in 'ab'}", "raworder.reading.sample"),
    (floors.changeable_things, "WORDS = dict(a=1)", "raworder.reading.sample"),
    (floors.changeable_things, "if True:\n    WORDS = []", "raworder.reading.sample"),
    (floors.changeable_things, "class Form:\n    words = []", "raworder.reading.sample"),
    (floors.changeable_things, "def f():\n    global a\n    a = 1", "raworder.reading.sample"),
    (floors.changeable_things, "@functools.lru_cache(maxsize=None)\ndef f(text): ...", "raworder.reading.sample"),
    (floors.floats, "x = 0.5", "raworder.reading.sample"),
    (floors.floats, "def f(text):\n    return float(text)", "raworder.reporting.sample"),
    (floors.long_modules, "x = 1\n" * 501, "raworder.reading.sample"),
    (floors.long_functions, 'def f():\n    """Says."""\n' + "    x = 1\n" * 26, "raworder.reading.sample"),
    (floors.missing_docstrings, "x = 1", "raworder.reading.sample"),
    (floors.missing_docstrings, '"""A module."""\nclass _Form:\n    x = 1', "raworder.reading.sample"),
    (floors.missing_docstrings, '"""A module."""\ndef f(): ...', "raworder.reading.sample"),
    (floors.missing_docstrings, '"""a module without an end"""', "raworder.reading.sample"),
    (floors.ignores_without_reason, "x = 1  # noqa", "raworder.reading.sample"),
    (floors.ignores_without_reason, "x = 1  # noqa: E501", "raworder.reading.sample"),
    (floors.ignores_without_reason, "x = f()  # type: ignore[no-any-return]", "raworder.reading.sample"),
    (floors.ignores_without_reason, "x = f()  # type: ignore # because", "raworder.reading.sample"),
)


@pytest.mark.parametrize(("checker", "text", "module"), BROKEN)
def test_a_broken_floor_is_complained_about_once(checker: Checker, text: str, module: str) -> None:
    assert len(_says(checker, text, module)) == 1


SOUND = (
    (
        floors.imports_from_above,
        "from raworder.reading.located import x\nfrom raworder.trade.scenario import y\nimport csv",
    ),
    (floors.libraries_away_from_home, "if TYPE_CHECKING:\n    import openpyxl\ndef f():\n    import yaml"),
    (floors.libraries_away_from_home, "import pydantic\nimport csv\nfrom raworder.trade import units"),
    (floors.work_at_import, "def f():\n    return open('a')\ng = lambda: open('a')"),
    (floors.changeable_things, "A = (1, 2)\nB = frozenset({1})\nC = MappingProxyType({1: 2})\nD = tuple([1])"),
    (floors.changeable_things, "def f():\n    x = [1]"),
    (floors.changeable_things, "@cache\ndef f(): ..."),
    (floors.floats, "x = '0.5'\ny = Fraction(1, 2)"),
    (floors.long_modules, "x = 1\n" * 500),
    (floors.long_functions, 'def f():\n    """Says.\n\n    More.\n    """\n' + "    x = 1\n" * 25),
    (floors.missing_docstrings, '"""A module."""\ndef _f():\n    def g(): ...'),
    (floors.ignores_without_reason, "x = 1  # noqa: E501, E502 - a table\ny = f()  # type: ignore[misc] # untyped"),
    (floors.ignores_without_reason, "x = '# noqa'"),
)


@pytest.mark.parametrize(("checker", "text"), SOUND)
def test_a_sound_source_is_not_complained_about(checker: Checker, text: str) -> None:
    assert _says(checker, text) == []


def test_the_roof_may_read_light_tables_at_its_head() -> None:
    assert _says(floors.early_imports_of_the_roof, "from raworder.trade.outputs import FORMATS", "raworder.cli") == []


def test_a_circle_is_told_with_its_modules_even_when_closed_late() -> None:
    sources = (
        source("raworder.reading.a", "from raworder.reading.b import x"),
        source("raworder.reading.b", "def f():\n    from raworder.reading import a"),
        source("raworder.reading.c", "from raworder.reading.b import x"),
    )
    assert list(floors.import_cycles(sources)) == ["raworder.reading.a -> raworder.reading.b -> raworder.reading.a"]


def test_a_short_module_with_one_importer_beside_it_is_complained_about_once() -> None:
    sources = (
        source("raworder.reading.a", "from raworder.reading.b import x\nfrom raworder.reading.c import y"),
        source("raworder.reading.b", "x = 1\n" * (floors.LEAST_MODULE_LINES - 1)),
        source("raworder.reading.c", "y = 1\n" * floors.LEAST_MODULE_LINES),
    )
    assert list(floors.scraps(sources)) == ["raworder.reading.b: 79 lines, for raworder.reading.a alone"]


def test_a_name_in_two_folders_is_complained_about_once() -> None:
    sources = (source("raworder.reading.weeks", ""), source("raworder.auditing.weeks", ""))
    assert list(floors.names_used_twice(sources)) == ["weeks: raworder.auditing.weeks, raworder.reading.weeks"]


LOOK = """
import atexit, json, sys
said, sys.stdout = sys.stdout, open({nowhere!r}, "w", encoding="utf-8")
atexit.register(lambda: print(json.dumps([name for name in {heavy!r} if name in sys.modules]), file=said))
sys.argv = ["raworder", *{arguments!r}]
from raworder.cli import main
main()
"""


def _loaded(tmp_path: Path, *arguments: str) -> set[str]:
    """The heavy libraries that a command has loaded when it ends."""
    code = LOOK.format(heavy=HEAVY, arguments=arguments, nowhere=str(tmp_path / "stdout"))
    ended = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    return set(json.loads(ended.stdout))


PLANNING = {"highspy", "numpy", "pulp", "pydantic", "rich", "yaml"}
"""What a plan needs whose lists stand in the scenario."""

LOADS: tuple[tuple[tuple[str, ...], set[str]], ...] = (
    (("--help",), set()),
    (("--version",), set()),
    (("scenarios",), set()),
    (("plan", "--help"), set()),
    (("cuts", "neck", "--json"), set()),
    (("help",), {"rich"}),
    (("help", "counter"), {"rich"}),
    (("help", "rules"), {"rich"}),
    (("help", "findings"), {"rich"}),
    (("help", "no-unit"), {"rich"}),
    (("help", "plan"), set()),
    (("help", "scenario"), {"pydantic", "rich"}),
    (("schema",), {"pydantic"}),
    (("check", "scenarios/owner.yaml"), {"pydantic", "rich", "yaml"}),
    (("plan", "scenarios/owner.yaml"), PLANNING),
    (("plan", "scenarios/owner.yaml", "--json"), PLANNING - {"rich"}),
    (("check", "scenarios/volunteer.yaml"), {"pydantic", "rich", "yaml"}),
)


@pytest.mark.slow
@pytest.mark.parametrize(("arguments", "libraries"), LOADS, ids=[" ".join(arguments) for arguments, _ in LOADS])
def test_a_command_loads_the_heavy_libraries_that_it_needs_and_no_others(
    arguments: tuple[str, ...], libraries: set[str], tmp_path: Path
) -> None:
    assert _loaded(tmp_path, *arguments) == libraries


LOADS_OF_OURS: tuple[tuple[tuple[str, ...], str, set[str]], ...] = (
    (("--help",), "raworder.", {"cli", "commands", "commands.console", "rendering", "rendering.clean"}),
    (("plan", "--help"), "raworder.commands.", {"console", "desk", "papers", "plan_at_hand", "planning", "questions"}),
    (("check", "scenarios/owner.yaml"), "raworder.solving", set()),
    (("check", "scenarios/owner.yaml"), "raworder.portioning", set()),
    (("check", "scenarios/owner.yaml"), "raworder.studies", set()),
    (("cuts", "neck"), "raworder.commands.", {"console", "desk", "lookup"}),
)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("arguments", "begin", "modules"),
    LOADS_OF_OURS,
    ids=[f"{' '.join(loads[0])} {loads[1]}" for loads in LOADS_OF_OURS],
)
def test_a_command_loads_the_modules_of_ours_that_it_needs_and_no_others(
    arguments: tuple[str, ...], begin: str, modules: set[str], tmp_path: Path
) -> None:
    all_of_ours = [one.module for one in _sources(PACKAGE)]
    code = LOOK.format(heavy=all_of_ours, arguments=arguments, nowhere=str(tmp_path / "stdout"))
    ended = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    loaded = {name for name in json.loads(ended.stdout) if name.startswith(begin)}
    assert loaded == {begin + module for module in modules}


@pytest.mark.slow
def test_a_form_is_built_when_it_is_first_read() -> None:
    code = "from raworder.reading.form import BatchForm; print(BatchForm.__pydantic_complete__)"
    ended = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert ended.stdout == "False\n"


OURS = ("raworder", "data", "scenarios")
WALK = """
import importlib, json, sys
opened = []
sys.addaudithook(lambda event, of: opened.append(str(of[0])) if event == "open" else None)
mutable = []
for name in {modules!r}:
    module = importlib.import_module(name)
    for key, value in vars(module).items():
        if not key.startswith("__") and type(value) in (list, dict, set, bytearray):
            mutable.append(name + "." + key)
print(json.dumps([opened, mutable]))
"""


@pytest.mark.slow
def test_importing_every_module_opens_none_of_our_data_prints_nothing_and_leaves_nothing_changeable() -> None:
    code = WALK.format(modules=[one.module for one in _sources(PACKAGE)])
    env = {name: value for name, value in os.environ.items() if name != "PYTHONPYCACHEPREFIX"}  # it hides our files
    words = [sys.executable, "-B", "-c", code]
    ended = subprocess.run(words, cwd=ROOT, env=env, capture_output=True, text=True, check=True)
    opened, mutable = json.loads(ended.stdout)
    inside = [Path(path) for path in opened if path.startswith(tuple(f"{ROOT / name}/" for name in OURS))]
    assert any(path.name.startswith("cli.") for path in inside)
    assert [path for path in inside if path.suffix not in {".py", ".pyc"}] == []
    assert mutable == []
