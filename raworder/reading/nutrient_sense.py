"""Whether what a scenario says of nutrients and supplements makes sense as a whole."""

from collections.abc import Iterator

from raworder.nutrients import nutrient_of
from raworder.reading.facts import Facts
from raworder.reading.names import folded


def _supplements_are_asked_for(facts: Facts) -> None:
    scenario, given = facts.scenario, facts.given
    if any(dog.takes_supplements for dog in scenario.dogs) or given.lost & {"dogs", "all_dogs"}:
        return
    for one in facts.form.supplements:
        message = f"no rule on nutrients asks for anything, so `{one.supplement}` is given to nobody"
        help_ = "add `nutrients: {...}` to a dog or to `all_dogs`"
        facts.note("unused-supplement", message, one.at("supplement"), help_)


def _something_holds_what_is_asked(facts: Facts) -> None:
    scenario = facts.scenario
    analyses = [*(cut.analysis for cut in scenario.cuts), *(one.analysis for one in scenario.supplements)]
    if facts.given.lost & {"cuts", "suppliers", "on_hand", "own_cuts", "supplements"} or not analyses:
        return
    told = set()
    for key, asked in _asked(facts):
        if asked not in told and not any(analysis.of(key) for analysis in analyses):
            told.add(asked)
            message = f"nothing that is offered has a known amount of {nutrient_of(key).name}"
            help_ = "give an `analysis` that holds it, or a supplement, or take the rule out"
            place = next(place for where, place in scenario.places if where.endswith(f"nutrients {asked}"))
            facts.note("nothing-known-of-nutrient", message, place, help_)


def _asked(facts: Facts) -> Iterator[tuple[str, str]]:
    """The nutrients of which some rule wants at least so much, and what the rule is written under."""
    for dog in facts.scenario.dogs:
        for limit in dog.nutrient_limits:
            if limit.low:
                yield limit.nutrient, folded(nutrient_of(limit.nutrient).name)
        for ratio in dog.ratio_limits:
            if ratio.low:
                name = f"{nutrient_of(ratio.over).name} to {nutrient_of(ratio.under).name}"
                yield ratio.over, folded(name)


NUTRIENT_CHECKS = (_supplements_are_asked_for, _something_holds_what_is_asked)
