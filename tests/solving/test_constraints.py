"""The picture of every rule: the algebra that its builder writes for the small scenario, one line per constraint.

**Source:** the golden files were read line by line beside the rulebook's maths when they were written; some lines are
worked out by hand below. Rewritten only by `--write-golden`.
"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from raworder.solving.constraints import BUILDERS
from raworder.solving.problem import pose_unknowns
from raworder.trade.scenario import Offer, Scenario
from tests import builders as b
from tests.builders import NECK, SMALL
from tests.solving.algebra import line
from tests.supplemented import SUPPLEMENTED

PICTURES = Path(__file__).resolve().parents[1] / "golden" / "constraints"
EVERYTHING = frozenset((dog.name, cut.name) for dog in SMALL.dogs if dog.care is None for cut in SMALL.cuts)
"""The least portion is asked of the cuts that would be fed in scraps alone; here of all, so that it is seen."""


OF_NUTRIENTS = frozenset({"nutrient", "nutrient_ratio", "supplement"})
"""The rules that the small scenario has nothing of."""


def algebra(key: str) -> list[str]:
    """What a builder writes for a small scenario: `name: terms sense right-hand side`."""
    problem = pose_unknowns(SUPPLEMENTED) if key in OF_NUTRIENTS else pose_unknowns(SMALL, scraps=EVERYTHING)
    return [line(name, rule) for name, rule in BUILDERS[key](problem)]


@pytest.mark.parametrize("key", BUILDERS)
def test_a_builder_writes_the_algebra_of_its_picture(key: str, golden: Callable[[Path, str], None]) -> None:
    golden(PICTURES / f"{key}.txt", "".join(f"{line}\n" for line in algebra(key)))


@pytest.mark.parametrize("key", BUILDERS)
def test_every_rule_has_something_to_say_about_the_small_scenario(key: str) -> None:
    assert algebra(key)


@pytest.mark.parametrize("key", BUILDERS)
def test_names_of_constraints_begin_with_the_key_of_their_rule_and_are_safe(key: str) -> None:
    names = [line.partition(":")[0] for line in algebra(key)]
    assert all(name == key or name.startswith(f"{key}_") for name in names)
    assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789_") for name in names)
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("key", "said"),
    [
        # trim has 40 mg of zinc a kilogram, less 15 for each 1000 kcal of its 2000: 10; a capsule 14 days times 9 kcal
        ("nutrient", "eat_bramble_beef_trim"),
        # 60 capsules a pack, none on hand; 30 g a pack, 10 g on hand
        ("supplement", "14 give_bramble_salmon_oil - 60 packs_oil <= 0"),
        ("supplement", "14 give_bramble_egg_shell_powder - 30 packs_shell <= 10"),
        # 500 g and 250 g a day for 14 days
        ("ration", "= 7"),
        ("ration", "= 3.5"),
        # beef heart on hand: 500 + 700 g; packs of 500 g
        ("supply", "left_beef_heart - 0.5 buy_heart_from_1 - 0.5 buy_heart_from_4 = 1.2"),
        # 500 g of the hearts are Ada's, the other 700 g are for all
        ("own_stock", "own_stock_ada_beef_heart: own_ada_beef_heart - eat_maple_beef_heart"),
        ("own_stock", "- own_ada_beef_heart - 0.5 buy_heart_from_1 - 0.5 buy_heart_from_4 <= 0.7"),
        # 12.5 kg of room, 0.625 + 1.2 kg on hand
        ("room", "<= 10.675"),
        # 7 % on 1.90, 6.20 and 5.80
        ("bill", "- 2.033 buy_liver - 0.0107 billed_trim"),
        # a fifth of 7 kg
        ("variety", "- 1.4 chosen_maple_beef >= 0"),
        # heart: 10 % of 10.5 kg can be eaten, three packs, but the price step begins at four
        ("delivery", "delivery_use_heart: buy_heart_from_1 + buy_heart_from_4 - 4 use_tidewell_farm <= 0"),
        # liver: 50 EUR, from which delivery is free, are reached with 27 packs at 1.90
        ("pack_count", "pack_count_liver: buy_liver <= 27"),
        # neck: 12 % bone at 0.4 is 30 % of 10.5 kg, 3.15 kg, four packs
        ("pack_count", "pack_count_neck: buy_neck <= 4"),
        # trim: no species above 75 % of 10.5 kg is 7.875 kg, and 1 kg for the patient
        ("pack_count", "pack_count_trim: buy_trim_from_1 + buy_trim_from_5000 <= 8.875"),
        # necks of 60 g
        ("whole_pieces", "whole_pieces_juniper_chicken_neck: eat_juniper_chicken_neck - 0.06 pieces_juniper_chicken"),
        # 10 g at least; liver: 6 % of 7 kg at most
        ("least_portion", "least_portion_maple_lamb_liver_low: eat_maple_lamb_liver - 0.01 taken_maple_lamb_liver >="),
        ("least_portion", "least_portion_maple_lamb_liver_high: eat_maple_lamb_liver - 0.42 taken_maple_lamb_liver <="),
    ],
)
def test_the_algebra_holds_what_was_worked_out_by_hand(key: str, said: str) -> None:
    assert any(said in one for one in algebra(key))


def test_a_piece_that_fits_no_bag_is_not_fed() -> None:
    """A day's 250 g less a least portion of 10 g are 240 g: a neck of 240 g just fits, one of 241 g does not."""
    for piece_g, fits in ((240, True), (241, False)):
        cuts = tuple(replace(cut, piece_g=piece_g) if cut == NECK else cut for cut in SMALL.cuts)
        large = replace(SMALL, cuts=cuts, portioning=replace(SMALL.portioning, most_a_day=()))
        rows = dict(BUILDERS["whole_pieces"](pose_unknowns(large)))
        assert ("whole_pieces_juniper_chicken_neck_fit" not in rows) is fits
        assert (rows[f"whole_pieces_juniper_bag_{piece_g}"].constant == 0) is not fits


