"""Mistakes in owners, their freezers and days, each with every finding it must give and no other; all invented."""

from tests.hostile.mistake import Mistake

VERA = "  - name: Vera\n    care: pregnant\n    vet_amounts:\n      turkey liver: 10 g\n"
"""The last dog of the sound scenario, whole; it begins in line 30."""


def of_ines(name: str, owners: str, expected: str) -> Mistake:
    """A mistake in `owners`, which begins in line 35, where Vera has the owner Ines."""
    return Mistake(name, VERA, VERA.replace("Vera\n", "Vera\n    owner: Ines\n") + owners, expected)


MISTAKES_OF_OWNERS = (
    of_ines("owner misspelt", "owners: [{name: Inez}]\n", "unknown-owner@35:17"),
    of_ines("owner twice", "owners:\n  - name: Ines\n  - {name: INES, freezer: 9 kg}\n", "repeated-owner@37:12"),
    of_ines("owner without a name", "owners: [{freezer: 9 kg}]\n", "missing-field@35:11"),
    of_ines("owner as a text", "owners: [Ines]\n", "wrong-shape@35:10"),
    of_ines("owner with a fridge", "owners: [{name: Ines, fridge: 9 kg}]\n", "unknown-field@35:23"),
    of_ines("freezer of no size", "owners: [{name: Ines, freezer: big}]\n", "bad-value@35:32"),
    of_ines("freezer of a warehouse", "owners: [{name: Ines, freezer: 200001 l}]\n", "absurd-amount@35:32"),
    of_ines(
        "freezer by both", "owners: [{name: Ines, freezer: {room: 9 kg, kg_per_litre: 1}}]\n", "unused-value@35:45"
    ),
    of_ines("collected on no day", "owners: [{name: Ines, collects: soon}]\n", "bad-date@35:33"),
    of_ines("collected early", "owners: [{name: Ines, collects: 2027-02-04}]\n", "collected-before-filling@35:33"),
    of_ines("collected late", "owners: [{name: Ines, collects: 2027-02-07}]\n", "collected-late@35:33"),
    Mistake("owner of no dog", "title: Sound", "title: Sound\nowners: [{name: Ines}]", "unknown-owner@3:17"),
    Mistake("on hand of no owner", "weight: 800 g", "weight: 800 g\n    owner: Ines", "unknown-owner@67:12"),
)
