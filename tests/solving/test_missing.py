"""What is missing: which ranges cannot be reached, and by how many grams.

**Source:** arithmetic; sums stand beside the numbers.
"""

from dataclasses import replace
from fractions import Fraction

from raworder.solving.missing import least_missing
from raworder.solving.solver import Settings
from raworder.trade.cuts import Measure, Part
from raworder.trade.dogs import Dog
from raworder.trade.purchase import Missed
from raworder.trade.scenario import Scenario
from tests import builders as b

BONE = b.a_subject(Measure.PART, Part.BONE)


def eight_necks(*dogs: Dog) -> Scenario:
    """480 g of necks for sale, 192 g of bone, and any amount of trim."""
    offers = [b.an_offer("chicken neck", pack_g=480, available=1), b.an_offer("beef trim")]
    return b.a_scenario(dogs=dogs, cuts=(b.NECK, b.TRIM), offers=offers)


def test_nothing_is_missing_where_all_ranges_can_be_reached() -> None:
    assert least_missing(eight_necks(b.a_dog(daily_g=150, targets=[b.a_target()])), Settings()) == ()


def test_too_little_bone_is_named_with_its_grams() -> None:
    """8 % of 7000 g are 560 g: 368 g more than 192."""
    found = least_missing(eight_necks(b.a_dog(targets=[b.a_target()])), Settings())
    share = Fraction(192, 7_000)
    assert found == (Missed("Maple", BONE, Fraction(8, 100), Fraction(12, 100), share, 368),)


def test_what_two_dogs_miss_together_is_as_little_as_can_be() -> None:
    """560 and 280 g of bone are asked for, 192 are there: 648 g short, however they are dealt out."""
    dogs = (b.a_dog("Maple", targets=[b.a_target()]), b.a_dog("Juniper", daily_g=250, targets=[b.a_target()]))
    found = least_missing(eight_necks(*dogs), Settings())
    assert found
    assert sum(one.off_g for one in found) == 648


def test_too_much_of_what_is_capped_is_named() -> None:
    """5 kg of trim and 2 of heart were bought: 2000 g of 7000, where a tenth is 700."""
    offers = [
        replace(b.an_offer(cut, pack_g=grams), bought=1) for cut, grams in (("beef trim", 5_000), ("beef heart", 2_000))
    ]
    scenario = b.a_scenario(dogs=[b.a_dog(caps=[b.a_cap()])], cuts=(b.TRIM, b.HEART), offers=offers)
    (missed,) = least_missing(scenario, Settings()) or ()
    assert (missed.subject, missed.off_g, missed.share) == (b.a_subject(Measure.KIND, "heart"), 1_300, Fraction(2, 7))


def test_too_little_food_is_no_range_that_is_missed() -> None:
    offers = [b.an_offer("beef trim", available=1)]
    assert not least_missing(b.a_scenario(offers=offers), Settings())


def test_dogs_in_care_miss_nothing() -> None:
    scenario = eight_necks(b.a_dog(targets=[b.a_target()]), b.a_dog_in_care())
    assert [one.dog for one in least_missing(scenario, Settings()) or ()] == ["Maple"]
