"""Mistakes in values and dogs, each with every finding it must give and no other; all invented."""

from tests.hostile.mistake import Mistake

MISTAKES_OF_DOGS = (
    Mistake("weight without unit", "weight: 22 kg", "weight: 22", "no-unit@15:13"),
    Mistake("weight in stone", "weight: 22 kg", "weight: 3 stone", "unknown-unit@15:13"),
    Mistake("weight in capitals", "weight: 22 kg", "weight: 22 KG", "unknown-unit@15:13"),
    Mistake("weight of zero", "weight: 22 kg", "weight: 0 kg", "zero-amount@15:13"),
    Mistake("weight below zero", "weight: 22 kg", "weight: -22 kg", "bad-value@15:13"),
    Mistake("weight with decimal comma", "weight: 22 kg", "weight: 22,5 kg", "comma-in-number@15:13"),
    Mistake("weight with exponent", "weight: 22 kg", "weight: 2e1 kg", "bad-value@15:13"),
    Mistake("weight with underscore", "weight: 22 kg", "weight: 2_2 kg", "bad-value@15:13"),
    Mistake("weight in arabic digits", "weight: 22 kg", "weight: \u0662\u0662 kg", "bad-value@15:13"),
    Mistake("weight of many digits", "weight: 22 kg", "weight: 99999999999999999999 kg", "bad-value@15:13"),
    Mistake("weight infinite", "weight: 22 kg", "weight: .inf kg", "bad-value@15:13"),
    Mistake("weight not a number", "weight: 22 kg", "weight: nan", "bad-value@15:13"),
    Mistake("weight in words", "weight: 22 kg", "weight: about 22 kg", "bad-value@15:13"),
    Mistake("weight sexagesimal", "weight: 22 kg", "weight: 1:30 kg", "bad-value@15:13"),
    Mistake("weight of an ox", "weight: 22 kg", "weight: 220 kg", "unlikely-weight@15:13"),
    Mistake("weight of a whale", "weight: 22 kg", "weight: 22000 kg", "absurd-amount@15:13"),
    Mistake("ideal weight of a whale", "ideal_weight: 20 kg", "ideal_weight: 1000.1 kg", "absurd-amount@17:19"),
    Mistake(
        "adult weight in grams for kilograms",
        "adult_weight: 30 kg",
        "adult_weight: 3.0 kg",
        "weights-far-apart@25:19",
    ),
    Mistake("adult weight of a grown dog", "goal: lose", "goal: lose\n    adult_weight: 30 kg", "unused-value@17:19"),
    Mistake(
        "ideal weight a tenth of the weight",
        "ideal_weight: 20 kg",
        "ideal_weight: 2.0 kg",
        "weights-far-apart@17:19 unusual-ration@18:13",
    ),
    Mistake("goal with a ration in grams", "ration: 2.5 %", "ration: 550 g", "unused-value@16:11"),
    Mistake("puppy that is to lose", "goal: lose", "goal: lose\n    puppy: yes", "puppy-to-lose@16:11"),
    Mistake(
        "ration of a whale",
        "ration: 2.5 %",
        "ration: 50.1 kg",
        "unused-value@16:11 absurd-amount@18:13 unusual-ration@18:13",
    ),
    Mistake("treats by the lorry", "treats: 20 g", "treats: 101000 kg", "absurd-amount@19:13"),
    Mistake("weight as a list", "weight: 22 kg", "weight: [22 kg]", "wrong-shape@15:13"),
    Mistake("weight left empty", "weight: 22 kg", "weight:", "empty-value@15:5"),
    Mistake("weight null", "weight: 22 kg", "weight: null", "empty-value@15:13"),
    Mistake("weight misspelt", "weight: 22 kg", "weigth: 22 kg", "unknown-field@15:5"),
    Mistake("ration without unit", "ration: 2.5 %", "ration: 2.5", "no-unit@18:13"),
    Mistake("ration of a giant share", "ration: 2.5 %", "ration: 25 %", "unusual-ration@18:13"),
    Mistake("ration of nothing", "ration: 2.5 %", "ration: 0 %", "zero-amount@18:13"),
    Mistake("ration of ideal weight in words", "ration: 2.5 %", "ration: 2.5 % of ideal weight", "bad-value@18:13"),
    Mistake(
        "ration of adult weight for a grown dog", "ration: 2.5 %", "ration: 2.5 % of adult weight", "not-a-puppy@18:13"
    ),
    Mistake("ration missing", "    ration: 2.5 %\n", "", "missing-field@14:11"),
    Mistake("ration in kilocalories", "ration: 2.5 %", "ration: 800 kcal", "unknown-unit@18:13"),
    Mistake("treats above the ration", "treats: 20 g", "treats: 500 g", "treats-too-large@19:13"),
    Mistake("ideal weight missing", "    ideal_weight: 20 kg\n", "", "missing-field@16:11"),
    Mistake(
        "ideal weight on the wrong side", "ideal_weight: 20 kg", "ideal_weight: 25 kg", "goal-against-weight@17:19"
    ),
    Mistake("ideal weight without a goal", "    goal: lose\n", "", "unused-value@16:19"),
    Mistake("goal unknown", "goal: lose", "goal: slim", "unknown-choice@16:11"),
    Mistake("puppy maybe", "puppy: yes", "puppy: maybe", "bad-value@24:12"),
    Mistake("adult weight missing", "    adult_weight: 30 kg\n", "", "missing-field@25:13"),
    Mistake("away at another time", "[2027-02-10]", "[2027-03-10]", "away-outside-batch@20:12"),
    Mistake("away all the time", "[2027-02-10]", "[2027-02-01 to 2027-03-10]", "away-throughout@20:11"),
    Mistake("away backwards", "[2027-02-10]", "[2027-02-12 to 2027-02-10]", "days-reversed@20:12"),
    Mistake("away on no such day", "[2027-02-10]", "[2027-02-30]", "bad-date@20:12"),
    Mistake("away as one value", "[2027-02-10]", "2027-02-10", "wrong-shape@20:11"),
    Mistake("avoid misspelt", "avoid: [duck]", "avoid: [dukc]", "unknown-word@21:13"),
    Mistake("avoid of a toxic food", "avoid: [duck]", "avoid: [garlic]", "needless-word@21:13"),
    Mistake("avoid of a toxic food with a hyphen", "avoid: [duck]", "avoid: [wild-boar]", "needless-word@21:13"),
    Mistake("avoid as one word", "avoid: [duck]", "avoid: duck", "wrong-shape@21:12"),
    Mistake("avoid with a mapping in it", "avoid: [duck]", "avoid: [{duck: 1}]", "wrong-shape@21:14"),
    Mistake("cap of nobody knows what", "    fat: 14 %\n  avoid", "    fatt: 14 %\n  avoid", "unknown-word@11:5"),
    Mistake("cap of a group", "    fat: 14 %\n  avoid", "    poultry: 14 %\n  avoid", "unknown-word@11:5"),
    Mistake("cap of whole bone", "    fat: 14 %\n  avoid", "    whole bone: 5 %\n  avoid", "unknown-word@11:5"),
    Mistake(
        "cap of one thing under two names",
        "    fat: 14 %\n  avoid",
        "    beef: 60 %\n    Veal: 10 %\n  avoid",
        "two-ways@11:5 two-ways@12:5",
    ),
    Mistake("cap as a bare share", "    fat: 14 %\n  avoid", "    fat: 0.14\n  avoid", "no-unit@11:10"),
    Mistake("cap as a fraction", "    fat: 14 %\n  avoid", "    fat: 1/7\n  avoid", "no-unit@11:10"),
    Mistake("range whose first share is bare", "      bone: 9 % to 13 %", "      bone: 9 to 13 %", "no-unit@29:13"),
    Mistake("cap above the whole", "    fat: 14 %\n  avoid", "    fat: 140 %\n  avoid", "bad-value@11:10"),
    Mistake("cap without percent sign", "    fat: 14 %\n  avoid", "    fat: 14\n  avoid", "no-unit@11:10"),
    Mistake("targets of no pattern", "targets: prey model", "targets: pray model", "unknown-choice@9:12"),
    Mistake("targets that cannot add up", "      bone: 9 % to 13 %", "      bone: 60 %", "targets-not-whole@28:7"),
    Mistake("targets upside down", "      bone: 9 % to 13 %", "      bone: 13 % to 9 %", "range-reversed@29:13"),
    Mistake("targets of an unknown part", "      bone: 9 % to 13 %", "      bones: 9 % to 13 %", "unknown-field@29:7"),
    Mistake("targets missing", "all_dogs:\n  targets: prey model\n", "all_dogs:\n", "missing-field@13:11"),
    Mistake("dog called twice", "name: Pip", "name: MAPLE", "repeated-dog@22:11"),
    Mistake("dog without a name", "  - name: Pip\n    weight", "  - weight", "missing-field@22:5"),
    Mistake(
        "dog with a very long name",
        "name: Pip",
        "name: " + "P" * 121,
        "name-too-long@22:11",
    ),
    Mistake("dog with a blank name", "name: Pip", 'name: "  "', "empty-value@22:11"),
    Mistake(
        "dog as a word",
        "  - name: Pip\n"
        "    weight: 5 kg\n"
        "    puppy: yes\n"
        "    adult_weight: 30 kg\n"
        "    ration: 3 % of adult weight\n"
        "    targets:\n"
        "      pattern: BARF\n"
        "      bone: 9 % to 13 %\n",
        "  - Pip\n",
        "wrong-shape@22:5",
    ),
    Mistake("care unknown", "care: pregnant", "care: old", "unknown-choice@31:11"),
    Mistake("care with a ration", "care: pregnant", "care: pregnant\n    ration: 3 %", "care-with-own-amounts@32:5"),
    Mistake("care without amounts", "    vet_amounts:\n      turkey liver: 10 g\n", "", "missing-field@31:11"),
    Mistake("care with empty amounts", "vet_amounts:\n      turkey liver: 10 g", "vet_amounts: {}", "empty-list@32:18"),
    Mistake("care missing", "    care: pregnant\n", "", "amounts-without-care@31:5"),
    Mistake("vet amount of an unknown cut", "      turkey liver: 10 g", "      turky liver: 10 g", "unknown-cut@33:7"),
    Mistake(
        "vet amount of what nobody sells",
        "      turkey liver: 10 g",
        "      rabbit boneless: 10 g",
        "vet-amount-not-sold@33:7",
    ),
    Mistake(
        "vet amount of a cut in two kinds",
        "  - cut: turkey liver\n    price: 5.60 per kg\n    available: 4 kg\n",
        "  - {cut: turkey liver, pack: 1 kg, price: 5.00, fat: 4 %}\n"
        "  - {cut: turkey liver, pack: 1 kg, price: 5.00, fat: 5 %}\n",
        "ambiguous-cut@33:7",
    ),
    Mistake(
        "vet amount of what all dogs avoid", "avoid: [pork, lamb tongue]", "avoid: [turkey]", "vet-amount-avoided@33:7"
    ),
    Mistake("vet amount of a whale", "turkey liver: 10 g", "turkey liver: 51 kg", "absurd-amount@32:5"),
    Mistake("vet amount avoided", "care: pregnant", "care: pregnant\n    avoid: [turkey]", "vet-amount-avoided@34:7"),
    Mistake(
        "vet amount twice",
        "      turkey liver: 10 g",
        "      turkey liver: 10 g\n      Turkey Liver: 5 g",
        "repeated-amount@34:7",
    ),
)
