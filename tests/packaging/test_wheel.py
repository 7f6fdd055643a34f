"""The wheel: it holds what the project tracks, says what it is, and runs from its own data where no checkout is near.

**Source:** the layout of a wheel and its metadata follow the Python packaging specifications
(https://packaging.python.org/en/latest/specifications/; from memory, not looked up).
"""

import os
import subprocess
import sys
import sysconfig
import tarfile
from collections.abc import Callable
from email.message import Message
from email.parser import Parser
from importlib import metadata
from pathlib import Path
from zipfile import ZipFile

import pytest
from hatchling.builders.sdist import SdistBuilder

from raworder import __version__
from raworder.reading.help_pages import TOPICS

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = {"raworder/": "raworder/", "data/": "raworder/data/", "scenarios/": "raworder/scenarios/"}
"""Folders of the project, and where the wheel holds what is in them."""

Installed = Callable[..., subprocess.CompletedProcess[str]]
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the checkout without a network."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [
        "wheel",
        "--no-deps",
        "--no-index",
        "--no-build-isolation",
        "--quiet",
        "--wheel-dir",
        str(folder),
        str(ROOT),
    ]
    _run([sys.executable, "-m", "pip", "--disable-pip-version-check", *build], folder)
    (built,) = folder.iterdir()
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Installed:
    """Runs a program of a fresh environment that holds the wheel, from a folder far from the checkout.

    The libraries are borrowed from the environment of the tests, so that no network is needed; a `.pth` file names
    their folder, whose own `.pth` files, and with them the checkout, are not followed.
    """
    folder = tmp_path_factory.mktemp("installed")
    _run([sys.executable, "-m", "venv", "--without-pip", str(folder / "env")], folder)
    programs = folder / "env" / ("Scripts" if sys.platform == "win32" else "bin")
    python = programs / "python"
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--python", str(python)]
    _run([*pip, "install", "--quiet", "--no-deps", "--no-index", str(wheel)], folder)
    libraries = {sysconfig.get_path(kind) for kind in ("purelib", "platlib")}
    (_site_packages(python, folder) / "borrowed.pth").write_text("\n".join(sorted(libraries)), encoding="utf-8")
    away = tmp_path_factory.mktemp("away")
    return lambda program, *arguments: _run([str(programs / program), *arguments], away, check=False)


def test_the_wheel_holds_what_is_tracked_and_nothing_else(wheel: Path) -> None:
    held = {name for name in ZipFile(wheel).namelist() if ".dist-info/" not in name}
    expected = {_in_wheel(name) for name in _tracked(*SHIPPED)}
    assert held == expected
    assert {"raworder/py.typed", "raworder/data/cuts.csv", "raworder/scenarios/owner.yaml"} <= held
    assert any(name.startswith("raworder/scenarios/lists/") for name in held)
    assert "raworder/help/findings/label-too-small.md" in held
    assert {f"raworder/help/{topic}.md" for topic in TOPICS} <= held


def test_what_the_wheel_holds_is_what_the_checkout_holds(wheel: Path) -> None:
    with ZipFile(wheel) as opened:
        differing = [n for n in _tracked(*SHIPPED) if opened.read(_in_wheel(n)) != (ROOT / n).read_bytes()]
    assert differing == []


def test_the_wheel_says_its_name_version_licence_and_python(wheel: Path) -> None:
    says = _metadata(wheel, "METADATA")
    assert (says["Name"], says["Version"]) == ("raworder", __version__)
    assert says["License-Expression"] == "MIT"
    assert says["Requires-Python"] == ">=3.11"
    assert says["Description-Content-Type"] == "text/markdown"
    assert _metadata(wheel, "WHEEL")["Tag"] == "py3-none-any"


def test_wheel_and_source_hold_the_text_of_the_licence_and_say_so(wheel: Path, tmp_path: Path) -> None:
    licence = (ROOT / "raworder" / "LICENSE").read_bytes()
    assert _metadata(wheel, "METADATA").get_all("License-File") == ["raworder/LICENSE"]
    with ZipFile(wheel) as opened:
        (name,) = (name for name in opened.namelist() if name.endswith(".dist-info/licenses/raworder/LICENSE"))
        assert opened.read(name) == licence
    (source,) = SdistBuilder(str(ROOT)).build(directory=str(tmp_path), versions=["standard"])
    with tarfile.open(source) as packed:
        (name,) = (name for name in packed.getnames() if name.endswith("/raworder/LICENSE"))
        kept = packed.extractfile(name)
        assert kept is not None
        assert kept.read() == licence


def test_the_text_of_the_licence_is_that_of_others_under_the_same() -> None:
    """**Source:** the licence text that pydantic ships, which says the same of itself."""
    files = metadata.files("pydantic") or []
    (theirs,) = (file for file in files if file.name == "LICENSE")
    ours = (ROOT / "raworder" / "LICENSE").read_text(encoding="utf-8")
    assert metadata.metadata("pydantic")["License-Expression"] == "MIT"
    assert ours.partition("Permission")[2].split() == theirs.read_text().partition("Permission")[2].split()
    assert ours.startswith("MIT License\n\nCopyright (c) ")


