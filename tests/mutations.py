"""Small changes of a source, one at a time, such as a mistyped sign: what `python -m tests.mutants` breaks.

Docstrings, annotations, decorators, asserts and the words of messages are left alone, and so are `__repr__` and
its like. A string counts as a word unless it looks like a key.

**Source:** the usual operators of mutation testing (relational, arithmetic, logical, constant, statement deletion);
common practice, no source.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from types import MappingProxyType

COMPARED = MappingProxyType(
    {
        ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
        ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
    }
)  # fmt: skip
RECKONED = MappingProxyType(
    {
        ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
        ast.Mod: ast.FloorDiv, ast.Pow: ast.Mult, ast.BitOr: ast.BitAnd, ast.BitAnd: ast.BitOr,
    }
)  # fmt: skip
JOINED = MappingProxyType({ast.And: ast.Or, ast.Or: ast.And})
NAMED = MappingProxyType(
    {
        "min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor", "half_up": "floor",
        "rounded": "rounded_down", "rounded_up": "rounded_down", "rounded_down": "rounded_up",
        "ROUND_HALF_UP": "ROUND_DOWN", "ROUND_HALF_EVEN": "ROUND_DOWN", "ROUND_FLOOR": "ROUND_CEILING",
        "ROUND_CEILING": "ROUND_FLOOR", "ROUND_DOWN": "ROUND_UP", "ROUND_UP": "ROUND_DOWN",
    }
)  # fmt: skip
LEFT_ALONE = frozenset({"annotation", "returns", "decorator_list", "format_spec", "bases", "type_params"})
KEYWORDS = frozenset({"strict", "encoding", "newline", "errors", "title", "description"})
SPOKEN = frozenset({"__repr__", "__str__", "__hash__"})
KEY = re.compile(r"[a-z0-9]*(?:[_-][a-z0-9]+)*")
NAMED_BLOCKS = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
CONTEXT = 28
"""So many characters around a change are shown."""

Slot = tuple[ast.AST, str, int | None]
"""Where a node stands: its parent, the field, and the place in a list."""


@dataclass(frozen=True, slots=True)
class Mutation:
    """One change: `new` at `slot`, in the function or class `scope`; `inside` is the statement around an expression."""

    scope: str
    line: int
    slot: Slot
    new: object
    inside: ast.stmt | None

    def words(self) -> str:
        """What stands there before and after, with a little around it."""
        if self.inside is None:
            return _difference(_flat(held(self.slot)), _flat(self.new))
        before = _flat(self.inside)
        old = put(self.slot, self.new)
        after = _flat(self.inside)
        put(self.slot, old)
        return _difference(before, after)


def mutations(tree: ast.Module) -> Iterator[Mutation]:
    """Every change of a source, in its order; the tree stays as it is."""
    yield from _walk(tree, "", None)


def held(slot: Slot) -> object:
    """What stands at a place."""
    parent, field, index = slot
    return getattr(parent, field) if index is None else getattr(parent, field)[index]


def put(slot: Slot, new: object) -> object:
    """Put something at a place, and give what stood there."""
    parent, field, index = slot
    old = held(slot)
    if index is None:
        setattr(parent, field, new)
    else:
        getattr(parent, field)[index] = new
    return old


def _walk(node: ast.AST, scope: str, inside: ast.stmt | None) -> Iterator[Mutation]:
    """The changes below a node."""
    for slot, child in _children(node):
        if _is_left_alone(child):
            continue
        is_statement = isinstance(child, ast.stmt)
        for new in _changes(child, is_inner=bool(scope)):
            line = getattr(child, "lineno", None) or getattr(inside, "lineno", 1)
            copied = ast.copy_location(new, child) if hasattr(child, "lineno") else new
            yield Mutation(scope, line, slot, ast.fix_missing_locations(copied), None if is_statement else inside)
        name = f"{scope}.{child.name}".removeprefix(".") if isinstance(child, NAMED_BLOCKS) else scope
        yield from _walk(child, name, child if isinstance(child, ast.stmt) else inside)


def _children(node: ast.AST) -> Iterator[tuple[Slot, ast.AST]]:
    """The nodes right below a node, each with its place, but for those that say only what type something is."""
    for field, value in ast.iter_fields(node):
        if field in LEFT_ALONE or (isinstance(node, ast.JoinedStr) and field != "values"):
            continue
        if isinstance(value, ast.AST):
            yield (node, field, None), value
        elif isinstance(value, list):
            yield from (((node, field, k), one) for k, one in enumerate(value) if isinstance(one, ast.AST))


def _is_left_alone(node: ast.AST) -> bool:
    """Whether neither a node nor anything in it is changed."""
    match node:
        case ast.Import() | ast.ImportFrom() | ast.Assert():
            return True
        case ast.Expr(value=ast.Constant(value=str())):
            return True
        case ast.If(test=ast.Name(id="TYPE_CHECKING")):
            return True
        case ast.keyword(arg=name):
            return name in KEYWORDS
        case ast.FunctionDef(name=name):
            return name in SPOKEN
    return False


def _changes(node: ast.AST, *, is_inner: bool) -> Iterator[ast.AST]:
    """What may stand there instead of a node; outside of functions and classes unions are types and strings words."""
    if isinstance(node, ast.Constant):
        yield from _constants(node.value, is_inner=is_inner)
    elif isinstance(node, ast.stmt):
        yield from _statements(node)
    elif is_inner or not isinstance(node, ast.BinOp) or not isinstance(node.op, ast.BitOr):
        yield from _operators(node)
        yield from _names(node)


def _operators(node: ast.AST) -> Iterator[ast.AST]:
    """Another operator, or the operand alone."""
    match node:
        case ast.Compare(left, ops, others):
            for k, op in enumerate(ops):
                yield ast.Compare(left, [*ops[:k], COMPARED[type(op)](), *ops[k + 1 :]], others)
        case ast.BinOp(left, op, right) if type(op) in RECKONED:
            yield ast.BinOp(left, RECKONED[type(op)](), right)
        case ast.BoolOp(op, values):
            yield ast.BoolOp(JOINED[type(op)](), values)
        case ast.UnaryOp(ast.Not() | ast.USub(), operand):
            yield operand
        case ast.IfExp(test, body, other):
            yield ast.IfExp(test, other, body)


def _names(node: ast.AST) -> Iterator[ast.AST]:
    """Another function, an empty tuple, or one condition less."""
    match node:
        case ast.Name(name, ast.Load() as context) if name in NAMED:
            yield ast.Name(NAMED[name], context)
        case ast.Attribute(of, name, ast.Load() as context) if name in NAMED:
            yield ast.Attribute(of, NAMED[name], context)
        case ast.Call(ast.Name("tuple")):
            yield ast.Tuple([], ast.Load())
        case ast.comprehension(target, over, ifs, is_async):
            for k in range(len(ifs)):
                yield ast.comprehension(target, over, [*ifs[:k], *ifs[k + 1 :]], is_async)


def _constants(value: object, *, is_inner: bool) -> Iterator[ast.AST]:
    """What may stand there instead of a constant."""
    match value:
        case bool():
            yield ast.Constant(not value)
        case int():
            yield ast.Constant(value + 1)
        case "":
            yield ast.Constant("x")
        case str() if is_inner and KEY.fullmatch(value):
            yield ast.Constant("")


def _statements(node: ast.stmt) -> Iterator[ast.AST]:
    """What may stand there instead of a statement: mostly nothing."""
    match node:
        case ast.Return(value) if value is not None and not (isinstance(value, ast.Constant) and value.value is None):
            yield ast.Return(ast.Constant(None))
        case ast.Expr() | ast.AugAssign() | ast.Raise() | ast.Continue() | ast.Break():
            yield ast.Pass()
        case ast.Assign(targets=[ast.Subscript() | ast.Attribute()]):
            yield ast.Pass()
        case ast.If(test, body, other) if not isinstance(test, ast.Compare | ast.UnaryOp | ast.BoolOp):
            yield ast.If(ast.UnaryOp(ast.Not(), test), body, other)


def _flat(node: object) -> str:
    """A node's source on one line."""
    assert isinstance(node, ast.AST)
    return " ".join(ast.unparse(node).split())


def _difference(before: str, after: str) -> str:
    """What differs between two texts, with a little around it."""
    shortest, start, end = min(len(before), len(after)), 0, 0
    while start < shortest and before[start] == after[start]:
        start += 1
    while end < shortest - start and before[-1 - end] == after[-1 - end]:
        end += 1
    first, last = max(start - CONTEXT, 0), max(end - CONTEXT, 0)
    return " -> ".join(text[first : len(text) - last] for text in (before, after))
