"""An independent laboratory's table agrees with ours within stated factors, and gives the values that are borrowed.

**Source:** ANSES CIQUAL 2017, the table that `ciqual.py` reads. Which of its foods is which of ours was told by a
person: `ciqual_pairs.csv` beside this test.
"""

from fractions import Fraction
from pathlib import Path

from tests.outside.ciqual import ciqual_foods, number, rows

HERE = Path(__file__).resolve().parent
DATA = HERE.parents[1] / "data"

COLUMNS = {
    "protein_g": ("Protéines (g/100g)", "1.35"),
    "fat_g": ("Lipides (g/100g)", "2.3"),
    "water_g": ("Eau (g/100g)", "1.1"),
    "ash_g": ("Cendres (g/100g)", "1.75"),
    "calcium_mg": ("Calcium (mg/100g)", "2.2"),
    "phosphorus_mg": ("Phosphore (mg/100g)", "1.6"),
    "potassium_mg": ("Potassium (mg/100g)", "1.5"),
    "sodium_mg": ("Sodium (mg/100g)", "2"),
    "magnesium_mg": ("Magnésium (mg/100g)", "2"),
    "iron_mg": ("Fer (mg/100g)", "2"),
    "copper_mg": ("Cuivre (mg/100g)", "2.2"),
    "manganese_mg": ("Manganèse (mg/100g)", "2.4"),
    "zinc_mg": ("Zinc (mg/100g)", "2"),
    "selenium_ug": ("Sélénium (µg/100g)", "2.8"),
    "retinol_ug": ("Rétinol (µg/100g)", "2.6"),
    "vitamin_d_ug": ("Vitamine D (µg/100g)", "3"),
    "vitamin_e_mg": ("Vitamine E (mg/100g)", "2.2"),
    "thiamin_mg": ("Vitamine B1 ou Thiamine (mg/100g)", "2.7"),
    "riboflavin_mg": ("Vitamine B2 ou Riboflavine (mg/100g)", "2.2"),
    "niacin_mg": ("Vitamine B3 ou PP ou Niacine (mg/100g)", "1.8"),
    "pantothenic_acid_mg": ("Vitamine B5 ou Acide pantothénique (mg/100g)", "2.2"),
    "vitamin_b6_mg": ("Vitamine B6 (mg/100g)", "2.8"),
    "folate_ug": ("Vitamine B9 ou Folates totaux (µg/100g)", "3"),
    "vitamin_b12_ug": ("Vitamine B12 (µg/100g)", "2.6"),
}
"""The other table's column, and how many times more or less it may have. Source: chosen by us so that they hold for all
pairs but those named below; laboratories, breeds, feed and cuts differ that much."""

