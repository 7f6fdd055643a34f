"""`start`: begin a scenario from answers or options, as a commented file that is read back at once."""

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from shlex import quote
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from raworder.commands import console
from raworder.commands.desk import FILE, Exit, shows_findings, tell
from raworder.commands.interview import (
    HOW,
    PATTERN,
    SCHEMA,
    Dialogue,
    Interview,
    MissingError,
    OptionAnswers,
    check_draft,
    existing,
    keep_readable_rows,
    new_name,
    offer,
)
from raworder.commands.list_interview import ListInterview, ListSaid

if TYPE_CHECKING:
    from raworder.reading.answers import KnownNames
    from raworder.reading.scenario_file import Reading
    from raworder.trade.draft import DogDraft, Draft, SupplierDraft


Read = TypeVar("Read")

PRINTED = Path("-")
"""The name of a file that means standard output."""


@click.command()
@click.argument("file", type=FILE, default="scenario.yaml")
@shows_findings
@click.option("--currency", metavar="CODE", help="The currency of all prices, such as EUR.")
@click.option("--starts", metavar="DAY", help="The first day fed, such as 2027-02-06.")
@click.option("--days", metavar="NUMBER", help="How many days are fed from one order; 14 if not said.")
@click.option("--title", metavar="TEXT", help="What the papers are headed with; the dogs' names if not said.")
@click.option("--units", metavar="UNIT", help="kg or lb, for the papers; kg if not said.")
@click.option("--dog", "dogs", multiple=True, metavar="DOG", help='Such as "Maple, 22 kg, 2.5 %, prey model".')
@click.option("--avoid", multiple=True, metavar="NAME: WORDS", help='Such as "Maple: chicken, whole bone".')
@click.option(
    "--offer", "offers", multiple=True, metavar="NAME: OFFER", help='"Hollow Lane: chicken neck, 1 kg, 2.40".'
)
@click.option("--from", "price_list", type=FILE, metavar="FILE", help="Draft offers from this price list.")
@click.option("--supplier", metavar="NAME", help="Who sells what is on that list; the file's name if not said.")
@click.option("--column", "columns", multiple=True, metavar="FIELD=HEADING", help="Which column is cut, pack or price.")
@click.option("--match", "matches", multiple=True, metavar="THEIRS=OURS", help="Which cut a name on the list is.")
@click.option("--price-per", metavar="WHAT", help="What the list's prices are for: pack, kg, 100 g, lb or oz.")
@click.option("--pack-unit", metavar="UNIT", help="The unit of its packs that say none: g, kg, oz or lb.")
@click.option("--decimal", type=click.Choice([".", ","]), help="Its decimal mark, if that is in doubt.")
@click.option("--separator", type=click.Choice([",", ";", "tab"]), help="What stands between its cells.")
@click.option("--encoding", type=click.Choice(["cp1252", "latin-1"]), help="Its encoding; UTF-8 if not said.")
@click.option("--overwrite", is_flag=True, help="Replace files that are there already.")
def start(file: Path, *, overwrite: bool, **options: Any) -> None:
    """Begin a scenario by answering a few questions.

    FILE is `scenario.yaml` if not said; `-` prints the scenario. With --currency, --starts and --dog nothing else is
    asked, but for what a price list leaves open in a terminal. Names on a list are never matched by likeness: you
    confirm each, or it is left out.
    """
    if file == PRINTED:
        _print(_told(file, options))
    else:
        schema = _refuse_to_replace(file, overwrite=overwrite)
        _write(_told(file, options), file, schema, overwrite=overwrite)


def _refuse_to_replace(file: Path, *, overwrite: bool) -> Mapping[Path, bytes]:
    """The schema to be written beside the file, if it is not there; FileExistsError before anything is asked."""
    from raworder.commands.saving import target_of
    from raworder.reading.form import scenario_schema_text

    target_of(file)  # before anything is asked
    path, content = file.parent / SCHEMA, scenario_schema_text().encode()
    same = path.is_file() and path.read_bytes() == content
    for one in (file,) if same else (file, path):
        if (one.exists() or one.is_symlink()) and not overwrite:
            raise FileExistsError(f"`{one}` is there already; add --overwrite to replace it")
    return {} if same else {path: content}


def _told(file: Path, options: Mapping[str, Any]) -> "Draft":
    """The scenario as options and answers tell it; where nobody can be asked, a usage error names what is missing."""
    from raworder.reading.answers import known
    from raworder.trade.units import UnitError

    names, said = known(), None
    try:
        said, of_list = _said(options, names, file), _said_of_list(options, names)
        interview = Interview(said, file, names, ListInterview(of_list, file, names))
        talk = Dialogue(asks=bool(said.missing))
        console.say(HOW if talk.asks else "")
        return keep_readable_rows(talk.of(interview.draft), file)
    except UnitError as error:
        raise click.UsageError(f"{error}: {error.help}" if error.help else str(error)) from None
    except MissingError as error:
        _stop_asking(error, said)


