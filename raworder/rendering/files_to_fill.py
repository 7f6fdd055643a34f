"""Files for a person to fill in: a begun scenario with comments, and a receipt with everything as planned."""

import csv
import json
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from io import StringIO
from types import MappingProxyType

from raworder.rendering.clean import one_line
from raworder.rendering.spreadsheets import guard_formula
from raworder.trade.draft import DogDraft, Draft, OfferDraft, OwnCutDraft, SupplierDraft
from raworder.trade.purchase import Receipt, Received
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.supplier_list import NamedItem, SupplierNames

NOT_TEXT = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null"})
"""Words that some YAML readers do not take for text. Source: the types of YAML 1.1, from memory, not looked up."""

OFFER, LEFT_OUT = "      - {cut: ", "      # - {cut: ..., "
"""How the line of an offer begins, and that of an offer whose cut is not known yet."""

_PLAIN = re.compile(r"[^\W\d_](?:[^\W_]|[ '()&+.-])*")
_FIGURE = re.compile(r"[0-9][0-9A-Za-z .%/^-]*")
_TEXTS = ("item", "code")


def scenario_text(draft: Draft, schema: str) -> str:
    """The text of a scenario file with comments; `schema` is the name of the JSON Schema beside it.

    It holds no figure that nobody gave: what is missing stands as a commented example.
    """
    blocks = (
        _head(draft, schema),
        _dogs(draft.dogs),
        _own_cuts(draft.own_cuts),
        _suppliers(draft.suppliers),
        _further_examples(),
    )
    return "\n\n".join("\n".join(block) for lines in blocks if (block := tuple(lines))) + "\n"


def offer_lines(text: str) -> tuple[int, ...]:
    """The numbers of the lines with offers, from 1, in the order of the draft."""
    return tuple(number for number, line in enumerate(text.split("\n"), 1) if line.startswith(OFFER))


def quote_yaml(name: str) -> str:
    """A name as YAML text: plain where every reader takes it as written, else in double quotes.

    >>> quote_yaml("Maple"), quote_yaml("No"), quote_yaml("[red] 1: 2")
    ('Maple', '"No"', '"[red] 1: 2"')
    """
    plain = _PLAIN.fullmatch(name) and name.casefold() not in NOT_TEXT and not name.endswith(" ")
    return name if plain else json.dumps(name, ensure_ascii=False)


def _yaml_value(value: str) -> str:
    """A number with its unit, a day or a word as YAML text."""
    return value if _FIGURE.fullmatch(value) else quote_yaml(value)


def _head(draft: Draft, schema: str) -> Iterator[str]:
    yield f"# yaml-language-server: $schema={schema}"
    yield "# Lines that begin with # count for nothing: take the # out where one is an example that you want."
    yield ""
    if draft.named:
        yield "# What the papers are headed with; with the first day it makes the number of the batch."
        yield f"title: {quote_yaml(draft.named)}"
    yield "# The code of the currency that all money in here is in (ISO 4217)."
    yield f"currency: {_yaml_value(draft.currency)}"
    yield "# The unit in which the papers give weights, kg or lb; in here write g, kg, oz or lb behind each weight."
    yield f"units: {_yaml_value(draft.units)}"
    yield "# The days fed from one order: the first, and how many."
    yield f"batch: {{starts: {_yaml_value(draft.starts)}, days: {_yaml_value(draft.days)}}}"


def _dogs(dogs: Sequence[DogDraft]) -> Iterator[str]:
    yield "# The dogs. A ration is what a dog eats a day: `900 kcal`, `520 g` or `2.5 %` of its weight; targets are"
    yield "# `prey model`, `BARF` or ranges of your own; for a puppy add `puppy: yes` and its `adult_weight`."
    if any(dog.ration_from for dog in dogs):
        yield "# A dog may need a third more or less than what is published: weigh it every two weeks and adjust."
    yield "dogs:"
    for place, dog in enumerate(dogs):
        yield f"  - name: {quote_yaml(dog.name)}"
        yield f"    weight: {_yaml_value(dog.weight)}"
        yield from _care_lines(dog) if dog.care else _ration_lines(dog)
        if dog.avoid:
            yield f"    avoid: [{', '.join(map(quote_yaml, dog.avoid))}]"
        if not place:
            yield from _dog_examples(dog)


