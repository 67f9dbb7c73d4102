"""Guess first: what somebody thinks of a pack before its reading is shown, and how far a class lies apart."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby
from statistics import median

from ui.shelf import limits
from ui.shelf.file import ShelfFile
from ui.shelf.packs import find_pack
from ui.shelf.rows import insert, values
from ui.shelf.seats import first_time, keeper_of, refuse_if_frozen, seat_of
from ui.shelf.trouble import ShelfError
from ui.shelf.values import NO_MARK, Guess, Seen, Spread


def guess(
    file: ShelfFile, key: str, write_id: str, pack: str, guesses: Mapping[str, tuple[float, str]], at: int
) -> None:
    """Keep guesses about a pack: for each aspect a place from 0 to 10 and the words of the label that led there ("" if
    none are named). A later guess takes the place of an earlier one.

    ShelfError once the reading was shown, while the shelf is frozen, if the words are too long or the pack is not
    there; ValueError for an unknown aspect or a place off the scale.
    """
    kept = {a: (limits.place(a, place), limits.text("words", words)) for a, (place, words) in sorted(guesses.items())}
    with file.writing() as db:
        seat = seat_of(db, key)
        if not first_time(db, seat, write_id, "guess", pack, kept, shown_to_all=False):
            return
        refuse_if_frozen(db, seat)
        find_pack(db, seat, pack)
        if values(db, Seen, seat.shelf, "pack = ? AND writer = ?", pack, seat.writer):
            raise ShelfError("guess_late")
        for aspect, (place, words) in kept.items():
            new = Guess(pack=pack, writer=seat.writer, aspect=aspect, place=place, words=words, added=at)
            insert(db, seat.shelf, new, unless="REPLACE")


def reading_shown(file: ShelfFile, key: str, write_id: str, pack: str, at: int) -> None:
    """Note that the holder of the key was shown the reading of a pack: call it before showing. Frozen shelves too."""
    with file.writing() as db:
        seat = seat_of(db, key)
        if first_time(db, seat, write_id, "shown", pack, shown_to_all=False):
            find_pack(db, seat, pack)
            insert(db, seat.shelf, Seen(pack=pack, writer=seat.writer, added=at), unless="IGNORE")


def own_seen(file: ShelfFile, key: str) -> frozenset[str]:
    """The ids of the packs whose reading the holder of the key was shown."""
    with file.reading() as db:
        seat = seat_of(db, key)
        return frozenset(seen.pack for seen in values(db, Seen, seat.shelf, "writer = ?", seat.writer))


def own_guesses(file: ShelfFile, key: str) -> tuple[Guess, ...]:
    """What the holder of the key guessed, of every pack, to be set beside the readings."""
    with file.reading() as db:
        seat = seat_of(db, key)
        return values(db, Guess, seat.shelf, "writer = ?", seat.writer)


def spread(file: ShelfFile, key: str) -> tuple[Spread, ...]:
    """For each pack that students see and each aspect that one of them guessed: the places. Only for the keeper, whose
    own guesses are left out; nobody's name stands in it.
    """
    with file.reading() as db:
        seat = keeper_of(db, key)
        seen = "writer <> ? AND pack IN (SELECT id FROM pack WHERE shelf = guess.shelf AND NOT deleted AND NOT hidden)"
        found = values(db, Guess, seat.shelf, seen, NO_MARK)
    by_aspect = sorted(found, key=lambda g: (g.pack, g.aspect, g.place))
    return tuple(
        Spread(pack=pack, aspect=aspect, places=places, low=places[0], middle=median(places), high=places[-1])
        for (pack, aspect), group in groupby(by_aspect, key=lambda g: (g.pack, g.aspect))
        for places in [tuple(g.place for g in group)]
    )
