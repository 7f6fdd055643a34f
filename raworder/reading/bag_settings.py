"""How bags are made and which labels they get, as the scenario says it, with the doubts about it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from raworder.reading.dog_entries import read_caps
from raworder.reading.given import Given
from raworder.reading.located import Text
from raworder.reading.notes import Notes
from raworder.reading.offers import cuts_of_name, note_unknown_cut
from raworder.reading.settings_form import LabelsForm, PortioningForm
from raworder.trade.bags import USUAL_MOST_A_DAY, Portioning, Working
from raworder.trade.cuts import Cut, Subject
from raworder.trade.labels import (
    SHEETS,
    SMALLEST_MM,
    LabelSheet,
    dimensions_text,
    label_sheet,
    length_text,
    usual_sheet,
)
from raworder.trade.units import grams_text

NEEDED = ("paper", "width", "height", "columns", "rows")
"""What a sheet of the user's own says at least."""

OF_KNOWN = (*NEEDED, "across", "down")
"""What a known sheet says already."""

ALONG = (("width", "left", "across", "columns"), ("height", "top", "down", "rows"))
"""The fields about one direction: size, margin, pitch, count."""


def labels(form: LabelsForm | None, weight_unit: str, notes: Notes) -> LabelSheet | None:
    """The label sheet for the bags; notes what is missing, given twice or does not fit."""
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
    """The user's own sheet, centred on its paper."""
    label_mm = (form.width or Fraction(0), form.height or Fraction(0))
    pitch_mm = (_or(form.across, label_mm[0]), _or(form.down, label_mm[1]))
    return label_sheet(str(form.paper), label_mm, form.columns or 1, form.rows or 1, pitch_mm)


def _or(said_mm: Fraction | None, usual_mm: Fraction) -> Fraction:
    return usual_mm if said_mm is None else said_mm


def _note_missing(form: LabelsForm, notes: Notes) -> bool:
    """Note the missing fields of the user's own sheet; True if any is missing."""
    missing = [field for field in NEEDED if not form.says(field)]
    for field in missing:
        remedy = f"add `{field}: ...`, or name a known sheet, such as `{next(iter(SHEETS))}`"
        notes.add("missing-field", f"{form.noun} has no `{field}`", form.place, remedy)
    return bool(missing)


def _note_said_twice(form: LabelsForm, notes: Notes) -> None:
    """Note sizes that are given although the sheet is a known one."""
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
        lengths = [length_text(sheet.paper, number) for number in (size_mm, pitch_mm)]
        message = f"labels of {lengths[0]} overlap when each begins {lengths[1]} after the last"
        remedy = f"`{pitch}` goes from edge to edge: write at least the `{size}`, or leave it out"
        notes.add("labels-overlap", message, form.at(pitch), remedy)
    needed_mm = sheet.end_mm[axis] - start_mm
    over_mm = max(sheet.end_mm[axis], needed_mm) - sheet.paper_mm[axis]
    if over_mm > 0 and pitch_mm >= size_mm:
        message = f"the last labels end {length_text(sheet.paper, over_mm)} beyond the edge of {sheet.paper}"
        field = start if needed_mm <= sheet.paper_mm[axis] else count
        notes.add("labels-off-paper", message, form.at(field), f"check `{size}`, `{count}`, `{start}` and `{pitch}`")


COARSEST_STEP_G, COARSE_STEP_G = 500, 100
"""No scale for a kitchen shows only steps above the first; above the second small portions cannot be weighed.

Source: common practice, no source.
"""

SMALLEST_SCALE_G = 500
"""A scale or a tub for less fills no bag. Source: common practice, no source."""

EARLIEST_DAYS, EARLY_DAYS = 14, 3
"""Bags filled more days before the batch than the first are refused, than the second doubted.

Source: common practice, no source.
"""

LOST = "portioning"


def portioning(form: PortioningForm | None, cuts: Sequence[Cut], given: Given) -> Portioning:
    """How bags are made from the cuts for sale or on hand; notes settings that make no sense."""
    usual = Portioning()
    if form is None:
        return usual
    for check in CHECKS:
        check(form, given)
    return Portioning(
        working=Working(form.working),
        scale_step_g=_step_g(form),
        least_portion_g=form.least_portion or 2 * _step_g(form),
        bag_tolerance=usual.bag_tolerance if form.bag_tolerance is None else form.bag_tolerance,
        week_allowance=usual.week_allowance if form.week_allowance is None else form.week_allowance,
        most_a_day=_most_a_day(form, given),
        divided=frozenset(cut.name for name in form.divided for cut in _divided(name, cuts, given)),
        tub_g=form.tub or usual.tub_g,
        scale_g=form.scale or usual.scale_g,
        freezes_g=form.freezes,
        day=form.day,
    )


