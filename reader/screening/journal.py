"""The file in which rows are put down as they are done, so that a run can be stopped, or break off, and go on.

SQLite in write-ahead mode: what was put down is there whatever happens to the process afterwards. Rows are JSON.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from reader.catalogue.trouble import TableError
from reader.house.standing import Tally
from reader.screening.rows import Line, row_from
from reader.screening.values import Screened
from reader.wording import say

_APPLICATION = 0x4C425343  # "LBSC" in the file's head tells that it is ours
_FORM = "1"  # version of the form; a journal of another one is begun anew
_DAMAGED = (ValueError, TypeError, KeyError)  # what a line raises that is none
_TABLES = (
    "CREATE TABLE IF NOT EXISTS about (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID",
    "CREATE TABLE IF NOT EXISTS line (number INTEGER PRIMARY KEY, failed INTEGER NOT NULL, tally TEXT NOT NULL,"
    " verdicts TEXT NOT NULL, body TEXT NOT NULL)",
)


class Journal:
    """One file. Raises TableError if it belongs to another program or cannot be written."""

    def __init__(self, path: Path) -> None:
        self.path = path
        if path.is_dir():
            raise TableError(say("screen_journal_foreign", file=path))
        with self._opened() as db:
            own = db.execute("PRAGMA application_id").fetchone()[0]
            empty = not db.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()[0]
            if own != _APPLICATION and not empty:
                raise TableError(say("screen_journal_foreign", file=path))
            if empty:
                db.execute(f"PRAGMA application_id = {_APPLICATION}")
                db.execute("PRAGMA journal_mode = WAL")
            for table in _TABLES:  # a run that was killed here may have left only some of them
                db.execute(table)

    @contextmanager
    def _opened(self) -> Iterator[sqlite3.Connection]:
        """The file, open. What is wrong with it or its content, a full disk too, is told as TableError."""
        try:
            with closing(sqlite3.connect(self.path, isolation_level=None)) as db:
                yield db
        except TableError:
            raise
        except (sqlite3.Error, *_DAMAGED) as error:
            raise TableError(say("screen_journal_unusable", file=self.path, error=str(error))) from error

    def begin(self, fingerprint: str) -> None:
        """Keep what is there if it is of the same input, specification and form; else begin anew."""
        with self._opened() as db:
            about = dict(db.execute("SELECT name, value FROM about"))
            if (about.get("form"), about.get("fingerprint")) != (_FORM, fingerprint):
                db.execute("BEGIN IMMEDIATE")
                db.execute("DELETE FROM line")
                for name, value in (("form", _FORM), ("fingerprint", fingerprint)):
                    db.execute("INSERT OR REPLACE INTO about VALUES (?, ?)", (name, value))
                db.execute("COMMIT")

    def add(self, lines: Iterable[Line]) -> None:
        """Put lines down, all or none."""
        rows = ((k.number, k.failed, " ".join(map(str, k.tally)), k.verdicts, k.body) for k in lines)
        with self._opened() as db:
            db.execute("BEGIN IMMEDIATE")
            db.executemany("INSERT OR REPLACE INTO line VALUES (?, ?, ?, ?, ?)", rows)
            db.execute("COMMIT")

    def done(self) -> dict[int, bool]:
        """The numbers of the rows that are there, each with whether it failed."""
        with self._opened() as db:
            return {number: bool(failed) for number, failed in db.execute("SELECT number, failed FROM line")}

    def tallies(self) -> Iterator[tuple[int, Tally]]:
        """By number, what each row came to."""
        with self._opened() as db:
            for number, tally in db.execute("SELECT number, tally FROM line ORDER BY number"):
                yield number, Tally(*map(int, tally.split()))

    def verdicts(self) -> Iterator[str]:
        """The verdicts of each row, as in `Line`."""
        with self._opened() as db:
            for (verdicts,) in db.execute("SELECT verdicts FROM line"):
                yield verdicts

    def rows(self) -> Iterator[Screened]:
        """All rows in the order of the input."""
        with self._opened() as db:
            for (body,) in db.execute("SELECT body FROM line ORDER BY number"):
                yield row_from(body)

    def rows_of(self, numbers: Iterable[int]) -> Iterator[Screened]:
        """The rows with these numbers, in this order. Raises TableError for one that is not there."""
        with self._opened() as db:
            for number in numbers:
                found = db.execute("SELECT body FROM line WHERE number = ?", (number,)).fetchone()
                if found is None:
                    raise KeyError(number)
                yield row_from(found[0])

    def remove(self) -> None:
        """Delete the file and those beside it."""
        for path in (self.path, *(self.path.with_name(self.path.name + end) for end in ("-wal", "-shm"))):
            path.unlink(missing_ok=True)
