"""What can be wrong with cuts, offers, suppliers and what is on hand."""

from raworder.reading.slug import Slug, error, warning

SLUGS_OF_OFFERS: tuple[Slug, ...] = (
    error(
        "nothing-to-feed",
        "The scenario has no offer and nothing on hand.",
        "dogs: [{name: Maple, ...}]",
        "dogs: [{name: Maple, ...}]\ncuts: [{cut: beef trim, price: 6.20 per kg}]",
    ),
    error(
        "unknown-cut",
        "No cut of that name is in the reference table or among the own cuts. A similar name is suggested and "
        "never taken, as necks are not backs.",
        "cuts: [{cut: chicken nek, pack: 1 kg, price: 2.40}]",
        "cuts: [{cut: chicken neck, pack: 1 kg, price: 2.40}]",
    ),
    error(
        "toxic-food",
        "Something in the scenario is, or names, a food that is dangerous to dogs. It is refused whatever the amount. "
        "Bone is among them once it has been cooked in any way, so a cut with bone must not be called smoked or roast.",
        "cuts: [{cut: kale, item: kale with onion, price: 3.20 per kg}]",
        "cuts: [{cut: kale, item: kale, price: 3.20 per kg}]",
    ),
    error(
        "repeated-cut",
        "An own cut has the name of another cut. To change a figure of the reference table state it on the offer.",
        "own_cuts: [{cut: chicken neck, bone: 28 %, ...}]",
        "cuts: [{cut: chicken neck, bone: 28 %, pack: 1 kg, price: 2.40}]",
    ),
    error(
        "circular-cut",
        "A mix is, over others, made of itself.",
        "own_cuts: [{cut: moor mix, made_of: [moor mix], ...}]",
        "own_cuts: [{cut: moor mix, made_of: [beef trim], ...}]",
    ),
    error(
        "impossible-cut",
        "Bone and fat together are more than the whole. Both are shares of the weight as bought.",
        "bone: 60 %\nfat: 50 %",
        "bone: 30 %\nfat: 10 %",
    ),
    error(
        "shares-not-whole",
        "The parts or the species of a cut do not add up to 100 %.",
        "parts: {muscle: 70 %, bone: 20 %}",
        "parts: {muscle: 80 %, bone: 20 %}",
    ),
    error(
        "species-left-out",
        "A mix is made of an animal that its `species` does not name. Caps on that animal, and variety, would not see "
        "it. Plants need not be named.",
        "made_of: [turkey thigh boneless, goat trim]\nspecies: [rabbit, goat]",
        "made_of: [turkey thigh boneless, goat trim]\nspecies: [rabbit, goat, turkey]",
    ),
    warning(
        "new-species",
        "An own cut is of a species that the reference table does not have. Misspelt, no exclusion would find it.",
        "species: beaf",
        "species: beef",
    ),
    error(
        "price-without-basis",
        "A price must say what it is for: a pack of a stated weight, or a weight.",
        "cuts: [{cut: beef trim, price: 6.20}]",
        "cuts: [{cut: beef trim, price: 6.20 per kg}]",
    ),
    error(
        "about-at-a-fixed-price",
        "Packs that each weigh something else, written `about`, are charged by what they weigh. Where every pack costs "
        "the same the price does not depend on its weight, and `about` says nothing that could be reckoned with.",
        "pack: about 2.3 kg\nprice: 14.00",
        "pack: about 2.3 kg\nprice: 6.20 per kg",
    ),
    error(
        "heaviest-out-of-place",
        "`up_to` is the most that a pack of about such a weight has. It needs `about`, as all other packs weigh what "
        "they say, and it is not below the mean.",
        "pack: about 2.3 kg\nup_to: 2.1 kg",
        "pack: about 2.3 kg\nup_to: 2.6 kg",
    ),
    error(
        "wrong-amount",
        "What is sold in packs is counted in packs, and what is sold by weight is measured by weight.",
        "pack: 1 kg\navailable: 10 kg",
        "pack: 1 kg\navailable: 10",
    ),
    error(
        "breaks-out-of-order",
        "Price breaks start from more and more, each once, and from more than the offer's own price.",
        "price_breaks: [{from: 10, price: 2.00}, {from: 5, price: 2.20}]",
        "price_breaks: [{from: 5, price: 2.20}, {from: 10, price: 2.00}]",
    ),
    warning(
        "price-does-not-fall",
        "A price break is not cheaper than the price before it.",
        "price: 2.00\nprice_breaks: [{from: 5, price: 2.20}]",
        "price: 2.20\nprice_breaks: [{from: 5, price: 2.00}]",
    ),
    warning(
        "repeated-offer",
        "Two lines of a price list say the same in everything; one is kept.",
        "- {cut: kale, price: 3.20 per kg}\n- {cut: kale, price: 3.20 per kg}",
        "- {cut: kale, price: 3.20 per kg}",
    ),
    warning(
        "price-outlier",
        "A price per weight is more than four times the median of its kind, or less than a quarter of it; where fewer "
        "than four offers are of its kind, ten times or a tenth of the median of all. Often it is for another weight "
        "than it says.",
        "price: 24.00 per 100 g",
        "price: 24.00 per kg",
    ),
    warning(
        "price-of-nothing",
        "Something costs nothing. A gift may stand in a scenario so, but a price left at 0 would make the whole "
        "order wrong.",
        "cuts: [{cut: beef trim, price: 0 per kg}]",
        "cuts: [{cut: beef trim, price: 6.20 per kg}]",
    ),
    warning(
        "unseen-ingredients",
        "A dog must not eat a kind or a cut, or only so much of it, and a mince or another mix does not say what it "
        "is made of. What is hidden in it is not found.",
        "own_cuts: [{cut: moor mix, kind: mince, ...}]\navoid: [tripe]",
        "own_cuts: [{cut: moor mix, kind: mince, made_of: [beef trim], ...}]\navoid: [tripe]",
    ),
    error(
        "repeated-supplier",
        "Two suppliers have one name, or names that differ only in capitals. The nameless list is called `your list`.",
        "suppliers: [{name: Hollow Lane, ...}, {name: hollow lane, ...}]",
        "suppliers: [{name: Hollow Lane, ...}, {name: Fell Farm, ...}]",
    ),
    warning(
        "no-offers",
        "A supplier has neither offers nor a price list.",
        "- name: Fell Farm",
        "- {name: Fell Farm, cuts: [...]}",
    ),
    warning(
        "old-price-list",
        "A price list is more than 60 days old when the batch begins, so its prices may not hold.",
        "batch: {starts: 2027-02-06}\nlist_date: 2026-06-01",
        "batch: {starts: 2027-02-06}\nlist_date: 2027-01-20",
    ),
    warning(
        "free-delivery-unused",
        "Delivery is free from an amount on, but no charge for it is stated.",
        "free_delivery_from: 90.00",
        "delivery: 6.50\nfree_delivery_from: 90.00",
    ),
    warning(
        "minimum-above-budget",
        "A supplier's minimum order is more than the whole budget, so nothing can be bought there.",
        "budget: 50.00\nminimum_order: 80.00",
        "budget: 150.00\nminimum_order: 80.00",
    ),
    warning(
        "frozen-in-future",
        "Something on hand was frozen after the batch begins.",
        "batch: {starts: 2027-02-06}\nfrozen: 2027-12-20",
        "batch: {starts: 2027-02-06}\nfrozen: 2026-12-20",
    ),
    warning(
        "less-than-a-piece",
        "Something on hand that is fed in whole pieces weighs less than one usual piece, so none of it can be planned. "
        "Pieces differ: say what yours weighs.",
        "on_hand: [{cut: chicken frame, weight: 210 g}]",
        "on_hand: [{cut: chicken frame, weight: 210 g, piece: 210 g}]",
    ),
)