def _stop_asking(error: MissingError, said: "OptionAnswers | None") -> NoReturn:
    """End where no answer comes any more."""
    from raworder.reading.names import join_in_backticks

    if console.is_asked():
        console.tell("raworder: no more answers, so nothing is written\n")
        sys.exit(Exit.REFUSED)
    missing = (said.missing if said else ()) or tuple(filter(None, [error.question.option]))
    what = f"give {join_in_backticks(missing, 'and')}" if missing else f"`{error.question.words}` has no answer"
    raise click.UsageError(f"there is no terminal to ask in, and standard input says no more: {what}")


def _said(options: Mapping[str, Any], names: "KnownNames", file: Path) -> OptionAnswers:
    """What the options say of money, days, dogs and who sells."""
    from raworder.reading.answers import CURRENCY, DAY, DAYS, NAME, UNITS
    from raworder.reading.names import join_in_backticks
    from raworder.trade.units import UnitError

    said = OptionAnswers(
        currency=_as("--currency", options["currency"], CURRENCY),
        starts=_as("--starts", options["starts"], DAY),
        days=_as("--days", options["days"], DAYS),
        title=_as("--title", options["title"], NAME),
        units=_as("--units", options["units"], UNITS),
        dogs=_dogs(options["dogs"], options["avoid"], names),
        suppliers=_sellers(options["offers"], options["currency"], names),
        price_list=_by("--from", existing, str(options["price_list"])) if options["price_list"] else None,
    )
    sellers = [supplier.name for supplier in said.suppliers]
    if options["supplier"]:
        said = replace(said, seller=_by("--supplier", lambda text: new_name(text, sellers), options["supplier"]))
    if not said.missing:
        check_draft(said.draft, file)
    elif file == PRINTED:
        raise UnitError(
            "nothing is asked where the scenario is printed", f"give {join_in_backticks(said.missing, 'and')}"
        )
    return said


def _said_of_list(options: Mapping[str, Any], names: "KnownNames") -> ListSaid:
    """What the options say of a price list."""
    from raworder.reading.answers import read_choice
    from raworder.reading.foreign_lists import BASES, TOLD, WEIGHTS

    def one_of(option: str, choices: Sequence[str]) -> str:
        """One of a few words as an option says it; empty where it is not said."""
        said = options[option.removeprefix("--").replace("-", "_")]
        return _by(option, lambda text: read_choice(text, choices), said) if said else ""

    columns = {
        _by("--column", lambda text: read_choice(text, TOLD), field): heading
        for field, heading in _pairs("--column", options["columns"])
    }
    matches = {theirs: _by("--match", names.cut, ours) for theirs, ours in _pairs("--match", options["matches"])}
    return ListSaid(
        columns=columns,
        matches=matches,
        price_per=one_of("--price-per", BASES),
        pack_unit=one_of("--pack-unit", WEIGHTS),
        decimal=options["decimal"] or "",
        separator=options["separator"] or "",
        encoding=options["encoding"] or "",
    )


