"""What is kept, as plain values. Their fields are the columns of the tables and the keys of an exported file.

Times are whole seconds since 1970-01-01 00:00 UTC. A writer is named by a mark made from their key (`keys.mark_of`),
the keeper of a shelf by NO_MARK.
"""

from __future__ import annotations

from dataclasses import dataclass

NO_MARK = ""
HIDDEN, SHOWN, CORRECTED, DELETED = "hidden", "shown", "corrected", "deleted"
ACTS = (HIDDEN, SHOWN, CORRECTED, DELETED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Texts:
    """What was typed of a pack. The reading is not kept: it is made again from these."""

    statement: str = ""
    panel: str = ""
    market: str = "US"
    name: str = ""
    price: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept(Texts):
    """What of a pack can be changed: its texts, the nickname beside it, whether it is hidden or deleted."""

    nickname: str = ""
    hidden: bool = False
    deleted: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack(Kept):
    """A pack on a shelf. Its id is the id of the write that added it."""

    id: str
    writer: str
    added: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Change(Kept):
    """A change that can be undone: what the pack was before. Its id is the id of the write that made it."""

    id: str
    pack: str
    writer: str
    act: str
    added: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Writer:
    """A student of a class: a mark, a nickname or none, when they joined. Nothing else is known of them."""

    id: str
    nickname: str
    joined: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """Where a writer thinks a pack stands in one aspect: a place from 0 to 10, and the words that led there."""

    pack: str
    writer: str
    aspect: str
    place: float
    words: str
    added: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """That a writer was shown the reading of a pack; no guess about it is taken from them afterwards."""

    pack: str
    writer: str
    added: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """Everything of a shelf but its keys and its join code; packs in the order in which they came."""

    title: str = ""
    frozen: bool = False
    writers: tuple[Writer, ...] = ()
    packs: tuple[Pack, ...] = ()
    guesses: tuple[Guess, ...] = ()
    seen: tuple[Seen, ...] = ()
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """A shelf as the holder of a key sees it at one moment.

    code: the join code, for the teacher of a class only, else "". keeper: whether the key is the owner's or teacher's.
    count: the counter of changes at that moment. writer, nickname: who the holder of the key is.
    """

    title: str
    code: str
    keeper: bool
    writer: str
    nickname: str
    frozen: bool
    count: int
    packs: tuple[Pack, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """What a class guessed of a pack in one aspect: the places, one or more, as they rise; `middle` is their median."""

    pack: str
    aspect: str
    places: tuple[float, ...]
    low: float
    middle: float
    high: float
