"""The audit's own table and the model's own deciders say the same of cuts, dogs and subjects at random.

All cuts and dogs are invented. **Source:** the two were written apart, from the sentences of the README; no outside
source.
"""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from random import Random

import pytest

from raworder.auditing.books import open_books
from raworder.auditing.what_counts import animal_species, cut_entry, cut_table, destroyers, forbidden
from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import PLANT, Cut, Measure, Part, SpeciesShare, Subject
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit
from tests.builders import HEART, MINCE, NECK, TRIM, a_cut, a_dog, a_plan, a_scenario, a_subject, portions_g

SPECIES = ("beef", "chicken", "lamb", "pork", PLANT)
KINDS = ("heart", "neck", "mince", "trim", "own")
NAMES = tuple(f"cut {number}" for number in range(12))
WORDS = {Measure.PART: tuple(Part), Measure.SPECIES: SPECIES, Measure.KIND: KINDS, Measure.CUT: NAMES}
SUBJECTS = tuple(Subject(measure, word) for measure in Measure for word in WORDS.get(measure, ("",)))
CAUTIONS = ("thiaminase-fish", "raw-fish-parasites", "edible-bone")
ASKED = (
    NutrientLimit("thiamin", Per.DAY, Fraction(1)),
    NutrientLimit("thiamin", Per.MCAL, high=Fraction(1)),
    NutrientLimit("zinc", Per.DAY, Fraction(1)),
    RatioLimit("thiamin", "zinc", low=Fraction(1)),
    RatioLimit("thiamin", "zinc", high=Fraction(1)),
    RatioLimit("zinc", "thiamin", low=Fraction(1)),
    RatioLimit("zinc", "thiamin", high=Fraction(1)),
)
DIVIDED = frozenset(NAMES[:4])


def shares(chance: Random, number: int) -> list[Fraction]:
    """So many shares of a whole, at random; some are nothing."""
    ends = sorted([0, 20, *(chance.randint(0, 20) for _ in range(number - 1))])
    return [Fraction(after - before, 20) for before, after in pairwise(ends)]


def a_random_cut(chance: Random, *, mixed: bool = True) -> Cut:
    """A cut of one species or several, of known and unknown shares, plain or mixed of some others."""
    species, parts = chance.sample(SPECIES, chance.randint(1, 3)), chance.sample(list(Part), chance.randint(1, 3))
    stated = [None if chance.random() < 0.3 else share for share in shares(chance, len(species))]
    return Cut(
        name=chance.choice(NAMES),
        species=tuple(map(SpeciesShare, species, stated)),
        kind=chance.choice(KINDS),
        parts=tuple(zip(parts, shares(chance, len(parts)), strict=True)),
        fat_share=Fraction(chance.choice((0, 1, 7, 40)), 100),
        rich=chance.random() < 0.2,
        piece_g=chance.choice((None, 60)),
        ingredients=(
            ingredients := tuple(a_random_cut(chance, mixed=False) for _ in range(chance.choice((0, 0, 1, 3)) * mixed))
        ),
        # reading hands the cautions of what is in a mixed product on to it
        cautions=tuple(chance.sample(CAUTIONS, chance.randint(0, 2)))
        + tuple(mark for one in ingredients for mark in one.cautions),
    )


@pytest.mark.slow
def test_the_table_counts_as_the_model_does() -> None:
    chance, seen = Random(1), Counter[tuple[Measure, bool]]()
    for _ in range(400):
        cut = a_random_cut(chance)
        counts = cut_entry(cut).counts
        for subject in SUBJECTS:
            share = subject.share_in(cut)
            assert counts.get(subject, 0) == share, (subject, cut)
            seen[subject.measure, share > 0] += 1
    # where all or none counts, nothing would be compared
    assert len(seen) == 2 * len(Measure)
    assert min(seen.values()) >= 40, seen


@pytest.mark.slow
def test_the_table_knows_what_a_cut_holds_as_the_model_does() -> None:
    chance, seen = Random(2), Counter[tuple[Measure, bool]]()
    for _ in range(400):
        cut = a_random_cut(chance)
        holds = cut_entry(cut).holds
        for subject in SUBJECTS:
            assert (subject in holds) == subject.touches(cut), (subject, cut)
            seen[subject.measure, subject in holds] += 1
    assert len(seen) == 2 * len(Measure)
    assert min(seen.values()) >= 40, seen


@pytest.mark.slow
def test_the_table_knows_a_species_for_sure_and_a_whole_piece_as_the_model_does() -> None:
    chance, seen = Random(3), Counter[tuple[str, bool]]()
    for _ in range(800):
        cut = a_random_cut(chance)
        one = cut_entry(cut, DIVIDED)
        for species in SPECIES:
            assert one.for_sure.get(species, 0) == cut.known_share_of(species), (species, cut)
            seen["sure", cut.known_share_of(species) > 0] += 1
        assert one.fed_piece_g == Portioning(divided=DIVIDED).whole_piece_g(cut), cut
        seen["piece", one.fed_piece_g is not None] += 1
    assert len(seen) == 4
    assert min(seen.values()) >= 40, seen


