"""The file of the shelves: made, checked, migrated, refused; one short transaction for each look and each write.

SQLite in write-ahead mode: who reads never waits for who writes. Every transaction has a connection of its own, so
that threads and processes share nothing but the file. A write that came back is on disk (synchronous = FULL), whatever
happens to the process or the machine afterwards. What is wiped is overwritten (secure_delete).
"""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from ui.shelf.place import shelf_path
from ui.shelf.schema import APPLICATION, VERSION, bring_up, version_of
from ui.shelf.trouble import ShelfError

_WAIT_S = 5.0  # for a lock, each time it is asked for
_ASKED = 4  # how often: cleaning up after a killed process refuses others at once, without waiting
# The head of a database file (https://www.sqlite.org/fileformat2.html, section 1.3): its first 100 bytes begin with
# these words and hold the size of a page at 16, where 1 stands for 65,536, and the number of the application at 68.
_HEAD, _MAGIC, _PAGE, _NUMBER = 100, b"SQLite format 3\0", slice(16, 18), slice(68, 72)
_BUSY = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
_BROKEN = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}
_CLOSED = {
    sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_PERM, sqlite3.SQLITE_READONLY,
}  # fmt: skip


class ShelfFile:
    """A file that `open_file` found in order."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """One moment of the file, whatever others write meanwhile. ShelfError if it cannot be had."""
        with _told(self.path), closing(_begun(self.path, "BEGIN")) as db:
            yield db

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Everything that is written inside, or nothing if anything raises. ShelfError if it cannot be written."""
        with _told(self.path), closing(_begun(self.path, "BEGIN IMMEDIATE")) as db:  # closed early, it is rolled back
            yield db
            db.execute("COMMIT")

    def tidy(self) -> None:
        """Bring all writes into the main file and empty the one beside it, unless somebody is reading just now."""
        with _told(self.path), closing(_connected(self.path, "rw")) as db:
            db.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def open_file(path: Path | None = None) -> ShelfFile:
    """The file at `path` (else `place.shelf_path`), made if there is none, migrated if it is of an older version.

    A file that is damaged, no shelf, or of a newer version is refused with ShelfError and stays as it is.
    """
    path = (path or shelf_path()).absolute()
    with _told(path):
        if not path.exists():
            _make(path)
        _refuse_foreign(path)
        if _checked_version(path) < VERSION:
            with closing(_connected(path, "rw")) as db:
                bring_up(db)
                db.execute("PRAGMA journal_mode = WAL")
    return ShelfFile(path)


def _make(path: Path) -> None:
    """Make the file whole beside its place, then put it there at once: nobody sees half of it, none is overwritten."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with tempfile.TemporaryDirectory(prefix=f".{path.name}.", dir=path.parent) as folder:
        made = Path(folder, path.name)
        made.touch(mode=0o600)  # SQLite gives the files beside it the same mode
        with closing(_connected(made, "rw")) as db:
            bring_up(db)
            db.execute("PRAGMA journal_mode = WAL")
        with suppress(FileExistsError):  # another process was faster; theirs is as good
            os.link(made, path)


def _refuse_foreign(path: Path) -> None:
    """By its first bytes and its length, before SQLite touches it: SQLite takes half a page for a whole one."""
    with path.open("rb") as file:
        head = file.read(_HEAD)
    if len(head) < _HEAD or not head.startswith(_MAGIC):
        raise ShelfError("damaged", file=path)
    if int.from_bytes(head[_NUMBER], "big") != APPLICATION:
        raise ShelfError("foreign", file=path)
    page = int.from_bytes(head[_PAGE], "big")
    if page == 0 or path.stat().st_size % (65_536 if page == 1 else page):
        raise ShelfError("damaged", file=path)


def _checked_version(path: Path) -> int:
    with closing(_begun(path, "BEGIN", mode="ro")) as db:
        if [row[0] for row in db.execute("PRAGMA quick_check(1)")] != ["ok"]:
            raise ShelfError("damaged", file=path)
        return version_of(db)


def _begun(path: Path, begin: str, mode: str = "rw") -> sqlite3.Connection:
    """A connection inside a transaction; asks again where SQLite does not wait by itself."""
    for left in reversed(range(_ASKED)):
        try:
            return _transaction(path, begin, mode)
        except sqlite3.OperationalError as error:
            if not left or _code(error) not in _BUSY:
                raise
    raise AssertionError("the last time either returns or raises")


def _transaction(path: Path, begin: str, mode: str) -> sqlite3.Connection:
    db = _connected(path, mode)
    try:
        db.execute(begin)
        _refuse_newer(db, path)  # asked first: this takes the snapshot
    except BaseException:
        db.close()
        raise
    return db


def _refuse_newer(db: sqlite3.Connection, path: Path) -> None:
    if version_of(db) > VERSION:
        raise ShelfError("newer", file=path)


def _connected(path: Path, mode: str) -> sqlite3.Connection:
    db = sqlite3.connect(f"{path.as_uri()}?mode={mode}", uri=True, timeout=_WAIT_S, isolation_level=None)
    db.row_factory = sqlite3.Row
    try:
        if mode == "rw":
            db.execute("PRAGMA synchronous = FULL")
            db.execute("PRAGMA secure_delete = ON")
    except BaseException:
        db.close()
        raise
    return db


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Tell in words what SQLite or the system says; a fault of ours stays what it is."""
    try:
        yield
    except OSError as error:
        raise ShelfError("cannot_write", file=path) from error
    except sqlite3.DatabaseError as error:
        code = _code(error)
        kind = "busy" if code in _BUSY else "damaged" if code in _BROKEN else "cannot_write" if code in _CLOSED else ""
        if not kind:
            raise
        raise ShelfError(kind, file=path) from error


def _code(error: sqlite3.Error) -> int:
    return getattr(error, "sqlite_errorcode", 0) & 0xFF  # the rest of the number says which kind of it
