"""Where the reference data and the example scenarios are, installed or in a checkout."""

from importlib import resources
from pathlib import Path


class NotShippedError(Exception):
    """The installation lacks its data: a fault of ours, not of the user."""


def data_text(name: str) -> str:
    """The text of a file of reference data, such as `cuts.csv`."""
    return (shipped_folder("data") / name).read_text(encoding="utf-8")


def scenario_paths() -> tuple[Path, ...]:
    """The example scenarios, by name."""
    return tuple(sorted(shipped_folder("scenarios").glob("*.yaml")))


def shipped_folder(name: str) -> Path:
    """The folder `data` or `scenarios`: inside the package, or beside it in a checkout of this project and no other."""
    package = Path(str(resources.files("raworder")))
    inside, beside = package / name, package.parent / name
    if inside.is_dir():
        return inside
    if beside.is_dir() and _is_checkout(package.parent):
        return beside
    raise NotShippedError(f"the installation has no folder {name}")


def _is_checkout(folder: Path) -> bool:
    project = folder / "pyproject.toml"
    return project.is_file() and 'name = "raworder"' in project.read_text(encoding="utf-8").splitlines()
