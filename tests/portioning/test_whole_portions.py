"""Whole pieces for every dog of a group, and the same part of everything else.

**Source:** arithmetic; sums stand beside the numbers. Allocations are written by hand; no solver is asked.
"""

from fractions import Fraction
from random import Random

import pytest

from raworder.portioning.finishing import whole_portions
from raworder.trade.bags import Portioning
from raworder.trade.dogs import Dog
from raworder.trade.plan import MILLION, Allocation
from raworder.trade.scenario import Scenario
from tests import builders as b


def portions(
    scenario: Scenario, eaten_g: dict[tuple[str, str], float], *fed_alike: tuple[str, ...]
) -> dict[str, dict[str, int | float]]:
    """Grams by dog and cut of an allocation told in grams."""
    eaten_ug = {entry: round(grams * MILLION) for entry, grams in eaten_g.items()}
    found = whole_portions(scenario, Allocation({}, eaten_ug, b.a_proof(), fed_alike))
    grams: dict[str, dict[str, int | float]] = {}
    for (dog, cut), amount in found.items():
        grams.setdefault(dog, {})[cut] = amount / MILLION
    return grams


def kennel(*dogs: Dog, portioning: Portioning | None = None) -> Scenario:
    return b.a_scenario(dogs=dogs, cuts=(b.NECK, b.TRIM, b.LIVER), portioning=portioning)


def test_a_dog_alone_keeps_its_pieces_but_for_the_solvers_tolerance() -> None:
    """Ten necks, told a millionth short."""
    dog = b.a_dog(batch_g=1_000)
    found = portions(
        kennel(dog), {("Maple", "chicken neck"): 599.999999, ("Maple", "beef trim"): 400.000001}, ("Maple",)
    )
    assert found == {"Maple": {"chicken neck": 600, "beef trim": 400}}


def test_pieces_of_a_group_are_shared_out_whole_and_the_rest_fills_up() -> None:
    """1500 g for two dogs, 2 : 1, with five necks: 3.33 and 1.67; 3 and 2, as the second would be shorter of bone.

    Maple has 1000 - 180 = 820 g left and Juniper 500 - 120 = 380 of 1200 g, of which a tenth is liver.
    """
    dogs = (b.a_dog("Maple", batch_g=1_000), b.a_dog("Juniper", batch_g=500))
    eaten = {
        ("Maple", "chicken neck"): 200, ("Juniper", "chicken neck"): 100,
        ("Maple", "beef trim"): 720, ("Juniper", "beef trim"): 360,
        ("Maple", "lamb liver"): 80, ("Juniper", "lamb liver"): 40,
    }  # fmt: skip
    assert portions(kennel(*dogs), eaten, ("Maple", "Juniper")) == {
        "Maple": {"chicken neck": 180, "beef trim": 738, "lamb liver": 82},
        "Juniper": {"chicken neck": 120, "beef trim": 342, "lamb liver": 38},
    }


def test_what_is_cut_up_is_shared_like_everything_else() -> None:
    dogs = (b.a_dog("Maple", batch_g=1_000), b.a_dog("Juniper", batch_g=500))
    eaten = {("Maple", "chicken neck"): 1_000, ("Juniper", "chicken neck"): 500}
    divided = Portioning(divided=frozenset({"chicken neck"}))
    assert portions(kennel(*dogs, portioning=divided), eaten, ("Maple", "Juniper")) == {
        "Maple": {"chicken neck": 1_000},
        "Juniper": {"chicken neck": 500},
    }


def test_groups_share_nothing_with_one_another() -> None:
    dogs = (b.a_dog("Maple", batch_g=1_000), b.a_dog("Juniper", batch_g=500))
    eaten = {("Maple", "chicken neck"): 240, ("Maple", "beef trim"): 760, ("Juniper", "lamb liver"): 500}
    assert portions(kennel(*dogs), eaten, ("Maple",), ("Juniper",)) == {
        "Maple": {"chicken neck": 240, "beef trim": 760},
        "Juniper": {"lamb liver": 500},
    }


def test_a_dog_in_care_keeps_its_amounts_though_they_are_no_whole_pieces() -> None:
    sorrel = b.a_dog_in_care(amounts_g={"chicken neck": 100, "beef trim": 50})
    eaten = {("Sorrel", "chicken neck"): 100, ("Sorrel", "beef trim"): 50}
    assert portions(kennel(sorrel), eaten, ("Sorrel",)) == {"Sorrel": {"chicken neck": 100, "beef trim": 50}}


@pytest.mark.parametrize("seed", range(40))
def test_every_dog_eats_its_batch_and_is_no_piece_off(seed: int) -> None:
    random = Random(seed)
    dogs = [b.a_dog(f"dog {number}", batch_g=random.randint(800, 5_000)) for number in range(random.randint(1, 9))]
    all_g = sum(dog.batch_g for dog in dogs)
    necks_g = random.randint(0, all_g // 240) * 60
    liver_g = random.randint(0, all_g // 20)
    together = {"chicken neck": necks_g, "lamb liver": liver_g, "beef trim": all_g - necks_g - liver_g}
    eaten_ug = {
        (dog.name, cut): grams * MILLION * dog.batch_g // all_g for dog in dogs for cut, grams in together.items()
    }
    for cut, grams in together.items():
        eaten_ug[dogs[0].name, cut] += grams * MILLION - sum(eaten_ug[dog.name, cut] for dog in dogs)
    names = tuple(dog.name for dog in dogs)
    found = whole_portions(kennel(*dogs), Allocation({}, eaten_ug, b.a_proof(), (names,)))
    for dog in dogs:
        assert sum(amount for (name, _), amount in found.items() if name == dog.name) == dog.batch_g * MILLION
        mine_g = Fraction(found.get((dog.name, "chicken neck"), 0), MILLION)
        assert mine_g % 60 == 0
        assert abs(mine_g - Fraction(necks_g * dog.batch_g, all_g)) < 60
    assert sum(amount for (_, cut), amount in found.items() if cut == "chicken neck") == necks_g * MILLION
    for cut in ("beef trim", "lamb liver"):
        given_ug = sum(amount for (_, one), amount in found.items() if one == cut)
        assert abs(given_ug - together[cut] * MILLION) <= len(dogs) * len(together)
