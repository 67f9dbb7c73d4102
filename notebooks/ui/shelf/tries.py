"""Wrong join codes are counted, so that nobody finds a class by trying.

A visitor can make as many keys as they like, so that the limit for everybody together is the one that holds (see
`keys.PLACES`); the one for each key spares a stubborn guesser's neighbours.
"""

from __future__ import annotations

import sqlite3

from ui.shelf.keys import digest_of
from ui.shelf.trouble import ShelfError

WINDOW_S = 600
MOST_OF_ONE = 10  # wrong tries of one key in the window: nobody mistypes eight signs that often
MOST_OF_ALL = 600  # of everybody together: twenty classes of thirty that mistype once each


def refuse_too_many(db: sqlite3.Connection, key: str, at: int) -> None:
    """ShelfError if there were too many wrong tries in the WINDOW_S seconds before `at`."""
    row = db.execute(
        "SELECT COUNT(*) AS everybody, COALESCE(SUM(who = ?), 0) AS one FROM wrong_try WHERE at > ?",
        (digest_of(key), at - WINDOW_S),
    ).fetchone()
    if row["one"] >= MOST_OF_ONE or row["everybody"] >= MOST_OF_ALL:
        raise ShelfError("too_many_tries", count=WINDOW_S // 60)


def note_wrong(db: sqlite3.Connection, key: str, at: int) -> None:
    """Count a wrong try, and forget those that count no more."""
    db.execute("DELETE FROM wrong_try WHERE at <= ?", (at - WINDOW_S,))
    db.execute("INSERT INTO wrong_try (who, at) VALUES (?, ?)", (digest_of(key), at))
