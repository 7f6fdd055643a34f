"""What can be wrong with fields and their values."""

from raworder.reading.slug import Slug, error, warning

SLUGS_OF_VALUES: tuple[Slug, ...] = (
    error(
        "unknown-field",
        "There is no field of that name here. Nothing is guessed from a name that is nearly right.",
        "dogs: [{name: Maple, weigth: 22 kg}]",
        "dogs: [{name: Maple, weight: 22 kg}]",
    ),
    error(
        "missing-field",
        "Something needed is not written.",
        "batch: {days: 14}",
        "batch: {starts: 2027-02-06, days: 14}",
    ),
    error("empty-value", "A field is written without a value.", "title:", "title: Two dogs"),
    error(
        "empty-list", "A list or a mapping that needs an entry has none.", "vet_amounts: {}", "vet_amounts: {kale: 5 g}"
    ),
    error(
        "wrong-shape",
        "A list, a mapping or a single value stands where one of the others belongs.",
        "avoid: pork",
        "avoid: [pork]",
    ),
    error(
        "bad-value",
        "The text of a field cannot be read as what the field holds. Numbers have digits and at most one "
        "point: no sign, no exponent, no spaces inside.",
        "weight: about 22 kg",
        "weight: 22 kg",
    ),
    error("bad-date", "Days are written year-month-day, and must exist.", "starts: 06.02.2027", "starts: 2027-02-06"),
    error(
        "days-reversed",
        "A span of days ends before it begins.",
        "away: [2027-02-15 to 2027-02-14]",
        "away: [2027-02-14 to 2027-02-15]",
    ),
    error(
        "comma-in-number",
        "A comma can mean a decimal or a large number, so a scenario takes points only. A price list can "
        "state its mark.",
        "price: 2,40",
        "price: 2.40",
    ),
    error(
        "no-unit",
        "A bare number stands where it could be kilograms or pounds, grams or percent. Shares carry a percent sign: "
        "`1` could be 1 % or the whole.",
        "weight: 22",
        "weight: 22 kg",
    ),
    error("unknown-unit", "The unit is none of those read here.", "weight: 3 stone", "weight: 42 lb"),
    error("zero-amount", "Nothing at all is said where an amount is meant.", "weight: 0 kg", "weight: 22 kg"),
    error("out-of-range", "The number is smaller or larger than it can be.", "batch: {days: 400}", "batch: {days: 14}"),
    error(
        "absurd-amount",
        "A dog weighs at most 1000 kg and eats at most 15 kg and half its weight a day. Nothing else is above 100 t. "
        "More than that is a slip, and no plan could be made of it.",
        "weight: 22000 kg",
        "weight: 22 kg",
    ),
    error(
        "unknown-choice",
        "The field takes one of a few words, written exactly so.",
        "goal: slim",
        "goal: lose",
    ),
    error("name-too-long", "A name has more than 120 characters.", "name: Maple who ...", "name: Maple"),
    error(
        "other-currency",
        "All money of a scenario is in its one currency; nothing is exchanged.",
        "currency: EUR\nbudget: 150 USD",
        "currency: EUR\nbudget: 140 EUR",
    ),
    error(
        "unknown-part",
        "A ration has the parts muscle, bone, liver, other organ, vegetables and berries.",
        "parts: {meat: 100 %}",
        "parts: {muscle: 100 %}",
    ),
    error(
        "two-ways",
        "Two fields say the same thing in two ways, and they could differ.",
        "bone: 28 %\nparts: {muscle: 72 %, bone: 28 %}",
        "bone: 28 %",
    ),
    warning(
        "unused-value",
        "A value is written that nothing uses, because another field makes it count for nothing.",
        "goal: keep\nideal_weight: 20 kg",
        "goal: lose\nideal_weight: 20 kg",
    ),
)
