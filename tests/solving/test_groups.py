"""Like dogs are merged, unlike ones are not, and what a group eats is split so that every dog's food adds up.

**Source:** arithmetic.
"""

from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from raworder.solving.cheapest import cheapest
from raworder.solving.groups import counts_bags_coarsely, groups_of, leaves_out_by_sharing, split_ug
from raworder.solving.solver import Settings
from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import Measure
from raworder.trade.dogs import Dog
from raworder.trade.plan import Allocation
from raworder.trade.scenario import Variety
from tests import builders as b

UG_PER_G = 10**6


CUT_UP = Portioning(divided=frozenset({"chicken neck"}), working=Working.TUB)
TUB = Portioning(working=Working.TUB)
"""Few dogs are fed alike only where they are fed from one tub."""


def names_of_groups(*dogs: Dog, portioning: Portioning = CUT_UP) -> list[tuple[str, ...]]:
    scenario = b.a_scenario(dogs=dogs, cuts=(b.NECK, b.TRIM, b.HEART, b.MINCE), portioning=portioning)
    return [tuple(dog.name for dog in group.dogs) for group in groups_of(scenario)]


def test_dogs_with_the_same_rules_are_one_group_whatever_they_weigh_and_eat() -> None:
    maple = b.a_dog("Maple", targets=b.prey_model(), caps=[b.a_cap()])
    juniper = b.a_dog(
        "Juniper", weight_g=8_000, daily_g=200, days=9, targets=b.prey_model(), caps=[b.a_cap()], owner="Bo"
    )
    assert names_of_groups(maple, juniper) == [("Juniper", "Maple")]


def test_the_order_of_targets_and_caps_does_not_matter() -> None:
    caps = [b.a_cap(), b.a_cap(Measure.FAT, "", "3/20")]
    maple = b.a_dog("Maple", targets=b.prey_model(), caps=caps)
    juniper = b.a_dog("Juniper", targets=reversed(b.prey_model()), caps=reversed(caps))
    assert names_of_groups(maple, juniper) == [("Juniper", "Maple")]


@pytest.mark.parametrize(
    "unlike",
    [
        b.a_dog("Juniper", targets=[b.a_target(low="7/100")]),
        b.a_dog("Juniper", targets=[b.a_target()], caps=[b.a_cap()]),
        b.a_dog("Juniper", targets=[b.a_target()], avoid=[b.a_subject()]),
        b.a_dog_in_care("Juniper"),
    ],
)
def test_another_range_cap_or_exclusion_makes_another_group(unlike: Dog) -> None:
    maple = b.a_dog("Maple", targets=[b.a_target()])
    assert names_of_groups(maple, unlike) == [("Juniper",), ("Maple",)]


def test_exclusions_that_forbid_the_same_cuts_are_the_same() -> None:
    by_species = b.a_dog("Maple", avoid=[b.a_subject(Measure.SPECIES, "chicken")])
    by_cut = b.a_dog("Juniper", avoid=[b.a_subject(Measure.CUT, "chicken neck")])
    assert names_of_groups(by_species, by_cut) == [("Juniper", "Maple")]


def test_dogs_under_care_are_never_merged() -> None:
    assert names_of_groups(b.a_dog_in_care("Sorrel"), b.a_dog_in_care("Tansy")) == [("Sorrel",), ("Tansy",)]


def test_a_dog_that_eats_nothing_in_this_batch_is_in_no_group() -> None:
    assert names_of_groups(b.a_dog("Maple"), b.a_dog("Juniper", batch_g=0)) == [("Maple",)]


def test_few_dogs_are_by_themselves_unless_they_are_fed_from_a_tub() -> None:
    """One may get ten grams of what is scarce and the other none; fed alike, both would need it, or more of it."""
    alike = [b.a_dog("Maple"), b.a_dog("Juniper")]
    assert len(groups_of(b.a_scenario(dogs=alike))) == 2
    assert len(groups_of(b.a_scenario(dogs=alike, portioning=TUB))) == 1


