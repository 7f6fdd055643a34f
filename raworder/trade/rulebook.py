"""The law: every rule of the trade by its key, the demand in a sentence, one line of maths, its units and its source.

The same keys, in the same order, name the builders in `solving/constraints.py`, the judges in `auditing/`, the
pictures in `tests/golden/constraints/` and what `raworder help rules` shows.
"""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: `says` is the demand in a whole sentence; `maths` uses the names of the model."""

    key: str
    says: str
    maths: str
    units: str
    source: str


PRACTICE = "common practice, no source"
OWN_CHOICE = "own choice"
ARITHMETIC = "arithmetic of buying and weighing"

MOST_DOGS_PROVED = 12
"""The most dogs whose order is proved to the cent unasked: with more, an order near the cheapest is enough."""

MOST_DOGS_ONE_BY_ONE = 8
"""The most dogs that are planned one by one, with a whole number of pieces for each dog and cut.

More are planned in groups, whose whole pieces are shared out afterwards: with every dog come more whole numbers for the
solver to branch on.
"""

SHARED_PIECES_OFF = Fraction(3, 2)
"""The pieces of every whole-piece cut by which a dog's shares may be off where pieces are shared out in a group.

The group may be off by half a piece, and the dog by less than one more.
"""

REST_STEPS = 2
"""The scale steps by which the last bag of a kind, which takes the rest of a cut, may differ from the others.

Without it a portion of 308 g in steps of 5 g would need another portion, and then another order.
"""

WEEK_DAYS = 7
"""The days of a week: any seven days running on which a dog is fed."""

ROUNDING_G = 1
"""Portions are whole grams, and the cheapest order is found without that.