def test_the_wheel_has_one_program(wheel: Path) -> None:
    with ZipFile(wheel) as opened:
        (name,) = (name for name in opened.namelist() if name.endswith(".dist-info/entry_points.txt"))
        assert opened.read(name).decode().split() == ["[console_scripts]", "raworder", "=", "raworder.cli:main"]


def test_the_installed_program_runs_from_another_folder(installed: Installed) -> None:
    version = installed("raworder", "--version")
    assert (version.stdout, version.stderr) == (f"raworder {__version__}\n", "")


def test_the_installed_program_reads_its_own_data_and_not_the_checkout(installed: Installed) -> None:
    code = "from raworder.reading.reference import shipped_folder as f; print(f('data')); print(f('scenarios'))"
    folders = installed("python", "-c", code).stdout.split()
    package = Path(installed("python", "-c", "import raworder; print(raworder.__path__[0])").stdout.strip())
    assert [Path(folder) for folder in folders] == [package / "data", package / "scenarios"]
    assert not package.is_relative_to(ROOT)


def test_the_installed_program_shows_its_help_as_the_checkout_does(installed: Installed) -> None:
    for topic in TOPICS:
        ours = _run([sys.executable, "-c", "from raworder.cli import main; main()", "help", topic], ROOT)
        assert installed("raworder", "help", topic).stdout == ours.stdout


def test_the_installed_program_plans_each_scenario_that_it_ships_as_the_checkout_does(installed: Installed) -> None:
    listed = [Path(line) for line in installed("raworder", "scenarios").stdout.splitlines()]
    assert {path.name for path in listed} == {path.name for path in (ROOT / "scenarios").glob("*.yaml")}
    planned = installed("raworder", "plan", str(listed[0].with_name("owner.yaml")))
    ours = _run([sys.executable, "-c", "from raworder.cli import main; main()", "plan", "scenarios/owner.yaml"], ROOT)
    assert (planned.returncode, planned.stdout, planned.stderr) == (0, ours.stdout, "")
    assert installed("raworder", "check", str(listed[0].with_name("volunteer.yaml"))).returncode == 0


def test_the_installed_program_explains_a_finding_by_its_own_page(installed: Installed) -> None:
    ours = _run([sys.executable, "-c", "from raworder.cli import main; main()", "explain", "label-too-small"], ROOT)
    theirs = installed("raworder", "explain", "label-too-small")
    assert (theirs.returncode, theirs.stdout, theirs.stderr) == (0, ours.stdout, "")


def test_the_installed_program_writes_pages_by_its_own_templates(installed: Installed, tmp_path: Path) -> None:
    ours, theirs = tmp_path / "ours.html", tmp_path / "theirs.html"
    words = ["labels", str(ROOT / "scenarios" / "smallest.yaml"), "--frame", "--html"]
    told = installed("raworder", *words, str(theirs))
    assert (told.returncode, told.stderr) == (0, f"written: {theirs}\n")
    _run([sys.executable, "-c", "from raworder.cli import main; main()", *words, str(ours)], ROOT)
    assert theirs.read_bytes() == ours.read_bytes()
    page = tmp_path / "page.html"
    planned = installed("raworder", "plan", words[1], "--html", str(page))
    assert (planned.returncode, planned.stderr) == (0, f"written: {page}\n")
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")


def _tracked(*folders: str) -> list[str]:
    """Files under the folders that the project keeps: tracked, or new and not ignored."""
    git = [
        "git",
        "-c",
        "safe.directory=*",
        "ls-files",
        "-z",
        "--cached",
        "--others",
        "--exclude-standard",
        "--",
        *folders,
    ]
    names = _run(git, ROOT).stdout.split("\0")
    return sorted({name for name in names if name and (ROOT / name).is_file()})


def _in_wheel(name: str) -> str:
    """Where the wheel holds a file of the project."""
    folder = name.partition("/")[0] + "/"
    return SHIPPED[folder] + name.removeprefix(folder)


def _metadata(wheel: Path, name: str) -> Message:
    with ZipFile(wheel) as opened:
        (path,) = (path for path in opened.namelist() if path.endswith(f".dist-info/{name}"))
        return Parser().parsestr(opened.read(path).decode())


def _site_packages(python: Path, folder: Path) -> Path:
    code = "import sysconfig; print(sysconfig.get_path('purelib'))"
    return Path(_run([str(python), "-c", code], folder).stdout.strip())


def _run(words: list[str], folder: Path, *, check: bool = True) -> subprocess.CompletedProcess[str]:
    """What a program says, run in a folder; one that fails though it may not shows what it said."""
    ended = subprocess.run(
        words,
        cwd=folder,
        env={name: value for name, value in os.environ.items() if name != "PYTHONPATH"},
        capture_output=True,
        encoding="utf-8",
        stdin=subprocess.DEVNULL,
        check=False,
    )
    assert not check or ended.returncode == 0, ended.stdout + ended.stderr
    return ended
