"""What plain arithmetic shows: ends of ranges out of reach, and what is in the way of a whole piece.

All scenarios are invented. **Source:** arithmetic, beside the numbers.
"""

import pytest

from raworder.studies.plain_facts import plain_facts, there_g
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Part
from raworder.trade.scenario import Scenario
from tests import builders as b

RIB = b.a_cut("beef rib", kind="rib", parts={Part.MUSCLE: "1/5", Part.BONE: "4/5"}, piece_g=100)


def facts(scenario: Scenario) -> str:
    """All that is told, as one text."""
    return " ".join(plain_facts(scenario))


def test_a_low_end_above_what_any_cut_has_is_told() -> None:
    """A neck is 60 % muscle, so that no mixture of necks and liver is 76 %."""
    dog = b.a_dog(targets=[b.a_target(Part.MUSCLE, "76/100", "84/100")])
    says = "Maple must get at least 76.0 % of muscle, but no cut for it has more than 60.0 %."
    assert says in facts(b.a_scenario(dogs=[dog], cuts=(b.NECK, b.LIVER)))
    assert "must get" not in facts(b.a_scenario(dogs=[dog], cuts=(b.NECK, b.TRIM)))


def test_a_low_end_out_of_reach_as_every_cut_with_it_has_too_much_else_is_told() -> None:
    """A neck has 3 of muscle to 2 of bone: with 12 % of bone come 18 % of muscle."""
    targets = [b.a_target(Part.MUSCLE, "1/2", 1), b.a_target(Part.BONE, 0, "12/100")]
    scenario = b.a_scenario(dogs=[b.a_dog(targets=targets)], cuts=(b.NECK, b.LIVER))
    says = (
        "Maple must get at least 50.0 % of muscle, but every cut with it holds bone too: at most 12.0 % of bone "
        "leave it 18.0 %."
    )
    assert says in facts(scenario)
    enough = [b.a_target(Part.MUSCLE, "18/100", 1), b.a_target(Part.BONE, 0, "12/100")]
    assert "must get" not in facts(b.a_scenario(dogs=[b.a_dog(targets=enough)], cuts=(b.NECK, b.LIVER)))


def test_ends_are_told_by_what_each_dog_may_eat() -> None:
    """Maple must not eat beef, so that nothing without bone is left for it; Juniper may."""
    target = b.a_target(Part.BONE, 0, "12/100")
    dogs = [b.a_dog("Maple", targets=[target], avoid=[b.a_subject(word="beef")]), b.a_dog("Juniper", targets=[target])]
    told = facts(b.a_scenario(dogs=dogs, cuts=(b.NECK, b.TRIM)))
    assert "Maple must get at most 12.0 % of bone, but no cut has less than 40.0 %." in told
    assert "Juniper must" not in told


@pytest.mark.parametrize(
    ("daily_g", "portioning", "why"),
    [
        # 100 g and 10 g are more than 105 g less a step; 80 g of bone are more than 30 % of 105 g
        (105, Portioning(), "it is too large for one bag and its bone alone is more than 30.0 % of a day's food"),
        (200, Portioning(), "its bone alone is more than 30.0 % of a day's food"),
        # anything may be bone, so that only the bag is in the way
        (105, Portioning(most_a_day=()), "it is too large for one bag"),
    ],
)
def test_what_is_in_the_way_of_a_whole_piece_is_told(daily_g: int, portioning: Portioning, why: str) -> None:
    dog = b.a_dog(weight_g=8_000, daily_g=daily_g, targets=[b.a_target()])
    told = facts(b.a_scenario(dogs=[dog], cuts=(RIB, b.TRIM), portioning=portioning))
    assert f"Maple must get bone, but no piece with it can be fed whole: beef rib of 100 g ({why})." in told


def test_a_piece_above_a_quarter_of_the_batch_is_told_where_pieces_are_shared_out() -> None:
    """Nine dogs share pieces; a rib of 100 g is more than a quarter of 3 days of 125 g."""
    dogs = [b.a_dog(f"Dog {n}", daily_g=125, days=3, targets=[b.a_target()]) for n in range(1, 10)]
    scenario = b.a_scenario(dogs=dogs, days=3, cuts=(RIB, b.TRIM), portioning=Portioning(most_a_day=()))
    says = (
        "9 dogs (Dog 1, Dog 2, Dog 3, Dog 4, Dog 5, Dog 6 and 3 more) must get bone, but no piece with it can be fed "
        "whole: beef rib of 100 g (it is more than a quarter of"
    )
    assert says in facts(scenario)


def test_what_there_is_counts_what_is_on_hand_and_has_no_end_where_an_offer_has_none() -> None:
    scenario = b.a_scenario(offers=[b.an_offer(available=2)], on_hand=[b.on_hand(grams=300)])
    assert there_g(scenario, "beef trim") == 2_300
    assert there_g(b.a_scenario(), "beef trim") is None
