"""Which cuts have which cautions: those that they had when each was written beside its cut, and those that came since.

**Source:** the table of cuts as it was before cautions followed from species, kind, name and bone, read cut by cut.
"""

from fractions import Fraction

import pytest

from raworder.reading.reference import read_caution_rules, read_cautions, read_cuts, with_cautions
from raworder.trade.cuts import FREEZE_FIRST, Cut, Part
from raworder.trade.nutrients import DESTROYED_BY
from raworder.trade.scenario import CautionPlace
from tests.builders import a_cut

WRITTEN = {
    "brassica": """
        broccoli, brussels sprout, cauliflower, chinese cabbage, collard greens, kale, mustard greens, pak choi,
        rocket, savoy cabbage, turnip, turnip greens, watercress, white cabbage
    """,
    "edible-bone": """
        anchovy whole, beef rib, beef shank bone-in, beef short rib, beef tail, chicken back, chicken breast bone-in,
        chicken drumstick, chicken foot, chicken frame, chicken leg quarter, chicken neck, chicken thigh bone-in,
        chicken whole, chicken wing, duck foot, duck frame, duck neck, duck whole, duck wing, goose whole, guinea fowl
        whole, herring whole, horse mackerel whole, lamb breast, lamb leg bone-in, lamb neck, lamb rib, lamb shank,
        lamb shoulder bone-in, mackerel whole, pheasant whole, pigeon whole, pork back rib, pork foot, pork neck bone,
        pork rib, pork tail, poussin, quail whole, rabbit whole, salmon head, sardine whole, smelt whole, sprat whole,
        trout whole, turkey back, turkey drumstick, turkey frame, turkey neck, turkey thigh bone-in, turkey whole,
        turkey wing, veal rib, veal shank
    """,
    "game": """
        elk trim, moose trim, pheasant whole, rabbit wild boneless, reindeer trim, venison heart, venison liver,
        venison mince, venison trim
    """,
    "gullet-thyroid": """
        beef gullet, beef trachea
    """,
    "oxalate-leaves": """
        beet greens, chard, parsley, spinach
    """,
    "raw-egg": """
        chicken egg, duck egg, goose egg, quail egg, turkey egg
    """,
    "raw-fish-parasites": """
        anchovy whole, cod fillet, haddock fillet, herring fillet, herring whole, horse mackerel whole, mackerel
        fillet, mackerel whole, mussel meat, pollock fillet, salmon fillet, salmon head, salmon pink fillet, sardine
        whole, smelt whole, sprat whole, squid, trout fillet, trout whole, whitefish fillet, whiting fillet
    """,
    "raw-pork": """
        pork back fat, pork back rib, pork belly, pork brain, pork ear, pork foot, pork heart, pork jowl, pork kidney,
        pork leaf fat, pork liver, pork loin boneless, pork lung, pork mince, pork mince lean, pork neck bone, pork
        pancreas, pork rib, pork shoulder boneless, pork spleen, pork stomach, pork tail, pork tenderloin, pork
        tongue, pork trim
    """,
    "raw-salmonid": """
        salmon fillet, salmon head, salmon pink fillet, trout fillet, trout whole
    """,
    "ruminant-brain": """
        beef brain, lamb brain, veal brain
    """,
    "sheep-meat-tapeworm": """
        goat trim, lamb breast, lamb heart, lamb leg bone-in, lamb mince, lamb neck, lamb rib, lamb shank, lamb
        shoulder bone-in, lamb stewing cubes, lamb tongue, lamb trim
    """,
    "sheep-offal-tapeworm": """
        lamb liver, lamb lung
    """,
    "thiaminase-fish": """
        anchovy whole, herring fillet, herring whole, mussel meat, smelt whole, sprat whole
    """,
    "weight-bearing-bone": """
        beef shank bone-in, lamb leg bone-in, lamb shank, pork foot, veal shank
    """,
}
"""The cuts of each caution, as it was written beside them."""