OUTLIERS: dict[str, frozenset[str]] = {
    "05006": frozenset(
        {"copper_mg", "riboflavin_mg", "vitamin_b12_ug"}
    ),  # Chicken, broilers or fryers, meat and skin, raw
    "05023": frozenset({"folate_ug"}),  # Chicken, gizzard, all classes, raw
    "05100": frozenset(
        {"folate_ug", "retinol_ug", "thiamin_mg", "vitamin_b12_ug"}
    ),  # Chicken, broilers or fryers, wing, meat and skin,
    "05139": frozenset(
        {"manganese_mg", "protein_g", "riboflavin_mg", "vitamin_b12_ug", "water_g"}
    ),  # Duck, domesticated, meat and skin, raw
    "05141": frozenset({"vitamin_d_ug"}),  # Duck, domesticated, meat only, raw
    "05150": frozenset({"riboflavin_mg"}),  # Goose, liver, raw
    "13321": frozenset({"folate_ug"}),  # Beef, variety meats and by-products, heart, raw
    "13325": frozenset({"folate_ug"}),  # Beef, variety meats and by-products, liver, raw
    "15001": frozenset({"manganese_mg", "retinol_ug"}),  # Fish, anchovy, european, raw
    "15015": frozenset({"calcium_mg", "folate_ug", "selenium_ug"}),  # Fish, cod, Atlantic, raw
    "15033": frozenset({"pantothenic_acid_mg", "sodium_mg"}),  # Fish, haddock, raw
    "15046": frozenset(
        {"calcium_mg", "folate_ug", "iron_mg", "magnesium_mg", "pantothenic_acid_mg"}
    ),  # Fish, mackerel, Atlantic, raw
    "15099": frozenset({"folate_ug", "sodium_mg"}),  # Fish, smelt, rainbow, raw
    "15164": frozenset({"manganese_mg", "vitamin_e_mg"}),  # Mollusks, mussel, blue, raw
    "15236": frozenset({"retinol_ug"}),  # Fish, salmon, Atlantic, farmed, raw
    "17164": frozenset({"ash_g", "sodium_mg"}),  # Game meat, deer, raw
    "17170": frozenset({"riboflavin_mg"}),  # Game meat, horse, raw
    "17193": frozenset({"folate_ug"}),  # Veal, variety meats and by-products, heart, raw
    "17199": frozenset({"retinol_ug"}),  # Lamb, variety meats and by-products, liver, raw
    "17202": frozenset({"folate_ug", "riboflavin_mg", "zinc_mg"}),  # Veal, variety meats and by-products, liver, raw
    "17375": frozenset(
        {
            "calcium_mg",
            "iron_mg",
            "manganese_mg",
            "niacin_mg",
            "riboflavin_mg",
            "vitamin_d_ug",
            "vitamin_e_mg",
            "water_g",
        }
    ),  # Lamb, New Zealand, imported, sweetbread, raw
    "23567": frozenset({"vitamin_d_ug"}),  # Beef, ground, 85% lean meat / 15% fat, raw
}
"""By food the columns in which the two are further apart: other animals, trims and samples than ours."""

TRUSTED_BORROWED = {"iodine": "Iode (µg/100g)", "chloride": "Chlorure (mg/100g)"}
"""What is borrowed from this very table, where a newer edition has no other value."""


def apart() -> dict[str, set[str]]:
    """By food the columns in which both have a value and are further apart than the factor."""
    ours = {row["ndb_no"]: row for row in rows(DATA / "nutrients.csv")}
    found: dict[str, set[str]] = {}
    for pair in rows(HERE / "ciqual_pairs.csv"):
        for column, (heading, factor) in COLUMNS.items():
            mine, other = number(ours[pair["ndb_no"]][column]), number(ciqual_foods()[pair["ciqual_code"]][heading])
            if mine and other and not 1 / Fraction(factor) <= other / mine <= Fraction(factor):
                found.setdefault(pair["ndb_no"], set()).add(column)
    return found


def test_both_tables_agree_within_the_factors_but_for_the_outliers_named() -> None:
    assert apart() == OUTLIERS


def test_most_values_that_both_tables_have_were_compared() -> None:
    ours = {row["ndb_no"]: row for row in rows(DATA / "nutrients.csv")}
    compared = sum(
        bool(number(ours[pair["ndb_no"]][column]) and number(ciqual_foods()[pair["ciqual_code"]][heading]))
        for pair in rows(HERE / "ciqual_pairs.csv")
        for column, (heading, _) in COLUMNS.items()
    )
    assert compared > 1_000


def test_what_is_borrowed_from_this_table_is_what_it_says() -> None:
    borrowed = [row for row in rows(DATA / "nutrients_borrowed.csv") if row["nutrient"] in TRUSTED_BORROWED]
    told = [(row, number(ciqual_foods()[row["code"]][TRUSTED_BORROWED[row["nutrient"]]])) for row in borrowed]
    same = [row for row, value in told if value == Fraction(row["value"])]
    assert all(value == Fraction(row["value"]) for row, value in told if row["table"].endswith("2017"))
    assert len(same) > len(borrowed) * 3 / 4


def test_nothing_is_borrowed_that_the_first_table_has() -> None:
    ours = {row["ndb_no"]: row for row in rows(DATA / "nutrients.csv")}
    for row in rows(DATA / "nutrients_borrowed.csv"):
        assert not ours[row["ndb_no"]].get(f"{row['nutrient']}_{row['unit']}")
        assert row["source"]