@pytest.mark.slow
def test_the_table_spares_a_dog_what_the_model_does() -> None:
    chance, seen = Random(4), Counter[bool]()
    for _ in range(200):
        cuts = tuple(replace(a_random_cut(chance), name=name) for name in NAMES)
        scenario = a_scenario(cuts=cuts, offers=())
        dog = a_dog(avoid=chance.sample(SUBJECTS, chance.randint(0, 2)))
        none_of = set(forbidden(dog, cut_table(scenario)))
        assert none_of == {cut.name for cut in cuts if dog.avoids(cut)}
        assert animal_species(scenario) == scenario.species()
        seen[bool(none_of)] += 1
    assert min(seen.values()) >= 20, seen


@pytest.mark.parametrize("number", [8, 9])
@pytest.mark.parametrize("working", list(Working))
def test_the_audit_knows_who_shares_pieces_as_the_model_does(number: int, working: Working) -> None:
    away = a_dog("dog away", batch_g=0)
    dogs = (*(a_dog(f"dog {index}") for index in range(number)), away)
    scenario = a_scenario(dogs=dogs, cuts=(NECK, TRIM), offers=(), portioning=Portioning(working=working))
    plan = a_plan(lines=(), bills=(), portions=portions_g({dog.name: {"chicken neck": 60} for dog in dogs}))
    assert bool(open_books(scenario, plan).shared_pieces) == scenario.shares_pieces == (number == 9 or working == "tub")


@pytest.mark.slow
def test_the_table_knows_what_destroys_what_is_asked_as_the_model_does() -> None:
    chance, seen = Random(5), Counter[tuple[object, bool]]()
    for _ in range(40):
        cuts = tuple(replace(a_random_cut(chance), name=name) for name in NAMES)
        for limit in ASKED:
            one, other = ((limit,), ()) if isinstance(limit, NutrientLimit) else ((), (limit,))
            dog = replace(a_dog(), nutrient_limits=one, ratio_limits=other)
            found = destroyers(dog, cut_table(a_scenario(cuts=cuts, offers=())))
            assert found == {cut.name for cut in cuts if not dog.needs_kept.isdisjoint(cut.destroys)}
            seen[limit, bool(found)] += 1
    # a least of thiamin needs it, and so does most of another for each of it; nothing else does
    needs = {limit for limit, is_found in seen if is_found}
    assert needs == {ASKED[0], ASKED[3], ASKED[6]}


# ---- by hand, so that both cannot be wrong alike


BONY = {Part.MUSCLE: "3/5", Part.BONE: "2/5"}
STEW = a_cut("stew", species={"beef": "3/4", "lamb": None}, kind="own", parts=BONY, ingredients=(HEART, NECK))


@pytest.mark.parametrize(
    ("measure", "word", "cut", "share", "is_held"),
    [
        (Measure.FAT, "", TRIM, "3/20", True),
        (Measure.FAT, "", replace(TRIM, fat_share=Fraction(0)), 0, False),
        (Measure.PART, "bone", NECK, "2/5", True),
        (Measure.PART, "liver", NECK, 0, False),
        (Measure.SPECIES, "beef", STEW, "3/4", True),
        (Measure.SPECIES, "lamb", STEW, 1, True),
        (Measure.SPECIES, "pork", MINCE, 1, True),
        # the label names no chicken, but the necks in it are
        (Measure.SPECIES, "chicken", STEW, 0, True),
        (Measure.KIND, "heart", STEW, 1, True),
        (Measure.KIND, "mince", STEW, 0, False),
        # what is in an ingredient is in it, too
        (Measure.KIND, "heart", replace(MINCE, ingredients=(STEW,)), 1, True),
        (Measure.CUT, "pork mince", MINCE, 1, True),
        (Measure.CUT, "farm mince", MINCE, 1, True),
        (Measure.RICH, "", HEART, 1, True),
        # a mix says itself whether it is rich, whatever is in it
        (Measure.RICH, "", STEW, 0, False),
        (Measure.RICH, "", replace(STEW, rich=True), 1, True),
        (Measure.RICH, "", TRIM, 0, False),
        (Measure.WHOLE_BONE, "", NECK, 1, True),
        (Measure.WHOLE_BONE, "", replace(NECK, kind="mince"), 0, False),
        # a mixed product without bone of its own: that of an ingredient went through the mincer
        (Measure.WHOLE_BONE, "", replace(STEW, parts=((Part.MUSCLE, Fraction(1)),)), 0, False),
    ],
)
def test_a_cut_counts_and_holds_what_the_sentences_say(
    measure: Measure, word: str, cut: Cut, share: str | int, is_held: bool
) -> None:
    subject, one = a_subject(measure, word), cut_entry(cut)
    assert one.counts.get(subject, 0) == Fraction(share)
    assert (subject in one.holds) is is_held
