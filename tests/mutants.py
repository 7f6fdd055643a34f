"""How strong the tests are: breaks the program in one small place at a time, and tells which breaks no test notices.

Run in the project's folder, on demand:

    python -m tests.mutants                              60 changes of everything below, by a seed that is printed
    python -m tests.mutants --count 400 --seed 7         more of them, and the same again
    python -m tests.mutants --modules bags,units         only groups of `MODULES`, or files whose path holds a word

The sources stay as they are: a change lives in the memory of a process of its own, which has loaded the heavy libraries
already and imports the program with the change in it. First, and again when a test file has changed, every test is run
once to note how long it takes and which functions it comes through; a change is then tried by the test files that come
through its function, the quickest first. What is noted is kept beside pytest's own notes. A change that makes
tests run for much longer is noticed too. `tests/equivalents.txt` holds changes that change nothing, and why.
"""

import argparse
import ast
import json
import multiprocessing
import os
import random
import resource
import signal
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, SourceFileLoader
from importlib.util import spec_from_file_location
from pathlib import Path
from time import perf_counter
from types import CodeType, FrameType, MappingProxyType

import pytest

from tests.mutations import Mutation, mutations, put

ROOT = Path(__file__).resolve().parents[1]
NOTES = ROOT / ".pytest_cache" / "mutants.json"
EQUIVALENTS = ROOT / "tests" / "equivalents.txt"
MODULES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "money": (
            "commands/counter", "portioning/bearing", "reporting/costs", "reporting/shares", "reporting/words",
            "solving/billing", "solving/constraints", "studies/paid_already", "studies/settling", "trade/as_fed",
            "trade/purchase", "trade/scenario",
        ),
        "rounding": ("portioning/finishing", "solving/sharing", "trade/rounding", "trade/units"),
        "audit": (
            "auditing/books", "auditing/buying", "auditing/checks", "auditing/facts_audit", "auditing/feeding",
            "auditing/filled_bags", "auditing/nutrients_fed", "auditing/weeks", "auditing/what_counts",
        ),
        "reading": (
            "reading/bag_settings", "reading/cell_tables", "reading/checked_form", "reading/currencies",
            "reading/dog_entries", "reading/foreign_lists", "reading/limits", "reading/list_tables",
            "reading/named_lists", "reading/names", "reading/names_files", "reading/offers", "reading/pack_words",
            "reading/price_lists", "reading/price_words", "reading/quantities", "reading/rations",
            "reading/receipt_rows", "reading/receipts", "reading/reference", "reading/saved_plan",
            "reading/scenario_file", "reading/sense",
        ),
        "bags": (
            "portioning/bag_amounts", "portioning/bag_choice", "portioning/bag_filling", "portioning/bag_needs",
            "portioning/bag_problem", "portioning/bag_rules", "portioning/fewest_kinds", "portioning/weighing",
            "solving/bag_room", "solving/bags_in_order", "trade/bags",
        ),
        "keeping": (
            "portioning/keeping", "reporting/freezing", "reporting/thaw_plan", "trade/batch_facts",
        ),
        "giving way": (
            "giving_way/bag_demands", "giving_way/demand", "giving_way/least_missed", "giving_way/money_and_stock",
            "giving_way/nutrient_ends", "giving_way/ranges_and_caps", "giving_way/smallest_change",
            "giving_way/variety",
        ),
    }
)  # fmt: skip
"""What is broken, by what it is about; `slugs` and forms are words."""

TESTS = (
    "test_*.py", "auditing", "portioning", "reporting", "reading", "solving", "house/test_examples.py", "data",
    "nourishing", "rendering", "properties", "cases", "hostile", "giving_way", "studies", "outside", "commands",
    "trade",
)  # fmt: skip
HEAVY = (
    "click.testing", "highspy", "hypothesis", "icalendar", "jinja2", "numpy", "openpyxl", "pandas", "pulp", "pydantic",
    "rich.console", "scipy.optimize", "xlsxwriter", "yaml",
)  # fmt: skip
QUIET = ("-qq", "-p", "no:cacheprovider", "-p", "no:xdist", "-W", "ignore::pytest.PytestAssertRewriteWarning")
LONGEST_S, LONGEST_FILE_S, MOST_NEAR_S, MOST_FAR_S, MEMORY = 8, 120, 60, 15, 8 * 2**30
"""A longer test is not asked, nor the rest of a longer file; a change is tried for so long by the tests of its
folder and by others; a process has so much."""

