"""What can be wrong with dogs, their rations, targets, caps and exclusions."""

from raworder.reading.slug import Slug, error, warning

SLUGS_OF_DOGS: tuple[Slug, ...] = (
    error("no-dogs", "There is no dog to feed on any day of the batch.", "dogs: []", "dogs: [{name: Maple, ...}]"),
    error(
        "repeated-dog",
        "Two dogs have one name, or names that differ only in capitals. Lists and bags could not tell them apart.",
        "dogs: [{name: Maple, ...}, {name: maple, ...}]",
        "dogs: [{name: Maple, ...}, {name: Maple B, ...}]",
    ),
    warning(
        "unlikely-weight",
        "A dog under 0.5 kg or above 120 kg is more likely a slip in the number or its unit.",
        "weight: 220 kg",
        "weight: 22 kg",
    ),
    warning(
        "weights-far-apart",
        "An ideal weight of less than half or more than twice the weight, or an adult weight below the weight of a "
        "puppy, is more likely a slip.",
        "weight: 20 kg\ngoal: lose\nideal_weight: 1.8 kg",
        "weight: 20 kg\ngoal: lose\nideal_weight: 18 kg",
    ),
    error(
        "puppy-to-lose",
        "A puppy grows, and a ration meant to make it lose weight can harm it; nor does it weigh less at the end of a "
        "batch. What an overweight puppy needs a veterinarian must say.",
        "puppy: yes\ngoal: lose",
        "puppy: yes",
    ),
    warning(
        "unusual-ration",
        "A daily ration is usually 2 to 3 % of the weight, up to 3.5 % to gain. Below 1 % or above 10 % of the "
        "dog's own weight, or of a puppy's adult weight where the ration counts on it, it is doubted.",
        "ration: 25 %",
        "ration: 2.5 %",
    ),
    warning(
        "steep-ration",
        "A ration that changes by more than 30 % within one batch is more likely a slip, and can upset a stomach where "
        "it is meant. Growing dogs need more, but little by little.",
        "ration: 400 g\nration_by_end: 560 g",
        "ration: 400 g\nration_by_end: 460 g",
    ),
    error(
        "treats-too-large",
        "Treats are taken off the daily ration, and here nothing would be left.",
        "ration: 300 g\ntreats: 300 g",
        "ration: 300 g\ntreats: 30 g",
    ),
    error(
        "goal-against-weight",
        "A dog that is to lose needs an ideal weight below its weight, one that is to gain an ideal weight above it.",
        "weight: 22 kg\ngoal: lose\nideal_weight: 25 kg",
        "weight: 22 kg\ngoal: lose\nideal_weight: 20 kg",
    ),
    error(
        "not-a-puppy",
        "Only a puppy's ration may be counted on its adult weight.",
        "ration: 2.5 % of adult weight",
        "puppy: yes\nadult_weight: 30 kg\nration: 2.5 % of adult weight",
    ),
    warning(
        "away-outside-batch",
        "Days away that are not in the batch change nothing; perhaps the month or the batch is wrong.",
        "batch: {starts: 2027-02-06}\naway: [2027-03-10]",
        "batch: {starts: 2027-02-06}\naway: [2027-02-10]",
    ),
    warning(
        "away-throughout",
        "The dog is away on every day of the batch, so nothing is planned for it.",
        "batch: {starts: 2027-02-06, days: 2}\naway: [2027-02-06 to 2027-02-07]",
        "batch: {starts: 2027-02-06, days: 2}\naway: [2027-02-07]",
    ),
    error(
        "range-reversed",
        "A range's first share is above its second.",
        "targets: {bone: 12 % to 8 %, ...}",
        "targets: {bone: 8 % to 12 %, ...}",
    ),
    error(
        "targets-not-whole",
        "The parts of what is eaten make up 100 %. Here the lowest shares together exceed it, or the highest "
        "fall short.",
        "targets: {muscle: 70 %, bone: 10 %}",
        "targets: {muscle: 90 %, bone: 10 %}",
    ),
    error(
        "unknown-word",
        "A cap or an exclusion names nothing that is known: no part, species, kind or cut. Misspelt, an "
        "exclusion would exclude nothing. A cap cannot be about a group such as poultry.",
        "avoid: [chiken]",
        "avoid: [chicken]",
    ),
    warning(
        "needless-word",
        "A food that is toxic to dogs is refused anywhere in a scenario, so nobody needs to avoid it.",
        "avoid: [onion]",
        "avoid: [pork]",
    ),
    error(
        "care-with-own-amounts",
        "For a dog that is ill, pregnant, nursing or on a prescription diet only the veterinarian's amounts "
        "are used; no ration, targets, caps, treats or goal are read, nor how the ration or the weight changes.",
        "care: pregnant\nration: 3 %",
        "care: pregnant\nvet_amounts: {turkey thigh boneless: 400 g}",
    ),
    error(
        "amounts-without-care",
        "Amounts from a veterinarian are for a dog in care; the scenario must say why they were given.",
        "vet_amounts: {turkey thigh boneless: 400 g}",
        "care: ill\nvet_amounts: {turkey thigh boneless: 400 g}",
    ),
    error(
        "vet-amount-not-sold",
        "The veterinarian gave an amount of a cut that no supplier sells and that is not on hand.",
        "vet_amounts: {rabbit boneless: 200 g}     # no offer of it",
        "cuts: [{cut: rabbit boneless, price: 9.80 per kg}]",
    ),
    warning(
        "offer-passed-over",
        "The veterinarian's amount is of a cut that some offers describe otherwise, with their own fat or bone. It is "
        "taken from offers of the plain cut; the others count as other cuts, and are used where they are named.",
        "vet_amounts: {beef mince: 200 g}     # and an offer of beef mince with `fat: 20 %`",
        "vet_amounts: {beef mince (fat 20 %): 200 g}",
    ),
    error(
        "vet-amount-avoided",
        "The dog has an amount of something that it must not eat.",
        "avoid: [turkey]\nvet_amounts: {turkey liver: 10 g}",
        "avoid: [chicken]\nvet_amounts: {turkey liver: 10 g}",
    ),
    error(
        "repeated-amount",
        "Two names of one cut have an amount each.",
        "vet_amounts: {beef mince: 100 g, ground beef: 50 g}",
        "vet_amounts: {beef mince: 150 g}",
    ),
    error(
        "ambiguous-cut",
        "The cut is sold in more than one kind, say with different bone shares, and the name fits several.",
        "vet_amounts: {chicken neck: 100 g}",
        '"vet_amounts": {"chicken neck (bone 28 %)": 100 g}',
    ),
    error(
        "variety-not-whole",
        "The species asked for cannot share one ration: their least shares exceed it, or the maximum of one is "
        "below its minimum.",
        "variety: {species: 3, each_at_least: 40 %}",
        "variety: {species: 3, each_at_least: 10 %}",
    ),
)
