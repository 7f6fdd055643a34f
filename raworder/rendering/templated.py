"""Pages out of templates: everything put in is escaped, and the one style sheet is all that a page may load."""

import base64
import hashlib
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup


@cache
def environment() -> "Environment":
    """Templates that escape whatever is put in, and stop at what is missing."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("raworder.rendering"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


def policy(style: str) -> str:
    """A Content-Security-Policy that lets a page load this style sheet, by its SHA-256, and nothing else."""
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def style_sheet(rules: str) -> "Markup":
    """Rules of our own for the inside of a style element, where nothing is escaped."""
    from markupsafe import Markup

    assert "</" not in rules
    return Markup(rules)  # noqa: S704 - our own rules; names in them are escaped for CSS
