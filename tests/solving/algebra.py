"""Constraints as people read them, one line each, for the pictures of the rules."""

import pulp

SENSES = {-1: "<=", 0: "=", 1: ">="}


def line(name: str, rule: pulp.LpConstraint) -> str:
    """A constraint: `name: terms sense right-hand side`."""
    return f"{name}: {_terms(rule)} {SENSES[rule.sense]} {0.0 - rule.constant:.6g}"


def _terms(rule: pulp.LpConstraint) -> str:
    """The terms in the order that the builder wrote them; a factor of one is not shown."""
    signs = ["-" if factor < 0 else "+" for factor in rule.values()]
    sizes = ["" if abs(factor) == 1 else f"{abs(factor):.6g} " for factor in rule.values()]
    terms = [f"{sign} {size}{one.name}" for sign, size, one in zip(signs, sizes, rule, strict=True)]
    return " ".join(terms).removeprefix("+ ")
