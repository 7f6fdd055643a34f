"""Receipts read: every line matched with the offer that it is about, or taken for a substitute."""

import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from raworder.reading.catalogue import reference_catalogue
from raworder.reading.files import file_text
from raworder.reading.names import fold_name, nearest
from raworder.reading.notes import Notes
from raworder.reading.offers import analysis_of
from raworder.reading.receipt_rows import BoughtForm, Lines, lines_of_csv, lines_of_yaml
from raworder.reading.reference import read_cuts, read_foods
from raworder.trade.findings import Finding, Place
from raworder.trade.purchase import SECOND_TRIP, Receipt, Received
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import grams_text

if TYPE_CHECKING:
    from raworder.trade.cuts import Cut

UNLIKE = Fraction(1, 4)
"""What is further off the list than this share of it is doubted. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class ReadReceipt:
    """A receipt with its warnings, or no receipt and all the reasons; findings are in order of place."""

    receipt: Receipt | None
    findings: tuple[Finding, ...]


def read_receipt(path: Path, scenario: Scenario) -> ReadReceipt:
    """What a receipt says was bought, in a CSV file where its name ends so, in YAML else.

    `receipt` is None exactly when a finding refuses. Lines stand as in the file; of what there was none of there is
    none.
    """
    notes, file = Notes(), path.as_posix()
    text = file_text(path, Place(file, 1, 1), notes)
    if text is None:
        return ReadReceipt(None, notes.all())
    notes.remember(file, text)
    lines_of = lines_of_csv if path.suffix.lower() == ".csv" else lines_of_yaml
    receipt = _ReceiptMatcher(scenario, notes).receipt(lines_of(text, file, scenario.currency, notes))
    return ReadReceipt(None if notes.refuse else receipt, notes.all())


class Names:
    """Known names, found whatever their case, and by what a CSV file leaves of them."""

    def __init__(self, names: Iterable[str]) -> None:
        known = tuple(names)
        self._known: Mapping[str, str] = {
            **{_bare(name): name for name in known},
            **{fold_name(name): name for name in known},
        }
        self._plain = {fold_name(name.split(" (")[0]): name for name in known if " (" in name}

    def find(self, written: str) -> str | None:
        """The known name that is written; never one that is merely similar."""
        return self._known.get(fold_name(written)) or self._known.get(_bare(written))

    def help(self, written: str, otherwise: str) -> str:
        """One remedy for a name that is not known."""
        close = nearest(written, self._known)
        meant = self._plain.get(fold_name(written)) or (self._known[close] if close else None)
        return f"did you mean `{meant}`?" if meant else otherwise


def _bare(name: str) -> str:
    """A name without what a CSV file adds to it or takes from it: a quote before it, characters that take no room."""
    return fold_name("".join(letter for letter in name if unicodedata.category(letter) != "Cf")).removeprefix("'")


@dataclass(frozen=True, slots=True)
class _MatchedLine:
    """A receipt line with its supplier and cut, and its offer unless it is a substitute."""

    line: BoughtForm
    supplier: str
    cut: str
    offer: Offer | None

    @property
    def key(self) -> tuple[str, str, str]:
        """The key that lines about the same thing share."""
        return self.supplier, self.cut, self.offer.key if self.offer else ""


class _ReceiptMatcher:
    """Matches the lines of one receipt with the scenario."""

    def __init__(self, scenario: Scenario, notes: Notes) -> None:
        self.scenario, self.notes = scenario, notes
        self.suppliers = Names(supplier.name for supplier in scenario.suppliers)
        self.cuts = Names(cut.name for cut in scenario.cuts)
        self.known = reference_catalogue(read_cuts())
        self.none_left: list[str] = []
        self.new_cuts: dict[str, Cut] = {}
        self.offers: dict[tuple[str, str], list[Offer]] = {}
        for offer in scenario.offers:
            self.offers.setdefault((offer.supplier, offer.cut), []).append(offer)

    def receipt(self, lines: Lines) -> Receipt:
        """Everything that was bought, as far as it can be read; the rest is noted."""
        received, delivery = tuple(self._received(lines.bought)), tuple(self._delivery(lines))
        return Receipt(received, delivery, tuple(self.none_left), tuple(self.new_cuts.values()))

    def _received(self, bought: Iterable[BoughtForm]) -> Iterator[Received]:
        first: dict[tuple[str, str, str], Place] = {}
        for line in bought:
            meant = self._meant(line)
            if meant is None:
                continue
            place = first.setdefault(meant.key, line.at("cut"))
            if place != line.at("cut"):
                self._note_twice(meant, place)
            elif meant.offer is None:
                yield from self._substitute(meant)
            else:
                yield from self._of_offer(meant, meant.offer)

    def _delivery(self, lines: Lines) -> Iterator[tuple[str, Decimal]]:
        """What each supplier charged, in the scenario's order."""
        charged: dict[str, Decimal] = {}
        for written, paid in lines.delivery:
            name = self._supplier(written, written.place)
            if name in charged:
                help_ = "write the supplier once"
                self.notes.add("repeated-key", f"the delivery of `{name}` is written twice", written.place, help_)
            elif name is not None:
                charged[name] = paid
        return (
            (supplier.name, charged[supplier.name]) for supplier in self.scenario.suppliers if supplier.name in charged
        )

    def _supplier(self, written: str, place: Place) -> str | None:
        name = self.suppliers.find(written) or self.suppliers.find(written.removesuffix(SECOND_TRIP))
        if name is None:
            help_ = self.suppliers.help(written, "add the supplier to the scenario, and plan again")
            self.notes.add("unknown-supplier", f"the scenario has no supplier `{written}`", place, help_)
        return name

    def _meant(self, line: BoughtForm) -> _MatchedLine | None:
        """The thing a line is about; None, with a note, where it is unknown or ambiguous."""
        supplier = self._supplier(line.supplier, line.at("supplier"))
        cut = self.cuts.find(line.cut) or self._new_cut(line.cut)
        if cut is None:
            help_ = self.cuts.help(line.cut, "add it to the scenario with any price, and plan again")
            self.notes.add("unknown-substitute", f"the scenario has no cut `{line.cut}`", line.at("cut"), help_)
        if supplier is None or cut is None:
            return None
        offers = self.offers.get((supplier, cut), [])
        if not offers:
            return _MatchedLine(line, supplier, cut, None)
        fitting = self._fitting(offers, line)
        if len(fitting) == 1:
            return _MatchedLine(line, supplier, cut, fitting[0])
        self._note_ambiguous(fitting, line)
        return None

    def _new_cut(self, written: str) -> str | None:
        """A cut by another name that the reference table has for it, or one that the scenario has in no variant."""
        cut = self.known.find(written)
        if cut is not None and self.cuts.find(cut.name):
            return cut.name
        if cut is None or any(other.name.startswith(f"{cut.name} (") for other in self.scenario.cuts):
            return None
        self.new_cuts[cut.name] = self._analysed(cut)
        return cut.name

    def _analysed(self, cut: "Cut") -> "Cut":
        """The cut with what the tables of nutrients know of it, as a price list would have it."""
        known = read_foods().known_of(self.known.rows.get(cut.name))
        return replace(cut, analysis=analysis_of(cut, known, {}, self.scenario.bone_calcium))

    def _fitting(self, offers: Sequence[Offer], line: BoughtForm) -> Sequence[Offer]:
        """The offers that the line can be about: each thing it says rules out others as long as it leaves any."""
        rounded = self.scenario.currency.rounded
        tests: Sequence[Callable[[Offer], bool]] = (
            lambda offer: offer.by_weight == (line.packs is None),
            lambda offer: line.item is not None and Names([offer.item]).find(line.item) is not None,
            lambda offer: line.code is not None and Names([offer.code]).find(line.code) is not None,
            lambda offer: line.weight is not None and offer.grams(_units(offer, line)) == half_up(line.weight),
            lambda offer: line.paid is not None and rounded(_exact(offer, line)) == line.paid,
        )
        for test in tests:
            if len(offers) > 1:
                offers = [offer for offer in offers if test(offer)] or offers
        return offers

    def _note_ambiguous(self, offers: Sequence[Offer], line: BoughtForm) -> None:
        choices = "; ".join(self._offer_in_words(offer) for offer in offers)
        message = f"{len(offers)} offers of `{line.cut}` fit: {choices}"
        help_ = "write the `item` or the `code` as on the price list, or what so many packs weigh by it"
        self.notes.add("ambiguous-offer", message, line.at("cut"), help_)

    def _offer_in_words(self, offer: Offer) -> str:
        """An offer in words, with what distinguishes it from others."""
        unit = "by weight" if offer.by_weight else f"packs of {grams_text(offer.grams(1), self.scenario.weight_unit)}"
        code = f", code `{offer.code}`" if offer.code else ""
        return f"`{offer.item}`{code}, {unit}"

    def _note_twice(self, meant: _MatchedLine, first: Place) -> None:
        message = f"`{meant.cut}` of `{meant.supplier}` is on the receipt twice"
        where = f"first written at {first.line}:{first.column}"
        self.notes.add("bought-twice", message, meant.line.at("cut"), "write one line for all of it", where)

    def _of_offer(self, meant: _MatchedLine, offer: Offer) -> Iterator[Received]:
        """What was bought of an offer."""
        line = meant.line
        if not self._is_counted_right(offer, line):
            return
        if self._is_none(line):
            self.none_left.append(offer.key)
            return
        units = _units(offer, line)
        grams = _grams(offer, units, line.weight)
        exact = _exact(offer, line)
        self._doubt(offer, line, exact)
        paid = self.scenario.currency.rounded(exact) if line.paid is None else line.paid
        yield Received(offer.key, meant.supplier, meant.cut, units, grams, paid, line.at("cut"))

    def _is_counted_right(self, offer: Offer, line: BoughtForm) -> bool:
        """Whether what is sold in packs is counted and what is sold by weight is weighed; else it is noted."""
        field, way = ("weight", "by weight") if offer.by_weight else ("packs", "by the pack")
        if offer.by_weight and line.packs is not None:
            message = f"`{offer.cut}` is sold by weight here, so this is no number of packs"
            self.notes.add("wrong-amount", message, line.at("packs"), "write what it weighs as `weight`")
            return False
        if getattr(line, field) is None:
            message = f"`{offer.cut}` is sold {way} here, and the line has no `{field}`"
            self.notes.add("missing-field", message, line.at("cut"), f"add `{field}: ...`")
            return False
        return True

    def _is_none(self, line: BoughtForm) -> bool:
        """Whether the line says that there was none of it; that nothing was paid for or weighed is noted."""
        said = {field: getattr(line, field) for field in ("packs", "weight", "paid")}
        amounts = {field: much for field, much in said.items() if much is not None and field != "paid"}
        if 0 not in amounts.values():
            return False
        against = next((field for field, much in said.items() if much), None)
        if against is not None:
            nothing = next(field for field, much in amounts.items() if much == 0)
            message = f"`{nothing}` says that there was none, and `{against}` that there was some"
            self.notes.add("line-against-itself", message, line.at(against), "change one of the two, or take it out")
        return True

    def _doubt(self, offer: Offer, line: BoughtForm, exact: Fraction) -> None:
        """Warn of a weight or a price that is far from the list's."""
        if line.packs and line.weight is not None:
            listed_g = offer.unit_g * line.packs
            most_g = listed_g * (1 + UNLIKE) if offer.heaviest_g is None else offer.heaviest_g * line.packs
            if not listed_g * (1 - UNLIKE) <= line.weight <= most_g:
                told, weighed = (
                    grams_text(half_up(number), self.scenario.weight_unit) for number in (listed_g, line.weight)
                )
                message = f"`{offer.cut}` weighs {weighed}, and by the list {told}"
                self.notes.add("unlike-the-list", message, line.at("weight"), "check the packs and the weight")
        currency = self.scenario.currency
        asked = currency.rounded(exact)
        if line.paid is not None and Fraction(abs(line.paid - asked)) > Fraction(asked) * UNLIKE:
            paid = currency.text(line.paid)
            message = f"{paid} was paid for `{offer.cut}`, and the list asks {currency.text(asked)}"
            self.notes.add("unlike-the-list", message, line.at("paid"), "check the amount and the money")

    def _substitute(self, meant: _MatchedLine) -> Iterator[Received]:
        """What was bought of a cut that is on no list of the supplier."""
        line, missing = meant.line, [field for field in ("weight", "paid") if getattr(meant.line, field) is None]
        if self._is_none(line):
            return
        for field in missing:
            message = f"`{meant.cut}` is on no list of `{meant.supplier}`, and the line has no `{field}`"
            self.notes.add("missing-field", message, line.at("cut"), f"add `{field}: ...`")
        if line.weight is not None and line.paid is not None:
            grams = max(half_up(line.weight), 1)
            yield Received("", meant.supplier, meant.cut, line.packs or 1, grams, line.paid, line.at("cut"))


def _units(offer: Offer, line: BoughtForm) -> int:
    """How many units of the offer that is; of a step by weight the nearest number, but some where there is any."""
    if not offer.by_weight:
        return line.packs or 0
    weight = line.weight or Fraction(0)
    whole = weight // offer.unit_g
    exactly = whole * offer.unit_g == weight or offer.grams(whole) == weight
    return whole if exactly else max(half_up(weight / offer.unit_g), 1)


def _grams(offer: Offer, units: int, weight: Fraction | None) -> int:
    """What it weighs in whole grams: as weighed, or as listed."""
    return offer.grams(units) if weight is None or weight == offer.unit_g * units else max(half_up(weight), 1)


def _exact(offer: Offer, line: BoughtForm) -> Fraction:
    """The list price of that amount, before rounding; a catch weight is charged by what it weighs."""
    units = _units(offer, line)
    by_weight = offer.by_weight or offer.heaviest_g is not None
    as_listed = line.weight is None or _grams(offer, units, line.weight) == offer.grams(units)
    quantity = Fraction(units) if as_listed or not by_weight else (line.weight or Fraction(0)) / offer.unit_g
    return offer.step_for(units).unit_price * quantity
