"""What can be wrong with analyses, rules on nutrients, profiles, supplements and rations in energy."""

from raworder.reading.slug import Slug, error, warning

SLUGS_OF_NUTRIENTS: tuple[Slug, ...] = (
    error(
        "unknown-nutrient",
        "Nobody knows a nutrient of that name. Names are those that the ration sheet prints.",
        "nutrients: {zink: at least 15 mg per 1000 kcal}",
        "nutrients: {zinc: at least 15 mg per 1000 kcal}",
    ),
    error(
        "unit-of-another-nutrient",
        "An amount is in a unit that this nutrient has none of: energy is in kcal or kJ, only vitamins A, D and E are "
        "in IU, and a ratio has no unit.",
        "analysis: {zinc: 40 IU}",
        "analysis: {zinc: 4 mg}",
    ),
    error(
        "limit-without-basis",
        "A rule on a nutrient must say for what it asks so much: a day, or 1000 kcal of what the dog eats. A ratio "
        "says neither, and a profile is per 1000 kcal.",
        "nutrients: {zinc: at least 15 mg}",
        "nutrients: {zinc: at least 15 mg per 1000 kcal}",
    ),
    error(
        "absurd-analysis",
        "More of something than there is food, or more energy than pure fat gives.",
        "analysis: {protein: 180 g}",
        "analysis: {protein: 18 g}",
    ),
    error(
        "unknown-profile",
        "No published profile and none of the file has that name.",
        "profile: FEDIAF adult",
        "profile: FEDIAF adult 110",
    ),
    error(
        "repeated-profile",
        "Two profiles have one name.",
        "profiles: [{name: NRC growth, ...}]",
        "profiles: [{name: house rule, ...}]",
    ),
    warning(
        "energy-not-known",
        "A dog's ration is in energy, or a rule is for 1000 kcal of what it eats, and of some cuts nobody knows how "
        "much energy they give. That dog is fed none of them; others may be.",
        "own_cuts: [{cut: moor mince, ...}]                # no analysis",
        "own_cuts: [{cut: moor mince, analysis: {energy: 190 kcal}, ...}]",
    ),
    warning(
        "destroys-what-is-asked",
        "A rule asks for at least so much thiamin, and an enzyme of some raw fish can destroy it, in the fish and in "
        "the food with it. How much would be left nobody knows, so that dog is fed none of that fish; others may be.",
        "all_dogs: {nutrients: {thiamin: at least 0.3 mg per 1000 kcal}}\ncuts: [{cut: herring whole, ...}]",
        "all_dogs: {nutrients: {thiamin: at least 0.3 mg per 1000 kcal}}\ncuts: [{cut: cod fillet, ...}]",
    ),
    error(
        "no-energy-known",
        "A dog's ration is in energy, or a rule is for 1000 kcal of what it eats, and nobody knows the energy of "
        "anything that it may eat, so nothing can be weighed out for it.",
        "own_cuts: [{cut: moor mince, ...}]                # no analysis, and nothing else on the lists",
        "own_cuts: [{cut: moor mince, analysis: {energy: 190 kcal}, ...}]",
    ),
    error(
        "energy-and-weight",
        "A ration, what it comes to by the end, and treats must all be in energy, or all by weight.",
        "ration: 900 kcal\ntreats: 30 g",
        "ration: 900 kcal\ntreats: 60 kcal",
    ),
    warning(
        "unusual-energy",
        "A ration below what a dog needs at rest, 70 kcal for each kilogram to the power 0.75, or more than 300 is "
        "more likely a slip.",
        "ration: 11 kcal/kg^0.75",
        "ration: 110 kcal/kg^0.75",
    ),
    warning(
        "nothing-known-of-nutrient",
        "A rule asks for a nutrient of which nothing that is offered has a known amount, so it cannot be met.",
        "nutrients: {chloride: at least 300 mg per 1000 kcal}",
        "nutrients: {sodium: at least 200 mg per 1000 kcal}",
    ),
    error(
        "supplements-differ",
        "A supplement stands in the file twice, and the two do not say the same of what it is.",
        "supplements: [{supplement: kelp, most_a_day: 1 g, ...}, {supplement: kelp, most_a_day: 2 g, ...}]",
        "supplements: [{supplement: kelp, most_a_day: 1 g, ...}, {supplement: kelp, most_a_day: 1 g, ...}]",
    ),
    error(
        "supplement-units",
        "What a supplement comes in, is given in and is analysed by must be one unit; and the most a day, like what is "
        "in a pack, at least one step.",
        "pack: 120 capsules\nmost_a_day: 2 tablets",
        "pack: 120 capsules\nmost_a_day: 2 capsules",
    ),
    warning(
        "unused-supplement",
        "Supplements are given only where a rule on nutrients asks for something, and no dog has such a rule.",
        "supplements: [{supplement: kelp, ...}]",
        "all_dogs: {nutrients: {iodine: at least 250 ug per 1000 kcal}}",
    ),
    error(
        "name-of-a-cut",
        "A supplement has the name of a cut; lists could not tell them apart.",
        "supplements: [{supplement: beef heart, ...}]",
        "supplements: [{supplement: salmon oil, ...}]",
    ),
)
