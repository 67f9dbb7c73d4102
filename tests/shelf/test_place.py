"""Where the file lies."""

from __future__ import annotations

from pathlib import Path

import pytest
from ui.shelf.place import VARIABLE, shelf_path


def test_the_variable_names_the_file(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, "/somewhere/else.db")
    assert shelf_path() == Path("/somewhere/else.db")
    monkeypatch.setenv("HOME", "/home/of/somebody")
    monkeypatch.setenv(VARIABLE, "~/packs.db")
    assert shelf_path() == Path("/home/of/somebody/packs.db")


@pytest.mark.parametrize("data_home", [None, "", "/data/of/mine", "not/absolute"])
@pytest.mark.parametrize("variable", [None, " "])
def test_else_it_lies_in_the_data_folder(
    monkeypatch: pytest.MonkeyPatch, data_home: str | None, variable: str | None
) -> None:
    """XDG Base Directory Specification 0.8: "All paths set in these environment variables must be absolute. If an
    implementation encounters a relative path … it should consider the path invalid and ignore it."
    """
    for name, value in ((VARIABLE, variable), ("XDG_DATA_HOME", data_home)):
        monkeypatch.delenv(name, raising=False) if value is None else monkeypatch.setenv(name, value)
    monkeypatch.setattr("sys.platform", "linux")
    folder = Path(data_home) if data_home == "/data/of/mine" else Path.home() / ".local" / "share"
    assert shelf_path() == folder / "label-shelf" / "shelf.sqlite3"


def test_another_program_finds_the_same_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """The package platformdirs works out the same from the same rules; Jupyter brings it along."""
    platformdirs = pytest.importorskip("platformdirs")
    monkeypatch.delenv(VARIABLE, raising=False)
    assert shelf_path().parent == Path(platformdirs.user_data_dir("label-shelf", appauthor=False))
    if hasattr(platformdirs, "macos"):
        monkeypatch.setattr("sys.platform", "darwin")
        assert shelf_path().parent == Path(platformdirs.macos.MacOS("label-shelf").user_data_dir)
