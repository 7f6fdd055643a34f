"""The widths of letters in the typefaces of labels, so that text can be fitted where no browser is at hand."""

import unicodedata
from collections.abc import Mapping
from types import MappingProxyType

_REGULAR: Mapping[int, str] = MappingProxyType(
    {
        275: "'", 278: 'ijl', 295: 'I', 318: ' ,.', 337: '/:;\\|', 353: 'f', 361: '-', 391: '()[]',
        393: 't', 401: '!', 412: 'r', 460: '"', 500: '*J`', 521: 's', 525: 'z', 550: 'c', 557: '?_',
        558: 'L', 580: 'k', 592: 'vxy', 611: 'FT', 612: 'o', 613: 'a', 616: 'e', 634: 'hnu', 635:
        'bdgpq', 637: '$0123456789{}', 667: 'EKPSY', 685: 'AV', 686: 'XZ', 687: 'B', 723: 'CR', 732:
        'U', 749: 'N', 752: 'H', 771: 'D', 778: 'G', 780: '&', 788: 'OQ', 818: 'w', 838: '#+<=>^~',
        863: 'M', 951: '%', 975: 'm', 989: 'W', 1016: '@',
    }
)  # fmt: skip
_BOLD: Mapping[int, str] = MappingProxyType(
    {
        307: "'", 343: 'ijl', 349: ' ', 366: '/\\|', 373: 'I', 380: ',.', 400: ':;', 416: '-', 436:
        'f', 457: '!', 458: '()[]', 479: 't', 494: 'r', 500: '`', 521: '"', 523: '*', 557: 'J_',
        583: 'z', 593: 'c', 596: 's', 611: '?', 638: 'L', 646: 'x', 652: 'vy', 666: 'k', 675: 'a',
        679: 'e', 683: 'T', 684: 'EF', 688: 'o', 696: '$0123456789', 712: 'hnu{}', 716: 'bdgpq',
        721: 'S', 725: 'Y', 726: 'Z', 733: 'P', 734: 'C', 763: 'B', 771: 'RX', 774: 'AV', 775: 'K',
        813: 'U', 821: 'G', 831: 'D', 837: 'HN', 838: '#+<=>^~', 851: 'OQ', 873: '&', 924: 'w', 996:
        'M', 1000: '@', 1002: '%', 1042: 'm', 1104: 'W',
    }
)  # fmt: skip
"""The letters of ASCII by their width, in thousandths of the size of the letters.

**Source:** the files of Liberation Sans 1.07 and DejaVu Sans 2.37, regular and bold, table `hmtx`, the wider of the
two, rounded up; a test reads the files where they are installed.
"""

WIDTHS: Mapping[bool, Mapping[str, int]] = MappingProxyType(
    {
        bold: MappingProxyType({letter: width for width, letters in table.items() for letter in letters})
        for bold, table in ((False, _REGULAR), (True, _BOLD))
    }
)
"""The width of each letter of ASCII; under `True` that of bold letters."""

OTHER_WIDTH, BROAD_WIDTH = 1420, 2000
"""The width of any other bold letter, and of those in `BROAD`.

**Source:** no letter of the same files that is typed in Latin, Greek, Cyrillic, Hebrew or Arabic
takes more. Of other scripts and of emoji: what browsers were seen to draw.
"""

OTHER_REGULAR_WIDTH = 1240
"""The width of any other regular letter. **Source:** the same; emoji are as wide as bold letters."""

BESIDE, BESIDE_MARK = frozenset("\u010f\u013e\u0165\u1e37\u1e39"), "\N{COMBINING HORN}"
"""Letters that an accent beside them makes wider, and the one combining accent that does so to any letter."""

BROAD = frozenset("\u01c4\u01c5\u01c6\u01f1\u01f2\u01f3\u2030\u2031\u20a7\u20af")
"""Very wide characters: digraphs in one letter, per mille and the like."""

JOINED = frozenset({"Mn", "Me", "Cf"})
"""Unicode categories of characters without a width of their own: accents, enclosing marks, format characters."""


def letter_width(letter: str, *, bold: bool = False) -> int:
    """The width of a letter in the wider typeface; an accent adds nothing.

    >>> letter_width("J"), letter_width("J", bold=True), letter_width("\u00e9") == letter_width("e")
    (500, 557, True)
    """
    known = WIDTHS[bold]
    if letter in known:
        return known[letter]
    parts = unicodedata.normalize("NFD", letter)
    if parts[0] in known and letter not in BESIDE and BESIDE_MARK not in parts:
        return known[parts[0]]
    kind = unicodedata.category(letter)
    if kind in JOINED:
        return 0
    if letter in BROAD:
        return BROAD_WIDTH
    return OTHER_WIDTH if bold or kind in {"So", "Sk"} else OTHER_REGULAR_WIDTH


def text_width(text: str, *, bold: bool = False) -> int:
    """The width of a text on one line."""
    return sum(letter_width(letter, bold=bold) for letter in text)
