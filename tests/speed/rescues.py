"""Invented rescues of any size, as the text of a scenario: the same text for the same seed on every machine.

    python -m tests.speed.rescues 400 > rescue400.yaml      one of the `SIZES`, or so many dogs with as much as it takes

Dogs are fed by percent of their weight, enough for the rule on energy at rest, or by energy; from bags or from tubs.
Prices are about those of trade in meat for pets (from memory, not looked up); names, suppliers and dogs are invented.
"""

import argparse
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import product
from random import Random
from types import MappingProxyType


@dataclass(frozen=True)
class Size:
    """How large a rescue is. Dogs of a kind, where there are kinds, are alike in all but name."""

    dogs: int
    offers: int
    suppliers: int
    kinds: int | None = None


SIZES = MappingProxyType(
    {
        "45": Size(45, 58, 4),
        "120": Size(120, 72, 5),
        "400": Size(400, 100, 5),
        "2000": Size(2000, 300, 8, kinds=40),
    }
)


@dataclass(frozen=True)
class Sold:
    """A cut with its usual price of a kilogram and its packs; what waits is sold frozen for long enough, mostly."""

    cut: str
    per_kg: str
    packs_kg: tuple[str, ...]
    waits: bool = False


NEEDED = (
    Sold("chicken back", "1.05", ("5", "10")),
    Sold("chicken neck", "1.60", ("1", "5")),
    Sold("turkey neck", "2.30", ("5", "10")),
    Sold("duck neck", "2.90", ("2", "5")),
    Sold("lamb rib", "4.90", ("2.5",), waits=True),
    Sold("turkey thigh boneless", "5.20", ("2.5", "5")),
    Sold("chicken gizzard", "2.90", ("1", "5")),
    Sold("beef mince lean", "5.40", ("2.5", "5")),
    Sold("chicken liver", "2.40", ("1", "2.5")),
    Sold("beef liver", "3.10", ("1", "5")),
    Sold("turkey liver", "2.60", ("1", "2.5")),
    Sold("beef spleen", "2.50", ("2", "5")),
    Sold("pork spleen", "1.90", ("1", "2.5"), waits=True),
    Sold("pork heart", "2.80", ("2.5", "5"), waits=True),
    Sold("turkey heart", "3.70", ("1", "2.5")),
)
"""Whatever else is sold, every dog here can be fed of these, with bone in pieces small enough for the smallest bag."""

OTHERS = (
    Sold("chicken frame", "0.98", ("10",)),
    Sold("chicken wing", "2.35", ("2", "5")),
    Sold("chicken foot", "1.40", ("2", "5")),
    Sold("chicken mince", "3.10", ("1", "5")),
    Sold("chicken heart", "2.90", ("1", "10")),
    Sold("chicken thigh boneless", "5.10", ("2.5",)),
    Sold("chicken leg quarter", "2.20", ("5", "10")),
    Sold("duck frame", "1.90", ("5",)),
    Sold("duck heart", "3.80", ("1", "2.5")),
    Sold("duck liver", "4.10", ("1",)),
    Sold("duck foot", "1.80", ("2",)),
    Sold("turkey mince", "4.00", ("1", "2.5")),
    Sold("turkey wing", "2.70", ("5",)),
    Sold("turkey gizzard", "3.00", ("1", "2.5")),
    Sold("rabbit whole", "7.40", ("1.5",)),
    Sold("rabbit boneless", "11.80", ("1",)),
    Sold("quail whole", "8.90", ("1",)),
    Sold("beef trim", "5.90", ("2.5", "5", "10")),
    Sold("beef cheek", "5.10", ("2.5", "5")),
    Sold("beef heart", "4.10", ("2.5", "10")),
    Sold("beef tongue", "4.80", ("2.5",)),
    Sold("beef green tripe", "2.60", ("1", "5")),
    Sold("beef lung", "1.25", ("5", "10")),
    Sold("beef kidney", "2.50", ("1", "5")),
    Sold("beef pancreas", "3.40", ("1",)),
    Sold("beef mince", "4.40", ("2.5", "5")),
    Sold("veal kidney", "3.90", ("1",)),
    Sold("veal heart", "4.60", ("2",)),
    Sold("lamb trim", "7.40", ("2.5", "5"), waits=True),
    Sold("lamb neck", "4.60", ("5",), waits=True),
    Sold("lamb heart", "4.20", ("2",), waits=True),
    Sold("lamb liver", "3.60", ("1", "2.5"), waits=True),
    Sold("lamb kidney", "5.20", ("1",)),
    Sold("lamb spleen", "3.30", ("1",)),
    Sold("pork trim", "3.70", ("5", "10"), waits=True),
    Sold("pork kidney", "1.95", ("1", "2.5"), waits=True),
    Sold("pork liver", "1.90", ("2.5", "5"), waits=True),
    Sold("pork tail", "2.40", ("5",), waits=True),
    Sold("venison trim", "8.20", ("2.5",)),
    Sold("venison heart", "5.10", ("2",)),
    Sold("sprat whole", "3.20", ("2", "5"), waits=True),
    Sold("herring whole", "3.10", ("5",), waits=True),
    Sold("mackerel whole", "4.30", ("5",)),
    Sold("sardine whole", "3.90", ("2",), waits=True),
    Sold("smelt whole", "4.40", ("1",), waits=True),
)

