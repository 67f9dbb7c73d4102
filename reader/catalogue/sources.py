"""Where a table comes from: a file, or what somebody uploaded or pasted. May be opened again and again, and pickled."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from reader.catalogue.trouble import refusal
from reader.wording import say


@dataclass(frozen=True, slots=True)
class Source:
    """Bytes with the name the user knows them by. path: the file, else None and `data` holds them."""

    name: str
    path: Path | None = None
    data: bytes = b""

    def open(self) -> BinaryIO:
        """The bytes from the beginning; the caller closes it. Raises TableError if there is no such file."""
        if self.path is None:
            return io.BytesIO(self.data)
        try:
            return self.path.open("rb")
        except FileNotFoundError:
            raise refusal("missing", file=str(self.path)) from None
        except IsADirectoryError:
            raise refusal("folder", file=str(self.path)) from None
        except OSError as error:
            raise refusal("unreadable", file=str(self.path), error=error.strerror or type(error).__name__) from error

    def size(self) -> int:
        """How many bytes it holds."""
        return len(self.data) if self.path is None else self.path.stat().st_size


def from_file(path: Path | str) -> Source:
    """A file on this machine."""
    return Source(Path(path).name, Path(path))


def pasted(text: str, name: str = "") -> Source:
    """A table pasted as text. Halves of characters that no encoding knows become question marks."""
    return Source(name or say("catalogue_pasted"), None, text.encode("utf-8", errors="replace"))


def uploaded(name: str, data: bytes) -> Source:
    """A file that came as bytes."""
    return Source(name, None, data)
