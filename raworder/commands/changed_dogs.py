"""The options of `replan` for the middle of a batch: from which day on what changes, read into what a study takes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from raworder.commands.book_entries import DAY
from raworder.commands.desk import accept_content, known_name
from raworder.commands.start import read_dog_options

if TYPE_CHECKING:
    from raworder.studies.mid_batch import Changed
    from raworder.trade.dogs import Dog
    from raworder.trade.draft import DogDraft
    from raworder.trade.scenario import Scenario

OPTIONS = (
    click.option(
        "--from", "from_day", type=DAY, metavar="DAY", help="In the middle of a batch: what changes from this day on."
    ),
    click.option("--without", multiple=True, metavar="DOG", help="From then on: this dog has left."),
    click.option(
        "--ill", multiple=True, metavar="DOG", help="This dog is ill: its bags are kept, nothing is computed."
    ),
    click.option("--away", multiple=True, metavar="DOG: DAYS", help='Such as "Maple: 2027-02-12 to 2027-02-14".'),
    click.option("--joins", multiple=True, metavar="DOG", help='A dog that comes: "Sorrel, 12 kg, 2.5 %".'),
    click.option("--avoid", multiple=True, metavar="NAME: WORDS", help='What it must not eat: "Sorrel: chicken".'),
)
"""What may change in the middle of a batch."""

CHANGES = ("without", "ill", "away", "joins", "avoid")
"""The options that say what changes, by their parameters."""


def takes_changes(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options for what changes in the middle of a batch."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command


def read_changes(path: Path, scenario: "Scenario", options: Mapping[str, Any]) -> "Changed":
    """What changes from which day on; a usage error for what cannot be."""
    from raworder.studies.mid_batch import Changed

    day = options["from_day"]
    if not scenario.batch.starts <= day <= scenario.batch.ends:
        message = f"the batch is {scenario.batch.starts} to {scenario.batch.ends}"
        raise click.BadParameter(message, param_hint="--from")
    if not any(options[name] for name in CHANGES):
        raise click.UsageError(
            "--from says from which day on; say what changes with --without, --ill, --away or --joins"
        )
    names = [dog.name for dog in scenario.dogs]
    return Changed(
        day,
        frozenset(known_name("dog", name, names) for name in options["without"]),
        frozenset(known_name("dog", name, names) for name in options["ill"]),
        tuple(_read_away(text, names) for text in options["away"]),
        _read_joining(path, scenario, day, options),
    )


def _read_away(text: str, names: Sequence[str]) -> tuple[str, date, date]:
    """The dog that is away, from which day to which."""
    from raworder.reading.quantities import read_days
    from raworder.trade.units import UnitError

    name, colon, days = text.rpartition(":")
    if not colon:
        raise click.BadParameter("write it as in `Maple: 2027-02-12 to 2027-02-14`", param_hint="--away")
    try:
        span = read_days(days.strip())
    except UnitError as error:
        raise click.BadParameter(f"{error}; {error.help}", param_hint="--away") from None
    return known_name("dog", name.strip(), names), span.first, span.last


def _read_joining(path: Path, scenario: "Scenario", day: date, options: Mapping[str, Any]) -> "tuple[Dog, ...]":
    """The dogs that come; none that grows or is in care, as the bags were made for others."""
    from raworder.reading.answers import known
    from raworder.trade.units import UnitError

    try:
        drafts = read_dog_options(options["joins"], options["avoid"], known())
    except UnitError as error:
        raise click.UsageError(f"{error}: {error.help}" if error.help else str(error)) from None
    for draft in drafts:
        if draft.care or draft.puppy:
            why = "grows" if draft.puppy else "is in care"
            raise click.UsageError(
                f"`{draft.name}` {why}, and bags of others are not made for it: ask the veterinarian"
            )
    return _read_as_if_written(path, scenario, day, drafts) if drafts else ()


def _read_as_if_written(path: Path, scenario: "Scenario", day: date, drafts: "Sequence[DogDraft]") -> "tuple[Dog, ...]":
    """The dogs as they were read if they stood in the file, for the days from then on; errors end the command."""
    from raworder.reading.files import file_text
    from raworder.reading.notes import Notes
    from raworder.reading.scenario_file import read_scenario_text
    from raworder.reading.yaml_edits import Edit, add_row, edit_yaml
    from raworder.trade.findings import Place

    text = file_text(path, Place(path.as_posix(), 1, 1), Notes()) or ""
    days = (scenario.batch.ends - day).days + 1
    text = edit_yaml(text, [Edit(("batch", "starts"), day.isoformat()), Edit(("batch", "days"), str(days))])
    for draft in drafts:
        text = add_row(text, "dogs", _row(draft))
    reading = read_scenario_text(text, path)
    content = accept_content(reading.scenario, [finding for finding in reading.findings if finding.refuses])
    return tuple(dog for dog in content.dogs if dog.name in {draft.name for draft in drafts})


def _row(draft: "DogDraft") -> str:
    """A dog that joins as a row of the file."""
    from raworder.giving_way.yaml_text import quoted_text

    written = {field.name: getattr(draft, field.name) for field in fields(draft)}
    texts = {name: str(value) for name, value in written.items() if name in WRITTEN and value}
    texts = {"name": quoted_text(draft.name), **{name: text for name, text in texts.items() if name != "name"}}
    texts["targets"] = draft.pattern
    if draft.avoid:
        texts["avoid"] = f"[{', '.join(map(quoted_text, draft.avoid))}]"
    return f"{{{', '.join(f'{name}: {text}' for name, text in texts.items())}}}"


WRITTEN = ("name", "weight", "ration", "activity", "goal", "ideal_weight")
"""The fields of a draft that stand in a file as they were typed."""
