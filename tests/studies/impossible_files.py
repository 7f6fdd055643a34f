"""Scenario files without a plan, made by hand; what is to be written in them is not always what they have already.

All names, prices and amounts are invented.
"""

from collections.abc import Mapping
from types import MappingProxyType

HEAD = "title: an invented scenario\ncurrency: EUR\nbatch: {starts: 2027-02-06, days: 14}\n"
TRIM = "  - {cut: beef trim, price: 6.20 per kg}\n"
NECK = "  - {cut: chicken neck, price: 2.40 per kg}\n"
LIVER = "  - {cut: lamb liver, price: 4.75 per kg}\n"
KIDNEY = "  - {cut: beef kidney, price: 3.60 per kg}\n"
HEART = "  - {cut: beef heart, price: 3.90 per kg}\n"
MAPLE = "  - {name: Maple, weight: 20 kg, ration: 2.5 %, targets: prey model}\n"
FAT_TRIM = "  - {cut: beef trim, price: 6.20 per kg, fat: 17 %}\n"


def written(*dogs: str, cuts: str = TRIM + NECK + LIVER + KIDNEY, more: str = "") -> str:
    """A scenario file of these dogs and cuts."""
    return f"{HEAD}{more}dogs:\n{''.join(dogs) or MAPLE}cuts:\n{cuts}"