def _step_g(form: PortioningForm) -> int:
    return form.scale_step or Portioning().scale_step_g


def _most_a_day(form: PortioningForm, given: Given) -> tuple[tuple[Subject, Fraction], ...]:
    """The usual daily limits, with the scenario's own in place of those for the same cut or kind."""
    most: dict[Subject, Fraction | None] = {**dict(USUAL_MOST_A_DAY), **read_caps(form.most_a_day, given)}
    return tuple((subject, share) for subject, share in most.items() if share is not None)


def _divided(name: Text, cuts: Sequence[Cut], given: Given) -> Iterator[Cut]:
    """The cuts of that name that are fed, however offers describe them."""
    plain, described = cuts_of_name(name, cuts, given.catalogue)
    yield from (found := (*plain, *described))
    if not found and given.catalogue.find(name) is None:
        note_unknown_cut(name, name.place, given)
    elif not found and not given.was_lost(name) and not given.lost & {"cuts", "suppliers", "on_hand"}:
        message = f"nobody sells `{name}` and none is on hand, so there is nothing to divide"
        given.notes.add("needless-division", message, name.place, "take it out, or add an offer of it")
    elif found and not any(map(Portioning().whole_piece_g, found)):
        message = f"`{name}` has no bone, or no weight of a piece, so it is divided anyway"
        given.notes.add("needless-division", message, name.place, "take it out")


def _scale_is_usable(form: PortioningForm, given: Given) -> None:
    step_g = _step_g(form)
    if step_g > COARSEST_STEP_G:
        message = f"a scale that shows only steps of {grams_text(step_g, given.weight_unit)} fills no bag"
        given.notes.add("unusable-scale", message, form.at("scale_step"), "write what the scale shows, such as `5 g`")
    elif step_g > COARSE_STEP_G:
        message = f"in steps of {grams_text(step_g, given.weight_unit)} small portions cannot be weighed"
        given.notes.add("coarse-scale", message, form.at("scale_step"), "use a finer scale, or check the number")
    for field, holder in (("scale", "a scale that takes"), ("tub", "a tub that holds")):
        grams = getattr(form, field)
        if grams is not None and grams < SMALLEST_SCALE_G:
            message = f"{holder} only {grams_text(grams, given.weight_unit)} is too small to fill bags with"
            given.notes.add("unusable-scale", message, form.at(field), "check the number and its unit")


def _least_portion_can_be_weighed(form: PortioningForm, given: Given) -> None:
    step_g, least_g = _step_g(form), form.least_portion
    if least_g is None or least_g % step_g == 0 or LOST in given.lost:
        return
    step = f"the scale's step of {step_g} g"
    message = f"{least_g} g is less than {step}" if least_g < step_g else f"{least_g} g is no multiple of {step}"
    help_ = f"write `{(least_g // step_g + 1) * step_g} g`, or a finer `scale_step`"
    given.notes.add("portion-off-scale", message, form.at("least_portion"), help_)


def _day_is_near_the_batch(form: PortioningForm, given: Given) -> None:
    if form.day is None or "batch" in given.lost:
        return
    early_days, place = (given.batch.starts - form.day).days, form.at("day")
    help_ = f"the batch begins on {given.batch.starts}; fill the bags at most {EARLY_DAYS} days before"
    if early_days < 0:
        message = "the bags would be filled after the batch begins"
        given.notes.add("portioned-out-of-time", message, place, help_)
    elif early_days > EARLY_DAYS:
        slug = "portioned-out-of-time" if early_days > EARLIEST_DAYS else "portioned-early"
        given.notes.add(slug, f"the bags are filled {early_days} days before the batch begins", place, help_)


def _tub_is_used(form: PortioningForm, given: Given) -> None:
    if form.tub is not None and form.working != Working.TUB and LOST not in given.lost:
        message = "`tub` does not count while each cut is weighed into each bag"
        given.notes.add("unused-value", message, form.key_at("tub"), "add `working: tub`, or take it out")


CHECKS: tuple[Callable[[PortioningForm, Given], None], ...] = (
    _scale_is_usable,
    _least_portion_can_be_weighed,
    _day_is_near_the_batch,
    _tub_is_used,
)
