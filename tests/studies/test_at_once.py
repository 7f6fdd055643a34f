"""No plan at once where dogs are many: what arithmetic shows is told with names and numbers, and no order is searched.

All scenarios are invented. **Source:** arithmetic, beside the numbers.
"""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType

import pytest
from hypothesis import given

from raworder.solving import mixtures, search
from raworder.solving.cheapest import cheapest
from raworder.solving.search import Impossible
from raworder.solving.solver import Settings
from raworder.studies import reasons as study
from raworder.studies.asking import Ask
from raworder.studies.mixture_facts import short_rations
from raworder.studies.plain_facts import PROVED, facts_at_once, no_plan_at_once, paper_at_once, plain_facts
from raworder.studies.reasons import Why, reasons
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Points, Table
from raworder.trade.dogs import Dog, EnergyRation, Goal
from raworder.trade.plan import NoPlan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.commands.running import IMPOSSIBLE
from tests.commands.running import told as run
from tests.properties.strategies import full_scenarios
from tests.studies.impossible import BLOCKED, KIDNEY, LIVER
from tests.studies.telling import told

LEAN = b.with_energy(b.TRIM, 150)
FAT = b.with_energy(b.a_cut("lamb breast", fat="3/10"), 250)
TOO_RICH = b.a_cap(Measure.CUT, "lamb breast", "1/2")
"""Half of each: 2.00 kcal in a gram at most."""


def a_pack(*first: Dog, of: int = 13, **rules: object) -> tuple[Dog, ...]:
    """These dogs, and as many more that eat 500 g a day as make so many in all."""
    others = [b.a_dog(f"Dog {number}", **rules) for number in range(len(first) + 1, of + 1)]  # type: ignore[arg-type]  # tests pass what the builder takes
    return (*first, *others)


def small(name: str, weight_g: int, daily_g: int, resting_kcal: int) -> Dog:
    """A dog that eats so little that half of it may be the fat cut."""
    return b.a_dog(name, weight_g=weight_g, daily_g=daily_g, resting_kcal=resting_kcal, caps=[TOO_RICH])


def with_small_dogs(*first: Dog, of: int = 13, **asked: object) -> Scenario:
    """Dogs that eat a lean and a fat cut."""
    return b.a_scenario(dogs=a_pack(*first, of=of), cuts=(LEAN, FAT), **asked)  # type: ignore[arg-type]  # tests pass what the builder takes


def facts(scenario: Scenario) -> str:
    """All facts that are told at once, as one text."""
    document = paper_at_once(scenario)
    assert document is not None
    return " ".join(fact for block in document.blocks if isinstance(block, Points) for fact in block.items)


def test_a_dog_that_gets_too_little_energy_is_told_with_what_to_write() -> None:
    """120 g hold 240 kcal at most; 269 kcal take 135 g of 2.00 kcal."""
    says = facts(with_small_dogs(small("Pesha", 6_000, 120, 269)))
    assert "Pesha cannot get the energy needed at rest: what is fed a day holds at most 240 kcal" in says
    assert "and 269 kcal are needed. Write `ration: 135 g` or more." in says


def test_many_dogs_that_get_too_little_are_in_one_table_like_ones_together() -> None:
    """Of 100 g 200 kcal at most, of 150 g 300."""
    dogs = [small("Pesha", 9_000, 150, 364), small("Elmi", 6_000, 100, 269), small("Nida", 6_000, 100, 269)]
    document = paper_at_once(with_small_dogs(*dogs))
    assert document is not None
    (table,) = [block for block in document.blocks if isinstance(block, Table)]
    assert [(row[0], *row[2:]) for row in table.rows] == [
        ("Elmi and Nida", 100, 200, 269, "ration: 135 g"),
        ("Pesha", 150, 300, 364, "ration: 182 g"),
    ]
    assert "Pesha, Elmi and Nida cannot get the energy needed at rest" in told(document)
    assert "`ration: 95 kcal/kg^0.75`" in table.note


def test_a_ration_in_energy_below_that_at_rest_is_told_in_kilocalories() -> None:
    dog = replace(small("Pesha", 6_000, 100, 269), energy=EnergyRation((Fraction(200),) * 14))
    assert "holds at most 200 kcal" in facts(with_small_dogs(dog))
    assert "Write `ration: 269 kcal` or more." in facts(with_small_dogs(dog))