File = dict[str, tuple[float, list[str]]]
"""The tests of a file, each with its seconds and the functions that it comes through; collecting them stands as ``."""

Notes = dict[str, tuple[float, File]]
"""By test file: when it was changed, and its tests."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """A change of one file."""

    path: str
    tree: ast.Module
    change: Mutation

    @property
    def module(self) -> str:
        """The module's name."""
        return self.path.removesuffix(".py").replace("/", ".")

    @property
    def key(self) -> str:
        """The change without its line."""
        return f"{self.path} {self.change.scope}: {self.change.words()}"

    @property
    def is_in_no_function(self) -> bool:
        """Whether it is in a line of a module or of a class, which runs when it is imported."""
        return not self.change.scope.rpartition(".")[2].lstrip("_")[:1].islower()

    def is_reached(self, functions: Iterable[str]) -> bool:
        """Whether one of these is, or holds, its function; what is in none is reached with any of its module."""
        module, where = f"{self.module}:", f"{self.module}:{self.change.scope}"
        if self.is_in_no_function:
            return any(one.startswith(module) for one in functions)
        return any(one == where or where.startswith(f"{one}.") for one in functions)


class Broken(MetaPathFinder):
    """Imports one module with a change in it."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant

    def find_spec(self, name: str, *_: object) -> ModuleSpec | None:
        """Where that module is from; of others nothing is said."""
        if name != self.mutant.module:
            return None
        loader = FromTree(name, str(ROOT / self.mutant.path))
        loader.tree = self.mutant.tree
        return spec_from_file_location(name, loader.path, loader=loader)


class FromTree(SourceFileLoader):
    """Loads a module from a tree instead of its text."""

    tree: ast.Module

    def get_code(self, fullname: str) -> CodeType:
        """The tree as it is now."""
        return compile(self.tree, self.get_filename(fullname), "exec", dont_inherit=True)


class Noting:
    """Has pytest note for each test how long it takes, and which functions of the program it comes through."""

    def __init__(self, path: Path) -> None:
        self.path, self.passes, self.began = path, True, perf_counter()
        self.codes: dict[int, CodeType] = {}

    def trace(self, frame: FrameType, *_: object) -> None:
        """Called at every call; what a function does inside is not looked at."""
        self.codes[id(frame.f_code)] = frame.f_code

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Note one test with what is set up for it, unless it takes too long."""
        self.codes, self.passes, began = {}, True, perf_counter()
        signal.alarm(LONGEST_S)
        sys.settrace(self.trace)
        yield
        sys.settrace(None)
        signal.alarm(0)
        if self.passes:
            self.note(item.nodeid, perf_counter() - began, sorted(set(_functions(self.codes.values()))))

    def pytest_runtestloop(self) -> None:
        """Note what collecting took."""
        self.note("", perf_counter() - self.began, [])

    def note(self, test: str, seconds: float, functions: list[str]) -> None:
        """Write a line at once, as not every process comes to its end."""
        with self.path.open("a") as file:
            file.write(json.dumps((test, seconds, functions)) + "\n")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """A test that does not pass as things are says nothing."""
        self.passes = self.passes and report.passed


