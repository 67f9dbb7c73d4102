"""An aspect of a pack: its reading, its score as a range, its grounds, and what would narrow it. Plain values."""

from __future__ import annotations

from dataclasses import dataclass

from reader.quantities import Interval
from reader.spans import Span
from reader.wording import say

MEAT_SOURCE, FILLER_LOAD, CASING, SODIUM = "meat_source", "filler_load", "casing", "sodium"
ASPECTS = (MEAT_SOURCE, FILLER_LOAD, CASING, SODIUM)


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence of lexicon/wording/ with its values, the places it rests on and the source."""

    key: str
    values: tuple[tuple[str, str], ...] = ()
    spans: tuple[Span, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True)
class Aspect:
    """One of the four aspects.

    state: "scored"; "not stated" (the label says nothing to score); "does not apply" (no meat, no skin).
    score: 0–10 as a range, None unless scored. The truth about the pack lies in it if the label is consistent.
    likely: the part of `score` where it most probably lies, middle: one number in it; both None where nothing says so.
    """

    id: str
    state: str
    score: Interval | None
    reading: Said
    grounds: tuple[Said, ...] = ()
    narrows: tuple[Said, ...] = ()
    likely: Interval | None = None
    middle: float | None = None


def said(key: str, *spans: Span | None, source: str = "", **values: object) -> Said:
    """A Said from its parts; missing places are left out."""
    return Said(key, tuple((k, str(v)) for k, v in values.items()), tuple(s for s in spans if s is not None), source)


def sentence(said: Said) -> str:
    """The words of a Said."""
    return say(said.key, **dict(said.values))
