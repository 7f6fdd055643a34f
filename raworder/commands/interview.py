"""The questions of `start`: one after the other, each asked until its answer can be read, with a way back."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from raworder.commands import console

if TYPE_CHECKING:
    from raworder.reading.answers import KnownNames
    from raworder.trade.draft import DogDraft, Draft, OfferDraft, SupplierDraft, UnreadRow


Answer = TypeVar("Answer")
Outcome = TypeVar("Outcome")

BACK = "back"
"""What is typed to go back one question."""

HOW_TO_ANSWER = (
    "Enter takes what stands in brackets, `back` goes one question back, Ctrl-C ends and writes nothing.\n\n"
)


@dataclass(frozen=True, slots=True)
class Question:
    """A question: Enter takes `default`, shown in brackets unless empty; `option` is the option that answers it too."""

    words: str
    default: str | None = None
    option: str = ""
    of_list: bool = False
    """Whether it is about a price list: these are asked in a terminal even where options answer all else."""


class MissingError(Exception):
    """Nobody is there to answer, or input has ended; it holds the open question."""

    def __init__(self, question: Question) -> None:
        super().__init__(question.words)
        self.question = question


class _BackError(Exception):
    """The person typed `back` to answer the last question again."""


class Dialogue:
    """The answers so far, so that a run of questions can be repeated without asking them again.

    `asks` is whether anything but price lists is asked about.
    """

    def __init__(self, *, asks: bool) -> None:
        self.asks = asks
        self._answers: list[object] = []
        self._at = 0

    def of(self, interview: Callable[["Dialogue"], Outcome]) -> Outcome:
        """The result of a function that asks questions; after `back` it is run again with all answers but the last.

        So the function stays a plain one: no question needs to know the one before it.
        """
        while True:
            self._at = 0
            try:
                return interview(self)
            except _BackError:
                self._answers = self._answers[:-1]

    def say(self, text: str) -> None:
        """Print what belongs to the next question, unless that is answered already."""
        if self._at == len(self._answers):
            console.say_words(text)

    def warn(self, text: str) -> None:
        """Print a warning on standard error, unless what follows it is answered already."""
        if self._at == len(self._answers):
            console.tell(text)

    def ask(self, question: Question, read: Callable[[str], Answer]) -> Answer:
        """The answer, read; where it cannot be read the reason is printed and the question asked again."""
        if not self.is_put(question):
            return _read_default(question, read)
        if self._at < len(self._answers):
            self._at += 1
            return self._answers[self._at - 1]  # type: ignore[return-value]  # it was read by this very question
        answer = self._read_answer(question, read)
        self._answers.append(answer)
        self._at += 1
        return answer

    def is_put(self, question: Question) -> bool:
        """Whether a person is asked this question at all."""
        return self.asks or (question.of_list and console.is_interactive())

    def _read_answer(self, question: Question, read: Callable[[str], Answer]) -> Answer:
        from raworder.trade.units import UnitError

        while True:
            try:
                return read(self._ask_line(question) or question.default or "")
            except UnitError as error:
                console.tell(f"{error}: {error.help}\n")

    def _ask_line(self, question: Question) -> str:
        """One line that a person typed; empty for Enter alone, which needs a default."""
        while True:
            line = _ask_line(question)
            if line.casefold() == BACK and self._answers:
                raise _BackError
            if line.casefold() == BACK:
                console.tell("this is the first question\n")
            elif line or question.default is not None:
                return line
            else:
                console.tell("this has no default: type an answer, or `back`\n")


def _ask_line(question: Question) -> str:
    """Print the question and read one line; MissingError at the end of input."""
    console.say_words(f"{question.words}{f' [{question.default}]' if question.default else ''}: ")
    line = console.read_line()
    if not console.is_interactive() or not line:
        console.say("\n")  # no Enter key ended the line on the screen
    if not line:
        raise MissingError(question)
    return line.strip()


def _read_default(question: Question, read: Callable[[str], Answer]) -> Answer:
    """The default, read, where nobody is asked; MissingError without one."""
    if question.default is None:
        raise MissingError(question)
    return read(question.default)


SCHEMA = "scenario.schema.json"
"""The name of the JSON Schema that lies beside a scenario."""

AskDog = Callable[[Dialogue, "Draft"], "DogDraft"]
"""Asks about the next dog of a draft."""

ListOffers = Callable[[Dialogue, "Draft", str, Path], "Draft"]
"""Adds a supplier of that name, made from a price list, to the draft; `UnitError` where the list cannot be read."""


@dataclass(frozen=True, slots=True)
class OptionAnswers:
    """The answers that options gave, read like typed ones; empty is what is still to be asked."""

    currency: str = ""
    starts: str = ""
    days: str = ""
    units: str = ""
    title: str = ""
    dogs: "tuple[DogDraft, ...]" = ()
    suppliers: "tuple[SupplierDraft, ...]" = ()
    price_list: Path | None = None
    seller: str = ""

    @property
    def missing(self) -> tuple[str, ...]:
        """The needed options that were not given."""
        needed = {"--currency": self.currency, "--starts": self.starts, "--dog": self.dogs}
        return tuple(option for option, answer in needed.items() if not answer)

    @property
    def draft(self) -> "Draft":
        """The scenario as far as options describe it."""
        from raworder.trade.draft import Draft

        days, units = self.days or "14", self.units or "kg"
        return Draft(self.currency, self.starts, days, units, self.dogs, self.suppliers, title=self.title)


@dataclass(frozen=True, slots=True)
class Interview:
    """One interview: answers given by options, where it is saved, known names, who asks about dogs and reads lists."""

    options: OptionAnswers
    path: Path
    known: "KnownNames"
    ask_dog: AskDog
    list_offers: ListOffers

    def draft(self, talk: Dialogue) -> "Draft":
        """The scenario from all answers."""
        draft = self._ask_dogs(talk, self._ask_frame(talk))
        draft = replace(draft, suppliers=self.options.suppliers)
        if self.options.price_list is not None:
            draft = self._list_supplier(talk, draft, self.options.price_list)
        if not draft.suppliers or talk.asks:
            draft = self._ask_suppliers(talk, draft)
        return draft

    def _ask_frame(self, talk: Dialogue) -> "Draft":
        from raworder.reading.answers import CURRENCY, DAY, DAYS, UNITS, check_answer
        from raworder.trade.draft import Draft

        def take_or_ask(given: str, question: Question, kind: Any) -> str:
            """What an option gave, or the answer to the question."""
            return given or talk.ask(question, lambda text: check_answer(text, kind))

        currency = self.options.currency or talk.ask(
            Question("Currency of all prices", "EUR"), lambda text: check_answer(text.upper(), CURRENCY)
        )
        starts = take_or_ask(self.options.starts, Question("First day fed, such as 2027-02-06"), DAY)
        days = take_or_ask(self.options.days, Question("Days fed from one order", "14"), DAYS)
        units = take_or_ask(self.options.units, Question("Weights on the papers in kg or lb", "kg"), UNITS)
        return Draft(currency, starts, days, units, title=self.options.title)

    def _ask_dogs(self, talk: Dialogue, draft: "Draft") -> "Draft":
        if self.options.dogs:
            return replace(draft, dogs=self.options.dogs)
        from raworder.reading.answers import yes_or_no

        more = True
        while more:
            talk.say(f"\nDog {len(draft.dogs) + 1}\n")
            draft = replace(draft, dogs=(*draft.dogs, self.ask_dog(talk, draft)))
            more = talk.ask(Question("Another dog?", "no"), yes_or_no)
        return draft

    def _ask_suppliers(self, talk: Dialogue, draft: "Draft") -> "Draft":
        talk.say("\nWho sells\n" if talk.asks else "")
        while name := self._ask_seller(talk, [supplier.name for supplier in draft.suppliers]):
            draft = self._ask_supplier(talk, draft, name)
        return draft

    def _ask_seller(self, talk: Dialogue, names: Sequence[str]) -> str:
        question = Question(f"Name of a supplier (Enter: {'no more' if names else 'none yet'})", "")
        return talk.ask(question, lambda text: new_name(text, names) if text else "")

    def _ask_supplier(self, talk: Dialogue, draft: "Draft", name: str) -> "Draft":
        from raworder.trade.units import UnitError

        question = Question("Its price list, a file (Enter: type the offers)", "")
        path = talk.ask(question, lambda text: existing_file(text) if text else None)
        if path is None:
            return self._ask_offers(talk, draft, name)
        try:
            return self.list_offers(talk, draft, name, path)
        except UnitError as error:
            talk.say(f"{error}: {error.help}\n")
            return draft

    def _list_supplier(self, talk: Dialogue, draft: "Draft", path: Path) -> "Draft":
        names = [supplier.name for supplier in draft.suppliers]
        question = Question(f"Name of the supplier of {path.name}", path.stem, "--supplier", of_list=True)
        name = self.options.seller or talk.ask(question, lambda text: new_name(text, names))
        return self.list_offers(talk, draft, name, path)

    def _ask_offers(self, talk: Dialogue, draft: "Draft", name: str) -> "Draft":
        from raworder.trade.draft import SupplierDraft

        before = draft.suppliers
        supplier = SupplierDraft(name)
        while True:
            question = Question(f"Cut {len(supplier.offers) + 1} of {name} (Enter: no more)", "")
            cut = talk.ask(question, lambda text: self.known.cut(text) if text else "")
            if not cut:
                return replace(draft, suppliers=(*before, supplier))
            supplier = self._ask_offer(talk, draft, supplier, cut)

    def _ask_offer(self, talk: Dialogue, draft: "Draft", supplier: "SupplierDraft", cut: str) -> "SupplierDraft":
        from raworder.reading.answers import PACK, PRICE, check_answer
        from raworder.reading.currencies import read_currency

        pack = talk.ask(
            Question("Pack, such as 1 kg (Enter: sold by weight)", ""),
            lambda text: check_answer(text, PACK) if text else "",
        )

        def with_price(text: str) -> "SupplierDraft":
            """The supplier with one more offer at that price, once the reader accepts the scenario with it."""
            added = offer_draft(cut, pack, check_answer(text, PRICE, read_currency(draft.currency)))
            longer = replace(supplier, offers=(*supplier.offers, added))
            check_draft(replace(draft, suppliers=(*draft.suppliers, longer)), self.path)
            return longer

        question = "Price of a pack, such as 2.40, or 6.20 per kg" if pack else "Price, such as 6.20 per kg"
        return talk.ask(Question(question), with_price)


PATTERN = "prey model"
"""The pattern that Enter alone chooses."""


def check_draft(draft: "Draft", path: Path) -> None:
    """Raise `UnitError` with the first reason why the draft cannot be read as far as it goes."""
    from raworder.reading.scenario_file import draft_errors
    from raworder.rendering.files_to_fill import scenario_text
    from raworder.trade.units import UnitError

    for finding in draft_errors(scenario_text(draft, SCHEMA), path):
        raise UnitError(finding.message, finding.help, finding.slug)


def keep_readable_rows(draft: "Draft", path: Path) -> "Draft":
    """The draft in which offers from a price list that the reader refuses have become unread rows with the reason."""
    from raworder.reading.scenario_file import draft_errors
    from raworder.rendering.files_to_fill import offer_lines, scenario_text

    text = scenario_text(draft, SCHEMA)
    reason_by_line = {finding.place.line: finding.message for finding in reversed(draft_errors(text, path))}
    reasons = iter([reason_by_line.get(line, "") for line in offer_lines(text)])
    suppliers = []
    for seller in draft.suppliers:
        offers, unread, names = list(seller.offers), list(seller.unread), seller.names
        for row_offer in seller.offers:
            reason = next(reasons) if row_offer.cut and not seller.price_list else ""
            if reason and row_offer.line:
                offers.remove(row_offer)
                unread.append(unread_row(row_offer, reason))
                names = names and names.without(dict(row_offer.fields).get("item", row_offer.cut))
        suppliers.append(replace(seller, offers=tuple(offers), unread=tuple(unread), names=names))
    return replace(draft, suppliers=tuple(suppliers))


def unread_row(refused: "OfferDraft", why: str) -> "UnreadRow":
    """The row of an offer that the reader refuses, with the reason."""
    from raworder.trade.draft import UnreadRow

    return UnreadRow(refused.line, ", ".join((refused.cut, *dict(refused.fields).values())), why, refused=True)


def offer_draft(cut: str, pack: str, price: str) -> "OfferDraft":
    """An offer of a cut, by the pack or by weight."""
    from raworder.trade.draft import OfferDraft

    return OfferDraft(cut, (*((("pack", pack),) if pack else ()), ("price", price)))


def new_name(text: str, names: Sequence[str]) -> str:
    """A name, read; UnitError where one of `names` is the same."""
    from raworder.reading.answers import NAME, check_answer
    from raworder.reading.names import fold_name
    from raworder.trade.units import UnitError

    name = check_answer(text, NAME)
    if fold_name(name) in {fold_name(name) for name in names}:
        raise UnitError(f"two are called `{name}`", "give each a name of its own")
    return name


def existing_file(text: str) -> Path:
    """The path of an existing file; UnitError where there is none."""
    from raworder.reading.answers import printable
    from raworder.trade.units import UnitError

    path = Path(printable(text))
    try:
        exists = path.is_file()
    except (OSError, ValueError):
        exists = False
    if not exists:
        raise UnitError(f"there is no file `{path}`", "check the name and the folder")
    return path