def _ration_lines(dog: DogDraft) -> Iterator[str]:
    if dog.puppy:
        yield "    puppy: yes"
    for field, value in (
        ("adult_weight", dog.adult_weight), ("goal", dog.goal), ("ideal_weight", dog.ideal_weight),
        ("activity", dog.activity),
    ):  # fmt: skip
        if value:
            yield f"    {field}: {_yaml_value(value)}"
    yield f"    ration: {_yaml_value(dog.ration)}{f'  # {dog.ration_from}' if dog.ration_from else ''}"
    if dog.other_food:
        weight, at, energy = dog.other_food.partition(" at ")
        food = f"{{weight: {weight}, analysis: {{energy: {energy}}}}}" if at else _yaml_value(dog.other_food)
        yield f"    other_food: {food}"
    yield f"    targets: {_yaml_value(dog.pattern)}"


def _care_lines(dog: DogDraft) -> Iterator[str]:
    yield f"    care: {_yaml_value(dog.care)}"
    yield "    # The veterinarian gives the amounts, raworder computes none: write each cut with its grams a day."
    # No amount stands here, so that taking off the `#` by mistake is refused.
    yield "    # vet_amounts: {..., ...}"


def _dog_examples(dog: DogDraft) -> Iterator[str]:
    """Further fields of a dog as commented examples; limits only for a dog whose amounts we compute."""
    if not dog.avoid:
        yield "    # avoid: [chicken, whole bone]"
    if not dog.care:
        yield "    # caps: {heart: 5 %, beef: 60 %}"
    yield "    # owner: Rowan"


def _own_cuts(cuts: Sequence[OwnCutDraft]) -> Iterator[str]:
    if not cuts:
        return
    yield "# Cuts that the reference table does not know; parts are shares of the weight as bought, together 100 %."
    if any(cut.energy for cut in cuts):
        yield "# `analysis` is what 100 g hold as bought: put what the label says in place of an estimate."
    yield "own_cuts:"
    for cut in cuts:
        parts = ", ".join(f"{part}: {_yaml_value(share)}" for part, share in cut.parts)
        fields = [f"cut: {quote_yaml(cut.cut)}", f"species: [{', '.join(map(quote_yaml, cut.species))}]"]
        fields += [f"kind: {quote_yaml(cut.kind)}"] if cut.kind else []
        fields += [f"parts: {{{parts}}}"] + ([f"fat: {_yaml_value(cut.fat)}"] if cut.fat else [])
        fields += [f"analysis: {{energy: {cut.energy}}}"] if cut.energy else []
        yield f"  - {{{', '.join(fields)}}}"


def _suppliers(suppliers: Sequence[SupplierDraft]) -> Iterator[str]:
    yield "# Who sells: offers under `cuts`, or `price_list: FILE` for a list beside this file. A price is for a pack"
    yield "# (`2.40`) or for a weight (`6.20 per kg`); `raworder cuts WORD` looks up the names of cuts."
    if not suppliers:
        yield "# There is none yet. This is how one looks, with an invented name and invented prices:"
        yield "#   - name: Hollow Lane Butcher"
        yield "#     cuts:"
        yield "#       - {cut: chicken neck, pack: 1 kg, price: 2.40}"
        yield "#       - {cut: beef trim, price: 6.20 per kg}"
        yield "suppliers: []"
        return
    yield "suppliers:"
    for place, supplier in enumerate(suppliers):
        yield f"  - name: {quote_yaml(supplier.name)}"
        if not place:
            yield "    # delivery: 9"
            yield "    # minimum_order: 40"
        yield from _offers(supplier)


