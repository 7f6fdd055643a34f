"""The floors of the house as checkers: a source in, complaints out. Nothing in here knows which sources there are.

**Source:** the house's own rules, told in the contributor's guide; no outside source.
"""

import ast
import io
import re
import sys
import tokenize
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

PROJECT = "raworder"
LIGHT = frozenset({f"{PROJECT}.trade.outputs"})
"""Plain tables that the roof may read at its head, to say what it can do; they import no library."""

WORKSHOPS = ("reading", "solving", "portioning", "nourishing", "auditing", "reporting", "rendering")
FOLDERS = frozenset({"trade", "book", *WORKSHOPS, "giving_way", "studies", "commands"})
FLOORS: Mapping[str, int] = MappingProxyType(
    {
        PROJECT: 0,
        "trade": 1,
        "book": 2,
        **dict.fromkeys(WORKSHOPS, 3),
        "workflow": 4,
        "replanning": 5,
        "giving_way": 5,
        "studies": 6,
        "commands": 7,
        "cli": 8,
        "__main__": 9,
    }
)
"""From the bottom up; all workshops stand on one floor, over the book, which is there before a scenario is read. The
roof begins at `commands`."""

ROOF = FLOORS["commands"]
HOMES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "click": ("cli", "commands"),
        "icalendar": ("rendering",),
        "jinja2": ("rendering",),
        "markupsafe": ("rendering",),
        "openpyxl": ("reading",),
        "xlsxwriter": ("rendering",),
        "numpy": ("nourishing",),
        "distributed": ("studies",),
        "highspy": ("solving",),
        "pandas": ("rendering",),
        "sqlite3": ("book",),
        "pulp": ("solving", "portioning", "giving_way"),
        "pydantic": ("reading",),
        "pydantic_core": ("reading",),
        "rich": ("rendering",),
        "yaml": ("reading",),
    }
)
"""The home of each library. Three share one: portioning poses small programmes in PuLP too, and the kinds of demand
that may give way the rows in which they are missed, which solving solves; the commands of the counter are click's like
all others."""

WHEN_USED = frozenset(
    {"distributed", "highspy", "icalendar", "jinja2", "markupsafe", "openpyxl", "pandas", "rich", "xlsxwriter", "yaml"}
)
"""Libraries that their workshop can do without: CBC needs no highspy, a list that is no workbook no openpyxl, JSON and
Markdown no rich, the reference tables no YAML, and each rendering only the library that writes it. PuLP and pydantic
stand at the head of modules that are nothing without them; who neither solves nor reads a scenario does not import
those modules."""

NAMES_FLOATS: Mapping[str, str] = MappingProxyType(
    {
        f"{PROJECT}.workflow": "seconds",
        f"{PROJECT}.commands.counter": "seconds",
        f"{PROJECT}.commands.desk": "seconds, and the progress that a solve reports",
        f"{PROJECT}.commands.papers": "seconds",
        f"{PROJECT}.commands.plan_at_hand": "seconds",
        f"{PROJECT}.commands.planning": "seconds",
        f"{PROJECT}.commands.questions": "seconds",
        f"{PROJECT}.commands.saving": "seconds",
        f"{PROJECT}.studies.asking": "seconds",
        f"{PROJECT}.studies.cures": "seconds",
        f"{PROJECT}.studies.reasons": "seconds",
        f"{PROJECT}.portioning.bag_choice": "the coefficients of the bag problem in plain numbers",
        f"{PROJECT}.portioning.fewest_kinds": "what the unknowns of the bag problem were solved to",
        f"{PROJECT}.portioning.bag_needs": "the coefficients of the bag problem",
        f"{PROJECT}.giving_way.demand": "the coefficients of what is missed",
        f"{PROJECT}.giving_way.money_and_stock": "the coefficients of what is missed",
        f"{PROJECT}.giving_way.ranges_and_caps": "the coefficients of what is missed",
        f"{PROJECT}.giving_way.least_missed": "how near to the least miss is near enough",
        f"{PROJECT}.portioning.bag_problem": "the coefficients of the bag problem",
        f"{PROJECT}.reading.names": "how alike two words must be, which difflib counts in floats",
    }
)
"""Modules outside solving that may speak of floats, each with the reason."""

