"""Packs on a shelf: adding, looking, correcting, hiding, deleting, and taking a change back."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from typing import Any

from ui.shelf import limits
from ui.shelf.file import ShelfFile
from ui.shelf.keys import digest_of
from ui.shelf.rows import change_pack, insert, made, types_of, values
from ui.shelf.seats import Seat, first_time, refuse_if_frozen, seat_of
from ui.shelf.trouble import ShelfError
from ui.shelf.values import CORRECTED, DELETED, HIDDEN, NO_MARK, SHOWN, Change, Kept, Pack, Shelf, Texts


def counter(file: ShelfFile, key: str) -> int:
    """A number that rises with every write the holder of the key sees something of: anything new since it was last
    asked? Students see nothing of the guesses of others. ShelfError if the key opens nothing.
    """
    with file.reading() as db:
        row = db.execute(
            "SELECT writer, count, shown FROM key JOIN shelf ON shelf.n = key.shelf WHERE digest = ?", (digest_of(key),)
        ).fetchone()
    if row is None:
        raise ShelfError("no_key")
    found: int = row["count"] if row["writer"] == NO_MARK else row["shown"]
    return found


def look(file: ShelfFile, key: str) -> Shelf:
    """The shelf as the holder of the key may see it: without deleted packs; for students also without hidden ones of
    others. ShelfError if the key opens nothing.
    """
    with file.reading() as db:
        seat = seat_of(db, key)
        shelf = db.execute("SELECT title, code, frozen, count FROM shelf WHERE n = ?", (seat.shelf,)).fetchone()
        seen = "NOT deleted" if seat.keeper else "NOT deleted AND (NOT hidden OR writer = ?)"
        packs = values(db, Pack, seat.shelf, seen, *(() if seat.keeper else (seat.writer,)))
        nickname = _nickname(db, seat)
    return Shelf(
        title=shelf["title"],
        code=(shelf["code"] or "") if seat.keeper else "",
        keeper=seat.keeper,
        writer=seat.writer,
        nickname=nickname,
        frozen=bool(shelf["frozen"]),
        count=shelf["count"],
        packs=packs,
    )


def add(file: ShelfFile, key: str, write_id: str, texts: Texts, at: int) -> None:
    """Put a pack on the shelf, under the nickname of the key's holder; its id is `write_id`.

    ShelfError if there is nothing to read or too much, the shelf is frozen or full; ValueError for an unknown market.
    """
    texts = limits.texts(texts)
    with file.writing() as db:
        seat = seat_of(db, key)
        if not first_time(db, seat, write_id, "add", texts):
            return
        refuse_if_frozen(db, seat)
        refuse_if_full(db, seat.shelf)
        typed = {name: getattr(texts, name) for name in types_of(Texts)}
        pack = Pack(id=write_id, writer=seat.writer, nickname=_nickname(db, seat), added=at, **typed)
        insert(db, seat.shelf, pack)


def correct(
    file: ShelfFile, key: str, write_id: str, pack: str, texts: Texts, at: int, *, nickname: str | None = None
) -> None:
    """Give a pack other texts, and another nickname if one is given. Students may correct their own packs.

    ShelfError as for `add`, and if the pack is not there or somebody else's.
    """
    texts = limits.texts(texts)
    named = {} if nickname is None else {"nickname": limits.line("nickname", nickname)}
    typed = {name: getattr(texts, name) for name in types_of(Texts)}
    _change(file, key, write_id, pack, CORRECTED, at, **typed, **named)


def hide(file: ShelfFile, key: str, write_id: str, pack: str, at: int, *, hidden: bool = True) -> None:
    """Hide a pack from the students, or show it again. Only the keeper may."""
    _change(file, key, write_id, pack, HIDDEN if hidden else SHOWN, at, hidden=hidden)


def delete(file: ShelfFile, key: str, write_id: str, pack: str, at: int) -> None:
    """Take a pack from the shelf; `undo` brings it back until the shelf is wiped. Students may delete their own."""
    _change(file, key, write_id, pack, DELETED, at, deleted=True)


def history(file: ShelfFile, key: str) -> tuple[Change, ...]:
    """The changes that the holder of the key may still undo, the last one first."""
    with file.reading() as db:
        seat = seat_of(db, key)
        whose = "TRUE" if seat.keeper else "writer = ?"
        last = f"{whose} AND n IN (SELECT MAX(n) FROM change WHERE shelf = ? GROUP BY pack)"
        given = (seat.shelf,) if seat.keeper else (seat.writer, seat.shelf)
        return values(db, Change, seat.shelf, last, *given)[::-1]


def undo(file: ShelfFile, key: str, write_id: str, change: str) -> None:
    """Make a pack again what it was before the change with this id.

    The keeper may undo every change, students their own. ShelfError if the change is not there (any more), or if the
    pack was changed since: what came later would be lost.
    """
    with file.writing() as db:
        seat = seat_of(db, key)
        if not first_time(db, seat, write_id, "undo", change):
            return
        refuse_if_frozen(db, seat)
        row = db.execute("SELECT * FROM change WHERE shelf = ? AND id = ?", (seat.shelf, change)).fetchone()
        if row is None or not (seat.keeper or row["writer"] == seat.writer):
            raise ShelfError("no_change")
        last = "SELECT MAX(n) AS n FROM change WHERE shelf = ? AND pack = ?"
        if db.execute(last, (seat.shelf, row["pack"])).fetchone()["n"] != row["n"]:
            raise ShelfError("changed_since")
        change_pack(db, seat.shelf, row["pack"], made(Kept, row))
        db.execute("DELETE FROM change WHERE n = ?", (row["n"],))


def find_pack(db: sqlite3.Connection, seat: Seat, pack: str) -> Pack:
    """A pack that the seat may see, as `look` does; ShelfError if there is none with this id."""
    found = values(db, Pack, seat.shelf, "id = ? AND NOT deleted", pack)
    if not found or (found[0].hidden and not _may_change(seat, found[0])):
        raise ShelfError("no_pack")
    return found[0]


def refuse_if_full(db: sqlite3.Connection, shelf: int, more: int = 1) -> None:
    """ShelfError if the shelf has no room for `more` packs."""
    held = db.execute("SELECT COUNT(*) AS held FROM pack WHERE shelf = ?", (shelf,)).fetchone()["held"]
    if held + more > limits.MOST_PACKS:
        raise ShelfError("full", most=f"{limits.MOST_PACKS:,}")


def _change(file: ShelfFile, key: str, write_id: str, pack_id: str, act: str, at: int, **new: Any) -> None:
    with file.writing() as db:
        seat = seat_of(db, key)
        if not first_time(db, seat, write_id, act, pack_id, new):
            return
        if act in (HIDDEN, SHOWN) and not seat.keeper:
            raise ShelfError("keeper_only")
        refuse_if_frozen(db, seat)
        pack = find_pack(db, seat, pack_id)
        if not _may_change(seat, pack):
            raise ShelfError("not_yours")
        before = {name: getattr(pack, name) for name in types_of(Kept)}
        insert(db, seat.shelf, Change(id=write_id, pack=pack_id, writer=seat.writer, act=act, added=at, **before))
        change_pack(db, seat.shelf, pack_id, replace(made(Kept, before), **new))


def _may_change(seat: Seat, pack: Pack) -> bool:
    return seat.keeper or pack.writer == seat.writer


def _nickname(db: sqlite3.Connection, seat: Seat) -> str:
    row = db.execute("SELECT nickname FROM writer WHERE shelf = ? AND id = ?", (seat.shelf, seat.writer)).fetchone()
    return row["nickname"] if row else ""
