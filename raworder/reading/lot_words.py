"""Which lots of the book a person means: by supplier, item, cut, number, code, mark, or the day of buying."""

import re
from collections.abc import Iterable, Sequence

from raworder.reading.names import fold_name
from raworder.trade.kept import KeptBag, Lot

LOT_NUMBER = re.compile(r"lot ([0-9]{1,9})")


def find_lots(words: Sequence[str], lots: Iterable[Lot]) -> tuple[Lot, ...]:
    """The lots of which each of the words is true.

    A part of the name of a supplier, an item or a cut is enough; a code and a mark must have the same letters and
    digits, as one that is longer is another.
    """
    wanted = [fold_name(word) for word in words]
    return tuple(lot for lot in lots if all(_is_about(word, lot) for word in wanted))


def _is_about(word: str, lot: Lot) -> bool:
    """Whether a word, in small letters, is true of a lot."""
    if number := LOT_NUMBER.fullmatch(word):
        return int(number[1]) == lot.number
    names = (fold_name(name) for name in (lot.supplier, lot.item, lot.cut))
    signs = {_letters(sign) for sign in (lot.code, lot.mark, *lot.mark.split(", ")) if _letters(sign)}
    return any(word in name for name in names) or _letters(word) in signs or word == lot.bought_on.isoformat()


def _letters(sign: str) -> str:
    """The letters and digits of a code or mark; how they are set apart is read off packs in many ways."""
    return "".join(filter(str.isalnum, fold_name(sign)))


def unmarked_alike(found: Sequence[Lot], lots: Iterable[Lot]) -> tuple[Lot, ...]:
    """The other lots of a cut and supplier of which nobody entered a mark, where one that was found has a mark."""
    marked = {(lot.supplier, lot.cut) for lot in found if lot.mark}
    return tuple(lot for lot in lots if not lot.mark and (lot.supplier, lot.cut) in marked and lot not in found)


def find_bag(label: int, batch: str, bags: Iterable[KeptBag]) -> KeptBag | None:
    """The bag with that number on its label: of that batch, or of the last one that has it; None where none has."""
    known = [bag for bag in bags if bag.label == label and (not batch or fold_name(bag.batch) == fold_name(batch))]
    return max(known, key=lambda bag: (bag.filled_on, bag.number), default=None)
