"""A scenario with rules on nutrients, a ration in energy and supplements, and a plan for it worked out by hand.

All names, prices, amounts and analyses are invented. **Source:** the sums stand beside the numbers; no outside source.
"""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from raworder.trade.cuts import Measure
from raworder.trade.dogs import EnergyRation
from raworder.trade.nutrients import Analysis, NutrientLimit, Per, RatioLimit, Supplement
from raworder.trade.plan import Dose
from raworder.trade.scenario import SupplementOffer
from tests.builders import (
    FENWICK,
    HOLLOW_LANE,
    Number,
    a_bill,
    a_cut,
    a_dog,
    a_leftover,
    a_line,
    a_plan,
    a_portion,
    a_scenario,
    a_subject,
    a_supplier,
    an_offer,
    euros,
)


def an_analysis(values: Mapping[str, Number]) -> Analysis:
    """An analysis with these values by nutrient key."""
    return Analysis(tuple((key, Fraction(amount)) for key, amount in values.items()))


TRIM = replace(a_cut(), analysis=an_analysis({"energy": 200, "calcium": 10, "phosphorus": 180, "zinc": 4}))

OIL = Supplement(
    "salmon oil", "capsule", Fraction(1), an_analysis({"energy": 9, "epa_dha": "3/10"}), 6, species=("salmon",)
)
SHELL = Supplement("egg shell powder", "g", Fraction(1), an_analysis({"calcium": 380, "phosphorus": 3}), 4, 10)

# 500 kcal a day for 14 days, 7000 kcal, are 3500 g of trim, 250 g a day
BRAMBLE = replace(
    a_dog("Bramble", weight_g=10_000, daily_g=250),
    energy=EnergyRation((Fraction(500),) * 14),
    nutrient_limits=(
        # trim has 4 mg of zinc in 200 kcal, so 20 in 1000
        NutrientLimit("zinc", Per.MCAL, Fraction(15), Fraction(100)),
        # two capsules hold 0.6 g, one only 0.3 g
        NutrientLimit("epa_dha", Per.DAY, Fraction(1, 2)),
    ),
    # 250 g of trim hold 25 mg of calcium and 450 mg of phosphorus; with 1 g of shell 405 and 453, with 2 g 785 and 456
    ratio_limits=(RatioLimit("calcium", "phosphorus", Fraction(1), Fraction(2)),),
)

SUPPLEMENTED = replace(
    a_scenario(
        title="a dog with rules on nutrients (invented)",
        dogs=(BRAMBLE, a_dog("Fern", weight_g=4_000, daily_g=100, avoid=(a_subject(Measure.SPECIES, "salmon"),))),
        cuts=(TRIM,),
        offers=(an_offer("beef trim", key="trim"),),
        suppliers=(a_supplier(HOLLOW_LANE), a_supplier(FENWICK, delivery="1.50", minimum_order=5)),
    ),
    supplements=(OIL, SHELL),
    supplement_offers=(
        SupplementOffer("oil", FENWICK, "salmon oil", "salmon oil", 60, euros("5.00"), available=3),
        SupplementOffer("shell", HOLLOW_LANE, "egg shell powder", "egg shell powder", 30, euros("2.50")),
    ),
)

SUPPLEMENTED_PLAN = replace(
    a_plan(
        # 3500 g and 1400 g are 4900 g: 5 packs at 2.40 are 12.00, and 100 g of them, worth 0.24, are left
        lines=(a_line("trim", 5, 12),),
        bills=(a_bill(HOLLOW_LANE, "14.50"), a_bill(FENWICK, 5, delivery="1.50")),
        portions=(a_portion("Bramble", batch_g=3_500), a_portion("Fern", batch_g=1_400)),
        leftovers=(a_leftover(bought_g=100, worth="0.24"),),
    ),
    # 28 capsules of 60, 28 g of shell of the 10 on hand and 30 bought
    supplement_lines=(a_line("oil", 1, 5), a_line("shell", 1, "2.50")),
    doses=(Dose("Bramble", "salmon oil", 2), Dose("Bramble", "egg shell powder", 2)),
)
