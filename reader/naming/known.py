"""Names whose every word is known: looked up, never searched.

Order: one name as a whole; several joined by "and" or "or"; a row of known names whose commas are missing.
"""

from __future__ import annotations

from reader.naming.joined import joined
from reader.naming.rows import row
from reader.naming.slips import one_slip
from reader.naming.whole import one_name
from reader.naming.words import Piece, Words


def strict(words: Words, bare_number: bool = False) -> tuple[Piece, ...]:
    """The pieces of a name if every word of it is known; empty if not. About 10 µs."""
    found = one_name(words, bare_number)
    if found is not None:
        return (words.piece(found),)
    return joined(words, lambda side: strict(side, bare_number), _nothing) or _row(words)


def _row(words: Words) -> tuple[Piece, ...]:
    """A row of names, unless it looks more like one misspelt name: "beef rum" is no beef and rum."""
    found = row(words)
    return () if len(found) == 2 and one_slip(words) else found


def _nothing(_: Words) -> tuple[Piece, ...]:
    return ()
