"""The sheet of labels of a scenario: a known one, or one of the user's own, with what does not fit noted."""

from dataclasses import replace
from fractions import Fraction

from raworder.labels import SHEETS, SMALLEST_MM, LabelSheet, dimensions_text, label_sheet, length_text, usual_sheet
from raworder.reading.labels_form import LabelsForm
from raworder.reading.notes import Notes

NEEDED = ("paper", "width", "height", "columns", "rows")
"""What a sheet of the user's own says at least."""

OF_KNOWN = (*NEEDED, "across", "down")
"""What a known sheet says already."""

ALONG = (("width", "left", "across", "columns"), ("height", "top", "down", "rows"))
"""The fields about one direction: size, margin, pitch, count."""


def labels(form: LabelsForm | None, weight_unit: str, notes: Notes) -> LabelSheet | None:
    """The sheet that bags are labelled from; what is missing of it, said twice or does not fit is noted."""
    if form is None:
        return None
    if form.sheet is None and _note_missing(form, notes):
        return usual_sheet(weight_unit)
    sheet = SHEETS[form.sheet] if form.sheet else _own(form)
    left_mm = sheet.left_mm if form.left is None else form.left
    top_mm = sheet.top_mm if form.top is None else form.top
    placed = replace(sheet, left_mm=left_mm, top_mm=top_mm)
    _note_said_twice(form, notes)
    for axis in range(len(ALONG)):
        _note_what_does_not_fit(form, placed, axis, notes)
    return placed


def _own(form: LabelsForm) -> LabelSheet:
    """The user's own sheet, in the middle of its paper."""
    label_mm = (form.width or Fraction(0), form.height or Fraction(0))
    pitch_mm = (_or(form.across, label_mm[0]), _or(form.down, label_mm[1]))
    return label_sheet(str(form.paper), label_mm, form.columns or 1, form.rows or 1, pitch_mm)


def _or(said_mm: Fraction | None, usual_mm: Fraction) -> Fraction:
    return usual_mm if said_mm is None else said_mm


def _note_missing(form: LabelsForm, notes: Notes) -> bool:
    """Note what a sheet of the user's own does not say; whether that is anything."""
    missing = [field for field in NEEDED if not form.says(field)]
    for field in missing:
        remedy = f"add `{field}: ...`, or name a known sheet, such as `{next(iter(SHEETS))}`"
        notes.add("missing-field", f"{form.noun} has no `{field}`", form.place, remedy)
    return bool(missing)


def _note_said_twice(form: LabelsForm, notes: Notes) -> None:
    """Note what is said of a known sheet."""
    for field in OF_KNOWN:
        if form.sheet and form.says(field):
            message = f"`{form.sheet}` says the `{field}` already"
            notes.add("two-ways", message, form.key_at(field), "take one of the two out")


def _note_what_does_not_fit(form: LabelsForm, sheet: LabelSheet, axis: int, notes: Notes) -> None:
    """Note labels that are too small, overlap, or reach over the edge of the paper, each where it is written."""
    size, start, pitch, count = ALONG[axis]
    size_mm, start_mm = sheet.label_mm[axis], (sheet.left_mm, sheet.top_mm)[axis]
    pitch_mm = (sheet.across_mm, sheet.down_mm)[axis]
    if size_mm < SMALLEST_MM[axis]:
        message = f"labels of {dimensions_text(sheet.paper, sheet.label_mm)} cannot hold what a bag must say"
        remedy = f"use labels of at least {dimensions_text(sheet.paper, SMALLEST_MM)}"
        notes.add("label-too-small", message, form.at(size), remedy)
    if pitch_mm < size_mm:
        lengths = [length_text(sheet.paper, one) for one in (size_mm, pitch_mm)]
        message = f"labels of {lengths[0]} overlap when each begins {lengths[1]} after the last"
        remedy = f"`{pitch}` goes from edge to edge: write at least the `{size}`, or leave it out"
        notes.add("labels-overlap", message, form.at(pitch), remedy)
    needed_mm = sheet.end_mm[axis] - start_mm
    over_mm = max(sheet.end_mm[axis], needed_mm) - sheet.paper_mm[axis]
    if over_mm > 0 and pitch_mm >= size_mm:
        message = f"the last labels end {length_text(sheet.paper, over_mm)} beyond the edge of {sheet.paper}"
        field = start if needed_mm <= sheet.paper_mm[axis] else count
        notes.add("labels-off-paper", message, form.at(field), f"check `{size}`, `{count}`, `{start}` and `{pitch}`")