A portion is within one gram of the exact one, so a share of what a dog eats may miss its limit by one gram of every cut
that counts and that is fed or bought at all: a portion of 0.4 g may become 0, and the dog then misses some of a part
without eating the cut. What is cut to the gram may be bought short by as much. Rations, a veterinarian's amounts and
supply have no such allowance.
"""

RULES: tuple[Rule, ...] = (
    Rule(
        "ration",
        "A dog eats over the batch exactly its daily rations added up, in grams or in energy.",
        "sum over cuts of eat = batch ration; or sum of energy x eat = energy need, and grams are free",
        "kg, or thousands of kcal",
        PRACTICE,
    ),
    Rule(
        "resting_energy",
        "A dog gets at least the energy that it needs at rest, as far as its food's energy is known.",
        "sum over cuts of known energy of (energy - need at rest / ration) x eat >= 0; the need is 70 kcal x kg^0.75, "
        "or 53 kcal x kg^0.75 of the ideal weight while it is to lose, less other food and treats",
        "thousands of kcal",
        "Small Animal Clinical Nutrition 5th ed. (2010) Table 5-2; for weight loss 63 less 10, AAHA 2021 guidelines",
    ),
    Rule(
        "vet_amount",
        "A dog under a veterinarian's care gets, cut by cut, what the veterinarian gave, every day alike.",
        "eat = amount given; grams of a day = amount given / days",
        "kg",
        "the dog's veterinarian",
    ),
    Rule(
        "part_share",
        "Each part's share of what a dog eats stays inside its target range.",
        "sum of (share - low) x eat >= 0 and sum of (high - share) x eat >= 0",
        "kg",
        PRACTICE,
    ),
    Rule(
        "cap",
        "What is capped is at most its share of what a dog eats.",
        "sum of (most - share) x eat >= 0",
        "kg",
        PRACTICE,
    ),
    Rule(
        "nutrient",
        "A dog gets at least and at most so much of a nutrient, a day or per 1000 kcal, as far as is known to be left.",
        "low x days <= sum of amount x eat + days x amount x given <= high x days; or as many times 1000 kcal; "
        "eat = 0 of what can destroy it, where low > 0",
        "as the bound",
        "the scenario",
    ),
    Rule(
        "nutrient_ratio",
        "A dog gets at least and at most so many times as much of one nutrient as of another, as far as is known.",
        "low x sum of amount of the other <= sum of amount of the one <= high x sum of amount of the other; "
        "eat = 0 of what can destroy the one, where low > 0, or the other, where there is a high",
        "as the other",
        "the scenario",
    ),
    Rule(
        "avoid",
        "Nothing a dog must not eat is fed to it, in any form; where energy counts, nothing of unknown energy.",
        "eat = 0",
        "kg",
        "the scenario",
    ),
    Rule(
        "hold",
        "What must be frozen before it is fed is fed only if it will have been, but for a veterinarian's amounts.",
        "sum over dogs of eat <= on hand, frozen long enough + sum over offers frozen long enough of unit weight x buy",
        "kg",
        "the freezing rules of the table of cautions",
    ),
    Rule(
        "variety",
        "A dog gets at least so many animal species, each at least its share, and none above the most.",
        "sum of (most - share) x eat >= 0; sum of share x eat >= least x ration x chosen; sum of chosen >= species",
        "kg",
        PRACTICE,
    ),
    Rule(
        "whole_pieces",
        "A cut with bone in it is fed in whole pieces, no more of them than a dog's bags and days can take.",
        "eat = piece weight x pieces; sum of times x pieces <= pieces that the bags, or the days, take of the smallest",
        "kg, pieces",
        PRACTICE,
    ),
    Rule(
        "least_portion",
        "A dog gets nothing of a cut, or at least the least portion; no bag holds less.",
        "least x taken <= eat <= most x taken",
        "kg",
        PRACTICE,
    ),
    Rule(
        "supply",
        "What is fed and what is left over is what was on hand and what is bought; no piece comes from two of these.",
        "sum over dogs of eat + left = on hand + unit weight x buy; pieces <= sum over lots and offers of whole pieces",
        "kg, pieces",
        ARITHMETIC,
    ),
    Rule(
        "own_stock",
        "What an owner has on hand is fed to that owner's dogs only.",
        "own use <= owner's lots and <= sum over the owner's dogs of eat; sum of eat <= own use + other lots + bought",
        "kg",
        "own choice",
    ),
    Rule(
        "supplement",
        "A supplement is given in whole steps, at most so many a day, no more than there is, to whoever may have it.",
        "days x given <= steps per pack x packs + on hand; given <= most a day; packs <= available",
        "steps, packs",
        ARITHMETIC,
    ),
    Rule(
        "pack_count",
        "Packs are whole, no more is bought than is available, and what is bought already is bought.",
        "sum over steps of buy <= most; buy = bought already",
        "units",
        ARITHMETIC,
    ),
    Rule(
        "least_purchase",
        "A line by weight is at least what a shop sells.",
        "least x line <= buy <= most x line",
        "units",
        OWN_CHOICE,
    ),
    Rule(
        "price_break",
        "The price is that of the step which the amount bought falls in.",
        "from x step <= buy <= (next - 1) x step; sum of step <= 1",
        "units",
        "the price list",
    ),
    Rule(
        "supplier_count",
        "At most so many suppliers are used.",
        "sum of use <= most",
        "suppliers",
        "the scenario",
    ),
    Rule(
        "cut_count",
        "At most so many different cuts are bought.",
        "buy <= most x cut; sum of cut <= most cuts",
        "cuts",
        "the scenario",
    ),
    Rule(
        "delivery",
        "A supplier that is used charges its delivery, unless the goods on its bill reach what makes it free.",
        "sum over steps of buy <= most x use; billed goods >= free from x free; free <= use",
        "units, money",
        "the price list",
    ),
    Rule(
        "minimum_order",
        "A supplier that is used gets goods worth at least its minimum order, as they stand on its bill.",
        "billed goods >= minimum x use",
        "money",
        "the price list",
    ),
    Rule(
        "bill",
        "A supplier is paid its goods, its sales tax on them and its delivery; the trip to it is counted, not paid.",
        "pay = (1 + tax) x goods + delivery x (use - free); -1/2 <= billed - goods of a line in minor units <= 1/2; "
        "cost = sum of pay + trip x use",
        "money",
        ARITHMETIC,
    ),
    Rule(
        "room",
        "On the fullest evening, when the order has come, all that must be kept frozen fits.",
        "on hand + sum of unit weight x buy <= room",
        "kg",
        ARITHMETIC,
    ),
    Rule(
        "budget",
        "The order costs at most the budget.",
        "sum of pay <= budget + what rounding can take off",
        "money",
        "the scenario",
    ),
    Rule(
        "bag_sum",
        "Bags and what is left over add up to what there is; a dog's bags hold just its portions.",
        "sum over bags of weight = portion",
        "g",
        ARITHMETIC,
    ),
    Rule(
        "scale_step",
        "What is weighed into a bag is what the scale can show; the last bag of a kind takes what is left of a cut.",
        "weight = step x whole number",
        "g",
        ARITHMETIC,
    ),
    Rule(
        "bag_weight",
        "A bag weighs its meal to within a scale step, and so do seven days running; something weighed tops it up.",
        "pieces + weighed cuts + least portion <= ration of the bag",
        "g",
        PRACTICE,
    ),
    Rule(
        "week_share",
        "Over any seven days running each part's share stays in its range, give or take what whole pieces allow.",
        "low x ration - allowance <= sum of share x weight <= high x ration + allowance",
        "g",
        PRACTICE,
    ),
    Rule(
        "week_cap",
        "Over any seven days running what is capped stays at its share, give or take what whole pieces allow.",
        "sum of share x weight <= most x ration + allowance",
        "g",
        PRACTICE,
    ),
    Rule(
        "day_most",
        "No day's food holds more than the most of bone, organs, plants, heart or fat.",
        "sum of share x weight <= most x ration of the day",
        "g",
        PRACTICE,
    ),
)


def rule_of(key: str) -> Rule:
    """The rule with that key; KeyError when there is none."""
    return {rule.key: rule for rule in RULES}[key]