LEAST_MODULE_LINES, MOST_MODULE_LINES, MOST_BODY_LINES = 80, 500, 25
READS_OR_PRINTS = frozenset(
    {"open", "print", "input", "read_text", "read_bytes", "write_text", "write_bytes", "write", "system", "run"}
)
MAKES_MUTABLE = frozenset({"list", "dict", "set", "bytearray", "defaultdict", "OrderedDict", "Counter", "deque"})
FREEZES = frozenset({"tuple", "frozenset", "MappingProxyType", "Field"})
"""Calls whose arguments are out of reach afterwards; pydantic copies the default of a `Field` for every form."""

REMEMBERS = frozenset({"cache", "lru_cache"})
"""What keeps answers; only what is asked nothing, and so reads what is shipped, may keep its one answer."""

DISPLAYS = (ast.List, ast.Dict, ast.Set, ast.ListComp, ast.DictComp, ast.SetComp)
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)
REASONED = re.compile(r"#\s*(noqa: [A-Z]+\d+(, [A-Z]+\d+)* - \w|type: ignore\[[\w, -]+\]\s+# \w)")


@dataclass(frozen=True)
class Source:
    """A module by its full name, with its text and syntax tree."""

    module: str
    text: str
    tree: ast.Module

    @property
    def room(self) -> str:
        """The module or workshop right under the project, or the project itself."""
        return room_of(self.module)


@dataclass(frozen=True)
class Import:
    """One thing imported, by its full name; `late` when it happens only as a function runs, or for types alone."""

    name: str
    line: int
    late: bool

    @property
    def library(self) -> str:
        """The package it comes from."""
        return self.name.split(".")[0]


def source(module: str, text: str) -> Source:
    """A source of that name."""
    return Source(module, text, ast.parse(text))


def room_of(module: str) -> str:
    """The module or workshop right under the project that a full name belongs to, or the project itself."""
    project, _, rest = module.partition(".")
    return project if rest in {"", "__version__"} else rest.split(".")[0]


