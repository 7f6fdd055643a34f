"""Whole files that are no scenario, each with every finding it must give and no other; all invented."""

from typing import NamedTuple


class Document(NamedTuple):
    """A file's text or bytes, and its findings as `slug@line:column`."""

    name: str
    content: str | bytes
    expected: str


ONE_DOG = """currency: EUR
batch: {starts: 2027-02-06}
dogs: [{name: Maple, ration: 500 g, targets: prey model}]
cuts: [{cut: kale, price: 3.00 per kg}]
own_cuts:
"""

MIXES = ONE_DOG + "".join(
    f"  - {{cut: mix {n}, bone: 0 %, fat: 5 %, made_of: [{f'mix {n + 1}' if n < 11 else 'beef trim'}]}}\n"
    for n in range(12)
)
"""Twelve mixes, each made of the next."""

DOCUMENTS = (
    Document("empty", "", "empty-file@1:1"),
    Document("only a comment", "# later\n", "empty-file@1:1"),
    Document("only null", "null\n", "empty-file@1:1"),
    Document("a list", "- currency: EUR\n", "wrong-shape@1:1"),
    Document("a word", "currency\n", "wrong-shape@1:1"),
    Document(
        "no dogs",
        "currency: EUR\nbatch: {starts: 2027-02-06}\ndogs: []\ncuts: [{cut: kale, price: 3.00 per kg}]\n",
        "no-dogs@3:7",
    ),
    Document(
        "nothing to feed",
        "currency: EUR\nbatch: {starts: 2027-02-06}\ndogs: [{name: Maple, ration: 500 g, targets: prey model}]\n",
        "nothing-to-feed@1:1",
    ),
    Document(
        "nobody there",
        "currency: EUR\n"
        "batch: {starts: 2027-02-06, days: 1}\n"
        "dogs:\n"
        "  - {name: Maple, ration: 500 g, targets: prey model, away: [2027-02-06]}\n"
        "cuts: [{cut: kale, price: 3.00 per kg}]\n",
        "no-dogs@3:1 away-throughout@4:61",
    ),
    Document("dogs missing", "currency: EUR\nbatch: {starts: 2027-02-06}\n", "nothing-to-feed@1:1 missing-field@1:1"),
    Document(
        "nothing of known energy",
        "currency: EUR\nbatch: {starts: 2027-02-06}\n"
        "dogs: [{name: Maple, ration: 500 kcal, targets: {muscle: 100 %}}]\n"
        "cuts: [{cut: moor mince, price: 3.00 per kg}]\n"
        "own_cuts: [{cut: moor mince, species: beef, bone: 0 %, fat: 5 %}]\n",
        "no-energy-known@3:15",
    ),
    Document("alias", "all: &all {name: Maple}\ndogs:\n  - *all\n", "anchor@1:6 alias@3:5"),
    Document("merge", "dogs:\n  - <<: {name: Maple}\n", "merge-key@2:5"),
    Document("bomb", "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", "anchor@1:4 anchor@2:4 alias@2:8"),
    Document("nested sixty deep", "title: " + "[" * 60 + "]" * 60 + "\n", "too-deep@1:47"),
    Document("unclosed bracket", "dogs: [{name: Maple]\n", "broken-yaml@1:20"),
    Document("unclosed quote", 'title: "Two dogs\n', "broken-yaml@1:17"),
    Document("tab for indentation", "batch:\n\tstarts: 2027-02-06\n", "broken-yaml@2:1"),
    Document("bad indentation", "batch:\n  starts: 2027-02-06\n days: 14\n", "broken-yaml@3:2"),
    Document("colon in a value", "title: Dogs: two\n", "broken-yaml@1:12"),
    Document("list for a key", "? [a]\n: b\n", "wrong-shape@1:3"),
    Document("nul byte", "title: a\u0000b\n", "control-character@1:9"),
    Document("bell", "title: a\u0007b\n", "control-character@1:9"),
    Document("not utf8", b"currency: EUR\ntitle: caf\xe9\n", "unreadable-text@2:11"),
    Document("end in the middle", "dogs:\n  - {name: Maple,", "broken-yaml@2:18"),
    Document("mix of mixes too deep", MIXES, "too-deep@6:48 too-deep@7:48"),
    Document(
        "mixes in a circle",
        "currency: EUR\n"
        "batch: {starts: 2027-02-06}\n"
        "dogs: [{name: Maple, ration: 500 g, targets: prey model}]\n"
        "cuts: [{cut: kale, price: 3.00 per kg}]\n"
        "own_cuts:\n"
        "  - {cut: mix a, bone: 0 %, fat: 5 %, made_of: [mix b]}\n"
        "  - {cut: mix b, bone: 0 %, fat: 5 %, made_of: [mix a]}\n"
        "  - {cut: mix c, bone: 0 %, fat: 5 %, made_of: [mix a]}\n",
        "circular-cut@6:48 circular-cut@7:48",
    ),
)