def _offers(supplier: SupplierDraft) -> Iterator[str]:
    if supplier.list_names:
        file, names = quote_yaml(supplier.price_list), quote_yaml(supplier.list_names)
        yield "    # Its own list, and what each name on it is: the next list goes here in its place."
        yield f"    price_list: {{file: {file}, names: {names}}}"
        return
    if supplier.price_list:
        yield f"    price_list: {quote_yaml(supplier.price_list)}"
        return
    known = [offer for offer in supplier.offers if offer.cut]
    yield "    cuts:" if known else "    cuts: []"
    yield from (f"{OFFER}{quote_yaml(offer.cut)}{_offer_fields(offer, ', ')}}}" for offer in known)
    waiting = [offer for offer in supplier.offers if not offer.cut]
    if waiting:
        yield "      # Left out, as nobody has said which cut it is: put its name for the points and take the # out."
    yield from (f"{LEFT_OUT}{_offer_fields(offer)}}}  # line {offer.line}" for offer in waiting)
    if supplier.unread:
        yield "      # Left out, as it could not be read:"
    yield from (f"      # line {row.line}, {one_line(row.why)}: {one_line(row.row)}" for row in supplier.unread)


def _offer_fields(offer: OfferDraft, before: str = "") -> str:
    fields = ", ".join(f"{name}: {_offer_value(name, value)}" for name, value in offer.fields)
    return f"{before}{fields}" if fields else ""


def _offer_value(name: str, value: str) -> str:
    """The value of a field of an offer; names and codes stay text whatever they look like."""
    if name == "price_breaks":
        pairs = (part.partition(":") for part in value.split(";"))
        steps = (
            f"{{from: {_yaml_value(from_.strip())}, price: {_yaml_value(price.strip())}}}" for from_, _, price in pairs
        )
        return f"[{', '.join(steps)}]"
    return quote_yaml(value) if name in _TEXTS else _yaml_value(value)


def _further_examples() -> Iterator[str]:
    yield "# What the freezer already holds; add `frozen: ...` with the day if you know it: the oldest is used first."
    yield "# on_hand:"
    yield "#   - {cut: beef heart, weight: 350 g}"
    yield "# The freezer's room on the fullest evening, in kg or in litres (`120 l`)."
    yield "# freezer: {room: 60 kg}"
    yield "# The most that the order may cost."
    yield "# budget: 300"


COLUMNS = ("supplier", "cut", "item", "code", "packs", "weight", "paid")
NAMES = COLUMNS[:4]
"""The columns that hold text; the others hold numbers that we write, so they need no quotes."""

HEAD = (
    "# What was bought, as planned: alter what was different in the shop. Without `paid` a line costs what the list",
    "# asks; `packs: 0` tells that there was none. A substitute is a line with its `weight` and what was `paid`.",
)


def receipt_csv(scenario: Scenario, receipt: Receipt) -> bytes:
    """The receipt as CSV (RFC 4180, UTF-8 with a byte order mark): money before sales tax, no delivery.

    The weight of packs is left blank, to be filled in where they were weighed, unless it differs from the list or is
    the only thing that tells two offers apart.
    """
    out = StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line in _receipt_rows(scenario, receipt):
        writer.writerow([guard_formula(cell) if name in NAMES else cell for name, cell in line.items()])
    return out.getvalue().encode("utf-8-sig")


def receipt_yaml(scenario: Scenario, receipt: Receipt) -> bytes:
    """The receipt as YAML: each line with its filled fields, and what was charged for delivery."""
    lines = tuple(_receipt_rows(scenario, receipt))
    rows = (f"  - {{{', '.join(_receipt_fields(line))}}}" for line in lines)
    digits = scenario.currency.digits
    charged = ", ".join(f"{quote_yaml(one_line(name))}: {paid:.{digits}f}" for name, paid in receipt.delivery)
    delivery = (f"delivery: {{{charged}}}",) if charged else ()
    return "\n".join((*HEAD, "bought:" if lines else "bought: []", *rows, *delivery, "")).encode()


WRITERS: Mapping[str, Callable[[Scenario, Receipt], bytes]] = MappingProxyType(
    {".csv": receipt_csv, ".yaml": receipt_yaml, ".yml": receipt_yaml}
)
"""What writes a receipt, by the ending of the file name."""


def _receipt_rows(scenario: Scenario, receipt: Receipt) -> Iterator[dict[str, str]]:
    """The cells of each line by column; at the end, offers of which there was none."""
    offers = {offer.key: offer for offer in scenario.offers}
    how_many = Counter(_identity(offer) for offer in scenario.offers)
    for line in receipt.lines:
        offer = offers.get(line.offer)
        writes_weight = (
            offer is None or offer.by_weight or line.grams != offer.grams(line.units) or how_many[_identity(offer)] > 1
        )
        yield dict(
            zip(
                COLUMNS, _receipt_cells(offer, line, scenario.currency.digits, writes_weight=writes_weight), strict=True
            )
        )
    for offer in (offers[key] for key in receipt.none_left):
        blank_cells = ("", "0 g") if offer.by_weight else ("0", "")
        yield dict(zip(COLUMNS, (offer.supplier, offer.cut, offer.item, offer.code, *blank_cells, ""), strict=True))


