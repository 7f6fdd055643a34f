"""The words of suppliers' lists in five languages, and the numbers in them.

Source of all words here: common practice, no source; the other languages from memory, not looked up.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType

from raworder.trade.units import UNIT_SPELLINGS, UnitError, read_number

UNIT_WORDS: Mapping[str, str] = MappingProxyType(
    dict(UNIT_SPELLINGS)
    | dict.fromkeys(("kilogramm", "kilogrammes", "kilogrammo", "kilogramos", "kilogramo"), "kg")
    | dict.fromkeys(("gramm", "gramme", "grammes", "gramos", "gramo", "grs"), "g")
    | {"#": "lb"}
)
"""Units of weight as lists write them. A `Pfund`, a `livre` and a `pond` are not sure enough: they are refused."""

CASE_WORDS = frozenset(
    "case cases cs cse ctn carton cartons box boxes bx karton kartons kt ktn krt gebinde geb ve kiste kisten ki kolli"
    " colli colis caisse caisses caja cajas doos dozen krat kist pack pk pkg package packung pck vpe le".split()
)
"""What is bought as one."""

INNER_WORDS = frozenset(
    "bag bags bg packs pks pkgs packages packet packets pkt pail pails bucket tub tubs tray trays sleeve roll rolls"
    " block blocks beutel btl packungen eimer eim sack säcke schale schalen tüte tüten dose dosen glas rolle rollen"
    " blöcke kasten stange wurst würste becher folie fass worst worsten tube tubes chub chubs"
    " sac sacs sachet sachets barquette barquettes seau bac bolsa bolsas paquete"
    " paquetes bandeja cubo saco zak zakken emmer bak pak".split()
)
"""What may lie within a case, or be bought as one."""

PIECE_WORDS = frozenset(
    "piece pieces pc pcs each ea stück stücke stk stck st stuk stuks pièce pièces pieza piezas ud uds unité unités ct"
    " count cnt".split()
)

FILLERS = frozenset(
    "net netto nto gewicht weight wt tk frozen frz frzn gefroren surgelé congelado diepvries fresh frisch frais fresco"
    " vers iqf"
    " gefr tiefgefroren tiefgekühlt vac vak vp vakuum vakuumiert vacuum loose lose offen bulk vrac pro-pack"
    " sold by".split()
)
"""Words in a pack that change nothing about its weight."""

ABOUT_WORDS = frozenset(
    "ca circa cca approx approximately about avg average ave aprox aproximadamente env environ ong ongeveer ungefähr"
    " etwa rund cw rw catch random catchweight variable var ø ~ ≈ ±".split()
)

OF_WORDS = frozenset("of de van von à a je per pro par por / el la le".split())
TIMES, TO = frozenset("x \u00d7 * \u2715".split()), frozenset("bis to tot hasta".split())

_ENDS_AS_PACK = re.compile(
    r".{2,}(beutel|karton|kiste|eimer|packung|pack|schale|sack|box|tüte|doos|zak|bag|case|rolle|dose|kasten|becher"
    r"|block|wurst|stange|einheit|gebinde)"
)
_NOT_A_CASE = frozenset("beutel eimer schale sack tüte zak bag rolle dose becher block wurst stange".split())

SOLD_WORDS = frozenset(
    "ja yes y oui sí si true available verfügbar lieferbar vorrätig lagernd disponible beschikbaar leverbaar ok"
    " active aktiv actif activo lagerware auf_lager in_stock en_stock op_voorraad new neu"
    " nouveau nuevo nieuw special aktion angebot sale promo low limited"
    " dispo disponibles wenig knapp begrenzt low_stock few_left fresh frisch frozen tk".split()
)
SOLD_OUT_WORDS = frozenset(
    "sold_out soldout oos out_of_stock not_available unavailable backorder backordered back_order"
    " ausverkauft vergriffen nicht_verfügbar nicht_lieferbar nicht_vorrätig nicht_auf_lager ausgelistet ausgegangen"
    " derzeit_nicht zurzeit_nicht momentan_nicht discontinued épuisé épuisée rupture en_rupture indisponible"
    " non_disponible agotado agotada agotados no_disponible sin_stock sin_existencias"
    " uitverkocht niet_leverbaar niet_beschikbaar niet_op_voorraad".split()
)
"""What says that something is sold out wherever it stands on its row."""
NOT_SOLD_WORDS = SOLD_OUT_WORDS | frozenset("nein no n non nee false 0 - -- out n/a na".split())
TICKS = frozenset("x ✓ ✔ ☑".split())
"""Signs that say what the heading above them says."""

SOLD_HEADINGS = frozenset(
    "verfügbar verfügbarkeit lieferbar lieferbarkeit bestand vorrätig lagernd auf_lager availability available avail"
    " lagerbestand lagerstatus lieferstatus stock_status qty_avail qty_available on_hand existencias beschikbaarheid"
    " in_stock stock lager disponible disponibilité disponibilidad voorraad beschikbaar leverbaar".split()
)
STATE_HEADINGS = frozenset("status state état estado".split())
SOLD_OUT_HEADINGS = frozenset(
    "ausverkauft vergriffen sold_out out_of_stock nicht_lieferbar nicht_verfügbar épuisé agotado uitverkocht".split()
)

HEADINGS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "code": frozenset(
            "artikelnummer artikelnr artnr art_nr art_no nr no nummer item item_no item_number itemno sku code codes"
            " plu ref référence código codigo bestellnummer bestellnr bestell_nr artikel_nr product_code product_no réf"
            " artikelcode number".split()
        ),
        "cut": frozenset(
            "artikel bezeichnung artikelbezeichnung produkt produktbezeichnung description descr product name"
            " désignation libellé produit descripción producto omschrijving article item_description ware sorte"
            " produktname product_name beschreibung item_name text artikeltext cut".split()
        ),
        "pack": frozenset(
            "verpackungseinheit gebinde verpackung pack pack_size packung inhalt size einheit ve vpe menge gewicht"
            " weight conditionnement envase formato verpakking inhoud unit pack_weight case_size gebindegrösse"
            " case_wt wt net_wt net_weight packungsgrösse packgrösse colisage pack_size_weight case_pack"
            " case_weight".split()
        ),
        "price": frozenset(
            "preis price vk vk_netto ek netto netto_preis nettopreis verkaufspreis prix precio prijs tarif cost"
            " unit_price vk_preis preise pr price_each case_price kilopreis".split()
        ),
        "sold": SOLD_HEADINGS | STATE_HEADINGS | SOLD_OUT_HEADINGS,
        "per": frozenset(
            "uom unit einheit me je unité unidad eenheid"
            " preiseinheit preis_pro price_unit priced_by sold_by pricing_unit".split()
        ),
        "group": frozenset("warengruppe gruppe category kategorie group dept famille categoría groep".split()),
    }
)
"""Headings that propose what a column holds."""

COUNT_HEADINGS = frozenset("pack packs case_pack case_qty pack_qty units bags packs_per_case bags_per_case".split())
EACH_HEADINGS = frozenset("size unit_size pack_size bag_size unit_weight each_weight weight_each".split())
"""Headings of two columns that hold a case together: how many packs, and what each weighs."""

_NO_PRICES = frozenset("poids peso inhalt gewicht weight size menge anzahl units qty bags packs case pack".split())
"""Words in headings that are for something else than prices, unless a word for a price stands there too."""

_LISTED = re.compile(r"[0-9]+(?:[.,'\u2019][0-9]+)*")
_CLEAR_DECIMAL = re.compile(r"(?:0|[0-9]{4,})([.,])[0-9]+|[0-9]+([.,])(?:[0-9]{1,2}|[0-9]{4,})")


def plain_words(text: str) -> str:
    """The text in small letters with single spaces, wide and joined signs being their plain ones."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def word_key(text: str) -> str:
    """The words of a cell, joined for the tables here: `Out of Stock!` is `out_of_stock`."""
    said = plain_words(text).strip(" .!:*")
    return "_".join(re.findall(r"[^\W_]+|n/a|^-+$|[✓✔☑]", said)) or said