class Choosing:
    """Has pytest run the tests of an order, and Hypothesis stop at the first example that fails."""

    def __init__(self, order: Iterable[str]) -> None:
        self.order = {name: place for place, name in enumerate(order)}

    def pytest_configure(self) -> None:
        """Nobody will read the example, so it is not made smaller."""
        from hypothesis import Phase, settings

        phases = (Phase.explicit, Phase.generate)
        settings.register_profile("mutants", deadline=None, derandomize=True, database=None, phases=phases)
        settings.load_profile("mutants")

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self) -> Iterator[None]:
        """A test that runs on and on has noticed something."""
        signal.alarm(3 * LONGEST_S)
        yield
        signal.alarm(0)

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Others are left out."""
        known = [item for item in items if item.nodeid in self.order]
        items[:] = sorted(known, key=lambda item: self.order[item.nodeid])


def main() -> None:
    """Try a sample of changes; print those that no test notices, and the figures by module."""
    asked = _arguments()
    for name in HEAVY:
        import_module(name)
    notes = noted()
    every = [mutant for path in _paths(asked.modules) for mutant in mutants(path)]
    sample = random.Random(asked.seed).sample(every, min(asked.count, len(every)))
    say(f"{len(sample)} of {len(every)} changes, --seed {asked.seed}")
    known = equivalents()
    tried, killed, equal, noticed_by = Counter[str](), Counter[str](), Counter[str](), Counter[tuple[str, str]]()
    for mutant in sorted(sample, key=lambda one: (one.path, one.change.line)):
        tried[mutant.path] += 1
        if mutant.key in known:
            equal[mutant.path] += 1
        elif is_noticed(mutant, notes, noticed_by):
            killed[mutant.path] += 1
        else:
            say(f"{mutant.path}:{mutant.change.line} {mutant.key.partition(' ')[2]}")
    for path in tried:
        say(f"{path:45} {killed[path]:4} of {tried[path] - equal[path]:4}, and {equal[path]} that change nothing")
    share = killed.total() / max(tried.total() - equal.total(), 1)
    say(f"{killed.total()} of {tried.total() - equal.total()} noticed, {share:.1%}; {equal.total()} change nothing")


def equivalents() -> Mapping[str, str]:
    """Changes that change nothing, by their key, each with the reason."""
    return dict(line.split(" # ") for line in EQUIVALENTS.read_text(encoding="utf-8").splitlines() if " # " in line)


def noted() -> Notes:
    """What is noted of all test files; those that are new or have changed are run first."""
    notes: Notes = json.loads(NOTES.read_text()) if NOTES.exists() else {}
    found = [path for name in TESTS for path in sorted((ROOT / "tests").glob(name))]
    for path in (each for one in found for each in ([one] if one.is_file() else sorted(one.rglob("test_*.py")))):
        name, changed = str(path.relative_to(ROOT)), path.stat().st_mtime
        if name not in notes or notes[name][0] != changed:
            notes[name] = (changed, _noted(name))
            say(f"noted {len(notes[name][1]) - 1} tests of {name}")
            NOTES.write_text(json.dumps(notes))
    return notes


def _noted(name: str) -> File:
    """Each test of a file with its seconds and functions."""
    NOTES.parent.mkdir(exist_ok=True)
    lines = NOTES.with_suffix(".lines")
    lines.write_text("")
    in_a_child(lambda: int(pytest.main([*QUIET, name], plugins=[Noting(lines)])), LONGEST_FILE_S)
    tests = {test: (seconds, functions) for test, seconds, functions in map(json.loads, lines.read_text().splitlines())}
    lines.unlink()
    return tests


def is_noticed(mutant: Mutant, notes: Notes, noticed_by: Counter[tuple[str, str]]) -> bool:
    """Whether a test fails with the change, or runs for ever; files that noticed others of its module come first."""
    known = sorted(_test_files(mutant, notes), key=lambda one: (-noticed_by[mutant.path, one[2]], *one))
    files, planned_s = [], {True: 0.0, False: 0.0}
    for (_, is_far), seconds, name, order in known:
        if not planned_s[is_far] or planned_s[is_far] + seconds <= (MOST_FAR_S if is_far else MOST_NEAR_S):
            files.append((name, order))
            planned_s[is_far] += seconds

    def run() -> int:
        sys.dont_write_bytecode = True
        sys.meta_path.insert(0, Broken(mutant))
        failing = (
            k for k, one in enumerate(files, 1) if pytest.main([*QUIET, "-x", one[0]], plugins=[Choosing(one[1])])
        )
        return next(failing, 0)

    old = put(mutant.change.slot, mutant.change.new)
    ended = in_a_child(run, MOST_NEAR_S + 2 * sum(planned_s.values()))
    put(mutant.change.slot, old)
    if files and ended:
        noticed_by[mutant.path, files[ended - 1][0]] += 1
    return bool(files) and ended != 0


def _test_files(mutant: Mutant, notes: Notes) -> Iterator[tuple[tuple[bool, bool], float, str, list[str]]]:
    """The test files that come through a change: how far from it, the seconds that this takes, their tests in order.

    The file that is called after the module is asked first and with all its tests, then those of its folder.
    """
    folder, name = mutant.module.removeprefix("raworder.").rpartition(".")[::2]
    for path, (_, tests) in notes.items():
        is_own, is_near = Path(path).stem == f"test_{name}", Path(path).parent == Path("tests", folder)
        is_whole = is_own or mutant.is_in_no_function
        reached = sorted((seconds, test) for test, (seconds, found) in tests.items() if mutant.is_reached(found))
        others = sorted((seconds, test) for test, (seconds, _) in tests.items()) if is_whole else []
        if reached:
            order = dict.fromkeys(test for _, test in (*reached, *others) if test)
            yield (
                (not is_own, not (is_own or is_near)),
                tests.get("", (0.0, []))[0] + sum(one for one, _ in reached),
                path,
                [*order],
            )


def in_a_child(work: Callable[[], int], seconds: float) -> int | None:
    """What the work gives in a process of its own without a voice; None if it takes too long or falls."""
    child = multiprocessing.get_context("fork").Process(target=_alone, args=(work,))
    child.start()
    child.join(seconds)
    with suppress(ProcessLookupError):  # whatever it has started ends with it
        os.killpg(child.pid or 0, signal.SIGKILL)
    child.join()
    return child.exitcode if (child.exitcode or 0) >= 0 else None


def _alone(work: Callable[[], int]) -> None:
    """Do the work, and say how it ended."""
    os.setsid()
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    signal.signal(signal.SIGALRM, _cut_short)
    os._exit(work())


def _cut_short(*_: object) -> None:
    """Ends a test that takes too long."""
    raise TimeoutError


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _functions(codes: Iterable[CodeType]) -> Iterator[str]:
    """The program's functions among these; what is inside of one counts as it."""
    for code in codes:
        if code.co_filename.startswith(f"{ROOT}/raworder/"):
            module = code.co_filename.removeprefix(f"{ROOT}/").removesuffix(".py").replace("/", ".")
            yield f"{module}:{code.co_qualname.partition('.<locals>')[0]}"


def _paths(asked: str) -> list[str]:
    """The files of some groups, or those whose path holds a word."""
    words = asked.split(",") if asked else [*MODULES]
    every = dict.fromkeys(name for names in MODULES.values() for name in names)
    chosen = dict.fromkeys(one for word in words for one in MODULES.get(word, [name for name in every if word in name]))
    return [f"raworder/{name}.py" for name in chosen]


def mutants(path: str) -> Iterator[Mutant]:
    """Every change of a file."""
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    return (Mutant(path, tree, change) for change in mutations(tree))


def _arguments() -> argparse.Namespace:
    """What is asked."""
    parser = argparse.ArgumentParser(description="Which small breaks of the program does no test notice?")
    parser.add_argument("--seed", type=int, default=random.SystemRandom().randrange(10**6), help="for the same sample")
    parser.add_argument("--count", type=int, default=60, help="how many changes are tried")
    parser.add_argument(
        "--modules", default="", help=f"of {', '.join(MODULES)}, or words in paths; with commas between"
    )
    return parser.parse_args()


if __name__ == "__main__":
    main()
