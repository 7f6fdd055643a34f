"""The reference tables as the reader gives them."""

from dataclasses import replace
from fractions import Fraction

from raworder.reading.catalogue import reference_catalogue
from raworder.reading.reference import read_cautions, read_cuts, read_keeping, read_toxic_foods, toxic_food
from raworder.trade.cuts import Part
from tests.builders import a_scenario


def test_every_cut_adds_up_and_has_a_source() -> None:
    cuts = read_cuts()
    assert len(cuts) >= 120
    for row in cuts:
        assert sum(share for _, share in row.cut.parts) == 1
        assert row.cut.fat_share + row.cut.part_share(Part.BONE) <= 1
        assert row.cut.source
        assert row.parts.source
        assert row.fat.source


def test_a_cut_is_found_by_every_name_and_by_no_similar_one() -> None:
    catalogue = reference_catalogue(read_cuts())
    assert catalogue.find("Ground Beef") == catalogue.find("beef mince")
    assert catalogue.find("beef minced") is None
    assert len(catalogue.cuts) == len(read_cuts())


def test_parts_stand_in_the_order_of_the_trade() -> None:
    neck = reference_catalogue(read_cuts()).find("chicken neck")
    assert neck is not None
    assert [part for part, _ in neck.parts] == [Part.MUSCLE, Part.BONE]
    assert neck.species[0].share == Fraction(1)


def test_every_caution_of_a_cut_is_in_the_table() -> None:
    keys = {caution.key for caution in read_cautions()}
    assert {key for row in read_cuts() for key in row.cut.cautions} <= keys


def test_no_cut_of_the_table_is_toxic_by_any_of_its_names() -> None:
    foods = read_toxic_foods()
    assert [name for row in read_cuts() for name in (row.cut.name, *row.also_called) if toxic_food(name, foods)] == []


def test_foods_known_to_be_dangerous_are_found() -> None:
    foods = read_toxic_foods()
    for name in ("onion powder", "Garlic", "sultanas", "macadamia nuts", "dark chocolate", "cooked bones", "xylitol"):
        assert toxic_food(name, foods) is not None


def test_every_cut_of_the_table_keeps_as_long_as_the_first_row_that_speaks_of_it() -> None:
    keeping = read_keeping()
    scenario = a_scenario(cuts=(row.cut for row in read_cuts()))
    kept = {cut.name: replace(scenario, keeping=keeping).keeping_of(cut) for cut in scenario.cuts}
    assert all(kept.values())
    assert all(one.least_days <= one.most_days for one in keeping)
    names = ("beef mince", "lamb neck", "turkey neck", "cod fillet", "kale", "beef trim")
    assert [kept[name].least_days for name in names] == [1, 3, 1, 1, 3, 1]
    assert keeping[-1].kinds == keeping[-1].species == frozenset()
