"""A dialogue in the terminal: one question after the other, each asked until its answer can be read, with a way back.

Whoever asks is a plain function from a dialogue to what came of it. To go back it is run again from its start, with all
answers but the last given for it; so nothing that was typed is lost, and no question knows of the one before it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from raworder import console

Answer = TypeVar("Answer")
Outcome = TypeVar("Outcome")

BACK = "back"
"""What is typed to go back one question."""

HOW = "Enter takes what stands in brackets, `back` goes one question back, Ctrl-C ends and writes nothing.\n\n"


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked; Enter answers `default`, shown in brackets unless that is nothing, and `option` answers it too."""

    words: str
    default: str | None = None
    option: str = ""
    of_list: bool = False
    """Whether it is about a price list: those are asked in a terminal even where all else was said by options."""


class MissingError(Exception):
    """Nobody can be asked, or nobody answers any more; it says which question is open."""

    def __init__(self, question: Question) -> None:
        super().__init__(question.words)
        self.question = question


class _BackError(Exception):
    """The person wants to answer the last question again."""


class Dialogue:
    """Questions and answers so far; `asks` is whether anything but price lists is asked about."""

    def __init__(self, *, asks: bool) -> None:
        self.asks = asks
        self._answers: list[object] = []
        self._at = 0

    def of(self, asking: Callable[["Dialogue"], Outcome]) -> Outcome:
        """What comes of the questions that a function asks."""
        while True:
            self._at = 0
            try:
                return asking(self)
            except _BackError:
                self._answers = self._answers[:-1]

    def say(self, text: str) -> None:
        """Tell something that belongs to the next question, unless that has been answered already."""
        if self._at == len(self._answers):
            console.say_words(text)

    def ask(self, question: Question, read: Callable[[str], Answer]) -> Answer:
        """What the answer reads as; what cannot be read is told, and asked again."""
        if not self.asked(question):
            return _by_default(question, read)
        if self._at < len(self._answers):
            self._at += 1
            return self._answers[self._at - 1]  # type: ignore[return-value]  # it was read by this very question
        answer = self._asked(question, read)
        self._answers.append(answer)
        self._at += 1
        return answer

    def asked(self, question: Question) -> bool:
        """Whether a question is put to a person at all."""
        return self.asks or (question.of_list and console.is_asked())

    def _asked(self, question: Question, read: Callable[[str], Answer]) -> Answer:
        from raworder.units import UnitError

        while True:
            try:
                return read(self._line(question) or question.default or "")
            except UnitError as error:
                console.tell(f"{error}: {error.help}\n")

    def _line(self, question: Question) -> str:
        """One line that a person typed; nothing where it only pressed Enter, which a default must allow."""
        while True:
            line = _typed(question)
            if line.casefold() == BACK and self._answers:
                raise _BackError
            if line.casefold() == BACK:
                console.tell("this is the first question\n")
            elif line or question.default is not None:
                return line
            else:
                console.tell("this has no default: type an answer, or `back`\n")


def _typed(question: Question) -> str:
    """The next line of standard input."""
    console.say_words(f"{question.words}{f' [{question.default}]' if question.default else ''}: ")
    line = console.read_line()
    if not console.is_asked() or not line:
        console.say("\n")  # nobody typed the end of the line
    if not line:
        raise MissingError(question)
    return line.strip()


def _by_default(question: Question, read: Callable[[str], Answer]) -> Answer:
    """What the default reads as, where nobody is asked."""
    if question.default is None:
        raise MissingError(question)
    return read(question.default)
