"""`start`: begin a scenario from answers or options, as a commented file that is read back at once."""

import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from shlex import quote
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from raworder.commands import console
from raworder.commands.console import Exit
from raworder.commands.desk import FILE, print_findings, shows_findings
from raworder.commands.dog_interview import (
    DogInterview,
    describe_proposal,
    refuse_below_rest,
    with_proposed_ration,
)
from raworder.commands.interview import (
    HOW_TO_ANSWER,
    PATTERN,
    SCHEMA,
    Dialogue,
    Interview,
    MissingError,
    OptionAnswers,
    check_draft,
    existing_file,
    keep_readable_rows,
    new_name,
    offer_draft,
)
from raworder.commands.list_interview import ListInterview, names_path_of, read_names
from raworder.commands.list_layout import ListOptions

if TYPE_CHECKING:
    from raworder.reading.answers import KnownNames
    from raworder.reading.scenario_file import Reading
    from raworder.trade.draft import DogDraft, Draft, SupplierDraft


Read = TypeVar("Read")

PRINTED = Path("-")
"""The file name that means standard output."""


def _refuse_second_list(_context: click.Context, _option: click.Parameter, lists: Sequence[Path]) -> Path | None:
    """The one list that is named; a second one would have answers of its own."""
    if len(lists) > 1:
        raise click.BadParameter(
            "one list at a time: run `raworder start second.yaml --from` with the other list too, and copy its "
            "supplier from there"
        )
    return lists[0] if lists else None


@click.command()
@click.argument("file", type=FILE, default="scenario.yaml")
@shows_findings
@click.option("--currency", metavar="CODE", help="The currency of all prices, such as EUR.")
@click.option("--starts", metavar="DAY", help="The first day fed, such as 2027-02-06.")
@click.option("--days", metavar="NUMBER", help="How many days are fed from one order; 14 if not said.")
@click.option("--title", metavar="TEXT", help="What the papers are headed with; the dogs' names if not said.")
@click.option("--units", metavar="UNIT", help="kg or lb, for the papers; kg if not said.")
@click.option("--dog", "dogs", multiple=True, metavar="DOG", help='Such as "Maple, 22 kg, moderate, prey model".')
@click.option("--avoid", multiple=True, metavar="NAME: WORDS", help='Such as "Maple: chicken, whole bone".')
@click.option(
    "--offer", "offers", multiple=True, metavar="NAME: OFFER", help='"Hollow Lane: chicken neck, 1 kg, 2.40".'
)
@click.option(
    "--from",
    "price_list",
    type=FILE,
    multiple=True,
    callback=_refuse_second_list,
    metavar="FILE",
    help="Draft offers from this price list.",
)
@click.option("--names", type=FILE, metavar="FILE", help="The names file of that list; the one beside it if not said.")
@click.option("--supplier", metavar="NAME", help="Who sells what is on that list; the file's name if not said.")
@click.option(
    "--column", "columns", multiple=True, metavar="FIELD=HEADING", help="Which column is cut, pack, price or sold."
)
@click.option(
    "--match", "matches", multiple=True, metavar="THEIRS=OURS", help="Which cut a name or code on the list is."
)
@click.option("--price-per", metavar="WHAT", help="What the list's prices are for: pack, kg, 100 g, lb or oz.")
@click.option("--pack-unit", metavar="UNIT", help="The unit of its packs that say none: g, kg, oz or lb.")
@click.option("--decimal", type=click.Choice([".", ","]), help="Its decimal mark, if that is in doubt.")
@click.option("--separator", type=click.Choice([",", ";", "tab"]), help="What stands between its cells.")
@click.option("--sheet", metavar="NAME", help="Its sheet, in a workbook of several.")
@click.option("--encoding", type=click.Choice(["cp1252", "latin-1"]), help="Its encoding; UTF-8 if not said.")
@click.option("--overwrite", is_flag=True, help="Replace files that are there already.")
def start(file: Path, *, overwrite: bool, **options: Any) -> None:
    """Begin a scenario by answering a few questions.

    FILE is `scenario.yaml` if not said; `-` prints the scenario. With --currency, --starts and --dog nothing else is
    asked, but for what a price list leaves open in a terminal. Names on a list are never matched by likeness: you
    confirm each, or it is left out.
    """
    if file == PRINTED:
        _print_text(_draft(file, options))
    else:
        schema = _refuse_to_replace(file, overwrite=overwrite)
        _write_file(_draft(file, options), file, schema, overwrite=overwrite)


