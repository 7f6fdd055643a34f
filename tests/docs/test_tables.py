"""The tables of the README and the contributor's guide say what the code says."""

import ast
import re
import subprocess
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from raworder.commands.desk import MOST_FINDINGS
from raworder.reading import form
from raworder.reading.form import LabelsForm, PortioningForm, ProfileForm, SupplementForm
from raworder.reading.patterns import PATTERNS
from raworder.trade.cuts import Part
from raworder.trade.labels import SHEETS, SMALLEST_MM, USUAL_SHEETS
from raworder.trade.outputs import FORMATS, IN_SPREADSHEETS, ON_PAGE, PAPERS, Paper
from raworder.trade.rulebook import RULES
from tests.docs.pages import DEVELOPERS, README, ROOT, table_after
from tests.left_out import program

FORMS = {
    "the file": form.ScenarioForm,
    "`batch`": form.BatchForm,
    "a dog": form.DogForm,
    "`targets`": form.TargetsForm,
    "an own cut": form.OwnCutForm,
    "an offer": form.OfferForm,
    "a price break": form.PriceBreakForm,
    "a supplier": form.SupplierForm,
    "a price list": form.PriceListForm,
    "on hand": form.OnHandForm,
    "`freezer`": form.FreezerForm,
    "`variety`": form.VarietyForm,
    "`portioning`": PortioningForm,
    "`labels`": LabelsForm,
    "a supplement": SupplementForm,
    "a profile": ProfileForm,
}
HELP = ROOT / "raworder" / "help"
MODULES = "<!-- modules: written by the docs test -->"


def test_the_rules_table_is_the_rulebook() -> None:
    rows = table_after(README, "<!-- rules: checked against the rulebook by tests/docs -->")
    assert rows == [[f"`{rule.key}`", rule.says] for rule in RULES]


def test_the_fields_table_names_every_field_of_every_form() -> None:
    told: dict[str, set[str]] = {}
    where = ""
    for row in table_after(README, "<!-- fields: checked against the reader by tests/docs -->"):
        where = row[0] or where
        told.setdefault(where, set()).update(re.findall(r"`([^`]+)`", row[1]))
    read = {name: {field.alias or key for key, field in kind.model_fields.items()} for name, kind in FORMS.items()}
    assert told == read


def test_the_sheets_table_is_what_can_be_named() -> None:
    rows = table_after(README, "<!-- sheets: checked against the code by tests/docs -->")
    assert rows == [[f"`{key}`", sheet.name] for key, sheet in SHEETS.items()]
    text = " ".join(README.read_text(encoding="utf-8").split())
    assert f"it is `{USUAL_SHEETS['kg']}`, or `{USUAL_SHEETS['lb']}` where weights are in pounds" in text
    assert f"at least {SMALLEST_MM[0]} by {SMALLEST_MM[1]} mm" in text


@pytest.mark.parametrize("pattern", PATTERNS)
def test_the_patterns_table_has_the_ranges_of_the_reader(pattern: str) -> None:
    text = README.read_text(encoding="utf-8")
    row = next(line for line in text.split("\n") if line.startswith(f"| `{pattern}` |"))
    ranges = [PATTERNS[pattern].get(part) for part in Part if part in PATTERNS["BARF"]]
    order = [Part.MUSCLE, Part.BONE, Part.LIVER, Part.OTHER_ORGAN, Part.VEGETABLES, Part.BERRIES]
    assert len(ranges) == len(order)
    written = [PATTERNS[pattern].get(part) for part in order]
    cells = ["none" if one is None else f"{one[0] * 100} to {one[1] * 100} %" for one in written]
    assert [cell.strip() for cell in row.strip("|").split("|")][1:] == cells


