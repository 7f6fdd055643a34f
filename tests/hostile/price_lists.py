"""Price lists with mistakes, each with every finding it must give and no other; all invented."""

from typing import NamedTuple


class BadList(NamedTuple):
    """A price list's text or bytes, and the findings as `slug@line:column` in it."""

    name: str
    content: str | bytes
    expected: str


BAD_LISTS = (
    BadList("empty", "", "empty-file@1:1"),
    BadList("only blank lines", "\n\n", "empty-file@1:1"),
    BadList("only blank cells", ",,,\n,,,\n", "empty-file@1:1"),
    BadList("a cell longer than csv readers take", f"cut;price\n{'a' * 131_073};3,20 per kg\n", "name-too-long@2:1"),
    BadList("header only", "cut;price\n", "no-rows@1:1"),
    BadList("one column", "cut price\nkale 3\n", "separator-in-doubt@1:1"),
    BadList("two separators as likely", "cut;price,pack\nkale;3,1 kg\n", "separator-in-doubt@1:1"),
    BadList("no price column", "cut;pack\nkale;1 kg\n", "missing-column@1:1"),
    BadList("no header", "chicken neck;1 kg;2,40\nkale;1 kg;3,20\n", "missing-column@1:1"),
    BadList("misspelt column", "cut;pakc;price\nkale;1 kg;3,20\n", "unknown-column@1:5"),
    BadList("repeated column", "cut;price;price\nkale;1;3,20\n", "repeated-column@1:11"),
    BadList("a cell too many", "cut;pack;price\nkale;1 kg;3,20;x\nchard;1 kg;3,10\n", "wrong-cell-count@2:16"),
    BadList("a cell too few", "cut;pack;price\nkale;1 kg\nchard;1 kg;3,10\n", "wrong-cell-count@2:6"),
    BadList("decimal comma between commas", "cut,pack,price\nkale,1 kg,3,20\n", "wrong-cell-count@2:13"),
    BadList("unclosed quote", 'cut;item;price\nkale;"green;3,20 per kg\nchard;;3,10 per kg\n', "unclosed-quote@2:6"),
    BadList("stray quote", 'cut;item;price\nkale;5" leaves;3,20 per kg\n', "stray-quote@2:7"),
    BadList("text after a quote", 'cut;item;price\nkale;"5" leaves;3,20 per kg\n', "stray-quote@2:9"),
    BadList("undecided number", "cut;pack;price\nbeef trim;10 kg;1.234\n", "undecided-number@2:17"),
    BadList(
        "mixed marks",
        "cut;pack;price\nkale;1 kg;3,20\nchard;1 kg;3.10\nspinach;1 kg;4,00\n",
        "mixed-decimal-marks@3:12",
    ),
    BadList("a point among commas", "cut;pack;price\nkale;1 kg;3,20\nchard;1 kg;1.203,10\n", "other-decimal-mark@3:12"),
    BadList("thousands among points", "cut;pack;price\nkale;1 kg;3.20\nchard;1 kg;1,203\n", "comma-in-number@3:12"),
    BadList("unknown cut", "cut;pack;price\nchicken necks and backs;1 kg;3,20\n", "unknown-cut@2:1"),
    BadList(
        "unknown cut after a cell of two lines",
        'cut;item;price\nkale;"green\ncurly";3,20 per kg\nkail;;3,10 per kg\n',
        "unknown-cut@4:1",
    ),
    BadList("empty cut", "cut;pack;price\n;1 kg;3,20\n", "missing-field@2:2"),
    BadList("empty price", "cut;pack;price\nkale;1 kg;\n", "missing-field@2:1"),
    BadList("price in words", "cut;pack;price\nkale;1 kg;ask\n", "bad-value@2:11"),
    BadList("pack without unit", "cut;pack;price\nkale;1;3,20\n", "no-unit@2:6"),
    BadList("broken price break", "cut;pack;price;price_breaks\nkale;1 kg;3,20;5 at 3,00\n", "bad-value@2:16"),
    BadList("a least without unit", "cut;price;least\nkale;3,20 per kg;100\n", "no-unit@2:18"),
    BadList("a least beside a pack", "cut;pack;price;least\nkale;1 kg;3,20;100 g\n", "two-ways@2:16"),
    BadList("control character", "cut;pack;price\nka\u0007le;1 kg;3,20\n", "control-character@2:3"),
    BadList("repeated row", "cut;pack;price\nkale;1 kg;3,20\nkale;1 kg;3,20\n", "repeated-offer@3:1"),
    BadList("not utf8", b"cut;item;price\nkale;caf\xe9;3,20 per kg\n", "unreadable-text@2:9"),
    BadList("bare share", "cut;pack;price;bone\nchicken neck;1 kg;3,20;36\n", "no-unit@2:24"),
    BadList("share as a decimal", "cut;pack;price;fat\nkale;1 kg;3,20;0,5\n", "no-unit@2:16"),
    BadList("currency sign", "cut;pack;price\nkale;1 kg;3,20 €\n", "bad-value@2:11"),
    BadList("frozen for a number of nothing", "cut;pack;price;comes_frozen\nkale;1 kg;3,20;20\n", "bad-value@2:16"),
    BadList("frozen at an unknown time", "cut;pack;price;comes_frozen\nkale;1 kg;3,20;yes\n", "bad-value@2:16"),
    BadList(
        "frozen since a day to come",
        "cut;pack;price;comes_frozen\nkale;1 kg;3,20;since 2027-12-20\n",
        "frozen-in-future@2:16",
    ),
    BadList("pack of a lorry", "cut;pack;price\nkale;101000 kg;3,20\n", "absurd-amount@2:6"),
    BadList("price of nothing", "cut;pack;price\nkale;1 kg;0,00\n", "price-of-nothing@2:11"),
    BadList("smoked bone", "cut;item;pack;price\nturkey neck;neck (smoked);1 kg;3,20\n", "toxic-food@2:13"),
    BadList("toxic item", "cut;item;price\nkale;kale with leek;3,20 per kg\n", "toxic-food@2:6"),
    BadList(
        "pack of about so much at a fixed price",
        "cut;pack;up_to;price\nkale;about 1,1 kg;1,2 kg;3,20\n",
        "about-at-a-fixed-price@2:26",
    ),
    BadList(
        "heaviest pack below the mean",
        "cut;pack;up_to;price\nkale;about 1,1 kg;1,05 kg;3,20 per kg\n",
        "heaviest-out-of-place@2:19",
    ),
    BadList("heaviest pack without unit", "cut;pack;up_to;price\nkale;about 1,1 kg;1,2;3,20 per kg\n", "no-unit@2:19"),
)
