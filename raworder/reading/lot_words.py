"""Which lots of the book a person means: by supplier, item, cut, number, code, mark, or the day of buying."""

import re
from collections.abc import Iterable, Sequence

from raworder.reading.names import fold_name
from raworder.trade.kept import KeptBag, Lot

LOT_NUMBER = re.compile(r"lot ([0-9]{1,9})")


def find_lots(words: Sequence[str], lots: Iterable[Lot]) -> tuple[Lot, ...]:
    """The lots of which each of the words is true.

    A part of the name of a supplier, an item or a cut is enough; a code and a mark must be the same, as one that is
    longer is another.
    """
    wanted = [fold_name(word) for word in words]
    return tuple(lot for lot in lots if all(_is_about(word, lot) for word in wanted))


def _is_about(word: str, lot: Lot) -> bool:
    """Whether a word, in small letters, is true of a lot."""
    if number := LOT_NUMBER.fullmatch(word):
        return int(number[1]) == lot.number
    names = (fold_name(name) for name in (lot.supplier, lot.item, lot.cut))
    signs = {fold_name(sign) for sign in (lot.code, lot.mark, *lot.mark.split(", "))}
    return any(word in name for name in names) or word in signs or word == lot.bought_on.isoformat()


def find_bag(label: int, batch: str, bags: Iterable[KeptBag]) -> KeptBag | None:
    """The bag with that number on its label: of that batch, or of the last one that has it; None where none has."""
    known = [bag for bag in bags if bag.label == label and (not batch or fold_name(bag.batch) == fold_name(batch))]
    return max(known, key=lambda bag: (bag.filled_on, bag.number), default=None)
