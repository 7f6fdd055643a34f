"""A page as it is read aloud: headings, sentences, and the rows of tables, each on a line; for golden files."""

from html.parser import HTMLParser

BLOCKS = frozenset({"h1", "h2", "h3", "caption", "p", "li", "tr", "figcaption", "pre", "dt", "dd"})
CELLS = frozenset({"th", "td", "text", "title", "desc"})
SILENT = frozenset({"style", "meta"})


class Outline(HTMLParser):
    """The lines of a page, each with the name of its element; cells with strokes between them, a box as `[ ]`."""

    def __init__(self) -> None:
        super().__init__()
        self.lines = [""][:0]
        self.open = [""][:0]
        self.text = ""
        self.silent = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in BLOCKS or tag == "svg":
            self.open.append(tag)
            self.text = ""
        elif tag == "input":
            self.text += "[ ]"
        elif tag == "section":
            self.lines.append(f"--- {dict(attrs).get('id', 'labels')} {dict(attrs)['class']}")
        self.silent = self.silent or tag in SILENT - {"meta"}

    def handle_endtag(self, tag: str) -> None:
        if tag in CELLS:
            self.text += " | "
        if self.open and tag == self.open[-1]:
            said = " ".join(self.text.split()).strip("| ")
            self.lines.append(f"{self.open.pop()}: {said}")
            self.text = ""
        self.silent = self.silent and tag not in SILENT

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.text += data


def outline(page: str) -> str:
    """The lines of a page."""
    reader = Outline()
    reader.feed(page)
    reader.close()
    return "\n".join(reader.lines) + "\n"