HEADS = ("Al", "Bram", "Cas", "Dor", "Ef", "Flo", "Gus", "Hed", "Iv", "Jas", "Kel", "Lot", "Mab", "Nor", "Od", "Pim")
MIDDLES = ("", "an", "el", "ir", "om", "ut")
TAILS = ("a", "by", "den", "fa", "go", "ka", "lo", "mer", "nie", "po", "que", "ry", "sel", "tis", "vo", "wick")
SELLERS = (
    "Aldermoor Wholesale",
    "Brackwater Meats",
    "Coldharbour Foods",
    "Dunmere Farm Gate",
    "Eastlode Provisions",
    "Fallowfield Game",
    "Greyling Fish Hall",
    "Hobbs and Daughters",
)
WEIGHTS_KG = (6, 7, 8, 9, 11, 12, 14, 16, 18, 20, 21, 23, 25, 27, 28, 30, 31, 33, 36, 40, 44)
PERCENT_FROM = MappingProxyType({0: "6", 8: "5", 15: "4.2", 28: "3.7"})
"""Percent of the weight by the kilograms from which it is fed: enough even for fat at most 10 % of the food."""

RULES = (*[""] * 12, *["avoid: [chicken]"] * 3, "avoid: [beef, lamb]", "avoid: [pork]", "caps: {fat: 10 %}")
"""What a dog's line says beside, as often as it is listed."""

DOGS_FOR_ONE_IN_CARE, DOGS_FOR_ONE_THAT_GAINS = 60, 15
FOOD_KG_OF_A_DOG, ROOM_KG_OF_A_DOG = 12, 25
BAGS, TUBS = "", "portioning: {working: tub, tub: 20 kg, scale: 10 kg, divided: [sprat whole, smelt whole]}\n"


def rescue_text(size: Size, *, seed: int = 1, by_energy: bool = False, tubs: bool = False) -> str:
    """The text of a rescue of this size, with rations by energy or by percent, in bags or in tubs."""
    chance = Random(seed)
    ration = "115 kcal/kg^0.75" if by_energy else "4 %"
    dogs = "".join(f"  - {{{line}}}\n" for line in _dogs(size, chance, by_energy=by_energy))
    return (
        f"title: Invented rescue of {size.dogs} dogs, number {seed}\n"
        "currency: EUR\nbatch: {starts: 2027-03-06, days: 14}\n"
        f"freezer: {{room: {size.dogs * ROOM_KG_OF_A_DOG} kg}}\n"
        f"all_dogs:\n  ration: {ration}\n  targets: prey model\n"
        "  caps: {lung: 10 %, tripe: 15 %, gizzard: 10 %, foot: 10 %, tongue: 15 %}\n"
        f"{TUBS if tubs else BAGS}dogs:\n{dogs}suppliers:\n{''.join(_suppliers(size, chance))}"
        f"on_hand:\n  - {{cut: chicken back, weight: {max(size.dogs // 20, 1)} kg, frozen: 2027-01-16}}\n"
    )


