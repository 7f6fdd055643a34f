"""Mistakes in cuts, offers, suppliers and the rest, each with every finding it must give and no other; all invented."""

from tests.hostile.mistake import Mistake

MISTAKES_OF_OFFERS = (
    Mistake(
        "own cut of a known name",
        "  - cut: moor grind\n    species",
        "  - cut: Ground Beef\n    species",
        "repeated-cut@35:10 unknown-cut@42:10",
    ),
    Mistake("own cut whose parts fall short", "muscle: 90 %, bone", "muscle: 80 %, bone", "shares-not-whole@38:5"),
    Mistake("own cut whose species exceed the whole", "lamb: 40 %", "lamb: 50 %", "shares-not-whole@36:5"),
    Mistake("own cut with an unknown part", "{muscle: 90 %, bone", "{meat: 90 %, bone", "unknown-part@38:13"),
    Mistake(
        "own cut with bone told twice",
        "    fat: 14 %\n    made_of",
        "    fat: 14 %\n    bone: 10 %\n    made_of",
        "two-ways@40:5",
    ),
    Mistake("own cut without parts", "    parts: {muscle: 90 %, bone: 10 %}\n", "", "missing-field@35:10"),
    Mistake("own cut without fat", "    fat: 14 %\n    made_of", "    made_of", "missing-field@35:10"),
    Mistake(
        "own cut without species",
        "    species: {beef: 60 %, lamb: 40 %}\n"
        "    kind: mince\n"
        "    parts: {muscle: 90 %, bone: 10 %}\n"
        "    fat: 14 %\n"
        "    made_of: [beef trim]\n",
        "    bone: 10 %\n    fat: 14 %\n",
        "missing-field@35:10",
    ),
    Mistake("own cut of a new species", "{beef: 60 %, lamb: 40 %}", "beaf", "new-species@36:14"),
    Mistake(
        "own cut fatter than possible",
        "    fat: 14 %\n    made_of",
        "    fat: 95 %\n    made_of",
        "impossible-cut@39:10",
    ),
    Mistake("own cut made of itself", "[beef trim]", "[moor grind]", "circular-cut@40:14"),
    Mistake("own cut made of the unknown", "[beef trim]", "[beef trimm]", "unknown-cut@40:15"),
    Mistake("own cut made of onion", "[beef trim]", "[beef trim, onion]", "toxic-food@40:26"),
    Mistake("offer of an unknown cut", "- cut: chicken neck", "- cut: chicken nek", "unknown-cut@49:10"),
    Mistake("offer of the toxic", "- cut: chicken neck", "- cut: dried raisins", "toxic-food@49:10"),
    Mistake(
        "offer with a toxic item",
        "- cut: chicken neck",
        "- cut: chicken neck\n    item: necks in garlic",
        "toxic-food@50:11",
    ),
    Mistake("offer without a price", "    price: 4.80\n", "", "missing-field@49:5"),
    Mistake("offer without a basis", "    pack: 2 kg\n", "", "price-without-basis@50:12"),
    Mistake("offer with a price in words", "price: 4.80", "price: cheap", "bad-value@51:12"),
    Mistake("offer with a price in dollars", "price: 4.80", "price: 4.80 USD", "other-currency@51:12"),
    Mistake("offer with a price per stone", "price: 4.80", "price: 4.80 per stone", "unknown-unit@51:12"),
    Mistake("offer with a price over a slash", "price: 4.80", "price: 4.80/kg", "bad-value@51:12"),
    Mistake("offer with a comma in the price", "price: 4.80", "price: 4,80", "comma-in-number@51:12"),
    Mistake("offer with a price too fine", "price: 4.80", "price: 4.805", "bad-value@51:12"),
    Mistake(
        "offer priced for the wrong weight",
        "  - cut: turkey liver\n    price: 5.60 per kg\n",
        "  - {cut: turkey mince, price: 7.00 per kg}\n"
        "  - {cut: beef mince, price: 8.00 per kg}\n"
        "  - {cut: lamb mince, price: 9.00 per kg}\n"
        "  - cut: turkey liver\n"
        "    price: 56.00 per kg\n"
        "  - cut: pork mince\n"
        "    price: 8.00 per 100 g\n",
        "price-outlier@57:10",
    ),
    Mistake("offer in packs and steps", "pack: 2 kg", "pack: 2 kg\n    step: 50 g", "two-ways@51:5"),
    Mistake("offer available in kilograms of packs", "available: 10", "available: 10 kg", "wrong-amount@45:16"),
    Mistake("offer available in packs by weight", "available: 4 kg", "available: 4", "wrong-amount@54:16"),
    Mistake("offer available with a leading zero", "available: 10", "available: 012", "bad-value@45:16"),
    Mistake("offer with breaks out of order", "- from: 5", "- from: 1", "breaks-out-of-order@47:15"),
    Mistake("offer whose break is dearer", "price: 5.00", "price: 5.50", "price-does-not-fall@48:16"),
    Mistake("offer whose break has no price", "        price: 5.00\n", "", "missing-field@47:9"),
    Mistake(
        "offer with breaks as a mapping",
        "    price_breaks:\n      - from: 5\n        price: 5.00\n",
        "    price_breaks: {from: 5, price: 5.00}\n",
        "wrong-shape@46:20",
    ),
    Mistake(
        "offer bonier than possible", "pack: 2 kg", "pack: 2 kg\n    bone: 90 %\n    fat: 20 %", "impossible-cut@52:10"
    ),
    Mistake(
        "offer written twice",
        "  - cut: turkey liver\n",
        "  - {cut: turkey liver, price: 5.60 per kg, available: 4 kg}\n  - cut: turkey liver\n",
        "repeated-offer@53:10",
    ),
    Mistake("offer with an unknown field", "pack: 2 kg", "pakc: 2 kg", "unknown-field@50:5"),
    Mistake(
        "supplier called twice",
        "suppliers:\n",
        "suppliers:\n  - {name: hollow lane, cuts: [{cut: chard, price: 3.00 per kg}]}\n",
        "repeated-supplier@57:11",
    ),
    Mistake(
        "supplier called like the nameless list", "name: Hollow Lane", "name: Your List", "repeated-supplier@56:11"
    ),
    Mistake("supplier that offers nothing", "suppliers:\n", "suppliers:\n  - name: Fell Farm\n", "no-offers@56:11"),
    Mistake("supplier with a tax above the whole", "sales_tax: 7 %", "sales_tax: 7", "bad-value@60:16"),
    Mistake("supplier with an old list", "list_date: 2027-01-20", "list_date: 2026-11-20", "old-price-list@61:16"),
    Mistake("supplier with free delivery for nothing", "    delivery: 6.50\n", "", "free-delivery-unused@58:25"),
    Mistake(
        "supplier with a minimum above the budget",
        "minimum_order: 40.00",
        "minimum_order: 400.00",
        "minimum-above-budget@58:20",
    ),
    Mistake(
        "supplier with a list in another folder",
        "file: lists/hollow.csv",
        "file: ../hollow.csv",
        "price-list-outside@63:13",
    ),
    Mistake(
        "supplier with a list at the root", "file: lists/hollow.csv", "file: /etc/hosts", "price-list-outside@63:13"
    ),
    Mistake(
        "supplier with a list that is not there",
        "file: lists/hollow.csv",
        "file: lists/hollo.csv",
        "no-such-file@63:13",
    ),
    Mistake("supplier with a folder for a list", "file: lists/hollow.csv", "file: lists", "not-a-file@63:13"),
    Mistake(
        "supplier with an impossible separator",
        "file: lists/hollow.csv",
        "file: lists/hollow.csv\n      separator: pipe",
        "unknown-choice@64:18",
    ),
    Mistake(
        "supplier with an unknown encoding",
        "file: lists/hollow.csv",
        "file: lists/hollow.csv\n      encoding: ebcdic",
        "unknown-choice@64:17",
    ),
    Mistake("on hand of an unknown cut", "cut: beef heart", "cut: beef hart", "unknown-cut@65:10"),
    Mistake("on hand without a weight", "    weight: 800 g\n", "", "missing-field@65:5"),
    Mistake("on hand frozen in the future", "frozen: 2026-12-20", "frozen: 2027-12-20", "frozen-in-future@67:13"),
    Mistake("on hand frozen the other way round", "frozen: 2026-12-20", "frozen: 20-12-2026", "bad-date@67:13"),
    Mistake("room without unit", "room: 120 l", "room: 120", "no-unit@69:9"),
    Mistake("room as a weight with a density", "room: 120 l", "room: 60 kg", "unused-value@70:3"),
    Mistake("freezer left empty", "freezer:\n  room: 120 l\n  kg_per_litre: 0.5\n", "freezer:\n", "empty-value@68:1"),
    Mistake("budget below zero", "budget: 150.00", "budget: -150", "bad-value@71:9"),
    Mistake("suppliers at most none", "most_suppliers: 2", "most_suppliers: 0", "out-of-range@72:17"),
    Mistake("suppliers at most a half", "most_suppliers: 2", "most_suppliers: 0.5", "bad-value@72:17"),
    Mistake("variety beyond the whole", "each_at_least: 5 %", "each_at_least: 55 %", "variety-not-whole@74:3"),
    Mistake(
        "second document", "  most_of_one: 60 %", "  most_of_one: 60 %\n---\ncurrency: USD", "second-document@77:1"
    ),
    Mistake("variety of nothing", "most_of_one: 60 %", "most_of_one: 0 %", "variety-not-whole@74:3"),
    Mistake("title left empty", "title: Sound", "title:", "empty-value@2:1"),
    Mistake("currency in small letters", "currency: EUR", "currency: eur", "bad-value@3:11"),
    Mistake("currency missing", "currency: EUR\n", "", "missing-field@2:1"),
    Mistake("units unknown", "units: kg", "units: stone", "unknown-choice@4:8"),
    Mistake("batch without a start", "  starts: 2027-02-06\n", "", "missing-field@6:3"),
    Mistake("batch with a day that is not", "starts: 2027-02-06", "starts: 2027-02-30", "bad-date@6:11"),
    Mistake("batch at the end of time", "starts: 2027-02-06", "starts: 9999-12-31", "bad-date@6:11"),
    Mistake("batch before the trade", "starts: 2027-02-06", "starts: 0001-01-01", "bad-date@6:11"),
    Mistake(
        "ration that comes to nothing", "ration: 2.5 %", "ration: 20.01 g", "zero-amount@14:11 unusual-ration@18:13"
    ),
    Mistake("pack of less than a gram", "pack: 2 kg", "pack: 0.5 g", "zero-amount@50:11"),
    Mistake(
        "dog without a weight",
        "    weight: 5 kg\n    puppy: yes\n    adult_weight: 30 kg\n    ration: 3 % of adult weight\n",
        "    puppy: yes\n    ration: 3 %\n",
        "missing-field@22:11",
    ),
    Mistake(
        "own cut written twice",
        "own_cuts:\n",
        "own_cuts:\n  - {cut: Moor Grind, species: beef, bone: 0 %, fat: 9 %}\n",
        "repeated-cut@36:10",
    ),
    Mistake(
        "break per pack of what is sold by weight",
        "    available: 4 kg\n",
        "    available: 4 kg\n    price_breaks: [{from: 2 kg, price: 5.00 per pack}]\n",
        "price-without-basis@55:40",
    ),
    Mistake("batch with a time", "starts: 2027-02-06", "starts: 2027-02-06 10:00:00", "bad-date@6:11"),
    Mistake("batch of a year", "days: 14", "days: 365", "out-of-range@7:9"),
    Mistake("batch of no days", "days: 14", "days: 0", "out-of-range@7:9"),
    Mistake("batch of a day and a half", "days: 14", "days: 1.5", "bad-value@7:9"),
    Mistake("unknown field at the top", "most_suppliers: 2", "max_suppliers: 2", "unknown-field@72:1"),
    Mistake("repeated field", "currency: EUR", "currency: EUR\ncurrency: USD", "repeated-key@4:1"),
    Mistake("repeated field of a dog", "goal: lose", "goal: lose\n    goal: keep", "repeated-key@17:5"),
    Mistake("tag", "days: 14", "days: !!int 14", "tag@7:9"),
    Mistake("python tag", "days: 14", "days: !!python/object/apply:os.system [ls]", "tag@7:9 wrong-shape@7:9"),
    Mistake("anchor", "days: 14", "days: &days 14", "anchor@7:9"),
    Mistake("comment in a name", "name: Pip", "name: Pip #2", "comment-in-value@22:15"),
    Mistake("escape in a name", "name: Pip", 'name: "Pip\\e[31m"', "control-character@22:11"),
    Mistake("direction turned in a name", "name: Pip", "name: Pip\u202egnp", "control-character@22:14"),
    Mistake("half a character in a name", "name: Pip", 'name: "\\ud800"', "broken-yaml@22:14"),
)