WRITTEN: Mapping[str, str] = MappingProxyType(
    {
        "no bone": written(cuts=TRIM + LIVER + KIDNEY),
        "no other organ": written(cuts=TRIM + NECK + LIVER),
        "neither bone nor other organ": written(cuts=TRIM + LIVER),
        "own ranges": written(
            "  - {name: Maple, weight: 20 kg, ration: 2.5 %, targets: {muscle: 77 % to 88 %, bone: 6.25 % to 9 %, "
            "liver: 3 % to 7 %, other organ: 2 % to 5 %}}\n",
            cuts=TRIM + LIVER + KIDNEY,
        ),
        "own ranges in a block": written(
            "  - name: Maple\n    weight: 20 kg\n    ration: 2.5 %\n    targets:\n      muscle: 77 % to 91 %\n"
            "      bone: 6 % to 9 %\n      liver: 3 % to 7 %\n    avoid: [pork]\n",
            cuts=TRIM + LIVER,
        ),
        "a pattern altered": written(
            "  - {name: Maple, weight: 20 kg, ration: 2.5 %, targets: {pattern: prey model, bone: 5 % to 12 %}}\n",
            cuts=TRIM + LIVER + KIDNEY,
        ),
        "two dogs with different targets": written(
            MAPLE,
            "  - {name: Juniper, weight: 9 kg, ration: 2.5 %, targets: {muscle: 70 % to 86 %, bone: 8 % to 12 %, "
            "liver: 3 % to 6 %, other organ: 4 % to 6 %}}\n",
            cuts=TRIM + LIVER + KIDNEY,
        ),
        # Maple has nothing with bone, Juniper nothing with less than 38 %
        "both ends of one range": written(
            "  - {name: Maple, weight: 20 kg, ration: 2.5 %, avoid: [chicken], targets: {bone: 8 % to 35 %}}\n",
            "  - {name: Juniper, weight: 9 kg, ration: 2.5 %, avoid: [beef], targets: {bone: 8 % to 35 %}}\n",
            cuts="  - {cut: chicken neck, price: 2.40 per kg, bone: 38 %}\n" + TRIM,
            more="portioning: {divided: [chicken neck]}\n",
        ),
        "for all dogs": written(
            "  - {name: Maple, weight: 20 kg}\n",
            "  - {name: Juniper, weight: 9 kg}\n",
            cuts=TRIM + LIVER + KIDNEY,
            more="all_dogs: {ration: 2.5 %, targets: prey model}\n",
        ),
        "for some of all dogs": written(
            "  - {name: Maple, weight: 20 kg, avoid: [chicken]}\n",
            "  - {name: Juniper, weight: 9 kg}\n",
            more="all_dogs: {ration: 2.5 %, targets: prey model}\n",
        ),
        "a cap beside other caps": written(
            "  - {name: Maple, weight: 20 kg, ration: 2.5 %, targets: prey model, "
            "caps: {heart: none, lamb: 20 %, fat: 10 %}}\n",
            cuts=FAT_TRIM + NECK + LIVER + KIDNEY,
        ),
        "caps in a block": written(
            "  - name: Maple\n    weight: 20 kg\n    ration: 2.5 %\n    targets: prey model\n    caps:\n"
            "      lamb: 20 %\n      fat: 10 %\n",
            cuts=FAT_TRIM + NECK + LIVER + KIDNEY,
        ),
        "a cap that holds unless said": written(
            cuts="  - {cut: beef trim, price: 6.20 per kg, fat: 20 %}\n" + NECK + LIVER + KIDNEY
        ),
        "caps of all dogs": written(
            MAPLE,
            "  - {name: Juniper, weight: 9 kg, ration: 2.5 %, targets: prey model}\n",
            cuts=FAT_TRIM + NECK + LIVER + KIDNEY,
            more="all_dogs: {caps: {fat: 10 %, heart: none}}\n",
        ),
        "caps of all dogs and one's own": written(
            MAPLE,
            "  - {name: Juniper, weight: 9 kg, ration: 2.5 %, targets: prey model, caps: {fat: 18 %, lamb: none}}\n",
            cuts=FAT_TRIM + NECK + LIVER + KIDNEY,
            more="all_dogs: {caps: {fat: 10 %, heart: none, lamb: 30 %}}\n",
        ),
        # Juniper, which has a cap of its own, is fed heart and keeps to 10 % of fat
        "caps of all dogs that one keeps to": written(
            "  - {name: Maple, weight: 20 kg, ration: 2.5 %, targets: prey model, avoid: [heart]}\n",
            "  - {name: Juniper, weight: 9 kg, ration: 2.5 %, targets: prey model, avoid: [beef trim], "
            "caps: {lamb: 30 %}}\n",
            cuts=FAT_TRIM + NECK + LIVER + KIDNEY + HEART,
            more="all_dogs: {caps: {fat: 10 %, heart: none}}\n",
        ),
        "two caps of one dog": written(
            "  - {name: Maple, weight: 20 kg, ration: 2.5 %, targets: prey model, caps: {fat: 10 %, beef: 70 %}}\n",
            cuts=FAT_TRIM + NECK + LIVER + KIDNEY,
        ),
        "species": written(more="variety: {species: 4, each_at_least: 3 %, most_of_one: 90 %}\n"),
        "most of one species": written(more="variety: {species: 2, most_of_one: 60 %}\n"),
        "whole pieces": written(
            "  - {name: Maple, weight: 20 kg, ration: 2.5 %, avoid: [turkey], "
            "targets: {pattern: prey model, bone: 10 % to 10 %}}\n",
            cuts="  - {cut: chicken neck, price: 2.40 per kg, piece: 95 g}\n" + TRIM + LIVER + KIDNEY,
            more="portioning: {divided: [turkey neck], week_allowance: 1 %, most_a_day: {heart: none}}\n"
            "on_hand:\n  - {cut: turkey neck, weight: 100 g}\n",
        ),
        "whole pieces and nothing said of bags": written(
            "  - {name: Fern, weight: 2.4 kg, ration: 2.5 %, targets: {pattern: prey model}}\n",
            cuts=NECK + TRIM + LIVER + KIDNEY,
        ),
        "a minimum order, and room": HEAD
        + f"freezer: {{room: 20 l}}\nunits: lb\ndogs:\n{MAPLE}suppliers:\n  - name: Hollow Lane\n"
        + f"    minimum_order: 90\n    cuts:\n{(TRIM + NECK + LIVER + KIDNEY).replace('  - ', '      - ')}",
        "stock and money": written(
            cuts=TRIM + NECK + KIDNEY + "  - {cut: lamb liver, price: 4.75, pack: 100 g, available: 2}\n",
            more="budget: 30\n",
        ),
    }
)
"""Files without a plan, by what is in the way."""
