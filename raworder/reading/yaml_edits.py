"""Changes in the text of a YAML file at single places, so that all else stays as a person wrote it.

Lines that begin with `#>` are ours: they say what was changed, and go when the file is changed the next time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from raworder.reading.names import normalise_name

if TYPE_CHECKING:
    from yaml import MappingNode, Node

Path = tuple[int | str, ...]
"""The way to a node: names of fields, and places in lists from 0."""

OURS = "#>"
"""What our own comments begin with."""


@dataclass(frozen=True, slots=True)
class Edit:
    """A change at a path: the value's new `text`, empty to take the field out, None to leave it as it is.

    A field that is not there is added behind the others of its mapping. `remarks` stand on lines of their own above.
    """

    path: Path
    text: str | None = None
    remarks: tuple[str, ...] = ()


def drop_remarks(text: str) -> str:
    """The text without the lines that are ours."""
    return "".join(line for line in text.splitlines(keepends=True) if not line.lstrip().startswith(OURS))


def edit_yaml(text: str, edits: Sequence[Edit]) -> str:
    r"""The text with all changes made; two of them must not be about the same place.

    >>> print(edit_yaml("dogs:\n  - {name: Maple, weight: 22 kg}\n", [Edit(("dogs", 0, "weight"), "23 kg", ("up",))]))
    dogs:
      #> up
      - {name: Maple, weight: 23 kg}
    <BLANKLINE>
    """
    tree = _Tree(text)
    changes = [change for edit in edits for change in _changes(tree, edit)]
    for start, end, new in sorted(changes, key=lambda change: change[0], reverse=True):
        text = text[:start] + new + text[end:]
    return text


def replace_rows(text: str, field: str, rows: Sequence[str]) -> str:
    """The text in which a list at the top holds these rows, each with what stands behind it; added at the end if new.

    ValueError where the whole file stands in one pair of braces.
    """
    tree = _Tree(text)
    if tree.root.flow_style:
        raise ValueError("the file stands in one pair of braces")
    new = "".join((f"{field}:{'' if rows else ' []'}\n", *(f"  - {row}\n" for row in rows)))
    if tree.find((field,)) is None:
        return f"{text}{'' if text.endswith(chr(10)) else chr(10)}{new}" if rows else text
    start, end = tree.lines_of((field,))
    return text[:start] + new + text[end:]


def add_row(text: str, field: str, row: str) -> str:
    r"""The text with one more entry at the end of a list at the top, which has some already.

    >>> add_row("dogs:\n  - {name: Maple}  # old\n", "dogs", "{name: Sorrel}")
    'dogs:\n  - {name: Maple}  # old\n  - {name: Sorrel}\n'
    """
    tree = _Tree(text)
    start, end, new = tree.row((field,), row)
    return text[:start] + new + text[end:]


Change = tuple[int, int, str]
"""From where to where the text is replaced by what."""


def _changes(tree: "_Tree", edit: Edit) -> Iterator[Change]:
    """The changes of the text that an edit comes to."""
    found = tree.find(edit.path)
    if edit.remarks:
        yield tree.remark_above(edit.path, edit.remarks)
    if edit.text is None:
        return
    if found is None:
        if edit.text:
            yield tree.addition(edit.path, edit.text)
    elif edit.text:
        yield found.start_mark.index, tree.end_of(found), edit.text
    else:
        yield tree.removal(edit.path)


class _Tree:
    """The nodes of a text with where they begin and end in it."""

    def __init__(self, text: str) -> None:
        import yaml

        self.text = text
        loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
        root = yaml.compose(text, Loader=loader)
        assert isinstance(root, yaml.MappingNode)  # it was read as a scenario before
        self.root = root

    def find(self, path: Path) -> "Node | None":
        """The node at the path, if it is there."""
        node: Node | None = self.root
        for step in path:
            node = _child(node, step)
        return node

    def end_of(self, node: "Node") -> int:
        """Where a node ends, without blank lines and comments behind it."""
        import yaml

        if isinstance(node, yaml.ScalarNode):
            start = int(node.start_mark.index)
            return start + len(self.text[start : node.end_mark.index].rstrip())
        assert isinstance(node, yaml.CollectionNode)
        if node.flow_style or not node.value:
            return int(node.end_mark.index)
        last = node.value[-1]
        return self.end_of(last[1] if isinstance(node, yaml.MappingNode) else last)

    def remark_above(self, path: Path, remarks: Sequence[str]) -> Change:
        """Our comments above the line on which the node begins, or where it is missing, its mapping."""
        node = self.find(path) or self.find(path[:-1])
        assert node is not None
        start = self._line_start(node.start_mark.index)
        line = self.text[start:]
        indent = line[: len(line) - len(line.lstrip(" "))]
        return start, start, "".join(f"{indent}{OURS} {remark}\n" for remark in remarks)

    def addition(self, path: Path, text: str) -> Change:
        """A field behind the others of its mapping."""
        mapping = self._mapping(path[:-1])
        field = f"{path[-1]}: {text}"
        if not mapping.flow_style:
            end = self._line_end(self.end_of(mapping))
            indent = " " * mapping.value[0][0].start_mark.column
            return end, end, f"\n{indent}{field}"
        end = self.end_of(mapping.value[-1][1]) if mapping.value else mapping.start_mark.index + 1
        return end, end, f", {field}" if mapping.value else field

    def row(self, path: Path, text: str) -> Change:
        """An entry behind the others of a list."""
        import yaml

        entries = self.find(path)
        assert isinstance(entries, yaml.SequenceNode)
        end = self.end_of(entries.value[-1])
        if entries.flow_style:
            return end, end, f", {text}"
        end = self._line_end(end)
        return end, end, f"\n{' ' * entries.start_mark.column}- {text}"

    def removal(self, path: Path) -> Change:
        """A field taken out with its comma or its lines."""
        mapping = self._mapping(path[:-1])
        names = [normalise_name(key.value) for key, _ in mapping.value]
        place = names.index(str(path[-1]))
        key, value = mapping.value[place]
        if not place and len(names) > 1:  # the first may share its line with the dash of a list
            return key.start_mark.index, mapping.value[1][0].start_mark.index, ""
        if mapping.flow_style and place:
            return self.end_of(mapping.value[place - 1][1]), self.end_of(value), ""
        return (*self.lines_of(path), "")

    def lines_of(self, path: Path) -> tuple[int, int]:
        """Where the lines of a field begin and end."""
        mapping = self._mapping(path[:-1])
        key, value = next(pair for pair in mapping.value if normalise_name(pair[0].value) == path[-1])
        end = self._line_end(self.end_of(value))
        return self._line_start(key.start_mark.index), min(end + 1, len(self.text))

    def _mapping(self, path: Path) -> "MappingNode":
        import yaml

        node = self.find(path)
        assert isinstance(node, yaml.MappingNode)
        return node

    def _line_start(self, index: int) -> int:
        return self.text.rfind("\n", 0, index) + 1

    def _line_end(self, index: int) -> int:
        end = self.text.find("\n", index)
        return len(self.text) if end < 0 else end


def _child(node: "Node | None", step: int | str) -> "Node | None":
    """What stands one step below a node, if anything does."""
    import yaml

    if isinstance(node, yaml.MappingNode) and isinstance(step, str):
        return next((value for key, value in node.value if normalise_name(key.value) == step), None)
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
        child: Node = node.value[step]
        return child
    return None