NOW = {"sheep-offal-tapeworm": "hydatid-tapeworm"}
"""What a caution is now a part of: hydatid cysts are found in liver, lung, heart and kidney of all ruminants."""

SINCE = {"avian-influenza", "hare", "hydatid-tapeworm", "lead-shot", "neospora", "pseudorabies", "trichinella"}
"""The cautions that came since."""


def written() -> dict[str, set[str]]:
    """The cautions that were written beside each cut, under the keys of now."""
    found: dict[str, set[str]] = {}
    for key, cuts in WRITTEN.items():
        for cut in " ".join(cuts.split()).split(", "):
            found.setdefault(cut, set()).add(NOW.get(key, key))
    return found


def test_every_cut_has_the_cautions_that_it_had_and_no_other_but_those_that_came_since() -> None:
    had, has = written(), {row.cut.name: set(row.cut.cautions) for row in read_cuts()}
    assert set(had) <= set(has)
    assert {cut: keys - has[cut] for cut, keys in had.items() if keys - has[cut]} == {}
    assert {cut: keys - SINCE for cut, keys in has.items() if cut in had and keys - had[cut] - SINCE} == {}


def cuts_with(key: str) -> set[tuple[str, str]]:
    """Species and kind of the cuts of the table that have a caution."""
    return {(row.cut.species_names[0], row.cut.kind) for row in read_cuts() if key in row.cut.cautions}


def test_the_cautions_that_came_since_are_about_what_their_sources_are_about() -> None:
    ruminants = {"beef", "lamb", "goat", "venison", "elk", "moose", "reindeer", "bison", "buffalo"}
    assert {species for species, _ in cuts_with("pseudorabies")} == {"pork"}
    assert {species for species, _ in cuts_with("neospora")} == {"beef"}
    assert {species for species, _ in cuts_with("trichinella")} == {"horse"}
    assert {species for species, _ in cuts_with("hydatid-tapeworm")} <= ruminants
    assert {kind for _, kind in cuts_with("hydatid-tapeworm")} == {"liver", "lung", "heart", "kidney"}
    birds = {"chicken", "duck", "goose", "guinea fowl", "ostrich", "pheasant", "pigeon", "quail", "turkey"}
    assert {species for species, _ in cuts_with("avian-influenza")} == {"beef", *birds}
    shot = {row.cut.name for row in read_cuts() if "lead-shot" in row.cut.cautions}
    assert {"pheasant whole", "rabbit wild boneless", "venison mince", "elk trim"} <= shot
    assert not {"rabbit boneless", "pigeon whole", "duck whole", "reindeer trim"} & shot


def own(name: str, species: str = "plant", kind: str = "own", **parts: str) -> set[str]:
    """The cautions of a cut that a person describes."""
    shares = {Part(part.replace("_", " ")): Fraction(share) for part, share in parts.items()} or {Part.MUSCLE: 1}
    return set(with_cautions(a_cut(name, species=species, kind=kind, parts=shares)).cautions)


