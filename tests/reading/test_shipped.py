"""Where the shipped data is."""

from pathlib import Path

import pytest

from raworder.reading import reference as shipped


def test_data_and_scenarios_are_found() -> None:
    assert shipped.data_text("cuts.csv").startswith("cut,")
    assert [path.suffix for path in shipped.scenario_paths()] == [".yaml"] * len(shipped.scenario_paths())
    assert shipped.scenario_paths()


def test_the_package_comes_before_the_checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = a_checkout(tmp_path, "raworder")
    (package / "data").mkdir()
    monkeypatch.setattr(shipped.resources, "files", lambda _: package)
    assert shipped.shipped_folder("data") == package / "data"


def test_a_checkout_of_this_project_serves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shipped.resources, "files", lambda _: a_checkout(tmp_path, "raworder"))
    assert shipped.shipped_folder("data") == tmp_path / "data"


def test_a_folder_beside_the_package_in_another_project_does_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = a_checkout(tmp_path, "another")
    monkeypatch.setattr(shipped.resources, "files", lambda _: package)
    with pytest.raises(shipped.NotShippedError):
        shipped.shipped_folder("data")
    (tmp_path / "pyproject.toml").unlink()
    with pytest.raises(shipped.NotShippedError):
        shipped.shipped_folder("data")


def a_checkout(folder: Path, project: str) -> Path:
    """The package folder of a checkout with that project name."""
    (folder / "raworder").mkdir()
    (folder / "data").mkdir()
    (folder / "pyproject.toml").write_text(f'[project]\nname = "{project}"\n')
    return folder / "raworder"