def test_what_bags_hold_is_limited_also_where_pieces_are_not_counted() -> None:
    names = [name for name, _ in BUILDERS["whole_pieces"](pose_unknowns(SMALL, whole=False))]
    assert names
    assert all("_bag_" in name or "_day_" in name for name in names)


def test_the_least_portion_is_asked_of_nothing_until_it_is_needed() -> None:
    assert list(BUILDERS["least_portion"](pose_unknowns(SMALL))) == []


def rows(key: str, scenario: Scenario) -> list[str]:
    """What a builder writes for a scenario."""
    return [line(name, rule) for name, rule in BUILDERS[key](pose_unknowns(scenario))]


@pytest.mark.parametrize(
    ("offer", "said"),
    [
        (b.an_offer(key="trim"), "buy_trim = 3"),
        # 2250 g cut to the gram are 2.25 kg; in steps of 250 g they are 9
        (b.an_offer_by_weight(key="trim"), "buy_trim = 2.25"),
        (b.an_offer_by_weight(key="trim", unit_g=250), "buy_trim = 9"),
    ],
)
def test_what_is_bought_already_is_bought_in_what_the_model_counts(offer: Offer, said: str) -> None:
    units = {1_000: 3, 1: 2_250, 250: 9}[int(offer.unit_g)]
    assert rows("pack_count", b.a_scenario(offers=(replace(offer, bought=units),))) == [f"pack_count_trim: {said}"]


def test_whole_pieces_come_of_what_is_bought_already_too() -> None:
    """350 g on hand and 3 packs of 500 g, necks of 60 g: 5 and 25 necks are 1.8 kg, with rests of 50 and 0 g."""
    packs = replace(b.an_offer("chicken neck", key="neck", pack_g=500), bought=3)
    scenario = b.a_scenario(cuts=(NECK,), offers=(packs,), on_hand=(b.on_hand("chicken neck", 350),))
    assert "supply_chicken_neck_pieces: eat_maple_chicken_neck <= 1.8" in rows("supply", scenario)
    weighed = replace(b.an_offer_by_weight("chicken neck", key="neck"), bought=1_510)
    scenario = replace(scenario, offers=(weighed,))
    # 25 necks of 1510 g
    assert "supply_chicken_neck_pieces: eat_maple_chicken_neck <= 1.8" in rows("supply", scenario)