@pytest.mark.parametrize(
    ("name", "species", "keys"),
    [
        ("bear steak", "bear", {"trichinella"}),
        ("hare minced", "hare", {"game", "hare", "lead-shot"}),
        ("minced hares", "rabbit", {"hare"}),
        ("horse steak", "horse", {"trichinella"}),
        ("rabbit, wild", "rabbit", {"game", "lead-shot"}),
        ("rabbit", "rabbit", set()),
        ("wild salmon", "salmon", {"raw-fish-parasites", "raw-salmonid"}),
        ("stag in cubes", "venison", {"game", "lead-shot"}),
        ("roe deer haunch", "game", {"game", "lead-shot"}),
        ("mallard", "duck", {"avian-influenza", "game", "lead-shot"}),
        ("woodcock", "woodcock", {"game", "lead-shot"}),
        ("duck", "duck", {"avian-influenza"}),
        ("lamb pluck", "lamb", {"hydatid-tapeworm", "sheep-meat-tapeworm"}),
        ("ox throat", "beef", {"avian-influenza", "gullet-thyroid", "neospora"}),
        ("carp", "carp", {"thiaminase-fish"}),
        ("clams", "fish", {"thiaminase-fish"}),
        ("herring oil", "herring", set()),
        ("carpaccio", "beef", {"avian-influenza", "neospora"}),
        ("diced swede", "plant", {"brassica"}),
        ("rhubarb stalks", "plant", {"oxalate-leaves"}),
        ("ox liver", "beef", {"avian-influenza", "hydatid-tapeworm", "neospora"}),
        ("goat kidneys", "goat", {"hydatid-tapeworm", "sheep-meat-tapeworm"}),
        ("mutton", "lamb", {"sheep-meat-tapeworm"}),
        ("raw milk", "cow", {"avian-influenza"}),
        ("cow's milk", "cow", {"avian-influenza"}),
        ("kefir", "goat", {"avian-influenza"}),
        ("goat milk", "goat", set()),
        ("salmon oil", "salmon", set()),
        ("milk thistle", "plant", set()),
        ("romaine hearts", "plant", set()),
        ("red cabbage", "plant", {"brassica"}),
        ("chopped chard", "plant", {"oxalate-leaves"}),
        ("eggs without shell", "chicken", {"avian-influenza", "raw-egg"}),
        ("aubergine (eggplant)", "plant", set()),
    ],
)
def test_an_own_cut_is_looked_at_by_its_species_and_by_words_of_its_name(
    name: str, species: str, keys: set[str]
) -> None:
    assert own(name, species) == keys


def test_kind_bone_and_the_liver_in_a_product_are_looked_at_too() -> None:
    assert own("pike", "pike", "whole fish") == {"raw-fish-parasites"}
    assert own("goat ribs", "goat", "rib", muscle="3/5", bone="2/5") == {"edible-bone", "sheep-meat-tapeworm"}
    assert "weight-bearing-bone" in own("marrow", "beef", "shank", bone="1")
    assert "weight-bearing-bone" not in own("shin off the bone", "beef", "shank")
    assert "hydatid-tapeworm" in own("complete", "beef", "mince", muscle="9/10", liver="1/10")
    assert "hydatid-tapeworm" not in own("complete", "chicken", "mince", muscle="9/10", liver="1/10")


def test_a_mix_has_the_cautions_of_all_that_is_in_it() -> None:
    inside = with_cautions(a_cut("hare", species="hare"))
    mix = with_cautions(a_cut("moor mix", species={"beef": None}, ingredients=(inside,)))
    assert {"hare", "lead-shot", "neospora"} <= set(mix.cautions)
    assert mix.cautions == tuple(sorted(mix.cautions))


def test_the_cautions_by_which_other_tables_know_a_cut_are_there() -> None:
    keys = {rule.key for rule in read_caution_rules()}
    assert {*FREEZE_FIRST, *DESTROYED_BY.values()} <= keys
    assert {caution.key for caution in read_cautions() if caution.applies == "cut"} == keys


def test_a_caution_that_asks_for_freezing_says_how_long_as_the_rule_does() -> None:
    cautions = {caution.key: caution for caution in read_cautions()}
    for key, first in FREEZE_FIRST.items():
        assert cautions[key].place is CautionPlace.FREEZER
        assert f"freeze for {first.days} days" in cautions[key].do
        assert first.source in cautions[key].source


def test_a_caution_about_cuts_says_which_and_every_one_is_about_some_cut_or_some_species() -> None:
    cuts: list[Cut] = [row.cut for row in read_cuts()]
    for rule in read_caution_rules():
        assert rule.species or rule.kinds or rule.names or rule.asks_bone, rule.key
        assert rule.key == "hare" or any(rule.key in cut.cautions for cut in cuts), rule.key