def _refuse_to_replace(file: Path, *, overwrite: bool) -> Mapping[Path, bytes]:
    """The schema to write beside the file, unless the same is there; FileExistsError for a file that may not go."""
    from raworder.commands.saving import resolve_target
    from raworder.reading.form import scenario_schema_text

    resolve_target(file)  # before anything is asked
    path, content = file.parent / SCHEMA, scenario_schema_text().encode()
    same = path.is_file() and path.read_bytes() == content
    for written in (file,) if same else (file, path):
        if (written.exists() or written.is_symlink()) and not overwrite:
            raise FileExistsError(f"`{written}` is there already; add --overwrite to replace it")
    return {} if same else {path: content}


def _draft(file: Path, options: Mapping[str, Any]) -> "Draft":
    """The scenario from options and answers; where nobody can be asked, a usage error names what is missing."""
    from raworder.reading.answers import known
    from raworder.trade.units import UnitError

    names, given = known(), None
    try:
        given, list_options = _read_options(options, names, file), _read_list_options(options, names)
        about_dog, of_list = DogInterview(names, file), ListInterview(list_options, file, names)
        interview = Interview(given, file, names, about_dog, of_list)
        talk = Dialogue(asks=bool(given.missing))
        console.say(HOW_TO_ANSWER if talk.asks else "")
        _say_proposals(given, file)
        return keep_readable_rows(talk.of(interview.draft), file)
    except UnitError as error:
        raise click.UsageError(f"{error}: {error.help}" if error.help else str(error)) from None
    except MissingError as error:
        _stop_asking(error, given)


def _say_proposals(given: OptionAnswers, file: Path) -> None:
    """Print where the rations come from that options left to us; a printed scenario says so itself."""
    if file != PRINTED:
        for dog in given.dogs:
            console.say_words(describe_proposal(dog, given.units or "kg") if dog.ration_from else "")


def _stop_asking(error: MissingError, given: "OptionAnswers | None") -> NoReturn:
    """End the command where input has ended: say what is missing."""
    from raworder.reading.names import join_in_backticks

    if console.is_interactive():
        console.tell("raworder: no more answers, so nothing is written\n")
        sys.exit(Exit.REFUSED)
    missing = (given.missing if given else ()) or tuple(filter(None, [error.question.option]))
    what = f"give {join_in_backticks(missing, 'and')}" if missing else f"`{error.question.words}` has no answer"
    raise click.UsageError(f"there is no terminal to ask in, and standard input says no more: {what}")


def _read_options(options: Mapping[str, Any], names: "KnownNames", file: Path) -> OptionAnswers:
    """What options say about money, days, dogs and suppliers."""
    from raworder.reading.answers import CURRENCY, DAY, DAYS, NAME, UNITS
    from raworder.reading.names import join_in_backticks
    from raworder.trade.units import UnitError

    given = OptionAnswers(
        currency=_check_option("--currency", options["currency"], CURRENCY),
        starts=_check_option("--starts", options["starts"], DAY),
        days=_check_option("--days", options["days"], DAYS),
        title=_check_option("--title", options["title"], NAME),
        units=_check_option("--units", options["units"], UNITS),
        dogs=read_dog_options(options["dogs"], options["avoid"], names),
        suppliers=_read_suppliers(options["offers"], options["currency"], names),
        price_list=_read_option("--from", existing_file, str(options["price_list"])) if options["price_list"] else None,
    )
    if seller := options["supplier"] or _known_seller(given, options["names"], file):
        given = replace(given, seller=_read_seller(seller, given))
    if not given.missing:
        check_draft(given.draft, file)
    elif file == PRINTED:
        raise UnitError(
            "nothing is asked where the scenario is printed", f"give {join_in_backticks(given.missing, 'and')}"
        )
    return given


def _known_seller(given: OptionAnswers, names: Path | None, file: Path) -> str:
    """The supplier of the price list by its names file; empty where there is none."""
    return read_names(names or names_path_of(given.price_list, file)).supplier if given.price_list else ""


def _read_seller(text: str, given: OptionAnswers) -> str:
    """The name of the supplier of a price list, other than those whose offers are options."""
    sellers = [supplier.name for supplier in given.suppliers]
    return _read_option("--supplier", lambda name: new_name(name, sellers), text)