def test_a_dog_is_told_of_only_what_fits_its_bags_counts() -> None:
    """A neck of 60 g is too large for a bag of 50 g, so that only trim of 1.50 kcal is left: 75 kcal of 80."""
    neck = b.with_energy(b.NECK, 220)
    dog = b.a_dog("Pesha", weight_g=2_000, daily_g=50, resting_kcal=80)
    assert "holds at most 75 kcal" in facts(b.a_scenario(dogs=a_pack(dog), cuts=(LEAN, neck)))
    larger = b.a_dog("Pesha", weight_g=2_000, daily_g=200, resting_kcal=320)
    assert paper_at_once(b.a_scenario(dogs=a_pack(larger), cuts=(LEAN, neck))) is None


def test_what_must_be_frozen_first_does_not_count_as_energy() -> None:
    pork = b.with_raw_pork(FAT)
    scenario = b.a_scenario(dogs=a_pack(small("Pesha", 6_000, 135, 265)), cuts=(LEAN, pork))
    assert "holds at most 202 kcal" in facts(scenario)
    assert paper_at_once(replace(scenario, hold_days=None)) is None


def test_what_the_table_says_to_write_is_enough() -> None:
    """Each ration is raised to what stands there, and nothing is told any more."""
    dogs = [small("Pesha", 9_000, 150, 364), small("Elmi", 6_000, 100, 269)]
    scenario = with_small_dogs(*dogs)
    grams = {ration.dogs[0].name: int(ration.least.split()[1]) for ration in short_rations(scenario)}
    fed = [replace(dog, day_g=(grams[dog.name],) * 14, batch_g=grams[dog.name] * 14) for dog in dogs]
    assert paper_at_once(with_small_dogs(*fed)) is None
    a_gram_less = [replace(dog, day_g=(dog.day_g[0] - 1,) * 14, batch_g=dog.batch_g - 14) for dog in fed]
    assert len(short_rations(with_small_dogs(*a_gram_less))) == len(dogs)


def test_food_of_unknown_energy_leaves_open_what_a_dog_gets() -> None:
    cuts = (b.with_energy(b.TRIM, 150), b.a_cut("lamb breast", fat="3/10"))
    scenario = b.a_scenario(dogs=a_pack(b.a_dog("Pesha", daily_g=100, resting_kcal=269)), cuts=cuts)
    assert paper_at_once(scenario) is None


NO_BEEF = b.a_dog("Pesha", avoid=[b.a_subject(word="beef")])
LIVER_TARGET = b.a_target(Part.LIVER, "5/100", "10/100")
ORGANS = (b.TRIM, LIVER, KIDNEY)
SHORT: Mapping[str, tuple[Scenario, str]] = MappingProxyType(
    {
        # 13 dogs eat 91 kg at 2.40
        "a budget far too small": (
            b.a_scenario(dogs=a_pack(), budget=100),
            "The budget is 100.00 EUR, but 91 kg of even the cheapest cut cost 218.40 EUR.",
        ),
        # at least 5 % of 91 kg is liver at 10.00, the rest trim at 2.40: 45.50 and 207.48, less a cent a line
        "a budget below what the ranges cost": (
            b.a_scenario(
                dogs=a_pack(targets=[LIVER_TARGET]),
                cuts=(b.TRIM, LIVER),
                offers=[b.an_offer(), b.an_offer("beef liver", price=10)],
                budget=230,
            ),
            "the food within the ranges and caps costs at least 252.95 EUR",
        ),
        "a freezer too small": (
            b.a_scenario(dogs=a_pack(), room_g=30_000),
            "The dogs eat 91 kg over the batch, but the freezer holds only 30 kg.",
        ),
        "no liver at all": (
            b.a_scenario(dogs=a_pack(targets=[LIVER_TARGET])),
            "13 dogs (Dog 1, Dog 2, Dog 3, Dog 4, Dog 5, Dog 6 and 7 more) must get some. Offer a cut with liver.",
        ),
        "liver that two dogs must not eat": (
            b.a_scenario(
                dogs=a_pack(
                    *(
                        b.a_dog(name, avoid=[b.a_subject(Measure.KIND, "liver")], targets=[LIVER_TARGET])
                        for name in "AB"
                    ),
                    targets=[LIVER_TARGET],
                ),
                cuts=(b.TRIM, LIVER),
            ),
            "A and B must get liver but must not eat any of the cuts that contain it: beef liver. Offer another.",
        ),
        "liver that is forbidden and asked for": (
            b.a_scenario(
                dogs=a_pack(
                    b.a_dog("A", avoid=[b.a_subject(Measure.PART, "liver")], targets=[LIVER_TARGET]),
                    targets=[LIVER_TARGET],
                ),
                cuts=(b.TRIM, LIVER),
            ),
            "forbids all liver and ",
        ),
        # 5 % of 91 kg are 4.55 kg
        "too little liver": (
            b.a_scenario(
                dogs=a_pack(targets=[LIVER_TARGET]),
                cuts=(b.TRIM, LIVER),
                offers=[b.an_offer(), b.an_offer("beef liver", available=4)],
            ),
            "The dogs must get at least 4.55 kg of liver; all that there is contains 4 kg.",
        ),
        "too little food": (
            b.a_scenario(dogs=a_pack(), offers=[b.an_offer(available=80)]),
            "The dogs eat 91 kg over the batch, but there is only 80 kg.",
        ),
        # Pesha eats 7 kg
        "too little of what one dog may eat": (
            b.a_scenario(
                dogs=a_pack(NO_BEEF),
                cuts=(b.TRIM, b.a_cut("horse lean", species={"horse": 1})),
                offers=[b.an_offer(), b.an_offer("horse lean", available=3)],
            ),
            "Pesha must get 7 kg over the batch, but all that they may eat is 3 kg.",
        ),
        # half of 91 kg may be trim, so 45.5 kg must be heart: 5.5 kg more than there are
        "a cap that what there is cannot keep": (
            b.a_scenario(
                dogs=a_pack(caps=[b.a_cap(Measure.CUT, "beef trim", "1/2")]),
                cuts=(b.TRIM, b.HEART),
                offers=[b.an_offer(), b.an_offer("beef heart", available=40)],
            ),
            "There must be at least 5.5 kg more of cuts with muscle.",
        ),
        # as much liver as trim and at most 10 % of it, so at most 20 % in all
        "caps that no mixture keeps": (
            b.a_scenario(
                dogs=a_pack(
                    caps=[b.a_cap(Measure.CUT, "beef trim", "1/2"), b.a_cap(Measure.CUT, "beef heart", "1/3")],
                ),
                cuts=(b.TRIM, b.HEART),
            ),
            "may eat keeps these together: at most 50.0 % beef trim and at most 33.3 % beef heart.",
        ),
    }
)


