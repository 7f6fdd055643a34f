"""Mistakes in how bags are made, each with every finding it must give and no other; all invented."""

from tests.hostile.mistake import Mistake

MISTAKES_OF_PORTIONING = (
    Mistake("working left empty", "  working: tub\n", "  working:\n", "empty-value@78:3"),
    Mistake(
        "portioning as a word",
        "portioning:\n  working: tub\n",
        "portioning: tub\nx:\n",
        "wrong-shape@77:13 unknown-field@78:1",
    ),
    Mistake("portioning with an unknown field", "  scale: 6 kg", "  scales: 6 kg", "unknown-field@87:3"),
    Mistake("working of no known way", "working: tub", "working: bowl", "unknown-choice@78:12"),
    Mistake("tub that is not worked with", "working: tub", "working: each cut", "unused-value@86:3"),
    Mistake("scale step without unit", "scale_step: 5 g", "scale_step: 5", "no-unit@79:15"),
    Mistake("scale step of a part of a gram", "scale_step: 5 g", "scale_step: 0.4 g", "zero-amount@79:15"),
    Mistake(
        "scale step of kilograms", "scale_step: 5 g", "scale_step: 5 kg", "unusable-scale@79:15 portion-off-scale@80:18"
    ),
    Mistake(
        "scale step that is coarse", "scale_step: 5 g\n  least_portion: 15 g", "scale_step: 101 g", "coarse-scale@79:15"
    ),
    Mistake(
        "scale step just usable", "scale_step: 5 g\n  least_portion: 15 g", "scale_step: 500 g", "coarse-scale@79:15"
    ),
    Mistake(
        "scale step just unusable",
        "scale_step: 5 g\n  least_portion: 15 g",
        "scale_step: 501 g",
        "unusable-scale@79:15",
    ),
    Mistake("least portion below a step", "least_portion: 15 g", "least_portion: 4 g", "portion-off-scale@80:18"),
    Mistake("least portion between steps", "least_portion: 15 g", "least_portion: 12 g", "portion-off-scale@80:18"),
    Mistake("least portion of a whale", "least_portion: 15 g", "least_portion: 150000 kg", "absurd-amount@80:18"),
    Mistake("bag tolerance as a bare share", "bag_tolerance: 4 %", "bag_tolerance: 0.04", "no-unit@81:18"),
    Mistake("bag tolerance above the whole", "bag_tolerance: 4 %", "bag_tolerance: 400 %", "bad-value@81:18"),
    Mistake("week allowance without percent sign", "bag_tolerance: 4 %", "week_allowance: 1.5", "no-unit@81:19"),
    Mistake("most a day of nobody knows what", "    bone: 25 %", "    bonne: 25 %", "unknown-word@83:5"),
    Mistake("most a day of a group", "    bone: 25 %", "    poultry: 25 %", "unknown-word@83:5"),
    Mistake("most a day of one thing twice", "    liver: none", "    Bone: 30 %", "two-ways@83:5 two-ways@84:5"),
    Mistake("most a day without percent sign", "    bone: 25 %", "    bone: 25", "no-unit@83:11"),
    Mistake(
        "most a day as a list",
        "  most_a_day:\n    bone: 25 %\n    liver: none\n",
        "  most_a_day: [bone]\n",
        "wrong-shape@82:15",
    ),
    Mistake("divided as one word", "divided: [chicken neck]", "divided: chicken neck", "wrong-shape@85:12"),
    Mistake("divided cut that nobody knows", "divided: [chicken neck]", "divided: [chicken nek]", "unknown-cut@85:13"),
    Mistake("divided cut that is toxic", "divided: [chicken neck]", "divided: [onion]", "toxic-food@85:13"),
    Mistake("divided cut without bone", "divided: [chicken neck]", "divided: [beef trim]", "needless-division@85:13"),
    Mistake(
        "divided cut whose bone is ground",
        "divided: [chicken neck]",
        "divided: [moor grind]",
        "needless-division@85:13",
    ),
    Mistake(
        "divided cut that nobody sells", "divided: [chicken neck]", "divided: [turkey neck]", "needless-division@85:13"
    ),
    Mistake("tub for a handful", "tub: 8 kg", "tub: 499 g", "unusable-scale@86:8"),
    Mistake("scale in grams for kilograms", "scale: 6 kg", "scale: 6 g", "unusable-scale@87:10"),
    Mistake("freezes nothing", "freezes: 10 kg", "freezes: 0 kg", "zero-amount@88:12"),
    Mistake("filled on no such day", "day: 2027-02-05", "day: 2027-02-30", "bad-date@89:8"),
    Mistake("filled after the batch begins", "day: 2027-02-05", "day: 2027-02-07", "portioned-out-of-time@89:8"),
    Mistake("filled four days before", "day: 2027-02-05", "day: 2027-02-02", "portioned-early@89:8"),
    Mistake("filled two weeks before", "day: 2027-02-05", "day: 2027-01-23", "portioned-early@89:8"),
    Mistake("filled longer before", "day: 2027-02-05", "day: 2027-01-22", "portioned-out-of-time@89:8"),
    Mistake(
        "three mistakes at once are all told, and none that follows from them",
        "  scale_step: 5 g\n  least_portion: 15 g\n  bag_tolerance: 4 %",
        "  scale_step: 4\n  least_portion: 11 g\n  bag_tolerance: 4",
        "no-unit@79:15 no-unit@81:18",
    ),
)
