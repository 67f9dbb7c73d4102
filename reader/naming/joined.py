"""Ingredients joined by "and", "or", "with": which pieces they are, and what they share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from reader.naming.rows import ATTRIBUTIVE
from reader.naming.whole import CONNECTORS, by_words
from reader.naming.words import Match, Piece, Words
from reader.phrases import book

_TISSUE = frozenset(("meat", "mechanically_separated", "fat", "by_product", "fish"))

Read = Callable[[Words], tuple[Piece, ...]]


def joined(words: Words, settle: Read, read: Read) -> tuple[Piece, ...]:
    """Ingredients joined by "and", "or", "and/or". With "or" they are one ingredient with alternatives.

    `settle` reads a side whose words are all known. One side at least must be; `read` then reads the others.
    """
    sides, joiners = _sides(words)
    if len(sides) < 2:
        return ()
    settled = [settle(side) for side in sides]
    if "with" in joiners and (not all(settled) or _is_water(settled[-1])):
        return ()  # "with" joins known ingredients only, and "with water" tells how one was prepared
    if "with" in joiners and _flavoured(settled):
        return (words.piece(replace(settled[0][0].match, kind="head", dropped=(sides[-1].printed(),))),)
    if not all(settled) or _raw_before_tail(settled[:-1], sides[-1]):
        settled = _shared_tail(sides, settle) or settled
    if not all(settled):
        if not any(settled):
            return ()
        settled = [found or read(side) for found, side in zip(settled, sides, strict=True)]
        if not all(settled):
            return ()
    pieces = list(settled[0])
    for joiner, found in zip(joiners, settled[1:], strict=True):
        pieces += (replace(found[0], joiner=joiner), *found[1:])
    roles = {piece.match.entry.role if piece.match.entry else "" for piece in pieces}
    if not {"or", "and/or"} & set(joiners) or roles <= _TISSUE:  # each animal is told by itself
        return tuple(pieces)
    return (words.piece(_choice(settled)),)


def _flavoured(settled: list[tuple[Piece, ...]]) -> bool:
    """ "Apple flavor with other natural flavors" is one flavouring."""
    roles = {piece.match.entry.role for found in settled for piece in found if piece.match.entry}
    return len(settled) == 2 and len(settled[0]) == 1 and roles == {"flavouring"}


def _is_water(found: tuple[Piece, ...]) -> bool:
    return any(piece.match.entry is not None and piece.match.entry.role == "water" for piece in found)


def _raw_before_tail(settled: list[tuple[Piece, ...]], last: Words) -> bool:
    """Whether "soybean and palm oil" is meant: raw foods before a name that ends in oil, juice, powder …"""
    tails = book().shared_tails
    if not ({last.keys[-1], "".join(last.keys[-2:])} & tails) or len(last) < 2:
        return False
    entries = [piece.match.entry for found in settled for piece in found]
    return all(entry is not None and entry.role in ATTRIBUTIVE for entry in entries)


def _sides(words: Words) -> tuple[list[Words], list[str]]:
    sides: list[Words] = []
    joiners: list[str] = []
    start = i = 0
    while i < len(words):
        j = i
        while j < len(words) and words.keys[j] in CONNECTORS:
            j += 1
        if j > i:
            if i > start and j < len(words):
                sides.append(words.part(start, i))
                joiners.append(_joiner(words.keys[i:j]))
            start = i = j
        else:
            i += 1
    if sides and start < len(words):
        sides.append(words.part(start, len(words)))
    return sides, joiners[: len(sides) - 1]


def _joiner(keys: tuple[str, ...]) -> str:
    if {"with", "including"} & set(keys):
        return "with"
    return "and/or" if {"and", "or"} <= set(keys) else keys[0]


def _shared_tail(sides: list[Words], settle: Read) -> list[tuple[Piece, ...]]:
    """ "Black and white pepper": every side takes the last words of the last one."""
    last = sides[-1]
    rest = settle(last)
    for cut in range(1, min(4, len(last)) if rest else 0):
        tail = last.part(cut, len(last))
        found = [by_words(Words(s.keys + tail.keys, s.places + tail.places, s.text)) for s in sides[:-1]]
        if all(found):
            return [*((s.piece(replace(m, kind="head")),) for s, m in zip(sides, found, strict=False) if m), rest]
    return []


def _choice(settled: list[tuple[Piece, ...]]) -> Match:
    matches = [piece.match for found in settled for piece in found]
    first = next((m for m in matches if m.entry), matches[0])
    others = tuple(m.entry for m in matches if m.entry and m is not first)
    return replace(first, kind="choice", others=others) if first.entry else first