def heading_key(heading: str) -> str:
    """A heading without what its prices are for and in: `VK netto EUR` is `vk_netto`."""
    bare = re.sub(
        r"(?:/|\bper |\bje |\bpro )\s*\S+.*$|\((?:[^)]*)\)|[€$£]|\b(?:eur|usd|gbp|chf)\b", " ", plain_words(heading)
    )
    return "_".join(re.findall(r"[^\W_]+", bare))


def proposed_field(heading: str) -> str:
    """The field that a heading seems to be for; empty where it says nothing we know.

    >>> [proposed_field(word) for word in ("Art.-Nr.", "DESCRIPTION", "VK netto EUR", "ITEM #", "Preis je kg", "Notes")]
    ['code', 'cut', 'price', 'code', 'price', '']
    """
    key = heading_key(heading)
    return next((field for field, words in HEADINGS.items() if key in words), "")


def likely_field(heading: str) -> str:
    """The field that a heading may be for, by one of its words where the whole of it says nothing we know.

    >>> [likely_field(heading) for heading in ("Artikel Bezeichnung", "Gebinde kg", "Prix HT", "Bemerkung")]
    ['cut', 'pack', 'price', '']
    """
    words = heading_key(heading).split("_")
    ends = (words[-1], words[0]) if len(words) == 2 else ()
    likely = (proposed_field(heading), "price" if is_for_prices(heading) else "", *map(proposed_field, ends))
    return next(filter(None, likely), "")