def test_two_dogs_cost_what_each_of_them_costs_where_nothing_is_shared() -> None:
    """Liver from 1 to 2 %: 14 g and 70 g a week; fed alike, there was no plan, as nobody may get under ten grams."""
    targets = [b.a_target(b.Part.MUSCLE, "90/100", 1), b.a_target(b.Part.LIVER, "1/100", "2/100")]
    dogs = [b.a_dog("Pip", daily_g=100, days=7, targets=targets), b.a_dog("Wren", daily_g=500, days=7, targets=targets)]
    offers = [b.an_offer_by_weight(), b.an_offer_by_weight("lamb liver", price_per_kg="9.00")]
    costs = []
    for some in (dogs[:1], dogs[1:], dogs):
        found = cheapest(b.a_scenario(days=7, dogs=some, cuts=(b.TRIM, b.LIVER), offers=offers), Settings())
        assert isinstance(found, Allocation)
        costs.append(found.proof.bound)
    assert costs[2] == pytest.approx(costs[0] + costs[1], abs=Decimal("0.001"))


def test_a_group_eats_what_its_dogs_eat() -> None:
    scenario = b.a_scenario(dogs=[b.a_dog("Maple"), b.a_dog("Juniper", daily_g=250)], portioning=TUB)
    assert [group.ration_g for group in groups_of(scenario)] == [7_000 + 3_500]


def test_a_split_is_in_proportion_and_every_dogs_food_adds_up_exactly() -> None:
    random = Random(8)
    for _ in range(200):
        dogs = [b.a_dog(f"dog {n}", batch_g=random.randint(1, 9_999)) for n in range(random.randint(1, 6))]
        (group,) = groups_of(b.a_scenario(dogs=dogs, portioning=TUB))
        edges = sorted(random.randint(0, group.ration_g * UG_PER_G) for _ in range(3))
        eaten = [high - low for low, high in zip([0, *edges], [*edges, group.ration_g * UG_PER_G], strict=True)]
        eaten_ug = {f"cut {number}": amount for number, amount in enumerate(eaten)}
        split = dict(split_ug(group, eaten_ug))
        for dog in dogs:
            assert sum(amount for (name, _), amount in split.items() if name == dog.name) == dog.batch_g * UG_PER_G
            for cut, amount in eaten_ug.items():
                assert split[dog.name, cut] == pytest.approx(amount * dog.batch_g / group.ration_g, abs=5)


def test_a_split_mends_what_the_solver_left_short() -> None:
    (group,) = groups_of(b.a_scenario(dogs=[b.a_dog(batch_g=1_000)]))
    split = dict(split_ug(group, {"beef trim": 700 * UG_PER_G - 3, "beef heart": 300 * UG_PER_G}))
    assert split == {("Maple", "beef trim"): 700 * UG_PER_G, ("Maple", "beef heart"): 300 * UG_PER_G}


def test_dogs_that_need_several_species_are_planned_one_by_one() -> None:
    """One pack each of turkey and of rabbit: one dog gets its second species from the one, the other from the other.

    Fed alike, both would need a species for two, and only the dear horse is enough for that.
    """
    prices = {"beef": ("1.00", None), "turkey": ("0.90", 1), "rabbit": ("0.90", 1), "horse": ("50.00", None)}
    scenario = b.a_scenario(
        dogs=[b.a_dog("Maple", daily_g=500, days=10), b.a_dog("Juniper", daily_g=500, days=10)],
        cuts=[b.a_cut(f"{species} trim", species=species) for species in prices],
        offers=[b.an_offer(f"{name} trim", price=price, available=there) for name, (price, there) in prices.items()],
        variety=Variety(least_species=2, least_share=Fraction(1, 5)),
    )
    assert len(groups_of(scenario)) == 2
    found = cheapest(scenario, Settings())
    assert isinstance(found, Allocation)
    assert float(found.proof.bound) == pytest.approx(8 * 1.00 + 2 * 0.90, abs=2e-4)


def test_dogs_that_eat_whole_pieces_are_planned_one_by_one() -> None:
    assert names_of_groups(b.a_dog("Maple"), b.a_dog("Juniper"), portioning=Portioning()) == [("Juniper",), ("Maple",)]


def test_dogs_fed_from_tubs_and_more_than_eight_dogs_share_pieces() -> None:
    dogs = [b.a_dog(f"dog {number}") for number in range(9)]
    tub = Portioning(working=Working.TUB)
    assert names_of_groups(*dogs[:2], portioning=tub) == [("dog 0", "dog 1")]
    assert len(names_of_groups(*dogs[:8], portioning=Portioning())) == 8
    assert names_of_groups(*dogs, portioning=Portioning()) == [tuple(dog.name for dog in dogs)]


