"""The words of one name, what they may be found to mean, and the pieces they may turn out to be."""

from __future__ import annotations

import re
from dataclasses import dataclass

from reader import wordforms
from reader.tables import Entry

_WORD = re.compile(r"[^\W_]+(?:['’\u00ad]+[^\W_]+)*|&")


@dataclass(frozen=True, slots=True)
class Match:
    """Which entry some words name, and why we think so.

    kind: "exact"; "spelling" (the same name, spelt another way); "number" (E or INS number); "scan" (a scanner's slip);
    "near" (misspelt); "head" (a known name inside a longer phrase; `dropped` holds the other words); "choice"
    (several joined by "or"; `others` holds the other entries); "unknown".
    alternatives: ids of entries that an unknown name may stand for.
    score: 100 for the same name, else how alike printed and known wording are, 0–100.
    """

    kind: str
    entry: Entry | None = None
    wording: str = ""
    score: float = 100.0
    dropped: tuple[str, ...] = ()
    alternatives: tuple[str, ...] = ()
    others: tuple[Entry, ...] = ()


UNKNOWN = Match("unknown", score=0.0)


@dataclass(frozen=True, slots=True)
class Piece:
    """One ingredient found in a name: its place relative to the name, and how it follows the piece before.

    `inner` holds what a collective word is made of where no comma parts them ("spices cayenne pepper").
    """

    start: int
    end: int
    match: Match
    joiner: str = ""
    inner: tuple[Piece, ...] = ()


@dataclass(frozen=True, slots=True)
class Words:
    """The words of a name, folded, each with its place in `text`."""

    keys: tuple[str, ...]
    places: tuple[tuple[int, int], ...]
    text: str

    def __len__(self) -> int:
        return len(self.keys)

    def part(self, i: int, j: int) -> Words:
        """The words from `i` up to, without, `j`."""
        return Words(self.keys[i:j], self.places[i:j], self.text)

    def printed(self) -> str:
        """The words as they stand in the text."""
        return self.text[self.places[0][0] : self.places[-1][1]]

    def word(self, i: int) -> str:
        """One word as printed."""
        return self.text[self.places[i][0] : self.places[i][1]]

    def piece(self, match: Match, joiner: str = "", inner: tuple[Piece, ...] = ()) -> Piece:
        """A piece that covers all the words."""
        return Piece(self.places[0][0], self.places[-1][1], match, joiner, inner)


def words_of(name: str) -> Words:
    """The words of a name; `&` counts as "and"."""
    found = list(_WORD.finditer(name))
    keys = tuple("and" if m[0] == "&" else wordforms.word_key(m[0]) for m in found)
    return Words(keys, tuple(m.span() for m in found), name)
