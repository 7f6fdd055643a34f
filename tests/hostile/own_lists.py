"""Suppliers' own lists and their names files with mistakes, each with every finding it must give; all invented."""

from typing import NamedTuple

LIST = """Preisliste Tannhof, gültig ab 01.02.2027

Nr;Ware;Inhalt;Preis;lieferbar
K1;Hälse;1 kg;2,40 €;ja
K2;Abschnitte;2 x 2,5 kg;6,10 €/kg;ja
K3;Niere;500 g;1,90;ja
K4;Grünkohl;250 g;1,20;ja
K9;Pizza;1 kg;3,00;ja
"""
NAMES = """supplier: Tannhof
decimal: ","
columns: {cut: Ware, code: Nr, pack: Inhalt, price: Preis, sold: lieferbar}
price_per: pack
not_for_dogs: {words: [pizza]}
items:
  - {code: K1, name: Hälse, cut: chicken neck, confirmed: 2027-01-04}
  - {code: K2, name: Abschnitte, cut: beef trim, confirmed: 2027-01-04}
  - {code: K3, name: Niere, cut: beef kidney, confirmed: 2027-01-04}
  - {code: K4, name: Grünkohl, cut: kale, confirmed: 2027-01-04}
"""
SAYS = "file: lists/own.csv\n      names: lists/own.names.yaml"
"""What the scenario says of the list."""


class OwnList(NamedTuple):
    """Put something in the place of what stands in the list and its names file exactly once; `slug@FILE:line:column`.

    FILE is `list`, `names` or `scenario`.
    """

    name: str
    find: str
    put: str
    expected: str


OWN_LISTS = (
    OwnList("nothing wrong", "K9;Pizza", "K9;PIZZA", ""),
    OwnList("a case that does not add up", "2 x 2,5 kg", "6 kg (2 x 2,5)", "rows-not-read@list:5:4"),
    OwnList("a catch weight at one price", ";1 kg;2,40 €", ";1-1,5 kg;2,40 €", "rows-not-read@list:4:4"),
    OwnList("a price in other money", "2,40 €", "2,40 $", "rows-not-read@list:4:4"),
    OwnList("a cell too many", "1,20;ja", "1,20;ja;nein", "rows-not-read@list:7:1"),
    OwnList("a word of no known meaning", "1,20;ja", "1,20;bald", "rows-not-read@list:7:4"),
    OwnList("sold out in its column", "1,20;ja", "1,20;ausverkauft", "not-sold-now@list:7:4"),
    OwnList("sold out in the place of the price", "1,90;ja", "ausverkauft;ja", "not-sold-now@list:6:4"),
    OwnList("something new", "K9;Pizza", "K9;Lunge", "new-on-list@list:8:4"),
    OwnList("a code for something else", "K3;Niere", "K3;Leber", "code-reused@list:6:4"),
    OwnList("a code that is new for a known name", "K3;Niere", "K7;Niere", ""),
    OwnList("gone", "K3;Niere;500 g;1,90;ja\n", "", "gone-from-list@names:9:34"),
    OwnList("a cut that is unknown", "cut: kale", "cut: kail", "unknown-cut@names:10:37"),
    OwnList("another heading than was confirmed", "Nr;Ware;", "Nr;Artikel;", "column-not-on-list@names:3:16"),
    OwnList("a column that nothing names", "price: Preis, ", "", "list-not-described@list:1:1"),
    OwnList("a price that may be for anything", "price_per: pack\n", "", "list-not-described@list:1:1"),
    OwnList("neither a cut nor not for dogs", "cut: kale, ", "", "cut-or-not@names:10:22"),
    OwnList("both", "cut: kale, ", "cut: kale, not_for_dogs: yes, ", "cut-or-not@names:10:22"),
    OwnList(
        "an item that is two things",
        "  - {code: K4,",
        "  - {code: K4, name: Grünkohl, cut: chard}\n  - {code: K4,",
        "named-twice@names:11:22",
    ),
    OwnList("an unknown field", "price_per: pack", "price_pre: pack", "unknown-field@names:4:1"),
    OwnList("an unknown basis", "price_per: pack", "price_per: sack", "unknown-choice@names:4:12"),
    OwnList("names that say nothing", NAMES, "", "empty-file@names:1:1"),
    OwnList("names that are a list", NAMES, "- Hals\n", "wrong-shape@names:1:1"),
    OwnList("names in broken YAML", "[pizza]", "[pizza", "broken-yaml@names:5:29"),
    OwnList("a day that is none", "K1, name: Hälse, cut: chicken neck, confirmed: 2027-01-04",
            "K1, name: Hälse, cut: chicken neck, confirmed: 2027-01-40", "bad-date@names:7:59"),
    OwnList("a list of headings alone", LIST[LIST.index("K1") :], "", "no-rows@list:1:1"),
)  # fmt: skip
