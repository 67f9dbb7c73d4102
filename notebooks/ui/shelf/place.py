"""Where the file of the shelves lies."""

from __future__ import annotations

import os
import sys
from pathlib import Path

VARIABLE = "LABEL_SHELF"
_FOLDER, _FILE = "label-shelf", "shelf.sqlite3"


def shelf_path() -> Path:
    """The file that LABEL_SHELF names, else one in the user's data folder.

    That folder follows the XDG Base Directory Specification 0.8 (XDG_DATA_HOME if it is an absolute path, else
    ~/.local/share), on macOS ~/Library/Application Support.
    """
    named = os.environ.get(VARIABLE, "").strip()
    return Path(named).expanduser() if named else _data_folder() / _FOLDER / _FILE


def _data_folder() -> Path:
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support"
    named = Path(os.environ.get("XDG_DATA_HOME", ""))
    return named if named.is_absolute() else Path.home() / ".local" / "share"
