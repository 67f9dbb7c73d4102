"""Misspelt words: which word of the lexicon was meant, if that can be told."""

from __future__ import annotations

import re
from functools import lru_cache

from rapidfuzz import process
from rapidfuzz.distance import OSA

from reader import tables, wordforms
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


_LONG = 6  # house: letters from which on a word with a wrong first letter is recognised by the rest
_DOUBLED = re.compile(r"(.)\1+")


@lru_cache(maxsize=65536)
def meant(word: str) -> tuple[tuple[str, ...], str]:
    """Words of the lexicon a folded word may stand for, and why ("scan", "spelling", "" for none).

    Only the nearest words are given; two equally near ones are both given, and the caller must not choose.
    A word that is itself in the lexicon stands for itself.
    """
    vocabulary = names().vocabulary
    if word in vocabulary:
        return (word,), ""
    if is_plain(word) or len(word) > _longest():
        return (), ""
    scanned = tuple(dict.fromkeys(w for w in _unscanned(word) if w in vocabulary))
    if scanned:
        return scanned, "scan"
    limit = _allowed_slips(len(word))
    if not limit:
        return (), ""
    near = process.extract(word, names().words, scorer=OSA.distance, score_cutoff=limit, limit=None)
    pairs = _confusable()
    fits = [(w, slips) for w, slips, _ in near if (word, w) not in pairs and _may_be(word, w, slips)]
    if not fits:
        return (), ""
    best = min(slips for _, slips in fits)
    nearest = [w for w, slips in fits if slips == best]
    at_front = [w for w in nearest if _slip_at_front(word, w)]
    if at_front and len(word) < _LONG:
        return (), ""  # "love" is not clove
    struck_twice = [w for w in nearest if _undoubled(w) == _undoubled(word)]
    if struck_twice and not at_front:
        return tuple(struck_twice), "spelling"
    same_start = [w for w in nearest if w[0] == word[0]]
    return tuple(dict.fromkeys((*same_start, *at_front))) or tuple(nearest), "spelling"


@lru_cache(maxsize=4096)
def one_letter_away(word: str) -> tuple[str, ...]:
    """Other words of the lexicon that one slip makes of a folded word, confusable ones left out, in fixed order."""
    near = process.extract(word, names().words, scorer=OSA.distance, score_cutoff=1, limit=None)
    return tuple(sorted(w for w, slips, _ in near if slips and (word, w) not in _confusable()))


def _may_be(word: str, other: str, slips: float) -> bool:
    """Whether one word may be a misprint of another: the first letter is seldom wrong, and then nothing else is."""
    return other[0] == word[0] or (slips == 1 and (len(word) >= _LONG or _slip_at_front(word, other)))


def _slip_at_front(word: str, other: str) -> bool:
    """Whether the first letter was lost, added or swapped with the second."""
    return other[1:] == word or word[1:] == other or (word[1::-1] == other[:2] and word[2:] == other[2:])


def _undoubled(word: str) -> str:
    return _DOUBLED.sub(r"\1", word)


def is_plain(word: str) -> bool:
    """Whether a folded word is plain English and so no misprint of a food's name (lexicon/phrases.yaml)."""
    return word in _plain_words()


@lru_cache(maxsize=1)
def _plain_words() -> frozenset[str]:
    return frozenset(map(wordforms.key, tables.load_raw()["phrases"]["plain_words"]))


@lru_cache(maxsize=1)
def _confusable() -> frozenset[tuple[str, str]]:
    """Pairs of words, both ways, that must never be taken for one another (lexicon/phrases.yaml)."""
    return frozenset(pair for a, b in book().confusable for pair in ((a, b), (b, a)))


@lru_cache(maxsize=1)
def _longest() -> int:
    """Letters of the longest word there is, and as many as may be wrong: what is longer is no misspelt word of ours."""
    return max(map(len, names().vocabulary)) + _allowed_slips(_LONG * _LONG)


def _allowed_slips(length: int) -> int:
    """How many letters may be wrong. House: one in four letters at most, none in words under four letters."""
    if length < 4:
        return 0
    return 1 if length < 8 else 2 if length < 11 else 3


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
