"""A scenario file, read whole: its text in, the checked Scenario out, or everything that is wrong with it."""

from dataclasses import dataclass
from pathlib import Path

from raworder.findings import Finding, Place
from raworder.reading.checked import Checked, checked_form
from raworder.reading.files import file_text
from raworder.reading.joined import joined
from raworder.reading.located import locate
from raworder.reading.notes import Notes
from raworder.trade import Scenario


@dataclass(frozen=True, slots=True)
class Reading:
    """A checked scenario with its warnings, or no scenario and all the reasons; findings are in order of place."""

    scenario: Scenario | None
    findings: tuple[Finding, ...]


def read_scenario(path: Path) -> Reading:
    """The scenario that a file describes; `scenario` is None exactly when a finding refuses."""
    notes = Notes()
    text = file_text(path, Place(path.as_posix(), 1, 1), notes)
    return _read(text, path, notes)


def read_scenario_text(text: str, path: Path) -> Reading:
    """The scenario that a text describes, as if it stood in a file of that path."""
    return _read(text, path, Notes())


def _read(text: str | None, path: Path, notes: Notes) -> Reading:
    checked = _checked(text, path.as_posix(), notes) if text is not None else None
    scenario = joined(checked, path, notes) if checked else None
    findings = notes.all()
    refused = any(finding.refuses for finding in findings)
    return Reading(None if refused else scenario, findings)


def _checked(text: str, file: str, notes: Notes) -> Checked | None:
    notes.remember(file, text)
    root = locate(text, file, notes)
    return checked_form(root, notes) if root is not None else None
