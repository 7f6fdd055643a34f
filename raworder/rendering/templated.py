"""Pages out of templates: all that is put in is escaped, and a page uses no style sheet or script but its own."""

import base64
import hashlib
from functools import cache
from importlib.resources import files
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


def policy(style: str, script: str = "") -> str:
    """A Content-Security-Policy that lets a page use this style sheet and script, by SHA-256, and nothing else."""
    scripts = f" script-src '{_digest(script)}';" if script else ""
    return f"default-src 'none'; style-src '{_digest(style)}';{scripts} base-uri 'none'; form-action 'none'"


def _digest(source: str) -> str:
    """The hash by which a policy names what stands in the page."""
    return f"sha256-{base64.b64encode(hashlib.sha256(source.encode()).digest()).decode()}"


def as_it_is(source: str) -> "Markup":
    """A style sheet or script of our own for the inside of its element, where nothing is escaped."""
    from markupsafe import Markup

    assert "</" not in source
    return Markup(source)  # noqa: S704 - our own; names in style sheets are escaped for CSS


def template_text(name: str) -> str:
    """A style sheet or script that stands beside the templates."""
    return (files("raworder.rendering") / "templates" / name).read_text(encoding="utf-8")
