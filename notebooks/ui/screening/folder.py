"""The page's own folder on the server: what is brought in lies there until the page is gone."""

from __future__ import annotations

import itertools
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

# Waits until the page's process is gone, whichever way it went, and deletes the folder then.
_GUARD = ("sh", "-c", 'cat > /dev/null; rm -rf -- "$1"', "sh")


class Folder:
    """Made when first needed; deleted with everything in it when the page's process ends, also if it is killed."""

    def __init__(self) -> None:
        self._made: TemporaryDirectory[str] | None = None
        self._guard: subprocess.Popen[bytes] | None = None
        self._numbers = itertools.count(1)

    def new(self) -> Path:
        """A name in the folder that nothing has yet; no name from outside becomes part of a path."""
        if self._made is None:
            self._made = TemporaryDirectory(prefix="suppliers-", ignore_cleanup_errors=True)
            # In a session of its own: it must outlive signals that are meant for the page's process and its children.
            self._guard = subprocess.Popen(
                [*_GUARD, self._made.name],
                stdin=subprocess.PIPE,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
        return Path(self._made.name) / f"{next(self._numbers)}"

    def keep(self, data: bytes) -> Path:
        """Write a file; its path."""
        path = self.new()
        path.write_bytes(data)
        return path

    def close(self) -> None:
        """Delete it now."""
        if self._made is not None and self._guard is not None:
            self._made.cleanup()
            self._guard.communicate()
            self._made = self._guard = None
