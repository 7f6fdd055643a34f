"""How far what there is goes, where some is an owner's own. **Source:** arithmetic, held against what is eaten."""

from fractions import Fraction
from random import Random

from raworder.trade.purchase import reduce_rations
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.drawn import drawn, seeds

EACH = 200


def beyond_own_g(scenario: Scenario, part: Fraction) -> Fraction:
    """Grams that dogs fed that part of their rations take from what is there for all."""
    beyond = Fraction(0)
    for owner in {dog.owner for dog in scenario.dogs}:
        need = sum(
            (dog.batch_g * (1 if dog.care else part) for dog in scenario.dogs if dog.owner == owner), Fraction(0)
        )
        own_g = sum(lot.grams for lot in scenario.on_hand if lot.owner == owner) if owner else 0
        beyond += max(need - own_g, Fraction(0))
    return beyond


def for_all_g(scenario: Scenario) -> int:
    """Grams on hand for all."""
    return sum(lot.grams for lot in scenario.on_hand if not lot.owner)


@drawn()
def test_all_get_the_largest_part_that_there_is_food_for(block: int) -> None:
    for seed in seeds(block, EACH):
        random = Random(seed)
        dogs = [
            b.a_dog(
                f"dog {n}", days=5, daily_g=random.randint(1, 9) * 100, owner=random.choice(("Ada", "Bo", "Cy", ""))
            )
            for n in range(random.randint(1, 6))
        ]
        owners = [dog.owner for dog in dogs]
        lots = [b.on_hand(grams=random.randint(1, 90) * 50, owner=random.choice(owners)) for _ in range(3)]
        scenario = b.a_scenario(days=5, dogs=dogs, offers=[], on_hand=lots)
        less, short_g = reduce_rations(scenario, Fraction(1))
        fed_g = sum(dog.batch_g for dog in less.dogs)
        assert short_g == sum(dog.batch_g for dog in dogs) - fed_g, seed
        assert beyond_own_g(less, Fraction(1)) <= for_all_g(scenario), seed
        part = max(Fraction(one.batch_g, was.batch_g) for one, was in zip(less.dogs, dogs, strict=True))
        assert part == 1 or beyond_own_g(scenario, part + Fraction(1, 50)) > for_all_g(scenario), seed


def test_what_one_owner_has_too_much_of_feeds_no_other() -> None:
    """Ada's dog eats 500 g of her 2 kg, and Bo's 500 of the 250 g that are for all: all get half."""
    dogs = [b.a_dog("Maple", days=5, daily_g=100, owner="Ada"), b.a_dog("Pip", days=5, daily_g=100, owner="Bo")]
    lots = [b.on_hand(grams=2_000, owner="Ada"), b.on_hand(grams=250)]
    less, short_g = reduce_rations(b.a_scenario(days=5, dogs=dogs, offers=[], on_hand=lots), Fraction(1))
    assert [dog.batch_g for dog in less.dogs] == [250, 250]
    assert short_g == 500
