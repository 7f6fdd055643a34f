"""Whether what a scenario says of nutrients and supplements makes sense as a whole."""

from collections.abc import Iterator, Sequence

from raworder.cuts import Cut
from raworder.dogs import Dog
from raworder.findings import Place
from raworder.nutrients import nutrient_of
from raworder.reading.facts import Facts
from raworder.reading.names import folded, listed

MOST_NAMED = 4
"""So many dogs are named in one finding; more are counted."""

STATE_ENERGY = "state it of 100 g as bought, as the label gives it: `analysis: {energy: ... kcal}`"


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


def _energy_is_known(facts: Facts) -> None:
    """One note of all cuts that are left out where energy counts; an error where that leaves a dog nothing."""
    scenario = facts.scenario
    counting = [dog for dog in scenario.dogs if dog.counts_energy]
    unknown = [cut for cut in scenario.cuts if cut.kcal_per_g is None and not all(dog.avoids(cut) for dog in counting)]
    if not unknown:
        return
    without = [dog for dog in counting if not all(map(dog.avoids, unknown))]
    starved = [dog for dog in without if all(dog.avoids(cut) or cut.kcal_per_g is None for cut in scenario.cuts)]
    cuts = _listed(unknown)
    if not starved:
        message = f"nobody knows the energy of {cuts}; {_named(without)}, fed by energy, will get none of it"
        facts.note("energy-not-known", message, _place_of(unknown[0], facts), STATE_ENERGY)
    elif starved[0].place and not facts.given.lost & {"cuts", "suppliers", "on_hand", "own_cuts"}:
        message = f"nobody knows the energy of anything that {_named(starved)} may eat: {cuts}"
        facts.note("no-energy-known", message, starved[0].place, STATE_ENERGY)


def _nothing_destroys_what_is_asked(facts: Facts) -> None:
    """One note for each nutrient of all cuts that are left out as they can destroy it where a rule asks for it."""
    scenario = facts.scenario
    for key in dict.fromkeys(key for cut in scenario.cuts for key in cut.destroys):
        asking = [dog for dog in scenario.dogs if key in dog.needs_kept]
        cuts = [cut for cut in scenario.cuts if key in cut.destroys and not all(dog.avoids(cut) for dog in asking)]
        dogs = [dog for dog in asking if not all(map(dog.avoids, cuts))]
        if dogs and cuts:
            name = nutrient_of(key).name
            message = f"{_listed(cuts)} can destroy {name}, which a rule asks for; {_named(dogs)} will get none of it"
            help_ = f"take the rule on {name} out if this is to be fed, and ask a veterinarian"
            facts.note("destroys-what-is-asked", message, _place_of(cuts[0], facts), help_)


def _place_of(cut: Cut, facts: Facts) -> Place:
    """Where the cut is first offered, or lies on hand."""
    places = [one.place for one in facts.scenario.offers if one.cut == cut.name]
    places += [one.place for one in facts.scenario.on_hand if one.cut == cut.name]
    return next(filter(None, places), facts.form.place)


def _listed(cuts: Sequence[Cut]) -> str:
    return listed((cut.name for cut in cuts), "and")


def _named(dogs: Sequence[Dog]) -> str:
    """The dogs by name, or how many they are."""
    return listed((dog.name for dog in dogs), "and") if len(dogs) <= MOST_NAMED else f"{len(dogs)} dogs"


NUTRIENT_CHECKS = (
    _supplements_are_asked_for,
    _something_holds_what_is_asked,
    _energy_is_known,
    _nothing_destroys_what_is_asked,
)