def imports(one: Source) -> tuple[Import, ...]:
    """All imports of a source, wherever they stand; `from a import b` gives `a.b`."""
    late = {id(inner) for node in _run_late(one.tree) for inner in ast.walk(node)}
    found = []
    for node in ast.walk(one.tree):
        if isinstance(node, ast.Import):
            found += [Import(alias.name, node.lineno, id(node) in late) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            origin = "." * node.level + (node.module or "")
            found += [Import(f"{origin}.{alias.name}", node.lineno, id(node) in late) for alias in node.names]
    return tuple(found)


def imports_from_above(one: Source) -> Iterator[str]:
    """Imports of a module that does not stand on a floor below, and of another workshop."""
    if one.room not in FLOORS:
        yield f"{one.module}: stands on no floor"
        return
    for found in imports(one):
        if found.name.startswith("."):
            yield f"{one.module}:{found.line}: imports by a relative name"
        elif found.library == PROJECT and (one.room, room_of(found.name)) not in _RIGHT_WAYS:
            yield f"{one.module}:{found.line}: may not import {found.name}"


def early_imports_of_the_roof(one: Source) -> Iterator[str]:
    """Imports of the floors below at the head of a module of the roof, and of anything in what it may read there.

    `--help` would wait for them.
    """
    for found in imports(one):
        if one.module in LIGHT and found.library not in sys.stdlib_module_names:
            yield f"{one.module}:{found.line}: imports {found.name} and is to be light"
    if FLOORS.get(one.room, 0) >= ROOF:
        for found in imports(one):
            room = room_of(found.name)
            is_light = found.name.rpartition(".")[0] in LIGHT
            is_below = 0 < FLOORS.get(room, 0) < ROOF and not is_light
            if found.library == PROJECT and is_below and not found.late:
                yield f"{one.module}:{found.line}: imports {found.name} before it is used"


def import_cycles(sources: Sequence[Source]) -> Iterator[str]:
    """Modules that import one another in a circle, even where a function or a type does so late."""
    names = {one.module for one in sources}
    ways = {one.module: {_known(found.name, names) for found in imports(one)} - {""} for one in sources}
    done: set[str] = set()
    for start in sorted(names):
        yield from _circles(start, ways, (), done)


def scraps(sources: Sequence[Source]) -> Iterator[str]:
    """Short modules that one module of their own folder uses and no other: they belong into it."""
    names = {module.module for module in sources}
    users: dict[str, set[str]] = {name: set() for name in names}
    for module in sources:
        for name in {_known(found.name, names) for found in imports(module)} - {"", module.module}:
            users[name].add(module.module)
    for module in sources:
        lines, used_by = len(module.text.splitlines()), users[module.module]
        if lines < LEAST_MODULE_LINES and len(used_by) == 1:
            user = next(iter(used_by))
            if module.module.count(".") > 1 and user.rpartition(".")[0] == module.module.rpartition(".")[0]:
                yield f"{module.module}: {lines} lines, for {user} alone"


def names_used_twice(sources: Sequence[Source]) -> Iterator[str]:
    """Base names that modules of two folders share: whoever hears one does not know which is meant."""
    by_name: dict[str, list[str]] = {}
    for module in sources:
        by_name.setdefault(module.module.rpartition(".")[2], []).append(module.module)
    for name, modules in by_name.items():
        if len(modules) > 1:
            yield f"{name}: {', '.join(sorted(modules))}"


def libraries_away_from_home(one: Source) -> Iterator[str]:
    """Libraries imported elsewhere than in their one home, libraries without a home, and heavy ones before use."""
    for found in imports(one):
        library = found.library
        if library in {PROJECT, ""} or library in sys.stdlib_module_names:
            continue
        homes = HOMES.get(library, ("no workshop",))
        if one.room not in homes:
            yield f"{one.module}:{found.line}: {library} lives in {' and '.join(homes)}"
        elif library in WHEN_USED and not found.late:
            yield f"{one.module}:{found.line}: imports {library} before it is used"


def work_at_import(one: Source) -> Iterator[str]:
    """Calls that read or print, outside any function."""
    for node in _run_at_import(one.tree):
        if isinstance(node, ast.Call) and _called(node) in READS_OR_PRINTS:
            yield f"{one.module}:{node.lineno}: `{_called(node)}` runs at import"


def changeable_things(one: Source) -> Iterator[str]:
    """Values of modules and classes that can be changed, `global`, and functions that remember their answers."""
    for found in _run_at_import(one.tree):
        if isinstance(found, ast.Assign | ast.AnnAssign) and found.value is not None and _changeable(found.value):
            yield f"{one.module}:{found.lineno}: can be changed"
    for node in ast.walk(one.tree):
        if isinstance(node, ast.Global):
            yield f"{one.module}:{node.lineno}: `global` changes what all share"
        if isinstance(node, FUNCTIONS) and _is_asked_something(node):
            remembering = [ast.unparse(each) for each in node.decorator_list if _last_name(each) in REMEMBERS]
            yield from (f"{one.module}:{node.lineno}: `{each}` keeps what it answered" for each in remembering)


def _is_asked_something(node: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    """Whether the function has any parameter."""
    given = node.args
    return bool(given.posonlyargs or given.args or given.kwonlyargs or given.vararg or given.kwarg)


def floats(one: Source) -> Iterator[str]:
    """Floats outside solving: literals, and the name `float`."""
    if one.room == "solving" or one.module in NAMES_FLOATS:
        return
    for node in ast.walk(one.tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, float | complex):
            yield f"{one.module}:{node.lineno}: the float {node.value}"
        elif isinstance(node, ast.Name) and node.id == "float":
            yield f"{one.module}:{node.lineno}: speaks of float"


def long_modules(one: Source) -> Iterator[str]:
    """Modules of too many lines."""
    lines = len(one.text.splitlines())
    if lines > MOST_MODULE_LINES:
        yield f"{one.module}: {lines} lines"


def long_functions(one: Source) -> Iterator[str]:
    """Functions whose body, without its docstring, has too many lines."""
    for node in ast.walk(one.tree):
        if isinstance(node, FUNCTIONS) and (lines := body_lines(node)) > MOST_BODY_LINES:
            yield f"{one.module}:{node.lineno}: `{node.name}` has {lines} lines"


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines from the first statement after the docstring to the last."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def missing_docstrings(one: Source) -> Iterator[str]:
    """Modules, classes and public functions that say nothing of themselves; functions inside functions need not."""
    for node, name in ((one.tree, one.module), *_told(one.tree, one.module)):
        first = (ast.get_docstring(node) or "").strip().split("\n")[0]
        if not first:
            yield f"{name}: has no docstring"
        elif first[-1] not in ".:?":
            yield f"{name}: its first line is no sentence"


def ignores_without_reason(one: Source) -> Iterator[str]:
    """Comments that silence a checker, wholesale or without a word why."""
    for token in tokenize.generate_tokens(io.StringIO(one.text).readline):
        silences = token.type == tokenize.COMMENT and re.search(r"#\s*(noqa|type:\s*ignore)", token.string)
        if silences and not REASONED.search(token.string):
            yield f"{one.module}:{token.start[0]}: {token.string}"


def _rooms_below(room: str) -> Iterable[str]:
    """The rooms on lower floors, and the room itself where it is a folder."""
    return [other for other, floor in FLOORS.items() if floor < FLOORS[room] or (other == room and room in FOLDERS)]


_RIGHT_WAYS = frozenset((room, other) for room in FLOORS for other in _rooms_below(room))


def _known(name: str, modules: set[str]) -> str:
    """The module that an imported name is or stands in; nothing where it is none of ours."""
    return next((module for module in (name, name.rpartition(".")[0]) if module in modules), "")


def _circles(module: str, ways: Mapping[str, set[str]], behind: tuple[str, ...], done: set[str]) -> Iterator[str]:
    """Circles met on the way from a module; what was walked once is not walked again."""
    if module in behind:
        yield " -> ".join((*behind[behind.index(module) :], module))
    elif module not in done:
        for other in sorted(ways.get(module, ())):
            yield from _circles(other, ways, (*behind, module), done)
        done.add(module)


def _run_late(tree: ast.Module) -> Iterator[ast.AST]:
    """Statements that an import of the module does not run."""
    for node in ast.walk(tree):
        if isinstance(node, FUNCTIONS) or (isinstance(node, ast.If) and _last_name(node.test) == "TYPE_CHECKING"):
            yield from node.body


def _run_at_import(tree: ast.Module) -> Iterator[ast.AST]:
    """Everything that an import of the module runs."""
    late = {id(inner) for node in _run_late(tree) for inner in ast.walk(node)}
    late |= {id(inner) for node in ast.walk(tree) if isinstance(node, ast.Lambda) for inner in ast.walk(node.body)}
    return (node for node in ast.walk(tree) if id(node) not in late)


def _changeable(value: ast.expr) -> bool:
    """Whether a value can be changed, or holds what can be."""
    if isinstance(value, ast.Call):
        name = _called(value)
        return name in MAKES_MUTABLE or (name not in FREEZES and any(map(_changeable, value.args)))
    if isinstance(value, ast.Tuple):
        return any(map(_changeable, value.elts))
    return isinstance(value, DISPLAYS)


def _called(call: ast.Call) -> str:
    return _last_name(call.func)


def _last_name(node: ast.expr) -> str:
    """The last word of `a`, `a.b` or `a.b(...)`; nothing for other expressions."""
    if isinstance(node, ast.Call):
        return _last_name(node.func)
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else ""


def _told(node: ast.Module | ast.ClassDef, name: str) -> Iterator[tuple[ast.ClassDef | ast.FunctionDef, str]]:
    """Classes, and functions with a public name, that stand in a module or a public class."""
    for inner in node.body:
        if isinstance(inner, ast.ClassDef):
            yield inner, f"{name}.{inner.name}"
            yield from () if inner.name.startswith("_") else _told(inner, f"{name}.{inner.name}")
        elif isinstance(inner, ast.FunctionDef) and not inner.name.startswith("_"):
            yield inner, f"{name}.{inner.name}"
