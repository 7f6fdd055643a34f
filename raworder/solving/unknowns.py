"""Unknowns: how each is named, bounded and added up."""

import re
from collections.abc import Iterable

import pulp


def named(*words: str) -> str:
    """The words in letters, digits and underscores only, as every solver takes them.

    >>> named("eat", "Maple", "beef heart")
    'eat_maple_beef_heart'
    """
    return "_".join(re.sub(r"[^a-z0-9]+", "_", word.casefold()).strip("_") or "x" for word in words)


def total(terms: Iterable[tuple[pulp.LpVariable, float]]) -> pulp.LpAffineExpression:
    """The sum of coefficient times variable; each variable stands once."""
    return pulp.LpAffineExpression([(variable, coefficient) for variable, coefficient in terms if coefficient])


class Names:
    """Gives every variable a name that no other has."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def __call__(self, *words: str) -> str:
        """The words as a name; a second variable of that name gets a number."""
        plain = name = named(*words)
        again = 1
        while name in self._taken:
            again += 1
            name = f"{plain}__{again}"
        self._taken.add(name)
        return name


def amount(name: str, most: float | None = None, category: str = pulp.LpContinuous) -> pulp.LpVariable:
    """An unknown amount, from nothing to the most, in whole numbers where its category says so."""
    return pulp.LpProblem().add_variable(name, 0, most, category)


def switch(name: str) -> pulp.LpVariable:
    """An unknown that is yes or no."""
    return amount(name, 1, pulp.LpBinary)