@pytest.mark.parametrize("name", SHORT)
def test_what_lacks_is_told_at_once_with_dogs_and_numbers(name: str) -> None:
    scenario, says = SHORT[name]
    assert says in facts(scenario)
    assert no_plan_at_once(scenario) == NoPlan()


@pytest.mark.parametrize("name", SHORT)
def test_what_is_told_at_once_is_true(name: str) -> None:
    """No order is found either."""
    assert isinstance(cheapest(SHORT[name][0], Settings()), Impossible)


@pytest.mark.parametrize("name", SHORT)
def test_no_order_is_searched_for_where_arithmetic_shows_that_there_is_none(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only mixtures are solved, each a small programme without whole numbers."""
    solved: list[int] = []
    minimise = mixtures.minimise

    def count(lp, *given, **named):  # type: ignore[no-untyped-def]  # as the solver's
        assert not any(unknown.cat == "Integer" for unknown in lp.variables())
        solved.append(len(lp.variables()))
        return minimise(lp, *given, **named)

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("an order is searched for")

    monkeypatch.setattr(mixtures, "minimise", count)
    monkeypatch.setattr(search, "minimise", refuse)
    paper = reasons(SHORT[name][0], Ask(Settings()))
    assert SHORT[name][1] in told(paper)
    assert len(solved) <= 20
    assert max(solved, default=0) <= 10


def test_up_to_a_dozen_dogs_are_searched_for_smaller_changes() -> None:
    """A freezer for 20 kg; a dozen dogs eat 84 kg, 13 dogs 91 kg."""
    dozen = b.a_scenario(dogs=a_pack(of=12), room_g=20_000)
    assert (no_plan_at_once(dozen), paper_at_once(dozen)) == (None, None)
    assert no_plan_at_once(b.a_scenario(dogs=a_pack(of=13), room_g=20_000)) == NoPlan()
    assert "eat 84 kg" in facts_at_once(dozen)


def test_all_that_arithmetic_shows_is_told_together() -> None:
    """Nobody sells liver, and no mixture of trim and heart keeps Pesha's caps."""
    caps = [b.a_cap(Measure.CUT, "beef trim", "1/2"), b.a_cap(Measure.CUT, "beef heart", "1/3")]
    dogs = a_pack(b.a_dog("Pesha", caps=caps), targets=[LIVER_TARGET])
    says = facts(b.a_scenario(dogs=dogs, cuts=(b.TRIM, b.HEART)))
    assert "contains liver" in says
    assert "No mixture of what Pesha may eat" in says


def test_what_shows_once_the_first_is_out_of_the_way_is_told_beside_it() -> None:
    """Nobody sells liver; without that, 45.5 kg must be heart, and there are 40 kg."""
    scenario = b.a_scenario(
        dogs=a_pack(caps=[b.a_cap(Measure.CUT, "beef trim", "1/2")], targets=[LIVER_TARGET]),
        cuts=(b.TRIM, b.HEART),
        offers=[b.an_offer(), b.an_offer("beef heart", available=40)],
    )
    assert "contains liver" in facts(scenario)
    assert "There must be at least 5.5 kg more of cuts with muscle." in facts(scenario)


def test_what_would_do_if_it_came_frozen_is_told() -> None:
    """At most half may be trim; the rest is pork, which must be frozen first."""
    pork = b.with_raw_pork(b.a_cut("pork lean", species="pork"))
    scenario = b.a_scenario(
        dogs=a_pack(caps=[b.a_cap(Measure.CUT, "beef trim", "1/2")]),
        cuts=(b.TRIM, b.HEART, pork),
        offers=[b.an_offer(), b.an_offer("beef heart", available=40), b.an_offer("pork lean")],
    )
    says = "It would do with what must be frozen first and is not counted (pork lean): buy that frozen, and write"
    assert says in facts(scenario)
    frozen = [replace(offer, frozen_days=20) for offer in scenario.offers]
    assert paper_at_once(replace(scenario, offers=tuple(frozen))) is None


def test_facts_are_told_before_a_long_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """A dozen dogs; on a terminal progress is shown, and facts first."""
    said: list[str] = []

    def search_long(*_: object) -> Why:
        assert said, "nothing was said before the search"
        return Why()

    monkeypatch.setattr(study, "explain_no_plan", search_long)
    dozen = b.a_scenario(dogs=a_pack(of=12), room_g=20_000)
    reasons(dozen, Ask(Settings(), progress=lambda *_: None, warn=said.append), NoPlan())
    assert "There is no plan, as plain arithmetic shows:\nThe dogs eat 84 kg over the batch" in "".join(said)
    assert "Ctrl-C" in "".join(said)


def test_an_interrupted_search_for_reasons_prints_what_it_has(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first question is interrupted."""

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Ask, "_answer", interrupt)
    ended = run("plan", IMPOSSIBLE)
    assert ended.code == 130
    assert "Time ran out before everything was tried" in " ".join(ended.stdout.split())


def test_nothing_is_ruled_out_once_food_is_bought() -> None:
    """What was bought may be too much for the room that was asked for."""
    bought = replace(b.an_offer(), bought=91)
    scenario = b.a_scenario(dogs=a_pack(), offers=[bought], room_g=30_000)
    assert no_plan_at_once(scenario) is None


@pytest.mark.parametrize("name", BLOCKED)
def test_small_scenarios_without_a_plan_are_none_of_them_answered_at_once(name: str) -> None:
    assert paper_at_once(BLOCKED[name].scenario) is None


@given(full_scenarios())
def test_what_arithmetic_rules_out_has_no_order(scenario: Scenario) -> None:
    """Every fact that counts as a proof is one: where any is told, the model has no solution."""
    if PROVED in facts_at_once(scenario):
        assert isinstance(cheapest(scenario, Settings()), Impossible), plain_facts(scenario)


def test_a_dog_that_is_to_lose_weight_may_get_less() -> None:
    """What is due is asked for, not 70 kcal x kg^0.75: 120 g hold 240 kcal at most, and 230 are due."""
    dog = replace(small("Pesha", 9_000, 120, 230), goal=Goal.LOSE)
    assert paper_at_once(with_small_dogs(dog)) is None


RESCUE = """currency: EUR
batch: {{starts: 2027-03-06, days: 14}}
freezer: {{room: 20 kg}}
all_dogs: {{ration: 500 g, targets: {{muscle: 50 % to 100 %}}}}
dogs:
{dogs}
cuts:
  - {{cut: beef trim, price: 6.20 per kg, fat: 12 %}}
"""


@pytest.mark.parametrize("command", ["plan", "reasons", "compare", "portion"])
def test_commands_tell_it_and_end_with_no_plan(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("an order is searched for")

    monkeypatch.setattr(search, "minimise", refuse)
    file = tmp_path / "rescue.yaml"
    file.write_text(RESCUE.format(dogs="\n".join(f"  - {{name: Dog {n}, weight: 20 kg}}" for n in range(1, 15))))
    ended = run(command, file)
    assert ended.code == 1
    assert "The dogs eat 98 kg over the batch, but the freezer holds only 20 kg." in " ".join(ended.stdout.split())
