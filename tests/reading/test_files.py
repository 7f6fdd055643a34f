"""Files that cannot be read are told and never raised."""

import os
from pathlib import Path

import pytest

from raworder.reading.files import LARGEST_BYTES
from raworder.reading.scenario_file import read_scenario
from tests.reading.written import a_text, slugs


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    assert slugs(read_scenario(tmp_path / "none.yaml")) == ["no-such-file"]


def test_a_folder(tmp_path: Path) -> None:
    assert slugs(read_scenario(tmp_path)) == ["not-a-file"]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    assert slugs(read_scenario(tmp_path / "pipe.yaml")) == ["not-a-file"]


def test_a_file_larger_than_two_mebibytes(tmp_path: Path) -> None:
    path = tmp_path / "scenario.yaml"
    sound = a_text().encode()
    path.write_bytes(sound + b"#" * (LARGEST_BYTES - len(sound)))
    assert read_scenario(path).scenario is not None
    path.write_bytes(sound + b"#" * (LARGEST_BYTES - len(sound) + 1))
    assert slugs(read_scenario(path)) == ["too-large"]


def test_a_file_without_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "scenario.yaml"
    path.write_text(a_text())

    def refuse(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    (finding,) = read_scenario(path).findings
    assert finding.slug == "unreadable-file"
    assert finding.message == "`scenario.yaml` cannot be read: permission denied"


@pytest.mark.parametrize("name", ["x" * 300, "nul\0byte", "a/b/c"])
def test_a_name_that_no_file_can_have(tmp_path: Path, name: str) -> None:
    reading = read_scenario(tmp_path / name)
    assert reading.scenario is None
    assert set(slugs(reading)) <= {"unreadable-file", "no-such-file"}
