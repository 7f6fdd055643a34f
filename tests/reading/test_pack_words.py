"""Packs as butchers and wholesalers write them. All of them are invented.

**Source:** common practice, no source; an international pound is 0.45359237 kg exactly.
"""

import random
from fractions import Fraction

import pytest

from raworder.reading.pack_words import read_pack_words
from raworder.trade.units import UnitError
from tests.drawn import drawn, seeds

READ = (
    ("10 kg (4x2,5)", ",", "10 kg", "", 4),
    ("4 x 2,5 kg", ",", "10 kg", "", 4),
    ("20 x 500 g", ",", "10 kg", "", 20),
    ("40 LB CS", ".", "40 lb", "", 1),
    ("4/5#", ".", "20 lb", "", 4),
    ("12/2.5 LB", ".", "30 lb", "", 12),
    ("ca. 12-15 kg", ",", "about 13.5 kg", "15 kg", 1),
    ("approx. 12-15 lb", ".", "about 13.5 lb", "15 lb", 1),
    ("approx. 12-15 lb @ 3.20/lb", ".", "about 13.5 lb", "15 lb", 1),
    ("ca. 1,2 kg", ",", "about 1.2 kg", "", 1),
    ("1 kg", ",", "1 kg", "", 1),
    ("4x10 lb", ".", "40 lb", "", 4),
    ("5-kg-Beutel", ",", "5 kg", "", 1),
    ("Karton 10 kg", ",", "10 kg", "", 1),
    ("500g", ",", "500 g", "", 1),
    ("10kg Karton", ",", "10 kg", "", 1),
    ("10#", ".", "10 lb", "", 1),
    ("6 ct x 2 lb", ".", "12 lb", "", 6),
    ("CW 12-15 lb", ".", "about 13.5 lb", "15 lb", 1),
    ("avg 13 lb", ".", "about 13 lb", "", 1),
    ("12-15# avg", ".", "about 13.5 lb", "15 lb", 1),
    ("env. 2 kg", ",", "about 2 kg", "", 1),
    ("caja 10 kg", ",", "10 kg", "", 1),
    ("± 3 kg", ",", "about 3 kg", "", 1),
    ("10-12 kg", ",", "about 11 kg", "12 kg", 1),
    ("10 kg \u2013 12 kg", ",", "about 11 kg", "12 kg", 1),
    ("12 bis 15 kg", ",", "about 13.5 kg", "15 kg", 1),
    ("10 Kilo", ",", "10 kg", "", 1),
    ("40 lbs.", ".", "40 lb", "", 1),
    ("4 Beutel à 2,5 kg", ",", "10 kg", "", 4),
    ("Karton à 10 kg", ",", "10 kg", "", 1),
    ("carton de 4 sachets de 2,5 kg", ",", "10 kg", "", 4),
    ("10kg = 4 x 2,5kg", ",", "10 kg", "", 4),
    ("2,5 kg x 4", ",", "10 kg", "", 4),
    ("4 \u00d7 2,5\u00a0kg", ",", "10 kg", "", 4),
    ("1/40 LB", ".", "40 lb", "", 1),
    ("2/5 lb bags", ".", "10 lb", "", 2),
    ("30 lb case (6/5 lb bags)", ".", "30 lb", "", 6),
    ("40 lb (18.14 kg)", ".", "40 lb", "", 1),
    ("2x ca. 5 kg", ",", "about 10 kg", "", 2),
    ("4 x 10-12 lb", ".", "about 44 lb", "48 lb", 4),
    ("500 g/Stück", ",", "500 g", "", 1),
    ("1 kg per piece", ".", "1 kg", "", 1),
    ("10 kg (ca. 20 Stück)", ",", "10 kg", "", 1),
    ("1.000 g", ",", "1 kg", "", 1),
    ("4/6/12 oz", ".", "18 lb", "", 24),
    ("24/.5 LB", ".", "12 lb", "", 24),
    ("4 Btl/Kt à 2,5 kg", ",", "10 kg", "", 4),
    ("2.5kgx4", ".", "10 kg", "", 4),
    ("10 zakken van 1 kg", ",", "10 kg", "", 10),
    ("6/5 lb chubs", ".", "30 lb", "", 6),
    ("sac 5 kg", ",", "5 kg", "", 1),
    ("1 Karton = 10 kg", ",", "10 kg", "", 1),
    ("ca. 2-5 kg", ",", "about 3.5 kg", "5 kg", 1),
    ("38-42 lb case", ".", "about 40 lb", "42 lb", 1),
)
REFUSED = (
    ("10 kg (4x2,4)", "does not add up: 10 kg is not 9.6 kg"),
    ("40 lb (20 kg)", "does not add up"),
    ("#10", "can be pounds or the size of a can"),
    ("1/2 lb", "can be a part of one, or 1 of 2"),
    ("per piece", "sold by the piece"),
    ("Stück", "sold by the piece"),
    ("24 ct", "sold by the piece"),
    ("2 Pfund", "`pfund` in a pack is not understood"),
    ("min. 5 kg", "`min` in a pack is not understood"),
    ("bis 15 kg", "not understood as a pack"),
    ("-5 kg", "not understood as a pack"),
    ("4 bags 10 lb", "not understood as a pack"),
    ("15-12 kg", "is no weight"),
    ("0 kg", "is no weight"),
    ("2,5 x 4 kg", "counts no whole packs"),
    ("5", "has no unit"),
    ("a.A.", "says no weight"),
    ("5 kg/Beutel, 2 Beutel/Karton", "can weigh that much each or in all"),
    ("2,5 kg (4 Beutel)", "can weigh that much each or in all"),
    ("4-10 lb", "can be a range, or so many packs"),
    ("4-5 lb bags", "can be a range, or so many packs"),
    ("2.5 kg", "does not fit this list's decimal mark, a comma"),
)  # the list's decimal mark is a comma