def _dogs(size: Size, chance: Random, *, by_energy: bool) -> Iterable[str]:
    """What stands in the line of each dog; dogs of a kind live in one kennel."""
    in_care = set(chance.sample(range(size.dogs), 2 if size.kinds else size.dogs // DOGS_FOR_ONE_IN_CARE))
    kinds = [_rules(chance, by_energy=by_energy) for _ in range(size.kinds or 0)]
    for place, name in enumerate(_names(size.dogs, chance)):
        if place in in_care:
            yield f"name: {name}, {_care(chance)}"
        elif kinds:
            kind = place * len(kinds) // size.dogs
            yield f"name: {name}, kennel: Row {kind + 1}, {kinds[kind]}"
        else:
            yield f"name: {name}, {_rules(chance, by_energy=by_energy)}"


def _names(count: int, chance: Random) -> Iterable[str]:
    """So many names, no two alike; once all are used, they come again with a number."""
    names = list(dict.fromkeys("".join(syllables) for syllables in product(HEADS, MIDDLES, TAILS)))
    chance.shuffle(names)
    for place in range(count):
        again, name = divmod(place, len(names))
        yield f"{names[name]} {again + 1}" if again else names[name]


def _rules(chance: Random, *, by_energy: bool) -> str:
    """Weight, ration and rules of a dog, or of a kind of dog."""
    weight_kg = chance.choice(WEIGHTS_KG)
    said = [f"weight: {weight_kg} kg"]
    if not by_energy:
        said.append(f"ration: {[share for least, share in PERCENT_FROM.items() if weight_kg >= least][-1]} %")
    if chance.randrange(DOGS_FOR_ONE_THAT_GAINS) == 0:
        said.append(f"goal: gain, ideal_weight: {weight_kg + 2} kg")
    said.append(chance.choice(RULES))
    return ", ".join(filter(None, said))


def _care(chance: Random) -> str:
    """A dog whose amounts come from a veterinarian."""
    weight_kg = chance.choice(WEIGHTS_KG)
    amounts = f"{{turkey thigh boneless: {weight_kg * 25} g, chicken liver: 20 g}}"
    return f"weight: {weight_kg} kg, care: pregnant, vet_amounts: {amounts}"


def _suppliers(size: Size, chance: Random) -> Iterable[str]:
    """The suppliers with what each sells; the first has most, the last charges for nothing but its goods."""
    hundreds = Decimal(size.dogs) / 100
    offers = _offers(size, chance)
    for place, (name, lines) in enumerate(offers.items()):
        yield f"  - name: {name}\n"
        if place < size.suppliers - 1:
            yield f"    delivery: {chance.randrange(8, 30)}.50\n"
            if chance.random() < 0.6:
                yield f"    free_delivery_from: {round(hundreds * chance.randrange(25, 60)) * 10}.00\n"
            if chance.random() < 0.6:
                yield f"    minimum_order: {round(hundreds * chance.randrange(6, 18)) * 10}.00\n"
        yield "    list_date: 2027-02-20\n    cuts:\n"
        yield from (f"      - {{{line}}}\n" for line in lines)


def _offers(size: Size, chance: Random) -> Mapping[str, list[str]]:
    """What each supplier sells: what every dog needs is sold by somebody, and no pack twice by one supplier."""
    names = SELLERS[: size.suppliers]
    markup = {name: Decimal(chance.randrange(88, 116)) / 100 for name in names}
    shares = [2.0, *[1.0] * (len(names) - 1)]
    lines: dict[str, list[str]] = {name: [] for name in names}
    sold: set[tuple[str, str, str]] = set()
    wanted = [(one, chance.choice(one.packs_kg)) for one in NEEDED][: size.offers]
    while len(sold) < size.offers:
        thing = wanted.pop(0) if wanted else _drawn(chance)
        name = chance.choices(names, shares)[0]
        if (name, thing[0].cut, thing[1]) not in sold:
            is_needed = len(sold) < len(NEEDED)
            sold.add((name, thing[0].cut, thing[1]))
            lines[name].append(_offer(*thing, markup[name], size, chance, scarce=not is_needed))
    return lines


def _drawn(chance: Random) -> tuple[Sold, str]:
    """A cut and its pack in kilograms; no pack where it is sold by weight."""
    one = chance.choice((*NEEDED, *OTHERS))
    return one, "" if chance.random() < 0.12 else chance.choice(one.packs_kg)


def _offer(one: Sold, pack_kg: str, markup: Decimal, size: Size, chance: Random, *, scarce: bool) -> str:
    """What stands in the line of an offer; of what is scarce there may be only so many packs."""
    per_kg = Decimal(one.per_kg) * markup * Decimal(chance.randrange(86, 118)) / 100
    frozen = ", comes_frozen: 30 days" if one.waits and (not scarce or chance.random() < 0.8) else ""
    if not pack_kg:
        return f"cut: {one.cut}, price: {per_kg:.2f} per kg, step: 100 g{frozen}"
    large = Decimal("0.95") if Decimal(pack_kg) >= 5 else 1  # by the large pack it costs less
    price = per_kg * large * Decimal(pack_kg)
    said = [f"cut: {one.cut}, pack: {pack_kg} kg, price: {price:.2f}"]
    if chance.random() < 0.4:
        said.append(
            f"price_breaks: [{{from: 4, price: {price * Decimal('0.94'):.2f}}}, "
            f"{{from: 10, price: {price * Decimal('0.90'):.2f}}}]"
        )
    if scarce and chance.random() < 0.15:
        in_stock_kg = Decimal(size.dogs * FOOD_KG_OF_A_DOG) * chance.randrange(2, 12) / 100
        said.append(f"available: {max(int(in_stock_kg / Decimal(pack_kg)), 1)}")
    return ", ".join(said) + frozen


def main() -> None:
    """Print the rescue that was asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.speed.rescues", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("size", choices=SIZES)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--by-energy", action="store_true")
    parser.add_argument("--tubs", action="store_true")
    asked = parser.parse_args()
    text = rescue_text(SIZES[asked.size], seed=asked.seed, by_energy=asked.by_energy, tubs=asked.tubs)
    sys.stdout.write(text)


if __name__ == "__main__":
    main()
