"""Words of an item → lexicon entries, with the reason. Known names first, then near spellings, then the head noun.

One name may turn out to be several ingredients. What fits nothing stays unknown and visible, with the nearest
wordings offered; between two equally near names nothing is chosen.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import islice, product

from rapidfuzz import fuzz, process

from reader.naming.known import by_words, joined, row, strict
from reader.naming.names import names
from reader.naming.spelling import meant
from reader.naming.words import UNKNOWN, Match, Piece, Words, words_of
from reader.phrases import book
from reader.tables import Entry

_PREPOSITIONS = frozenset(
    [
        "with",
        "in",
        "for",
        "from",
        "of",
        "on",
        "without",
        "by",
        "made",
        "added",
        "per",
        "to",
        "containing",
        "using",
        "based",
    ]
)
_NEAR = 88.0  # house: ratio of equal letters below which two wordings are not taken for one another
_LONGEST_NAME = 90  # letters of the longest wording and a few more
_LEAST_OF_PHRASE = 34.0  # house: share of a phrase's letters a known name must make up to stand for it
_OFFERED = 70.0  # house: ratio above which a wording is offered as an alternative
_ANIMAL = frozenset(("meat", "mechanically_separated", "fat", "by_product"))
_NOT_MEAT = frozenset(
    [
        "vegan",
        "vegetarian",
        "meatless",
        "imitation",
        "mock",
        "analog",
        "analogue",
        "plant",
        "flavored",
        "style",
        "type",
        "substitute",
    ]
)


@lru_cache(maxsize=65536)
def known(name: str, bare_number: bool = False) -> tuple[Piece, ...]:
    """The pieces of a name if every word of it is known; empty if not."""
    words = words_of(name)
    return strict(words, bare_number) if len(words) else ()


@lru_cache(maxsize=65536)
def near(name: str) -> tuple[Piece, ...]:
    """The pieces of a name that `known` does not settle; at least one unless the name has no word at all.

    Searches the lexicon, about 1 ms.
    """
    words = words_of(name)
    if not len(words):
        return ()
    return _corrected(words) or joined(words, _loose) or _loose(words)


def unknown(name: str) -> tuple[Piece, ...]:
    """The name as one unknown piece, nothing searched."""
    words = words_of(name)
    return (words.piece(UNKNOWN),) if len(words) else ()


# -- misspelt -----------------------------------------------------------------------------------------------


def _corrected(words: Words) -> tuple[Piece, ...]:
    """The pieces when every misspelt word is read as the nearest word of the lexicon, if that gives one answer."""
    if len(words) > 24:
        return ()
    candidates = [meant(key) for key in words.keys]
    if not any(reason for _, reason in candidates) or any(not options for options, _ in candidates):
        return ()
    reason = "scan" if all(r != "spelling" for _, r in candidates) else "near"
    answers: dict[tuple[str, ...], tuple[Piece, ...]] = {}
    for keys in islice(product(*(options for options, _ in candidates)), 8):
        found = strict(Words(tuple(keys), words.places, words.text))
        if found:
            answers.setdefault(tuple(p.match.entry.id for p in found if p.match.entry), found)
    if any(len(found) == 1 for found in answers.values()):
        answers = {key: found for key, found in answers.items() if len(found) == 1}
    if len(answers) > 1:
        return (words.piece(replace(UNKNOWN, alternatives=tuple(dict.fromkeys(i for a in answers for i in a)))),)
    return tuple(_marked(p, reason, words) for found in answers.values() for p in found)


def _marked(piece: Piece, reason: str, words: Words) -> Piece:
    """The piece with its match called near or scanned, where its own words were misspelt."""
    printed = words.text[piece.start : piece.end]
    score = fuzz.ratio("".join(words_of(printed).keys), "".join(words_of(piece.match.wording).keys))
    if by_words(words_of(printed)) is not None or piece.match.kind not in ("exact", "spelling", "head"):
        return piece
    return replace(piece, match=replace(piece.match, kind=reason, score=round(score, 1)))


# -- neither known nor simply misspelt ----------------------------------------------------------------------


def _loose(words: Words) -> tuple[Piece, ...]:
    found = row(words, lenient=True) if len(words) >= 6 else ()
    if found:
        return found
    match = _alike(words) or _head(words)
    return (words.piece(match or replace(UNKNOWN, alternatives=_offers(words))),)


def _alike(words: Words) -> Match | None:
    """The one wording that looks like the whole name. A word that is right may not be exchanged for another."""
    printed = "".join(words.keys)
    if not 6 <= len(printed) <= _LONGEST_NAME:
        return None
    found = process.extract(printed, names().keys, scorer=fuzz.ratio, score_cutoff=_NEAR, limit=3)
    for key, score, _ in found:
        named = names().find(key)
        if named and _keeps_right_words(words, named.wording):
            return Match("near", named.entry, named.wording, round(score, 1))
    return None


def _keeps_right_words(words: Words, wording: str) -> bool:
    """Whether every printed word that the lexicon knows stands in the wording, and no confusable one is taken."""
    vocabulary, wanted = names().vocabulary, set(words_of(wording).keys)
    if any(k in vocabulary and k not in wanted for k in words.keys):
        return False
    printed = " ".join(words.keys)
    known_as = " ".join(words_of(wording).keys)
    for a, b in book().confusable:
        for right, wrong in ((a, b), (b, a)):
            if right in printed and right not in known_as and wrong in known_as:
                return False
    return True


def _head(words: Words) -> Match | None:
    """The longest known name inside the phrase; before a preposition if there is one, else as late as possible."""
    keys = words.keys
    prose = len(keys) > 6 or bool(book().prose_words & set(keys))
    stop = next((i for i, k in enumerate(keys) if k in _PREPOSITIONS and i), len(keys))
    for low, high in dict.fromkeys(((0, stop), (0, len(keys)))):
        for length in range(min(9, high - low), 0, -1):
            for i in range(high - length, low - 1, -1):
                named = names().find("".join(keys[i : i + length]))
                if named is None or (length == 1 and len(keys[i]) < 3):
                    continue
                dropped = tuple(words.word(k) for k in range(len(keys)) if not i <= k < i + length)
                score = 100.0 * sum(map(len, keys[i : i + length])) / max(1, sum(map(len, keys)))
                if (score >= _LEAST_OF_PHRASE or not prose) and _fits(named.entry, words, i, i + length):
                    return Match("head", named.entry, named.wording, round(score, 1), dropped)
    return None


def _fits(entry: Entry, words: Words, i: int, j: int) -> bool:
    """Whether a name may stand for the whole phrase: a word such as "vegan" makes meat something else."""
    others = {*words.keys[:i], *words.keys[j:]}
    if entry.role not in _ANIMAL:
        return True
    behind = words.keys[j] if j < len(words) else ""  # "pork udders": an unknown word behind the animal is a part of it
    muscle = entry.role == "meat" and entry.kind == "muscle"
    part_unknown = muscle and behind and behind not in _PREPOSITIONS and behind not in names().vocabulary
    return not (others & _NOT_MEAT or part_unknown)


def _offers(words: Words) -> tuple[str, ...]:
    """Ids of the entries whose wordings look most like the name, best first, three at most."""
    if not 3 < len("".join(words.keys)) <= _LONGEST_NAME:
        return ()
    found = process.extract("".join(words.keys), names().keys, scorer=fuzz.ratio, score_cutoff=_OFFERED, limit=3)
    return tuple(dict.fromkeys(named.entry.id for key, _, _ in found if (named := names().find(key))))
