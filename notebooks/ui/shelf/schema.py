"""The tables, and how an older file becomes one of today. A new file takes the same steps from nothing."""

from __future__ import annotations

import sqlite3

APPLICATION = 0x4C425348  # "LBSH" in the file's head tells that it is ours

_TEXTS = "statement TEXT NOT NULL, panel TEXT NOT NULL, market TEXT NOT NULL, name TEXT NOT NULL"
_KEPT = f"{_TEXTS}, nickname TEXT NOT NULL, hidden INTEGER NOT NULL, deleted INTEGER NOT NULL"
# Each step takes a file from the version before to its own; a step that was ever released is never changed.
STEPS: tuple[tuple[str, ...], ...] = (
    (  # 1: never released, kept so that migration is tested: no prices, and guesses were taken at any time
        "CREATE TABLE shelf (n INTEGER PRIMARY KEY AUTOINCREMENT, title TEXT NOT NULL, code TEXT UNIQUE,"
        " frozen INTEGER NOT NULL DEFAULT 0, count INTEGER NOT NULL DEFAULT 0, opened INTEGER NOT NULL)",
        "CREATE TABLE key (digest TEXT PRIMARY KEY, shelf INTEGER NOT NULL, writer TEXT NOT NULL) WITHOUT ROWID",
        "CREATE TABLE writer (shelf INTEGER NOT NULL, id TEXT NOT NULL, nickname TEXT NOT NULL,"
        " joined INTEGER NOT NULL, PRIMARY KEY (shelf, id))",
        "CREATE TABLE pack (n INTEGER PRIMARY KEY AUTOINCREMENT, shelf INTEGER NOT NULL, id TEXT NOT NULL,"
        f" writer TEXT NOT NULL, added INTEGER NOT NULL, {_KEPT}, UNIQUE (shelf, id))",
        "CREATE TABLE change (n INTEGER PRIMARY KEY AUTOINCREMENT, shelf INTEGER NOT NULL, id TEXT NOT NULL,"
        " pack TEXT NOT NULL, writer TEXT NOT NULL, act TEXT NOT NULL, added INTEGER NOT NULL,"
        f" {_KEPT}, UNIQUE (shelf, id))",
        "CREATE TABLE guess (shelf INTEGER NOT NULL, pack TEXT NOT NULL, writer TEXT NOT NULL, aspect TEXT NOT NULL,"
        " place REAL NOT NULL, words TEXT NOT NULL, added INTEGER NOT NULL, PRIMARY KEY (shelf, pack, writer, aspect))",
        "CREATE TABLE done (shelf INTEGER NOT NULL, id TEXT NOT NULL, digest TEXT NOT NULL,"
        " PRIMARY KEY (shelf, id)) WITHOUT ROWID",
        "CREATE TABLE wrong_try (who TEXT NOT NULL, at INTEGER NOT NULL)",
        "CREATE INDEX wrong_try_at ON wrong_try (at)",
    ),
    (  # 2
        "ALTER TABLE pack ADD COLUMN price TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE change ADD COLUMN price TEXT NOT NULL DEFAULT ''",
        "CREATE TABLE seen (shelf INTEGER NOT NULL, pack TEXT NOT NULL, writer TEXT NOT NULL,"
        " added INTEGER NOT NULL, PRIMARY KEY (shelf, pack, writer))",
    ),
    (  # 3
        "ALTER TABLE shelf ADD COLUMN shown INTEGER NOT NULL DEFAULT 0",
    ),
)
VERSION = len(STEPS)


def version_of(db: sqlite3.Connection) -> int:
    """The schema version of a file, 0 for an empty one."""
    found: int = db.execute("PRAGMA user_version").fetchone()[0]
    return found


def bring_up(db: sqlite3.Connection, to: int = VERSION) -> None:
    """Take the file to version `to`, all steps in one transaction or none."""
    db.execute("BEGIN IMMEDIATE")
    try:
        for step in STEPS[version_of(db) : to]:  # read only now: another process may have been faster
            for statement in step:
                db.execute(statement)
        db.execute(f"PRAGMA application_id = {APPLICATION}")
        db.execute(f"PRAGMA user_version = {max(to, version_of(db))}")
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:  # a full disk has ended it already
            db.execute("ROLLBACK")
        raise
