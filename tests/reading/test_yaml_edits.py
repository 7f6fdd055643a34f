"""A file is changed at single places: all else stays as it was written, in braces and on lines of its own.

**Source:** the text before, held against the text after; every name and figure is invented.
"""

import pytest

from raworder.reading.yaml_edits import Edit, add_row, drop_remarks, edit_yaml, replace_rows

TEXT = """\
# of the kennel
batch: {starts: 2027-02-06, days: 14}  # two weeks
dogs:
  # the old one
  - {name: Maple, weight: 22 kg, away: [2027-02-10],
     ration: 2.5 %}  # eats well
  - name: "Juniper: the second"
    away: [2027-02-11]  # at the lake
    weight: 9 kg

    # last
    ration: 300 kcal
"""


def lines_changed(new: str) -> tuple[list[str], list[str]]:
    """The lines that are gone, and those that are new."""
    before, after = TEXT.splitlines(), new.splitlines()
    return [line for line in before if line not in after], [line for line in after if line not in before]


@pytest.mark.parametrize(
    ("edit", "gone", "new"),
    [
        (
            Edit(("batch", "starts"), "2027-02-20"),
            ["batch: {starts: 2027-02-06, days: 14}  # two weeks"],
            ["batch: {starts: 2027-02-20, days: 14}  # two weeks"],
        ),
        (
            Edit(("dogs", 0, "away"), ""),
            ["  - {name: Maple, weight: 22 kg, away: [2027-02-10],"],
            ["  - {name: Maple, weight: 22 kg,"],
        ),
        (
            Edit(("dogs", 0, "meals"), "2"),
            ["     ration: 2.5 %}  # eats well"],
            ["     ration: 2.5 %, meals: 2}  # eats well"],
        ),
        (Edit(("dogs", 0), None, ("sold", "twice")), [], ["  #> sold", "  #> twice"]),
        (Edit(("dogs", 1, "away"), ""), ["    away: [2027-02-11]  # at the lake"], []),
        (
            Edit(("dogs", 1, "weight"), "9.2 kg", ("weighed",)),
            ["    weight: 9 kg"],
            ["    #> weighed", "    weight: 9.2 kg"],
        ),
        (Edit(("dogs", 1, "meals"), "2"), [], ["    meals: 2"]),
        (Edit(("dogs", 1, "goal"), ""), [], []),
        (
            Edit(("dogs", 1, "name"), "Juniper"),
            ['  - name: "Juniper: the second"'],
            ["  - name: Juniper"],
        ),
    ],
)
def test_a_change_touches_its_own_place_alone(edit: Edit, gone: list[str], new: list[str]) -> None:
    assert lines_changed(edit_yaml(TEXT, [edit])) == (gone, new)


def test_the_first_field_of_an_entry_goes_without_its_dash() -> None:
    text = "dogs:\n  - away: [2027-02-10]\n    name: Maple\n  - {away: [2027-02-10], name: Juniper}\n"
    edits = [Edit(("dogs", 0, "away"), ""), Edit(("dogs", 1, "away"), "")]
    assert edit_yaml(text, edits) == "dogs:\n  - name: Maple\n  - {name: Juniper}\n"


def test_our_own_remarks_go_and_no_others() -> None:
    assert drop_remarks(edit_yaml(TEXT, [Edit(("dogs", 1, "ration"), None, ("as before",))])) == TEXT


def test_a_list_at_the_top_is_replaced_or_begun() -> None:
    text = "on_hand:\n  # old\n  - {cut: kale}  # much\nbudget: 3\n"
    assert replace_rows(text, "on_hand", ["{cut: neck}  # new"]) == "on_hand:\n  - {cut: neck}  # new\nbudget: 3\n"
    assert replace_rows(text, "on_hand", []) == "on_hand: []\nbudget: 3\n"
    assert replace_rows("budget: 3", "on_hand", ["{cut: neck}"]) == "budget: 3\non_hand:\n  - {cut: neck}\n"
    assert replace_rows("budget: 3\n", "on_hand", []) == "budget: 3\n"
    with pytest.raises(ValueError, match="one pair of braces"):
        replace_rows('{"budget": 3}', "on_hand", [])


def test_an_entry_is_added_behind_the_others() -> None:
    assert add_row("dogs: [{name: Maple}]\n", "dogs", "{name: Sorrel}") == "dogs: [{name: Maple}, {name: Sorrel}]\n"
