"""Misspelt words: which word of the lexicon was meant, if that can be told."""

from __future__ import annotations

from functools import lru_cache

from rapidfuzz import process
from rapidfuzz.distance import OSA

from reader.names import names

# What a scanner takes for a letter. House: the confusions seen on scanned labels.
_SCANNED = (("0", "o"), ("1", "l"), ("1", "i"), ("5", "s"), ("8", "b"), ("rn", "m"), ("vv", "w"), ("|", "l"))


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
    near = [n for n in near if n[0][0] == word[0] or n[1] == 1]
    if not near:
        return (), ""
    best = near[0][1]
    return tuple(n[0] for n in near if n[1] == best), "spelling"


def _allowed_slips(length: int) -> int:
    """How many letters may be wrong. House: one in four letters at most, none in words under four letters."""
    if length < 4:
        return 0
    return 1 if length < 7 else 2 if length < 11 else 3


def _unscanned(word: str) -> list[str]:
    """The word with scanner confusions undone, one kind at a time and all together."""
    found = [word.replace(a, b) for a, b in _SCANNED if a in word]
    together = word
    for a, b in _SCANNED:
        if a != "1" or b == "l":
            together = together.replace(a, b)
    return [*found, together] if together != word else found
