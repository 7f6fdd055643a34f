"""The fewest payments that settle what people owe one another.

Who owes and who is owed fall into groups that come to nothing each; a group of so many is settled by one payment less.
So the more groups, the fewer payments.
"""

from collections.abc import Sequence
from dataclasses import dataclass

MOST_EXACT = 15
"""Up to so many parties every grouping is looked at: twelve owners and three suppliers."""


@dataclass(frozen=True, slots=True)
class Payment:
    """Who pays whom how much, in minor units; parties by their place."""

    payer: int
    payee: int
    amount: int


@dataclass(frozen=True, slots=True)
class Settled:
    """Payments by payer and payee; `fewest` tells that no fewer can do."""

    payments: tuple[Payment, ...]
    fewest: bool


def fewest_payments(owed: Sequence[int]) -> Settled:
    """The payments after which nobody owes anything; above zero is still to be paid, below is to be got back.

    Beyond MOST_EXACT parties there are at most one less than parties, and `fewest` is told only where it is sure.
    ValueError where what is owed and what is to be got back differ.

    >>> fewest_payments([500, -500, 300, -300]).payments
    (Payment(payer=0, payee=1, amount=500), Payment(payer=2, payee=3, amount=300))
    """
    if sum(owed):
        raise ValueError(f"what is owed and what is to be got back differ by {sum(owed)}")
    open_places = [place for place, amount in enumerate(owed) if amount]
    is_exact = len(open_places) <= MOST_EXACT
    groups = _most_groups(open_places, owed) if is_exact else _pairs_and_rest(open_places, owed)
    payments = sorted(
        (payment for group in groups for payment in _within(group, owed)), key=lambda one: (one.payer, one.payee)
    )
    payers = sum(amount > 0 for amount in owed)
    at_least = max(payers, len(open_places) - payers)
    return Settled(tuple(payments), is_exact or len(payments) == at_least)


def _most_groups(places: list[int], owed: Sequence[int]) -> list[list[int]]:
    """As many groups as there can be that come to nothing each; every set of parties is looked at once.

    A set holds as many as the best of those with one party less, and one more if it comes to nothing itself.
    """
    sums, most, last = [0], [0], [0]
    for chosen in range(1, 1 << len(places)):
        members = [bit for bit in range(len(places)) if chosen >> bit & 1]
        sums.append(sums[chosen & (chosen - 1)] + owed[places[members[0]]])
        best = max(members, key=lambda bit: most[chosen ^ 1 << bit])
        most.append(most[chosen ^ 1 << best] + (not sums[chosen]))
        last.append(best)
    return _groups_in(places, sums, last)


def _groups_in(places: list[int], sums: list[int], last: list[int]) -> list[list[int]]:
    """The groups, by taking from the whole set the party that was put in last, and so on; each ends at nothing."""
    groups: list[list[int]] = []
    chosen = len(sums) - 1
    while chosen:
        if not sums[chosen]:
            groups.append([])
        groups[-1].append(places[last[chosen]])
        chosen ^= 1 << last[chosen]
    return groups


def _pairs_and_rest(places: list[int], owed: Sequence[int]) -> list[list[int]]:
    """Groups of two where one owes just what another gets back, and all others together."""
    waiting: dict[int, list[int]] = {}
    groups = []
    for place in places:
        partners = waiting.get(-owed[place])
        if partners:
            groups.append([partners.pop(0), place])
        else:
            waiting.setdefault(owed[place], []).append(place)
    rest = sorted(place for left in waiting.values() for place in left)
    return [*groups, rest]


def _within(group: list[int], owed: Sequence[int]) -> list[Payment]:
    """Payments that settle a group: who owes most pays who gets most, the first among equals, until all is paid."""
    left = {place: owed[place] for place in sorted(group)}
    payments = []
    while any(left.values()):
        payer, payee = max(left, key=lambda place: left[place]), min(left, key=lambda place: left[place])
        amount = min(left[payer], -left[payee])
        payments.append(Payment(payer, payee, amount))
        left[payer] -= amount
        left[payee] += amount
    return payments
