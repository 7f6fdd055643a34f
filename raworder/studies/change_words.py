"""Changes as people type them: `price of beef +10 %`, `one more like Maple`, `Juniper away 3 days`, `room 20 kg`."""

import re
from collections.abc import Callable, Mapping
from math import ceil
from types import MappingProxyType

from raworder.dogs import Dog
from raworder.reading.names import folded, nearest, normal
from raworder.reading.patterns import PATTERNS
from raworder.reporting.words import counted
from raworder.studies.change import Away, Budget, Change, OneMore, Pattern, Price, Room, Without
from raworder.studies.offers_named import Meant, offers_named, supplements_named
from raworder.trade import Scenario
from raworder.units import UnitError, grams_text, read_count, read_grams, read_money, read_percent

FORMS = (
    "price of beef +10 %",
    "price of beef trim at SUPPLIER -5 %",
    "one more like DOG",
    "without DOG",
    "DOG away 3 days",
    "DOG on BARF",
    "everyone on prey model",
    "room 20 kg",
    "any room",
    "budget 50.00",
    "any budget",
)
"""Every form that a change can have."""

EVERYONE = frozenset({"everyone", "every dog", "all dogs", "all"})


class ChangeError(ValueError):
    """A change that cannot be read; `help` is the one thing to do about it."""

    def __init__(self, message: str, help: str) -> None:  # noqa: A002 - the field's name
        super().__init__(message)
        self.help = help


def read_change(text: str, scenario: Scenario) -> Change:
    """The change that the words ask for, about what is in the scenario; ChangeError for any others."""
    words = normal(text)
    for form, read in READERS.items():
        match = re.fullmatch(form, words, re.IGNORECASE)
        if match:
            try:
                return read(scenario, *match.groups())
            except UnitError as error:
                raise ChangeError(str(error), error.help) from None
    raise ChangeError(f"`{words}` is no change that can be asked about", f"write one like {_quoted(FORMS)}")


def _price(scenario: Scenario, what: str, sign: str | None, percent: str) -> Change:
    """Offers up or down by a percentage."""
    if sign is None:
        help_ = f"write `price of {what} +{percent}` or `price of {what} -{percent}`"
        raise ChangeError("the price goes up or down, but the sign is missing", help_)
    share, percent = read_percent(percent), f"{percent.removesuffix('%').strip()} %"
    is_up = sign == "+"
    if not is_up and share >= 1:
        raise ChangeError(f"a price cannot fall by {percent}", "name less than 100 %")
    meant, supplements = offers_named(what, scenario), supplements_named(what, scenario)
    if not meant.offers and not supplements:
        raise ChangeError(meant.wrong, meant.help)
    keys, packs = frozenset(one.key for one in meant.offers), frozenset(one.key for one in supplements)
    about = frozenset({f"price of {', '.join(sorted(keys | packs))}"})
    says = f"price of {what} {'+' if is_up else '-'}{percent} ({_which(meant, len(packs))})"
    return Price(says, about, keys, 1 + share if is_up else 1 - share, packs)


def _which(meant: Meant, packs: int) -> str:
    """How many offers are meant, those of supplements too, and that mixed products are not among them."""
    return counted(len(meant.offers) + packs, "offer") + (", mixed products left as they are" if meant.mixed else "")


def _one_more(scenario: Scenario, name: str) -> Change:
    """One dog more."""
    like = _dog(name, scenario)
    return OneMore(f"one more like {like.name}", frozenset(), like)


def _without(scenario: Scenario, name: str) -> Change:
    """One dog less."""
    dog = _dog(name, scenario)
    if len(scenario.dogs) == 1:
        raise ChangeError(f"without `{dog.name}` there is no dog left to feed", "name a dog of several")
    return Without(f"without {dog.name}", frozenset({f"days of {dog.name}"}), dog.name)


def _away(scenario: Scenario, name: str, number: str) -> Change:
    """A dog that is away on its last days."""
    dog, days = _dog(name, scenario), read_count(number)
    fed = sum(grams > 0 for grams in dog.day_g)
    if not 0 < days < fed:
        help_ = f"name 1 to {fed - 1} days, or write `without {dog.name}`"
        raise ChangeError(f"`{dog.name}` is fed on {counted(fed, 'day')} of the batch", help_)
    says = f"{dog.name} away the last {counted(days, 'day')}" if days > 1 else f"{dog.name} away the last day"
    return Away(says, frozenset({f"days of {dog.name}"}), dog.name, days)


def _pattern(scenario: Scenario, who: str, name: str) -> Change:
    """Other targets for one dog or for all."""
    named = {folded(one): one for one in PATTERNS}
    if folded(name) not in named:
        raise ChangeError(f"`{name}` is no pattern of targets", f"write {_quoted(tuple(PATTERNS))}")
    pattern = named[folded(name)]
    if folded(who) in EVERYONE and folded(who) not in {folded(dog.name) for dog in scenario.dogs}:
        about = frozenset(f"targets of {dog.name}" for dog in scenario.dogs)
        but = ", but for those in care" if any(dog.care for dog in scenario.dogs) else ""
        return Pattern(f"everyone on {pattern}{but}", about, pattern)
    dog = _dog(who, scenario)
    if dog.care:
        help_ = "ask the veterinarian, and change `vet_amounts` in the scenario"
        raise ChangeError(f"`{dog.name}` is in care and gets only what the veterinarian gave", help_)
    return Pattern(f"{dog.name} on {pattern}", frozenset({f"targets of {dog.name}"}), pattern, dog.name)


def _room(scenario: Scenario, text: str) -> Change:
    """Another room."""
    room_g = ceil(read_grams(text))
    return Room(f"room {grams_text(room_g, scenario.weight_unit)}", frozenset({"room"}), room_g)


def _budget(scenario: Scenario, text: str) -> Change:
    """Another budget."""
    budget = read_money(text, scenario.currency)
    return Budget(f"budget {scenario.currency.text(budget)}", frozenset({"budget"}), budget)


def _any_room(_: Scenario) -> Change:
    return Room("any room", frozenset({"room"}), None)


def _any_budget(_: Scenario) -> Change:
    return Budget("any budget", frozenset({"budget"}), None)


def _dog(name: str, scenario: Scenario) -> Dog:
    """The dog of that name."""
    dogs = {folded(dog.name): dog for dog in scenario.dogs}
    if folded(name) in dogs:
        return dogs[folded(name)]
    close = nearest(name, dogs)
    some = tuple(dog.name for dog in scenario.dogs)
    help_ = f"did you mean `{dogs[close].name}`?" if close else f"the dogs are {_quoted(some)}"
    raise ChangeError(f"no dog is called `{name}`", help_)


def _quoted(words: tuple[str, ...]) -> str:
    """Words in backticks; many are cut short."""
    shown = words if len(words) <= len(FORMS) else (*words[: len(FORMS) - 1], "...")
    return ", ".join(f"`{word}`" for word in shown)


READERS: Mapping[str, Callable[..., Change]] = MappingProxyType(
    {
        r"prices? of (.+?) *([-+\u2212])? *([0-9.,]+ *%)": _price,
        r"one more like (.+)": _one_more,
        r"without (.+)": _without,
        r"(.+) away (?:for )?([0-9]+) days?": _away,
        r"(.+) on (.+)": _pattern,
        r"any room": _any_room,
        r"any budget": _any_budget,
        r"room (.+)": _room,
        r"budget (.+)": _budget,
    }
)
"""How each form looks, and what reads it; the first that fits does."""