def _read_list_options(options: Mapping[str, Any], names: "KnownNames") -> ListOptions:
    """What options say about a price list."""
    from raworder.reading.answers import read_choice
    from raworder.reading.foreign_lists import BASES, NAMED_FIELDS, WEIGHTS

    def one_of(option: str, choices: Sequence[str]) -> str:
        """The word that an option chose; empty where it is not given."""
        word = options[option.removeprefix("--").replace("-", "_")]
        return _read_option(option, lambda text: read_choice(text, choices), word) if word else ""

    columns, matches = _pairs("--column", options["columns"]), _pairs("--match", options["matches"])
    return ListOptions(
        columns={
            _read_option("--column", lambda text: read_choice(text, NAMED_FIELDS), field): heading
            for field, heading in columns
        },
        matches={theirs: _read_option("--match", names.cut, ours) for theirs, ours in matches},
        price_per=one_of("--price-per", BASES),
        pack_unit=one_of("--pack-unit", WEIGHTS),
        decimal=options["decimal"] or "",
        separator=options["separator"] or "",
        encoding=options["encoding"] or "",
        sheet=options["sheet"] or "",
        names=options["names"],
    )


def _pairs(option: str, texts: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Both sides of each `THIS=THAT`."""
    for text in texts:
        key, equals, value = text.rpartition("=") if option == "--match" else text.partition("=")
        if not equals or not key.strip():
            raise click.UsageError(f"{option} `{text}` has no `=`: write it as in `{EXAMPLES[option]}`")
        yield key.strip(), value.strip()


EXAMPLES: Mapping[str, str] = MappingProxyType(
    {
        "--column": "cut=Article",
        "--match": "chicken necks=chicken neck",
        "--avoid": "Maple: chicken",
        "--offer": "Hollow Lane Butcher: chicken neck, 1 kg, 2.40",
    }
)
"""An example for each option that holds two things."""


def _check_option(option: str, text: str | None, kind: Any) -> str:
    """The text of an option, once it reads as a field of that kind; empty where it is not given."""
    from raworder.reading.answers import check_answer

    return "" if text is None else _read_option(option, lambda said: check_answer(said, kind), text)


def _read_option(option: str, read: Callable[[str], Read], text: str) -> Read:
    """The text of an option, read; the error for one that cannot be read names the option."""
    from raworder.trade.units import UnitError

    try:
        return read(text)
    except UnitError as error:
        raise UnitError(f"{option}: {error}", error.help, error.slug) from None


def read_dog_options(texts: Sequence[str], avoid: Sequence[str], names: "KnownNames") -> "tuple[DogDraft, ...]":
    """The dogs given by options, with what each must not eat."""
    dogs: dict[str, DogDraft] = {}
    for text in texts:
        dog = _read_option("--dog", lambda said: _read_dog(said, tuple(dogs)), text)
        dogs[dog.name] = dog
    for text in avoid:
        name, words = _split_name("--avoid", text, tuple(dogs))
        more = _read_option("--avoid", names.avoided, words)
        dogs[name] = replace(dogs[name], avoid=tuple(dict.fromkeys((*dogs[name].avoid, *more))))
    return tuple(dogs.values())


def _read_dog(text: str, others: Sequence[str]) -> "DogDraft":
    """A dog from one line: with the usual pattern and the proposed ration where it names none and is not in care."""
    from raworder.reading.answers import read_dog_line

    dog = read_dog_line(text)
    new_name(dog.name, others)
    if dog.care:
        return dog
    dog = replace(dog, pattern=dog.pattern or PATTERN)
    if not dog.ration:
        return with_proposed_ration(dog)
    refuse_below_rest(dog)
    return dog


def _split_name(option: str, text: str, names: Sequence[str]) -> tuple[str, str]:
    """The longest of the names that the text begins with, before a colon, and what follows the colon."""
    from raworder.reading.names import fold_name, join_in_backticks, normalise_name

    normalised = normalise_name(text)
    for name in sorted(names, key=len, reverse=True):
        if fold_name(normalised[: len(name)]) == fold_name(name) and normalised[len(name) :].lstrip().startswith(":"):
            return name, normalised[len(name) :].lstrip()[1:]
    whom = f"begin with {join_in_backticks(names)} and a colon" if names else "give it with `--dog`"
    raise click.UsageError(f"{option} `{text}` is about no dog that is given: {whom}, as in `{EXAMPLES[option]}`")


def _read_suppliers(texts: Sequence[str], currency: str | None, names: "KnownNames") -> "tuple[SupplierDraft, ...]":
    """The suppliers given by options, with their offers."""
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
        cut, pack, price = _read_option("--offer", lambda said: read_offer_line(said, currency or ""), line)
        draft = offer_draft(_read_option("--offer", names.cut, cut), pack, price)
        seller = SupplierDraft(_read_option("--offer", lambda said: check_answer(said, NAME), name))
        before = sellers.get(fold_name(seller.name), seller)
        sellers[fold_name(seller.name)] = replace(before, offers=(*before.offers, draft))
    return tuple(sellers.values())


def _write_file(draft: "Draft", file: Path, schema: Mapping[Path, bytes], *, overwrite: bool) -> NoReturn:
    """Write the scenario and its names files, read it back, and print what it still needs and what to do next."""
    from raworder.reading.scenario_file import read_scenario
    from raworder.rendering.files_to_fill import scenario_text

    names = _names_files(draft)
    draft = replace(draft, suppliers=tuple(_with_own_list(seller, file) for seller in draft.suppliers))
    text = scenario_text(draft, SCHEMA).encode()
    console.save_files([(file, text), *schema.items(), *names.items()], overwrite=overwrite, updated=tuple(names))
    wanting, code = _read_back(draft, read_scenario(file))
    console.say_words(f"{wanting}{'Then' if wanting else 'Next'}: raworder plan {quote(str(file))}\n")
    sys.exit(code)


def _names_files(draft: "Draft") -> Mapping[Path, bytes]:
    """The names files of the suppliers' own lists; one that is there keeps its text, with what is new at its end."""
    from raworder.rendering.files_to_fill import names_text

    files: dict[Path, bytes] = {}
    for seller in draft.suppliers:
        if seller.names is None:
            continue
        path, after = Path(seller.names_file), seller.names
        before = read_names(path)
        written = path.read_text(encoding="utf-8") if path.exists() else ""
        added = after.items[len(before.items) :]
        if replace(after, items=before.items) == before and _ITEMS_LAST.search(written):
            text = names_text(replace(after, items=added), written) if added else written
        else:
            text = names_text(after)
        files[path] = text.encode()
    return files


_ITEMS_LAST = re.compile(r"^items:(?: \[\])?[ ]*(?:#.*)?\n(?:[ #].*\n|\n)*\Z", re.MULTILINE)
"""The end of a names file to which items can be added: nothing but its items follows their heading."""


def _with_own_list(seller: "SupplierDraft", file: Path) -> "SupplierDraft":
    """The supplier with its list and names file named, where both lie beside the scenario or below it."""
    if seller.names is None:
        return seller
    folder = file.parent.resolve()
    places = [Path(name).resolve() for name in (seller.list_file, seller.names_file)]
    if not all(place.is_relative_to(folder) for place in places):
        return seller
    price_list, names = (place.relative_to(folder).as_posix() for place in places)
    refused = tuple(row for row in seller.unread if row.refused)
    return replace(seller, offers=(), unread=refused, price_list=price_list, list_names=names)


def _print_text(draft: "Draft") -> NoReturn:
    """Print the scenario alone; what it still needs goes to standard error."""
    from raworder.reading.scenario_file import read_scenario_text
    from raworder.rendering.files_to_fill import scenario_text

    text = scenario_text(draft, SCHEMA)
    wanting, code = _read_back(draft, read_scenario_text(text, Path("scenario.yaml")))
    console.say(text)
    console.tell(wanting)
    sys.exit(code)


def _read_back(draft: "Draft", reading: "Reading") -> tuple[str, Exit]:
    """What a person must still write, line by line, and the exit code; findings and what was left out are printed."""
    from raworder.reading.scenario_file import is_asked_later

    wanting = [finding for finding in reading.findings if is_asked_later(finding)]
    rest = [finding for finding in reading.findings if not is_asked_later(finding)]
    print_findings(rest)
    _print_left_out(draft)
    lines = (
        f"Still to be written, line {finding.place.line}: {finding.message}; {finding.help}.\n" for finding in wanting
    )
    return "".join(lines), Exit.REFUSED if any(finding.refuses for finding in rest) else Exit.PLAN


MOST_LEFT_OUT = 10
"""How many rows of each kind are named that were left out; the rest are counted."""


def _print_left_out(draft: "Draft") -> None:
    """Print which rows of price lists are in the file as comments only, by kind."""
    for seller in draft.suppliers:
        unmatched = [
            f"line {offer.line}: `{dict(offer.fields).get('item', '')}`" for offer in seller.offers if not offer.cut
        ]
        _print_kind(unmatched, "no cut of ours; --match names one")
        _print_kind([f"line {row.line}: {row.why}" for row in seller.unread], "not sold now, or not read")


def _print_kind(rows: Sequence[str], why: str) -> None:
    """Print how many rows were left out for one reason, and name the first of them."""
    if rows:
        more = f"  and {len(rows) - MOST_LEFT_OUT} more\n" if len(rows) > MOST_LEFT_OUT else ""
        named = "".join(f"  {row}\n" for row in rows[:MOST_LEFT_OUT])
        console.tell(f"left out, {why}: {len(rows)} row{'s' * (len(rows) != 1)} of the list\n{named}{more}")
