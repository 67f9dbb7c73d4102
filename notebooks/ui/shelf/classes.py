"""Opening a shelf, and joining that of a class. The key is the id of these writes: repeated, they change nothing."""

from __future__ import annotations

import sqlite3

from ui.shelf import limits, tries
from ui.shelf.file import ShelfFile
from ui.shelf.keys import code_from, mark_of, new_code
from ui.shelf.rows import insert, values
from ui.shelf.seats import Seat, count, find_seat, frozen, keeper_of, take_seat
from ui.shelf.trouble import ShelfError
from ui.shelf.values import NO_MARK, Writer


def open_own(file: ShelfFile, key: str, at: int) -> None:
    """Open a shelf that only this key opens; one that it opens already stays."""
    with file.writing() as db:
        if find_seat(db, key) is None:
            _open(db, key, "", None, at)


def open_class(file: ShelfFile, key: str, title: str, at: int) -> str:
    """Open the shelf of a class, whose teacher holds this key; the join code for the students comes back.

    Repeated, the same code. ShelfError if the title is too long, ValueError if the key opens another shelf.
    """
    title = limits.line("title", title)
    with file.writing() as db:
        seat = find_seat(db, key)
        if seat is None:
            code = new_code()
            while _shelf_with(db, code):
                code = new_code()
            _open(db, key, title, code, at)
            return code
        code = _code_of(db, seat)
        if not (seat.keeper and code):
            raise ValueError("this key opens another shelf; a class needs a new one")
        return code


def join(file: ShelfFile, key: str, code: str, nickname: str, at: int) -> None:
    """Let this key add packs to the class with the join code, under a nickname ("" for none).

    A key that belongs to the class already keeps its nickname. ShelfError if no class has the code, after too many
    wrong codes, if the class is frozen, or if the nickname is too long; ValueError if the key opens another shelf. Use
    one key until it is in: wrong tries are counted by key.
    """
    nickname = limits.line("nickname", nickname)
    wanted = code_from(code)
    if wanted is None:
        raise ShelfError("no_class")  # no guess either: such a code is never given
    with file.writing() as db:
        seat = find_seat(db, key)
        if seat is None:
            tries.refuse_too_many(db, key, at)
            shelf = _shelf_with(db, wanted)
            if shelf:
                _let_in(db, key, shelf, nickname, at)
            else:
                tries.note_wrong(db, key, at)
        elif _code_of(db, seat) == wanted:
            shelf = seat.shelf
        else:
            raise ValueError("this key opens another shelf; joining a class needs a new one")
    if shelf is None:  # told only now, so that the wrong try is kept
        raise ShelfError("no_class")


def students(file: ShelfFile, key: str) -> tuple[Writer, ...]:
    """Who has joined the class, in no order. Only for its teacher."""
    with file.reading() as db:
        return values(db, Writer, keeper_of(db, key).shelf)


def _let_in(db: sqlite3.Connection, key: str, shelf: int, nickname: str, at: int) -> None:
    if frozen(db, shelf):
        raise ShelfError("frozen")
    mark = mark_of(key)
    take_seat(db, key, Seat(shelf, mark))
    insert(db, shelf, Writer(id=mark, nickname=nickname, joined=at), unless="IGNORE")  # known from an import
    count(db, shelf, shown_to_all=False)


def _open(db: sqlite3.Connection, key: str, title: str, code: str | None, at: int) -> None:
    made = db.execute("INSERT INTO shelf (title, code, opened) VALUES (?, ?, ?)", (title, code, at))
    assert made.lastrowid is not None
    take_seat(db, key, Seat(made.lastrowid, NO_MARK))


def _shelf_with(db: sqlite3.Connection, code: str) -> int | None:
    row = db.execute("SELECT n FROM shelf WHERE code = ?", (code,)).fetchone()
    return row["n"] if row else None


def _code_of(db: sqlite3.Connection, seat: Seat) -> str:
    code: str | None = db.execute("SELECT code FROM shelf WHERE n = ?", (seat.shelf,)).fetchone()["code"]
    return code or ""