def test_dogs_that_eat_nothing_do_not_make_them_many() -> None:
    dogs = [b.a_dog(f"dog {number}") for number in range(8)]
    assert len(names_of_groups(*dogs, b.a_dog("guest", batch_g=0), portioning=Portioning())) == 8


def test_a_dog_for_which_a_piece_is_too_much_is_in_another_group() -> None:
    """A neck of 60 g, 10 g of something else and a scale step of 5 g are 75 g: 74 g a day are too few."""
    dogs = [b.a_dog("Maple"), b.a_dog("Juniper", daily_g=75), b.a_dog("Pip", daily_g=74)]
    scenario = b.a_scenario(dogs=dogs, cuts=(b.NECK, b.TRIM), portioning=Portioning(working=Working.TUB, most_a_day=()))
    assert [(group.name, sorted(group.unfit)) for group in groups_of(scenario)] == [
        ("Juniper", []),
        ("Pip", ["chicken neck"]),
    ]


def test_a_piece_left_out_only_since_pieces_are_shared_is_known() -> None:
    """Pip's bag of 74 g holds a neck of 60 g and 10 g of something else, but not a scale step more."""
    for daily_g, working, leaves_out in (
        (74, Working.TUB, True),
        (75, Working.TUB, False),
        (74, Working.EACH_CUT, False),
    ):
        portioning = Portioning(working=working, most_a_day=())
        scenario = b.a_scenario(dogs=[b.a_dog("Pip", daily_g=daily_g)], cuts=(b.NECK, b.TRIM), portioning=portioning)
        assert leaves_out_by_sharing(scenario) is leaves_out


def test_a_piece_with_more_bone_than_a_day_may_hold_is_too_much() -> None:
    """24 g of bone in a neck are 30 % of the 80 g in the bags of a day, 75 g are too few; so they are for anybody."""
    for daily_g, targets, unfit in (
        (80, [b.a_target()], frozenset[str]()),
        (75, [b.a_target()], frozenset({"chicken neck"})),
        (75, [], frozenset[str]()),
    ):
        (group,) = groups_of(b.a_scenario(dogs=[b.a_dog(daily_g=daily_g, targets=targets)], cuts=(b.NECK, b.TRIM)))
        assert group.unfit == unfit


def test_meals_make_bags_smaller() -> None:
    """Two bags of 70 g take a neck of 60 g and a least portion, two bags of 65 g do not."""
    for daily_g, unfit in ((140, frozenset[str]()), (130, frozenset({"chicken neck"}))):
        (group,) = groups_of(b.a_scenario(dogs=[b.a_dog(daily_g=daily_g, meals=2)], cuts=(b.NECK, b.TRIM)))
        assert group.unfit == unfit


def test_a_group_gets_so_much_of_a_cut_that_its_smallest_dog_gets_the_least_portion() -> None:
    """10 g for a dog that eats a third of all, and twice that, as whole pieces may take half of its part."""
    (group,) = groups_of(b.a_scenario(dogs=[b.a_dog("Maple"), b.a_dog("Juniper", daily_g=250)], portioning=TUB))
    (alone,) = groups_of(b.a_scenario())
    assert (group.least_g(10), alone.least_g(10)) == (60, 10)


@pytest.mark.slow
def test_many_unlike_bags_are_counted_coarsely_and_it_is_told() -> None:
    """Thirty dogs of which each has another largest piece that fits; one in steps of a power of two has fewer."""
    cuts = [
        b.a_cut(f"rib {grams}", kind="rib", parts={b.Part.MUSCLE: "9/10", b.Part.BONE: "1/10"}, piece_g=grams)
        for grams in range(100, 400, 10)
    ]
    dogs = [b.a_dog(f"dog {number:02}", daily_g=130 + 10 * number) for number in range(30)]
    many = b.a_scenario(dogs=dogs, cuts=(b.TRIM, *cuts))
    assert counts_bags_coarsely(many)
    assert len(groups_of(many)) <= 20
    assert not counts_bags_coarsely(b.a_scenario(dogs=dogs[:9], cuts=(b.TRIM, *cuts)))
    for group in groups_of(many):
        alone = [unfit for one in group.dogs for unfit in groups_of(b.a_scenario(dogs=[one], cuts=many.cuts))]
        assert all(one.unfit <= group.unfit for one in alone)