def _receipt_fields(line: Mapping[str, str]) -> Iterator[str]:
    """The filled cells of a line as YAML fields."""
    yield from (
        f"{name}: {quote_yaml(one_line(cell)) if name in NAMES else cell}" for name, cell in line.items() if cell
    )


def _identity(offer: Offer) -> tuple[str, str, str, str, bool]:
    """What a person tells offers apart by."""
    return offer.supplier, offer.cut, offer.item, offer.code, offer.by_weight


def _receipt_cells(offer: Offer | None, line: Received, digits: int, *, writes_weight: bool) -> Iterator[str]:
    """The cells of one line; `offer` is None for a substitute, which is on no list."""
    yield from (line.supplier, line.cut)
    yield from (offer.item, offer.code) if offer else ("", "")
    yield str(line.units) if (not offer.by_weight if offer else line.units > 1) else ""
    yield f"{line.grams} g" if writes_weight else ""
    yield f"{line.paid:.{digits}f}"


def names_text(names: SupplierNames, written: str = "") -> str:
    """The text of a names file; items are added to what is `written` already, where nothing else is new.

    `written` must be a text that such a file held, or empty; comments in it stay.
    """
    lines = [_item_line(item) for item in names.items]
    if written:
        return "\n".join((re.sub(r"^items: \[\]", "items:", written, flags=re.MULTILINE).rstrip("\n"), *lines)) + "\n"
    items = "items:" if lines else "items: []"
    return "\n".join((*_layout_lines(names), "", *_never_lines(names), "", *_ITEM_NOTES, items, *lines)) + "\n"


_ITEM_NOTES = (
    "# What each item is: a cut of ours, or `not_for_dogs: yes`, and the day on which somebody said so. An item is",
    "# found by its code, as long as its name stays; else by its name.",
)


def _item_line(item: NamedItem) -> str:
    fields = [f"code: {quote_yaml(item.code)}"] if item.code else []
    fields += [f"name: {quote_yaml(item.name)}"]
    fields += [f"cut: {quote_yaml(item.cut)}" if item.cut else "not_for_dogs: yes"]
    fields += [f"confirmed: {item.confirmed}"] if item.confirmed else []
    return f"  - {{{', '.join(fields)}}}"


def _layout_lines(names: SupplierNames) -> Iterator[str]:
    """How the supplier's lists are read."""
    layout = names.layout
    yield "# How the lists of this supplier are read, and what its items are; `raworder help lists` explains it."
    yield f"supplier: {quote_yaml(names.supplier)}"
    for field in ("encoding", "separator", "decimal", "sheet"):
        if value := getattr(layout, field):
            yield f"{field}: {quote_yaml(value)}"
    yield "# The headings of the columns that hold what we ask for."
    yield "columns:"
    yield from (f"  {field}: {quote_yaml(heading)}" for field, heading in layout.columns.items())
    for field, note in (
        ("price_per", "What a price is for that does not say it."), ("second_price_per", ""),
        ("pack_unit", "The unit of packs that name none."),
    ):  # fmt: skip
        if value := getattr(layout, field):
            yield from [f"# {note}"] if note else []
            yield f"{field}: {_yaml_value(value)}"
    for field in ("sold_words", "not_sold_words"):
        if words := getattr(layout, field):
            yield f"{field}: [{', '.join(map(quote_yaml, words))}]"


def _never_lines(names: SupplierNames) -> Iterator[str]:
    """What is never for dogs, by groups and words."""
    yield "# Never for dogs: whole groups of the list, and every name with one of these words."
    yield "not_for_dogs:"
    yield f"  groups: [{', '.join(map(quote_yaml, names.no_groups))}]"
    yield f"  words: [{', '.join(map(quote_yaml, names.no_words))}]"
