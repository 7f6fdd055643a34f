"""A mistake in the model is caught by the audit, and one in the audit by the plans that it then withholds.

Each time one function of one side is broken on purpose and a whole batch is planned. All dogs, prices, amounts and
analyses are invented. **Source:** the sums stand beside the numbers; no outside source.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, cast

import pytest

from raworder import as_fed
from raworder.auditing import books, nutrients_fed, weeks, what_counts
from raworder.bags import Portioning
from raworder.cuts import Cut, Measure, Part, Subject
from raworder.dogs import Dog, EnergyRation
from raworder.nutrients import Analysis, NutrientLimit, Per, RatioLimit, Supplement
from raworder.plan import Plan
from raworder.portioning import finished
from raworder.portioning.needs import Need
from raworder.solving import nutrient_rules, search
from raworder.solving.constraints import BUILDERS
from raworder.solving.problem import Problem
from raworder.solving.solver import Settings
from raworder.trade import Offer, Scenario, SupplementOffer, Variety
from raworder.units import Currency, evenly
from raworder.workflow import Withheld, plan_batch
from tests.builders import (
    FENWICK, HEART, HOLLOW_LANE, LIVER, MINCE, NECK, TRIM, a_cap, a_cut, a_dog, a_scenario, a_subject, a_supplier, a_target,
    an_offer, an_offer_by_weight, euros,
)  # fmt: skip
from tests.supplemented import an_analysis

Broken = Callable[[Any], Any]
"""A function of the house in, one that is mistaken out."""

ANY_DAY = Portioning(most_a_day=())
LAMB = a_cut("lamb shoulder", species="lamb", kind="shoulder")


def a_batch(dog: Dog, by_weight: dict[Cut, str], *packs: tuple[Cut, int, str], **more: Any) -> Scenario:
    """One dog fed 500 g a day for 5 days, so that no week says anything, from cuts by weight, per kg, and in packs."""
    cut_to_order = (an_offer_by_weight(cut.name, price_per_kg=price) for cut, price in by_weight.items())
    packed = (an_offer(cut.name, pack_g=grams, price=price) for cut, grams, price in packs)
    cuts = dict.fromkeys((*by_weight, *(cut for cut, _, _ in packs)))
    return a_scenario(days=5, dogs=(dog,), cuts=cuts, offers=(*cut_to_order, *packed), **more)


def maple(**more: Any) -> Dog:
    return replace(a_dog(days=5), **more)


def with_known(cut: Cut, **values: int | str) -> Cut:
    return replace(cut, analysis=an_analysis(values))


def of(measure: Measure, word: str, times: Fraction) -> Broken:
    """`Subject.share_in` that is mistaken about one subject."""
    subject = Subject(measure, word)
    return lambda real: lambda asked, cut: real(asked, cut) * (times if asked == subject else 1)


def half(real: Any) -> Any:
    return lambda *given: real(*given) / 2


def double(real: Any) -> Any:
    return lambda *given: real(*given) * 2


def always(value: Any) -> Broken:
    return lambda real: lambda *given, **more: value


@dataclass(frozen=True)
class Break:
    """A mistake in the model: the rule that is broken then, where, and a scenario in which that matters."""

    rule: str
    what: str
    scenario: Scenario
    where: Any
    name: str
    broken: Broken

    def __str__(self) -> str:
        return f"{self.rule}: {self.what}"


def only_sure(real: Any) -> Any:
    """`Subject.share_in` that counts nothing of a species whose share nobody knows."""

    def share_in(subject: Subject, cut: Cut) -> Fraction:
        known = sum((one.share for one in cut.species if one.species == subject.word and one.share), Fraction(0))
        found: Fraction = real(subject, cut)
        return known if subject.measure is Measure.SPECIES else found

    return share_in


def unsure(real: Any) -> Any:
    """`Cut.known_share_of` that counts all of a cut that may be of the species."""
    return lambda cut, species: Fraction(species in cut.species_names)


@dataclass(frozen=True)
class Forgetful:
    """A problem that tells of all that a group eats but for one cut."""

    problem: Problem
    cut: str

    def __getattr__(self, name: str) -> Any:
        return getattr(self.problem, name)

    def eaten(self, group: Any) -> Any:
        return ((cut, eat) for cut, eat in self.problem.eaten(group) if cut.name != self.cut)


def forgetting(rule: str, cut: str = "") -> Broken:
    """The builders, one of which forgets a cut, or all that it has to say."""

    def builder(problem: Problem) -> Any:
        return BUILDERS[rule](cast(Problem, Forgetful(problem, cut))) if cut else iter(())

    return lambda real: {**real, rule: builder}


def for_nutrient(key: str, times: int | Fraction) -> Broken:
    """`Analysis.of` that is mistaken about one nutrient."""
    return lambda real: lambda one, asked: (real(one, asked) or 0) * times if asked == key else real(one, asked)


def undelivered(real: Any) -> Any:
    """A bill without its delivery."""
    return lambda *given: replace(real(*given), delivery=euros(0))


def fed_alike(real: Any) -> Any:
    """A ration in energy whose grams are spread evenly, whatever is needed on a day."""

    def settled(dog: Dog, energy: EnergyRation, batch_g: int) -> Dog:
        return replace(real(dog, energy, batch_g), day_g=evenly(batch_g, len(energy.day_kcal)))

    return settled


CAPPED = a_batch(maple(caps=(a_cap(),)), {TRIM: "6.00", HEART: "3.00"})
FAT = a_batch(maple(caps=(a_cap(Measure.FAT, "", "1/10"),)), {TRIM: "3.00", LIVER: "6.00"}, portioning=ANY_DAY)
BONY = a_batch(maple(targets=(a_target(),)), {TRIM: "6.00", NECK: "3.00"})
HEARTS = a_batch(maple(caps=(a_cap(),)), {TRIM: "6.00"}, (HEART, 500, "1.00"))
NECKS = a_batch(maple(targets=(a_target(low=0),)), {TRIM: "6.00"}, (NECK, 1_000, "1.00"))
PACKED = a_batch(maple(), {LAMB: "6.00"}, (MINCE, 2_500, "6.00"), variety=Variety(most_share=Fraction(3, 5)))
SEVERAL = a_batch(maple(), {MINCE: "3.00", TRIM: "6.50", LAMB: "6.00"}, variety=Variety(2, Fraction(1, 5)))
AVOIDING = a_batch(maple(avoid=(a_subject(word="pork"),)), {TRIM: "6.00", MINCE: "3.00"})

# 5 mg of zinc in 100 g of the dear cut, 1 mg in the cheap: 15 mg a day are 250 g of each
ZINC = {with_known(TRIM, energy=200, zinc=5, calcium=10, phosphorus=200): "6.00",
        with_known(LAMB, energy=300, zinc=1, calcium=400, phosphorus=200): "3.00"}  # fmt: skip
A_DAY = a_batch(maple(nutrient_limits=(NutrientLimit("zinc", Per.DAY, Fraction(15)),)), ZINC)
A_MOST = a_batch(maple(nutrient_limits=(NutrientLimit("calcium", Per.DAY, high=Fraction(1000)),)), ZINC)
IN_MCAL = a_batch(maple(nutrient_limits=(NutrientLimit("zinc", Per.MCAL, Fraction(12)),)), ZINC)
RATIO = a_batch(maple(ratio_limits=(RatioLimit("calcium", "phosphorus", high=Fraction(1)),)), ZINC)
ENERGY = a_batch(maple(energy=EnergyRation((Fraction(1000),) * 4 + (Fraction(600),))), ZINC)

OILS = Supplement("salmon oil", "capsule", Fraction(1), an_analysis({"epa_dha": 1}), 6, species=("salmon",))
YEAST = replace(OILS, name="algal oil", species=("algae",))
OILED = replace(
    a_batch(
        maple(avoid=(a_subject(word="salmon"),), nutrient_limits=(NutrientLimit("epa_dha", Per.DAY, Fraction(2)),)),
        {TRIM: "6.00"},
    ),
    supplements=(OILS, YEAST),
    supplement_offers=(
        SupplementOffer("salmon", HOLLOW_LANE, "salmon oil", "salmon oil", 8, euros("2.00")),
        SupplementOffer("algal", HOLLOW_LANE, "algal oil", "algal oil", 8, euros("5.00")),
    ),
)
STEPPED = a_scenario(
    days=5, dogs=(maple(),), cuts=(TRIM,), offers=(an_offer_by_weight(breaks_g={2_000: "5.00", 2_600: "2.00"}),)
)
# 2500 g at 6.10 a kg are 15.25; 7 % of it are 1.0675
TAXED = a_batch(maple(), {TRIM: "6.10"}, suppliers=(a_supplier(sales_tax="7/100", delivery=3),))
LARGE = a_batch(maple(), {TRIM: "6.00"}, (TRIM, 5_000, "5.00"), room_g=3_000)
LITTLE = a_batch(maple(), {}, (TRIM, 500, "2.00"), suppliers=(a_supplier(minimum_order=15),))
# 1.5 kg of trim at 6.00 and a kg more of it at 6.20, or of lamb at 5.20
SHOPS = a_scenario(
    days=5,
    dogs=(maple(),),
    cuts=(TRIM, LAMB),
    offers=(
        an_offer(pack_g=500, price="2.00", available=3),
        an_offer_by_weight(),
        an_offer_by_weight(LAMB.name, supplier=FENWICK, price_per_kg="5.20"),
    ),
    most_suppliers=1,
)

BREAKS = (
    Break("cap", "half of heart counts", CAPPED, Subject, "share_in", of(Measure.KIND, "heart", Fraction(1, 2))),
    Break("cap", "half of fat counts", FAT, Subject, "share_in", of(Measure.FAT, "", Fraction(1, 2))),
    Break("cap", "heart is forgotten", HEARTS, search, "BUILDERS", forgetting("cap", "beef heart")),
    Break("part_share", "half of bone counts", BONY, Cut, "part_share", half),
    Break("part_share", "necks are forgotten", NECKS, search, "BUILDERS", forgetting("part_share", "chicken neck")),
    Break("variety", "a species of unknown share is none", PACKED, Subject, "share_in", only_sure),
    Break("variety", "a species of unknown share is sure", SEVERAL, Cut, "known_share_of", unsure),
    Break("avoid", "a dog avoids nothing", AVOIDING, Dog, "avoids", always(False)),
    Break("avoid", "nothing is touched", AVOIDING, Subject, "touches", always(False)),
    Break("whole_pieces", "nothing is fed in pieces", BONY, Portioning, "whole_piece_g", always(None)),
    Break("nutrient", "zinc is counted twice", A_DAY, Analysis, "of", for_nutrient("zinc", 2)),
    Break("nutrient", "half is due a day", A_DAY, nutrient_rules, "_due", half),
    Break("nutrient", "a cut is forgotten", A_MOST, search, "BUILDERS", forgetting("nutrient", "lamb shoulder")),
    Break("nutrient", "half of the energy counts", IN_MCAL, Analysis, "of", for_nutrient("energy", Fraction(1, 2))),
    Break("nutrient_ratio", "half of calcium counts", RATIO, Analysis, "of", for_nutrient("calcium", Fraction(1, 2))),
    Break("ration", "a gram has twice its energy", ENERGY, Analysis, "of", for_nutrient("energy", 2)),
    Break("supplement", "a dog refuses nothing", OILED, Dog, "refuses", always(False)),
    Break("supplement", "steps are forgotten", OILED, search, "BUILDERS", forgetting("supplement")),
    Break("supply", "a unit weighs twice as much", CAPPED, Offer, "grams", double),
    Break("price_break", "the first price is every price", STEPPED, Offer, "step_for", lambda real: lambda offer, units: offer.steps[0]),
    Break("bill", "steps are forgotten", STEPPED, search, "BUILDERS", forgetting("price_break")),
    Break("bill", "money is rounded down", TAXED, Currency, "rounded", lambda real: Currency.rounded_down),
    Break("bill", "bills are forgotten", TAXED, search, "BUILDERS", forgetting("bill")),
    Break("supplier_count", "suppliers are forgotten", SHOPS, search, "BUILDERS", forgetting("supplier_count")),
    Break("minimum_order", "a minimum is forgotten", LITTLE, search, "BUILDERS", forgetting("minimum_order")),
    Break("delivery", "a delivery is forgotten", TAXED, finished, "_bill", undelivered),
    Break("room", "the freezer is forgotten", LARGE, search, "BUILDERS", forgetting("room")),
    Break("ration", "grams do not follow energy", ENERGY, as_fed, "_settled", fed_alike),
)


@pytest.mark.parametrize("one", BREAKS, ids=str)
def test_a_mistake_in_the_model_is_blamed_on_its_rule_and_on_no_other(
    one: Break, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert isinstance(plan_batch(one.scenario, Settings()), Plan)
    monkeypatch.setattr(one.where, one.name, one.broken(getattr(one.where, one.name)))
    answer = plan_batch(one.scenario, Settings())
    assert isinstance(answer, Withheld), answer
    assert {breach.rule for breach in answer.breaches} == {one.rule}, answer
