"""Misspelt words: which word of the lexicon was meant, if that can be told."""

from __future__ import annotations

from functools import lru_cache

from rapidfuzz import process
from rapidfuzz.distance import OSA

from reader.naming.names import names
from reader.phrases import book

# What a scanner takes for a letter. House: the confusions seen on scanned labels.
_SCANNED = (
    ("0", "o"),
    ("1", "l"),
    ("1", "i"),
    ("5", "s"),
    ("8", "b"),
    ("rn", "m"),
    ("m", "rn"),
    ("vv", "w"),
    ("l", "i"),
    ("i", "l"),
)


@lru_cache(maxsize=65536)
def meant(word: str) -> tuple[tuple[str, ...], str]:
    """Words of the lexicon a folded word may stand for, and why ("scan", "spelling", "" for none).

    Only the nearest words are given; two equally near ones are both given, and the caller must not choose.
    A word that is itself in the lexicon stands for itself.
    """
    vocabulary = names().vocabulary
    if word in vocabulary:
        return (word,), ""
    scanned = tuple(dict.fromkeys(w for w in _unscanned(word) if w in vocabulary))
    if scanned:
        return scanned, "scan"
    limit = _allowed_slips(len(word))
    if not limit:
        return (), ""
    near = process.extract(word, names().words, scorer=OSA.distance, score_cutoff=limit, limit=6)
    pairs = _confusable()
    near = [n for n in near if (n[0][0] == word[0] or (n[1] == 1 and len(word) > 5)) and (word, n[0]) not in pairs]
    same_start = [n for n in near if n[0][0] == word[0]]
    near = same_start or near
    if not near:
        return (), ""
    best = near[0][1]
    return tuple(n[0] for n in near if n[1] == best), "spelling"


@lru_cache(maxsize=1)
def _confusable() -> frozenset[tuple[str, str]]:
    """Pairs of words, both ways, that must never be taken for one another (lexicon/phrases.yaml)."""
    return frozenset(pair for a, b in book().confusable for pair in ((a, b), (b, a)))


def _allowed_slips(length: int) -> int:
    """How many letters may be wrong. House: one in four letters at most, none in words under four letters."""
    if length < 4:
        return 0
    return 1 if length < 7 else 2 if length < 11 else 3


def _unscanned(word: str) -> list[str]:
    """The word with scanner confusions undone: each kind everywhere, then at one place at a time."""
    everywhere = [word.replace(a, b) for a, b in _SCANNED if a in word]
    digits = word
    for a, b in _SCANNED[:5]:
        digits = digits.replace(a, b) if (a, b) != ("1", "i") else digits
    single = [
        word[:at] + b + word[at + len(a) :] for a, b in _SCANNED for at in range(len(word)) if word.startswith(a, at)
    ]
    return [digits, *everywhere, *single][:40]