def _pairs(option: str, texts: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Both sides of each `THIS=THAT`."""
    for text in texts:
        this, equals, that = text.rpartition("=") if option == "--match" else text.partition("=")
        if not equals or not this.strip():
            raise click.UsageError(f"{option} `{text}` has no `=`: write it as in `{EXAMPLES[option]}`")
        yield this.strip(), that.strip()


EXAMPLES: Mapping[str, str] = MappingProxyType(
    {
        "--column": "cut=Article",
        "--match": "chicken necks=chicken neck",
        "--avoid": "Maple: chicken",
        "--offer": "Hollow Lane Butcher: chicken neck, 1 kg, 2.40",
    }
)
"""How options that hold two things are written."""


def _as(option: str, text: str | None, kind: Any) -> str:
    """The text of an option, once it could be read as a field of that kind; nothing where it is not given."""
    from raworder.reading.answers import check_answer

    return "" if text is None else _by(option, lambda said: check_answer(said, kind), text)


def _by(option: str, read: Callable[[str], Read], text: str) -> Read:
    """What an option reads as; what cannot be read is a usage error that names it."""
    from raworder.trade.units import UnitError

    try:
        return read(text)
    except UnitError as error:
        raise UnitError(f"{option}: {error}", error.help, error.slug) from None


def _dogs(texts: Sequence[str], avoid: Sequence[str], names: "KnownNames") -> "tuple[DogDraft, ...]":
    """The dogs that options tell of, with what each must not eat."""
    dogs: dict[str, DogDraft] = {}
    for text in texts:
        dog = _by("--dog", lambda said: _dog(said, tuple(dogs)), text)
        dogs[dog.name] = dog
    for text in avoid:
        name, words = _about("--avoid", text, tuple(dogs))
        more = _by("--avoid", names.avoided, words)
        dogs[name] = replace(dogs[name], avoid=tuple(dict.fromkeys((*dogs[name].avoid, *more))))
    return tuple(dogs.values())


def _dog(text: str, others: Sequence[str]) -> "DogDraft":
    """A dog from one line."""
    from raworder.reading.answers import read_dog_line

    told = read_dog_line(text)
    new_name(told.name, others)
    return told if told.pattern or told.care else replace(told, pattern=PATTERN)


def _about(option: str, text: str, names: Sequence[str]) -> tuple[str, str]:
    """Which of the names a text begins with, before a colon, and what follows; the longest name that fits."""
    from raworder.reading.names import fold_name, join_in_backticks, normalise_name

    said = normalise_name(text)
    for name in sorted(names, key=len, reverse=True):
        if fold_name(said[: len(name)]) == fold_name(name) and said[len(name) :].lstrip().startswith(":"):
            return name, said[len(name) :].lstrip()[1:]
    whom = f"begin with {join_in_backticks(names)} and a colon" if names else "give it with `--dog`"
    raise click.UsageError(f"{option} `{text}` is about no dog that is given: {whom}, as in `{EXAMPLES[option]}`")


def _sellers(texts: Sequence[str], currency: str | None, names: "KnownNames") -> "tuple[SupplierDraft, ...]":
    """The suppliers that options tell of, with their offers."""
    from raworder.reading.answers import NAME, check_answer, read_offer_line
    from raworder.reading.names import fold_name
    from raworder.trade.draft import SupplierDraft

    if texts and not currency:
        raise click.UsageError("--offer needs --currency")
    sellers: dict[str, SupplierDraft] = {}
    for text in texts:
        name, colon, line = text.partition(":")
        if not colon:
            raise click.UsageError(f"--offer `{text}` names no supplier: write it as in `{EXAMPLES['--offer']}`")
        cut, pack, price = _by("--offer", lambda said: read_offer_line(said, currency or ""), line)
        draft = offer(_by("--offer", names.cut, cut), pack, price)
        seller = SupplierDraft(_by("--offer", lambda said: check_answer(said, NAME), name))
        before = sellers.get(fold_name(seller.name), seller)
        sellers[fold_name(seller.name)] = replace(before, offers=(*before.offers, draft))
    return tuple(sellers.values())


def _write(draft: "Draft", file: Path, schema: Mapping[Path, bytes], *, overwrite: bool) -> NoReturn:
    """Write the scenario, read it back, and tell what it still needs and what to do next."""
    from raworder.commands.saving import save
    from raworder.reading.scenario_file import read_scenario
    from raworder.rendering.files_to_fill import scenario_text

    save([(file, scenario_text(draft, SCHEMA).encode()), *schema.items()], overwrite=overwrite)
    wanting, code = _read_back(draft, read_scenario(file))
    console.say_words(f"{file} is written, with {SCHEMA} beside it for editors.\n{wanting}")
    console.say_words(f"{'Then' if wanting else 'Next'}: raworder plan {quote(str(file))}\n")
    sys.exit(code)


def _print(draft: "Draft") -> NoReturn:
    """Print the scenario alone; what it still needs is told on standard error."""
    from raworder.reading.scenario_file import read_scenario_text
    from raworder.rendering.files_to_fill import scenario_text

    text = scenario_text(draft, SCHEMA)
    wanting, code = _read_back(draft, read_scenario_text(text, Path("scenario.yaml")))
    console.say(text)
    console.tell(wanting)
    sys.exit(code)


def _read_back(draft: "Draft", reading: "Reading") -> tuple[str, Exit]:
    """What is still to be written, line by line, and the exit code; findings and what was left out are told."""
    from raworder.reading.answers import is_asked_later

    wanting = [finding for finding in reading.findings if is_asked_later(finding)]
    rest = [finding for finding in reading.findings if not is_asked_later(finding)]
    tell(rest)
    _tell_left_out(draft)
    lines = (
        f"Still to be written, line {finding.place.line}: {finding.message}; {finding.help}.\n" for finding in wanting
    )
    return "".join(lines), Exit.REFUSED if any(finding.refuses for finding in rest) else Exit.PLAN


def _tell_left_out(draft: "Draft") -> None:
    """What of price lists is in the file as comments only, on standard error."""
    for seller in draft.suppliers:
        for one in seller.offers:
            if not one.cut:
                name = dict(one.fields).get("item", "")
                console.tell(f"left out, line {one.line} of the list: `{name}` is no cut of ours; --match names one\n")
        for row in seller.unread:
            console.tell(f"left out, line {row.line} of the list: {row.why}\n")
