"""A process that enters batch after batch and says the number of each when it is in the book, 0 when it begins.

Run as `python -m tests.book.writer BOOK`. All amounts are invented.
"""

import os
import sys
from itertools import count
from pathlib import Path

from raworder.book.entering import Note, filled
from tests.book.entered import a_batch, a_lot, a_new_bag, enter

LOTS, BAGS = 6, 40
"""How many lots and bags each batch has."""


def batch_note(title: str) -> Note:
    """A batch of that title with lots and bags enough to be written in several steps."""
    lots = [a_lot(f"cut {number}", 1_000, 700) for number in range(LOTS)]
    bags = [a_new_bag(number + 1, ((f"cut {number % LOTS}", 100),), day=number % 7) for number in range(BAGS)]
    return filled(a_batch(lots, bags, title=title), title)


if __name__ == "__main__":
    entered = 0
    for turn in count():
        sys.stdout.write(f"{entered}\n")
        sys.stdout.flush()
        (entered,) = enter(Path(sys.argv[1]), batch_note(f"{os.getpid()}: {turn}"))
