"""Everything of a shelf out of the file, and into another."""

from __future__ import annotations

import sqlite3

from ui.shelf.file import ShelfFile
from ui.shelf.packs import refuse_if_full
from ui.shelf.rows import insert, values
from ui.shelf.seats import first_time, keeper_of
from ui.shelf.values import Change, Contents, Guess, Pack, Seen, Writer


def take_out(file: ShelfFile, key: str) -> Contents:
    """Everything of a shelf but keys and join code; hidden and deleted packs too. Only for the keeper."""
    with file.reading() as db:
        seat = keeper_of(db, key)
        return _contents(db, seat.shelf)


def bring_in(file: ShelfFile, key: str, write_id: str, contents: Contents) -> None:
    """Put the contents of another shelf on this one. Only for the keeper.

    Packs that are there already stay as they are, with their guesses. An empty shelf takes title and frozen state as
    well. ShelfError if there is no room for all; then nothing is brought in.
    """
    with file.writing() as db:
        seat = keeper_of(db, key)
        if not first_time(db, seat, write_id, "import", contents):
            return
        held = _contents(db, seat.shelf)
        if not (held.packs or held.writers):
            state = (contents.title, contents.frozen, seat.shelf)
            db.execute("UPDATE shelf SET title = ?, frozen = ? WHERE n = ?", state)
        there = {pack.id for pack in held.packs}
        packs = [pack for pack in contents.packs if pack.id not in there]
        refuse_if_full(db, seat.shelf, len(packs))
        beside: tuple[Guess | Seen | Change, ...] = (*contents.guesses, *contents.seen, *contents.changes)
        for value in (*contents.writers, *packs, *(v for v in beside if v.pack not in there)):
            insert(db, seat.shelf, value, unless="IGNORE")
            if isinstance(value, Pack | Change):  # that write was done; who repeats it doubles nothing
                db.execute("INSERT OR IGNORE INTO done (shelf, id, digest) VALUES (?, ?, '')", (seat.shelf, value.id))


def _contents(db: sqlite3.Connection, shelf: int) -> Contents:
    row = db.execute("SELECT title, frozen FROM shelf WHERE n = ?", (shelf,)).fetchone()
    return Contents(
        title=row["title"],
        frozen=bool(row["frozen"]),
        writers=values(db, Writer, shelf),
        packs=values(db, Pack, shelf),
        guesses=values(db, Guess, shelf),
        seen=values(db, Seen, shelf),
        changes=values(db, Change, shelf),
    )
