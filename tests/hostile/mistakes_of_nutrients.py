"""Mistakes in what is about nutrients, each with every finding it must give and no other; all invented."""

from tests.hostile.mistake import Mistake

MISTAKES_OF_NUTRIENTS = (
    Mistake(
        "nutrient misspelt", "    zinc: at least 15 mg per", "    zink: at least 15 mg per", "unknown-nutrient@10:5"
    ),
    Mistake("limit that is an amount", "    zinc: at least 15 mg per 1000 kcal", "    zinc: 15 mg", "bad-value@10:11"),
    Mistake(
        "limit without a basis",
        "zinc: at least 15 mg per 1000 kcal\n",
        "zinc: at least 15 mg\n",
        "limit-without-basis@10:5",
    ),
    Mistake("limit without a unit", "zinc: at least 15 mg per", "zinc: at least 15 per", "no-unit@10:11"),
    Mistake("limit in another unit", "zinc: at least 15 mg per", "zinc: at least 15 mcg per", "unknown-unit@10:11"),
    Mistake(
        "limit in units that zinc has none of",
        "zinc: at least 15 mg per",
        "zinc: at least 15 IU per",
        "unit-of-another-nutrient@10:5",
    ),
    Mistake("limit that is reversed", "0.1 g to 2.8 g a day", "2.8 g to 0.1 g a day", "range-reversed@11:18"),
    Mistake("limit reversed in two units", "0.1 g to 2.8 g a day", "0.1 g to 2.8 mg a day", "range-reversed@11:5"),
    Mistake("limit with a comma", "0.1 g to 2.8 g a day", "0,1 g to 2.8 g a day", "comma-in-number@11:18"),
    Mistake("ratio with a unit", "phosphorus: 0.8 to 2", "phosphorus: 0.8 mg to 2 mg", "unit-of-another-nutrient@12:5"),
    Mistake("ratio to nobody", "calcium to phosphorus", "calcium to fosforus", "unknown-nutrient@12:5"),
    Mistake(
        "limit of what nothing holds",
        "zinc: at least 15 mg per",
        "chloride: at least 15 mg per",
        "nothing-known-of-nutrient@10:5",
    ),
    Mistake(
        "thiamin asked for and herring in the freezer",
        "    calcium to phosphorus: 0.8 to 2\n",
        "    thiamin: at least 0.1 mg per 1000 kcal\nhold: off\non_hand: [{cut: herring fillet, weight: 500 g}]\n",
        "destroys-what-is-asked@14:17",
    ),
    Mistake(
        "puppy beside a profile of grown dogs",
        "    weight: 12 kg\n",
        "    weight: 12 kg\n    puppy: yes\n",
        "grown-dogs-profile@14:11",
    ),
    Mistake("profile of nobody", "FEDIAF adult 110", "FEDIAF adult", "unknown-profile@7:12"),
    Mistake("activity of no known word", "activity: moderate", "activity: lazy", "unknown-choice@8:13"),
    Mistake("bone of pure chalk", "bone_calcium: 2 %", "bone_calcium: 40 %", "out-of-range@4:15"),
    Mistake("bone of a group of chalk", "bone_calcium: 2 %", "bone_calcium: {mammal: 40 %}", "out-of-range@4:24"),
    Mistake("bone that is reversed", "bone_calcium: 2 %", "bone_calcium: {fish: 6 % to 2 %}", "range-reversed@4:22"),
    Mistake("bone of nobody", "bone_calcium: 2 %", "bone_calcium: {dragon: 8 %}", "unknown-word@4:16"),
    Mistake("bone without a share", "bone_calcium: 2 %", "bone_calcium: {mammal: }", "empty-value@4:16"),
    Mistake("bone in a list", "bone_calcium: 2 %", "bone_calcium: [2 %]", "wrong-shape@4:15"),
    Mistake("bone as a bare number", "bone_calcium: 2 %", "bone_calcium: {mammal: 8}", "no-unit@4:24"),
    Mistake("ration of another power", "110 kcal/kg^0.75", "110 kcal/kg", "bad-value@16:13"),
    Mistake("ration of next to nothing", "110 kcal/kg^0.75", "11 kcal/kg^0.75", "unusual-energy@16:13"),
    Mistake("ration of a whale", "200 kcal a day", "200000 kcal", "absurd-amount@21:13"),
    Mistake("treats by weight", "treats: 40 kcal", "treats: 40 g", "energy-and-weight@17:13"),
    Mistake("treats of the whole ration", "treats: 40 kcal", "treats: 4000 kcal", "treats-too-large@17:13"),
    Mistake(
        "ration that goes on by weight", "ration_by_end: 220 kcal", "ration_by_end: 220 g", "energy-and-weight@22:20"
    ),
    Mistake("fat as a bare share", "used_to_fat: 9 %", "used_to_fat: 0.09", "no-unit@18:18"),
    Mistake(
        "rules for a dog in care",
        "    care: ill\n",
        "    care: ill\n    nutrients: {zinc: at least 1 mg a day}\n",
        "care-with-own-amounts@27:5",
    ),
    Mistake(
        "mince of which no energy is known",
        "      energy: 190 kcal\n",
        "",
        "energy-not-known@37:11",
    ),
    Mistake("analysis of a nutrient that is none", "      zinc: 4.1 mg", "      zing: 4.1 mg", "unknown-nutrient@35:7"),
    Mistake("analysis without unit", "      zinc: 4.1 mg", "      zinc: 4.1", "no-unit@35:13"),
    Mistake("more zinc than mince", "      zinc: 4.1 mg", "      zinc: 410 g", "absurd-analysis@35:7"),
    Mistake(
        "energy richer than fat",
        "energy: 190 kcal",
        "energy: 1900 kcal",
        "absurd-analysis@34:7",
    ),
    Mistake("supplement that is toxic", "supplement: sea oil", "supplement: garlic oil", "toxic-food@47:17"),
    Mistake("supplement with garlic in it", "    species: salmon\n", "    item: oil with garlic\n", "toxic-food@49:11"),
    Mistake("supplement made of garlic", "    species: salmon\n", "    species: garlic\n", "toxic-food@49:14"),
    Mistake(
        "supplement with the name of a cut", "supplement: sea oil", "supplement: beef heart", "name-of-a-cut@47:17"
    ),
    Mistake(
        "supplement of no known supplier",
        "    supplier: Fenwick\n    species",
        "    supplier: Fenwik\n    species",
        "no-offers@44:11 unknown-supplier@48:15",
    ),
    Mistake("supplement in two units", "most_a_day: 6 capsules", "most_a_day: 6 drops", "supplement-units@55:17"),
    Mistake("supplement of less than a step", "step: 1 capsule\n", "step: 7 capsules\n", "supplement-units@55:17"),
    Mistake("pack of nobody knows what", "pack: 120 capsules", "pack: 120", "no-unit@50:11"),
    Mistake("supplement without its most", "    most_a_day: 6 capsules\n", "", "missing-field@47:5"),
    Mistake(
        "supplement that is told twice otherwise",
        "supplement: zinc tablets\n    pack: 60 tablets\n    price: 6.00\n"
        "    analysis: {zinc: 15 mg}\n    most_a_day: 1 tablet",
        "supplement: sea oil\n    pack: 60 capsules\n    price: 6.00\n"
        "    analysis: {EPA: 1 mg}\n    most_a_day: 1 capsule",
        "supplements-differ@58:17",
    ),
    Mistake(
        "profile with the name of another",
        "  - name: moor rule",
        "  - name: NRC growth",
        "unknown-profile@23:14 repeated-profile@64:11",
    ),
    Mistake(
        "profile for a day",
        "zinc: at least 18 mg per 1000 kcal",
        "zinc: at least 18 mg a day",
        "limit-without-basis@66:7",
    ),
    Mistake(
        "supplements that nobody asks for",
        "  nutrients:\n    zinc: at least 15 mg per 1000 kcal\n    EPA and DHA: 0.1 g to 2.8 g a day\n"
        "    calcium to phosphorus: 0.8 to 2\n",
        "",
        "unused-supplement@43:17 unused-supplement@54:17",
    ),
)