@pytest.mark.parametrize(("text", "mark", "weight", "heaviest", "packs"), READ, ids=[row[0] for row in READ])
def test_a_pack_is_read_as_a_butcher_means_it(text: str, mark: str, weight: str, heaviest: str, packs: int) -> None:
    pack = read_pack_words(text, mark).pack
    assert pack is not None
    assert (pack.weight, pack.heaviest, pack.packs, pack.written) == (weight, heaviest, packs, text)


@pytest.mark.parametrize(("text", "why"), REFUSED)
def test_what_can_mean_two_things_is_refused_with_the_reason(text: str, why: str) -> None:
    with pytest.raises(UnitError, match=r".") as refused:
        read_pack_words(text, ",")
    assert why in str(refused.value)


@pytest.mark.parametrize(("text", "unit"), [("kg", "kg"), ("per lb", "lb"), ("je kg", "kg"), ("lose, kg", "kg")])
def test_a_mere_unit_is_what_it_is_sold_by(text: str, unit: str) -> None:
    said = read_pack_words(text, ",")
    assert (said.pack, said.per) == (None, unit)


def test_a_pack_without_a_unit_has_that_of_the_list() -> None:
    pack = read_pack_words("4 x 2,5", ",", "kg").pack
    assert pack is not None
    assert (pack.weight, pack.grams, pack.packs) == ("10 kg", 10_000, 4)


def test_pounds_are_exact() -> None:
    pack = read_pack_words("4/5#", ".").pack
    assert pack is not None
    assert pack.grams == 20 * Fraction(45359237, 100_000)


def test_packs_are_told_in_our_words() -> None:
    told = [read_pack_words(text, ",").pack for text in ("10 kg (4x2,5)", "ca. 12-15 kg", "2 x ca. 5 kg", "5 kg")]
    assert [pack and pack.told for pack in told] == [
        "a case of 4 packs of 2.5 kg, 10 kg in all",
        "a pack of about 13.5 kg, 15 kg at most",
        "a case of 2 packs of about 5 kg, about 10 kg in all",
        "a pack of 5 kg",
    ]


PIECES = ("10", "2,5", "1.000", "0", "x", "/", "#", "kg", "lb", "g", "ca.", "-", "(", ")", "Karton", "Stück", "à", "@",
          "bis", "½", "\u00d7", "12345678901", "=", "per", "%", "~")  # fmt: skip


@drawn(blocks=2)
def test_whatever_is_written_is_read_or_refused(block: int) -> None:
    chance = random.Random(seeds(block, 1)[0])
    for _ in range(400):
        text = "".join(chance.choice(("", " ")) + chance.choice(PIECES) for _ in range(chance.randint(0, 7)))
        try:
            said = read_pack_words(text, chance.choice(",."), chance.choice(("", "kg")))
        except UnitError:
            continue
        assert said.pack is None or said.pack.grams > 0
        assert (said.pack is None) != (said.per == "")
