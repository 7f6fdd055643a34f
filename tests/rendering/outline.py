"""A page as it is read aloud: headings, sentences, and the rows of tables, each on a line; for golden files."""

from html.parser import HTMLParser

BLOCKS = frozenset({"h1", "h2", "h3", "caption", "p", "li", "tr", "figcaption", "pre", "dt", "dd", "svg"})
CELLS = frozenset({"th", "td", "text", "title", "desc"})
REPEATED = "again"
"""The class of what is printed again where a table goes on."""


class Outline(HTMLParser):
    """The lines of a page, each with the name of its element; cells with strokes between them, a box as `[ ]`."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []
        self.open: list[str] = []
        self.text = ""
        self.silent = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        known = dict(attrs)
        if tag in BLOCKS:
            self.open.append(tag)
            self.text = ""
        elif tag == "input":
            self.text += "[ ]"
        elif tag == "section":
            self.lines.append(f"--- {known.get('id', 'labels')} {known['class']}")
        if tag in {"style", "script"} or known.get("class") == REPEATED:
            self.silent = tag

    def handle_endtag(self, tag: str) -> None:
        if tag in CELLS:
            self.text += " | "
        if self.open and tag == self.open[-1]:
            said = f"{self.open.pop()}: {' '.join(self.text.split()).strip('| ')}"
            self.lines += [] if self.silent else [said]
            self.text = ""
        if tag == self.silent:
            self.silent = ""

    def handle_data(self, data: str) -> None:
        self.text += data


def outline(page: str) -> str:
    """The lines of a page."""
    reader = Outline()
    reader.feed(page)
    reader.close()
    return "\n".join(reader.lines) + "\n"