def is_for_prices(heading: str) -> bool | None:
    """Whether a heading says that prices stand below it, None where it says neither that nor anything else.

    >>> [is_for_prices(heading) for heading in ("Preis/kg", "Kartonpreis", "Stück/Karton", "je kg")]
    [True, True, False, None]
    """
    words = re.findall(r"[^\W_]+", plain_words(heading))
    if any(word in HEADINGS["price"] or word.endswith("preis") for word in words):
        return True
    before = heading_key(heading).split("_")
    other = any(word in _NO_PRICES or word in UNIT_WORDS or word in PIECE_WORDS for word in before)
    return False if other else None


def is_pack_word(word: str) -> bool:
    """Whether a word names what something is packed in."""
    return word in CASE_WORDS or word in INNER_WORDS or _ENDS_AS_PACK.fullmatch(word) is not None


def is_case_word(word: str) -> bool:
    """Whether a word names what is bought as one, not what may lie within."""
    match = _ENDS_AS_PACK.fullmatch(word)
    return word in CASE_WORDS or (match is not None and match[1] not in _NOT_A_CASE)


def likely_decimal_mark(texts: Iterable[str]) -> str:
    """The decimal mark of all numbers in the texts, a point where none has one; empty where they leave it open.

    >>> likely_decimal_mark(["1.234,50", "10 kg (4x2,5)"]), likely_decimal_mark(["1.234"]), likely_decimal_mark(["12"])
    (',', '', '.')
    """
    marks: set[str] = set()
    in_doubt = False
    for number in (number for text in texts for number in _LISTED.findall(text)):
        used = [sign for sign in number if sign in ".,"]
        if len(set(used)) == 2:
            marks.add(used[-1])
        elif len(used) > 1:
            marks.add("," if used[0] == "." else ".")
        elif match := _CLEAR_DECIMAL.fullmatch(number):
            marks.add(str(match[1] or match[2]))
        else:
            in_doubt |= bool(used)
    if len(marks) == 1:
        return marks.pop()
    return "" if marks or in_doubt else "."


def read_listed_number(text: str, mark: str) -> Fraction:
    """A number as a list writes it, with that decimal mark and any mark between thousands.

    >>> read_listed_number("1.234,50", ","), read_listed_number("1'234.5", ".")
    (Fraction(2469, 2), Fraction(2469, 2))
    """
    whole, _, decimals = text.partition(mark)
    if re.search(r"[.,'\u2019]", whole) and not re.fullmatch(
        r"[1-9][0-9]{0,2}(?:[.][0-9]{3}|[,][0-9]{3}|['\u2019][0-9]{3})+", whole
    ):
        name = "comma" if mark == "," else "point"
        raise UnitError(f"`{text}` does not fit this list's decimal mark, a {name}", "state the mark with `--decimal`")
    if re.search(r"[^0-9]", decimals):
        raise UnitError(f"`{text}` is not a number", "write digits with one decimal mark")
    return read_number(re.sub(r"[.,'\u2019]", "", whole) + (f".{decimals}" if decimals else ""))


def listed_numbers(text: str) -> list[str]:
    """The numbers in a text, as written."""
    return _LISTED.findall(text)
