"""Values into tables and back: the fields of a value are the columns of its table."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import fields
from typing import Any, TypeVar

from ui.shelf.values import Change, Guess, Kept, Pack, Seen, Writer

TABLES: dict[type, str] = {Writer: "writer", Pack: "pack", Guess: "guess", Seen: "seen", Change: "change"}
ORDERED = {Pack: "n", Change: "n"}  # the others are sets; they come back in the order of their keys
T = TypeVar("T")


def types_of(cls: type) -> dict[str, str]:
    """The fields of a kind of value with their types as written: "str", "int", "float" or "bool"."""
    return {f.name: str(f.type) for f in fields(cls)}


def made(cls: type[T], row: Mapping[str, Any] | sqlite3.Row) -> T:
    """The value that stands in a row."""
    return cls(**{name: bool(row[name]) if kind == "bool" else row[name] for name, kind in types_of(cls).items()})


def values(db: sqlite3.Connection, cls: type[T], shelf: int, where: str = "TRUE", *given: object) -> tuple[T, ...]:
    """The values of one kind on a shelf for which the condition holds."""
    names = ", ".join(types_of(cls))
    order = ORDERED.get(cls, "1, 2, 3")
    query = f"SELECT {names} FROM {TABLES[cls]} WHERE shelf = ? AND {where} ORDER BY {order}"
    found = db.execute(query, (shelf, *given))
    return tuple(made(cls, row) for row in found)


def insert(db: sqlite3.Connection, shelf: int, value: Any, *, unless: str = "ABORT") -> None:
    """Put a value into its table; `unless` says what to do if its key is there: ABORT, IGNORE or REPLACE."""
    names = types_of(type(value))
    marks = ", ".join("?" * (len(names) + 1))
    db.execute(
        f"INSERT OR {unless} INTO {TABLES[type(value)]} ({', '.join(names)}, shelf) VALUES ({marks})",
        (*(getattr(value, name) for name in names), shelf),
    )


def change_pack(db: sqlite3.Connection, shelf: int, pack: str, new: Kept) -> None:
    """Make a pack what `new` says; its id, writer and time stay."""
    names = types_of(Kept)
    sets = ", ".join(f"{name} = ?" for name in names)
    db.execute(
        f"UPDATE pack SET {sets} WHERE shelf = ? AND id = ?", (*(getattr(new, name) for name in names), shelf, pack)
    )
