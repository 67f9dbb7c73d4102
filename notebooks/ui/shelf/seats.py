"""Who holds a key may do what, and the bookkeeping of every write: done once, counted once."""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import dataclass

from ui.shelf import limits
from ui.shelf.keys import digest_of
from ui.shelf.trouble import ShelfError
from ui.shelf.values import NO_MARK


@dataclass(frozen=True, slots=True)
class Seat:
    """What a key opens: the shelf by its number in the file, and who its holder is there."""

    shelf: int
    writer: str

    @property
    def keeper(self) -> bool:
        """Whether this is the owner of the shelf or the teacher of the class."""
        return self.writer == NO_MARK


def find_seat(db: sqlite3.Connection, key: str) -> Seat | None:
    """The seat of a key, None if it opens nothing."""
    row = db.execute("SELECT shelf, writer FROM key WHERE digest = ?", (digest_of(key),)).fetchone()
    return Seat(row["shelf"], row["writer"]) if row else None


def seat_of(db: sqlite3.Connection, key: str) -> Seat:
    """The seat of a key; ShelfError if it opens nothing."""
    seat = find_seat(db, key)
    if seat is None:
        raise ShelfError("no_key")
    return seat


def keeper_of(db: sqlite3.Connection, key: str) -> Seat:
    """The seat of a key that may do everything; ShelfError for others."""
    seat = seat_of(db, key)
    if not seat.keeper:
        raise ShelfError("keeper_only")
    return seat


def take_seat(db: sqlite3.Connection, key: str, seat: Seat) -> None:
    """Make a key open a shelf."""
    db.execute("INSERT INTO key (digest, shelf, writer) VALUES (?, ?, ?)", (digest_of(key), seat.shelf, seat.writer))


def first_time(db: sqlite3.Connection, seat: Seat, write_id: str, *content: object, shown_to_all: bool = True) -> bool:
    """Whether this write has still to be done; if so it is noted and counted as done, with what follows; `shown_to_all`
    as for `count`.

    ValueError if the id was used for something else. The time is no part of the content: who repeats a write after a
    crash does so later.
    """
    digest = hashlib.sha256(repr((seat.writer, content)).encode()).hexdigest()
    row = db.execute(
        "SELECT digest FROM done WHERE shelf = ? AND id = ?", (seat.shelf, limits.write_id(write_id))
    ).fetchone()
    if row is None:
        db.execute("INSERT INTO done (shelf, id, digest) VALUES (?, ?, ?)", (seat.shelf, write_id, digest))
        count(db, seat.shelf, shown_to_all=shown_to_all)
        return True
    if row["digest"] not in (digest, ""):  # "": it came with an import
        raise ValueError(f"the id {write_id!r} was used for another write")
    return False


def count(db: sqlite3.Connection, shelf: int, *, shown_to_all: bool) -> None:
    """Let those who watch the shelf know that there is something new: the keeper, and all others if they see it too."""
    db.execute("UPDATE shelf SET count = count + 1, shown = shown + ? WHERE n = ?", (shown_to_all, shelf))


def frozen(db: sqlite3.Connection, shelf: int) -> bool:
    """Whether the teacher lets nobody else write."""
    return bool(db.execute("SELECT frozen FROM shelf WHERE n = ?", (shelf,)).fetchone()["frozen"])


def refuse_if_frozen(db: sqlite3.Connection, seat: Seat) -> None:
    """ShelfError for everybody but the keeper while the shelf is frozen."""
    if not seat.keeper and frozen(db, seat.shelf):
        raise ShelfError("frozen")