def test_the_smallest_scenario_in_the_readme_is_the_shipped_one() -> None:
    shown = re.search(r"```yaml\n(currency.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    shipped = (ROOT / "scenarios" / "smallest.yaml").read_text(encoding="utf-8")
    assert shown
    assert shown[1] == shipped.split("\n", 1)[1]
    assert len(shown[1].strip().split("\n")) < 20


@pytest.mark.slow
def test_the_module_table_is_what_is_on_disk(request: pytest.FixtureRequest) -> None:
    rows = "".join(f"| `{path.relative_to(ROOT).as_posix()}` | {first_line(path)} |\n" for path in modules())
    table = f"{MODULES}\n\n| module | holds |\n|---|---|\n{rows}"
    text = DEVELOPERS.read_text(encoding="utf-8")
    if request.config.getoption("--write-golden"):
        kept = re.compile(re.escape(MODULES) + r"\n\n(?:\|.*\n)*")
        DEVELOPERS.write_text(kept.sub(lambda _: table, text), encoding="utf-8")
    else:
        assert table in text


def papers_table() -> str:
    """Every paper with what it tells and where it stands."""
    rows = "".join(
        f"| `{paper.key}` | {paper.title or '-'} | {paper.tells} | {', '.join(_printers(paper)) or '-'} "
        f"| {_yes(paper.key in ON_PAGE)} | {_yes(paper.key in IN_SPREADSHEETS)} |\n"
        for paper in PAPERS
    )
    return f"| key | paper | tells | printed by | page | tables |\n|---|---|---|---|---|---|\n{rows}"


def formats_table() -> str:
    """Every format with its option and what it holds."""
    rows = "".join(
        f"| `{one.option}` | {f'`{one.command}`' if one.command else 'all that print papers'} "
        f"| {' or '.join(f'`{suffix}`' for suffix in one.suffixes) or '-'} | {one.content} | {one.help} |\n"
        for one in FORMATS.values()
    )
    return f"| option | commands | files | holds | help |\n|---|---|---|---|---|\n{rows}"


def _printers(paper: Paper) -> Iterator[str]:
    """The commands that print a paper."""
    yield from (f"`{paper.command}`",) if paper.command else ()
    yield from (f"`plan {paper.with_plan}`",) if paper.with_plan else ()


def _yes(is_so: bool) -> str:
    return "yes" if is_so else ""


OUTPUTS = {
    "<!-- papers: written by the docs test -->": papers_table,
    "<!-- formats: written by the docs test -->": formats_table,
}


@pytest.mark.parametrize("marker", OUTPUTS)
def test_the_tables_of_papers_and_formats_are_those_of_the_code(marker: str, request: pytest.FixtureRequest) -> None:
    table = f"{marker}\n\n{OUTPUTS[marker]()}"
    pages = [page for page in (README, DEVELOPERS, *HELP.glob("*.md")) if marker in page.read_text(encoding="utf-8")]
    assert pages, "no document has the table"
    for page in pages:
        text = page.read_text(encoding="utf-8")
        if request.config.getoption("--write-golden"):
            kept = re.compile(re.escape(marker) + r"\n(?:\n(?:\|.*\n)+)?")
            page.write_text(kept.sub(lambda _: table, text), encoding="utf-8")
        else:
            assert table in text


def test_as_many_findings_are_shown_as_is_told() -> None:
    assert f"of very many the first {MOST_FINDINGS}" in " ".join(README.read_text(encoding="utf-8").split())


def test_every_dependency_has_its_reason() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"].values()
    wanted = {
        re.split(r"[<>=]", one)[0] for one in (*project["dependencies"], *(one for extra in extras for one in extra))
    }
    told = {row[0].strip("`") for row in table_after(DEVELOPERS, "<!-- dependencies: checked by tests/docs -->")}
    assert told == wanted


def test_links_lead_to_files_that_are_there() -> None:
    for page in (README, DEVELOPERS):
        for target in re.findall(r"\]\(([^)#]+)\)", page.read_text(encoding="utf-8")):
            assert (ROOT / target).exists(), target


def modules() -> list[Path]:
    """The modules that git tracks or will, but for the packages' one-line beginnings."""
    listed = subprocess.run(
        [program("git"), "ls-files", "--cached", "--others", "--exclude-standard", "raworder/*.py"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout.split()  # fmt: skip
    return sorted(ROOT / name for name in set(listed) if (ROOT / name).exists())


def first_line(path: Path) -> str:
    """The first sentence of a module's docstring."""
    doc = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert doc, path
    return doc.split("\n\n")[0].replace("\n", " ")
