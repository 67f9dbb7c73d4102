"""The page's own folder on the server: what is brought in lies there until the page is gone."""

from __future__ import annotations

import itertools
from pathlib import Path
from tempfile import TemporaryDirectory


class Folder:
    """Made when first needed, deleted with everything in it when the page's process ends."""

    def __init__(self) -> None:
        self._made: TemporaryDirectory[str] | None = None
        self._numbers = itertools.count(1)

    def new(self) -> Path:
        """A name in the folder that nothing has yet; no name from outside becomes part of a path."""
        if self._made is None:
            self._made = TemporaryDirectory(prefix="suppliers-", ignore_cleanup_errors=True)
        return Path(self._made.name) / f"{next(self._numbers)}"

    def keep(self, data: bytes) -> Path:
        """Write a file; its path."""
        path = self.new()
        path.write_bytes(data)
        return path

    def close(self) -> None:
        """Delete it now."""
        if self._made is not None:
            self._made.cleanup()
            self._made = None
