"""How bags are made, as the scenario says it, with the doubts about it."""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from raworder.bags import USUAL_MOST_A_DAY, Portioning, Working
from raworder.cuts import Cut, Subject
from raworder.reading.caps import capped
from raworder.reading.given import Given
from raworder.reading.offers import note_unknown_cut
from raworder.reading.portioning_form import PortioningForm
from raworder.reading.text import Text
from raworder.reading.variants import called
from raworder.units import grams_text

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
    """How bags are made of the cuts that are sold or on hand; what makes no sense is noted."""
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
    """The usual limits of a day and the scenario's own; the latter say it where both are about the same."""
    most: dict[Subject, Fraction | None] = {**dict(USUAL_MOST_A_DAY), **capped(form.most_a_day, given)}
    return tuple((subject, share) for subject, share in most.items() if share is not None)


def _divided(name: Text, cuts: Sequence[Cut], given: Given) -> Iterator[Cut]:
    """The cuts of that name that are fed, however offers describe them."""
    plain, described = called(name, cuts, given.catalogue)
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
