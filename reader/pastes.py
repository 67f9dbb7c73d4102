"""Mechanically separated meats that share one wording: "mechanically separated turkey and chicken"."""

from __future__ import annotations

from dataclasses import replace

from reader import wordforms
from reader.naming.lookup import known
from reader.naming.names import Named, names
from reader.naming.words import Match, Piece

_ROLE = "mechanically_separated"
_POULTRY = "poultry"
_GENERAL = frozenset((("mixed",), ("poultry",)))  # "mechanically separated meat", "… poultry": the bracket says which


def separated(match: Match) -> Named | None:
    """The mechanically separated kind of a plain meat, if the lexicon has one."""
    entry = match.entry
    if entry is None or entry.role != "meat" or entry.kind != "muscle":
        return None
    return names().find(wordforms.key(f"mechanically separated {entry.name}"))


def beside(pieces: tuple[Piece, ...], text: str) -> tuple[Piece, ...]:
    """The pieces of a name, poultry joined to mechanically separated poultry read as separated too.

    Any other meat behind "and" stays what it is printed as.
    """
    out: list[Piece] = []
    for piece in pieces:
        before = out[-1] if out else None
        named = separated(piece.match) if before is not None and _is_paste(before.match) else None
        if before is not None and named is not None and named.entry.kind == _POULTRY:
            between = text[before.end : piece.start]
            if piece.joiner not in ("", "missing") or "/" in between:
                piece = replace(piece, match=_as(named, piece.match))
        out.append(piece)
    return tuple(out)


def turned(text: str) -> str:
    """ "Chicken meat mechanically separated" → "mechanically separated chicken"; other texts unchanged."""
    pieces = known(text)
    if len(pieces) != 2 or not is_general(pieces[1].match) or pieces[1].joiner != "missing":
        return text
    named = separated(pieces[0].match)
    return named.wording if named is not None else text


def is_general(match: Match) -> bool:
    """Whether words say "mechanically separated" without an animal of their own."""
    return match.entry is not None and match.entry.role == _ROLE and tuple(match.entry.species) in _GENERAL


def inside(match: Match) -> Match:
    """A plain meat in the bracket of "mechanically separated (…)" as the separated one it is."""
    named = separated(match)
    return _as(named, match) if named is not None else match


def _is_paste(match: Match) -> bool:
    return match.entry is not None and match.entry.role == _ROLE and match.entry.kind == _POULTRY


def _as(named: Named, match: Match) -> Match:
    return replace(match, kind="head", entry=named.entry, wording=named.wording)
