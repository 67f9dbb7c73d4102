"""What only the keeper of a shelf may do with the whole of it: freeze it, wipe it."""

from __future__ import annotations

from ui.shelf.file import ShelfFile
from ui.shelf.rows import TABLES
from ui.shelf.seats import first_time, keeper_of
from ui.shelf.values import NO_MARK


def freeze(file: ShelfFile, key: str, write_id: str, *, frozen: bool = True) -> None:
    """Let nobody but the keeper add, change, guess or join, or let them again."""
    with file.writing() as db:
        seat = keeper_of(db, key)
        if first_time(db, seat, write_id, "freeze", frozen):
            db.execute("UPDATE shelf SET frozen = ? WHERE n = ?", (frozen, seat.shelf))


def wipe(file: ShelfFile, key: str, write_id: str) -> None:
    """Empty the shelf for good: packs, guesses, what could be undone, students and their keys. Nothing brings it back.

    The shelf itself stays, with its title and join code; students have to join again. What was written is overwritten
    in the file at once, in the file of latest writes beside it when nobody is reading.
    """
    with file.writing() as db:
        seat = keeper_of(db, key)
        if first_time(db, seat, write_id, "wipe"):
            for table in TABLES.values():
                db.execute(f"DELETE FROM {table} WHERE shelf = ?", (seat.shelf,))
            db.execute("DELETE FROM key WHERE shelf = ? AND writer <> ?", (seat.shelf, NO_MARK))
            db.execute("DELETE FROM done WHERE shelf = ? AND id <> ?", (seat.shelf, write_id))
    file.tidy()
