"""Words of an item → lexicon entries, with the reason. Known names first, then near spellings, then the head noun.

One name may turn out to be several ingredients. What fits nothing stays unknown and visible, with the nearest
wordings offered; between two equally near names nothing is chosen.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import islice, product

from rapidfuzz import fuzz, process

from reader import wordforms
from reader.naming.head import denies_animal, head
from reader.naming.joined import joined
from reader.naming.known import strict
from reader.naming.names import names
from reader.naming.rows import row
from reader.naming.slips import one_slip
from reader.naming.spelling import is_plain, meant
from reader.naming.whole import by_words
from reader.naming.words import UNKNOWN, Match, Piece, Words, words_of
from reader.phrases import book

_NEAR = 88.0  # house: ratio of equal letters below which two wordings are not taken for one another
_LOST = 2  # house: letters a misprint may lose or gain in all; a lost "egg" or "fig" is another name
_LONGEST_NAME = 90  # letters of the longest wording and a few more
_OFFERED = 70.0  # house: ratio above which a wording is offered as an alternative
_MOST_OFFERED = 3
_INSTEAD_OF_MEAT = "meat_substitute"  # the entry offered for a name that denies the animal it names


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
    return _corrected(words) or _slipped(words) or joined(words, strict, _loose) or _loose(words)


def unknown(name: str) -> tuple[Piece, ...]:
    """The name as one unknown piece, nothing searched."""
    words = words_of(name)
    return (words.piece(UNKNOWN),) if len(words) else ()


def for_market(piece: Piece, market: str) -> Piece:
    """The piece as a market means its wording: cornflour is starch in the UK and flour in the US."""
    match = piece.match
    meant_there = names().in_market(match.wording, market) if match.entry is not None else None
    if meant_there is None and not piece.inner:
        return piece
    inner = tuple(for_market(p, market) for p in piece.inner)
    return replace(piece, match=replace(match, entry=meant_there or match.entry), inner=inner)


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


def _slipped(words: Words) -> tuple[Piece, ...]:
    """The name that one changed letter gives, if the changed word was no word of the lexicon; otherwise the offers."""
    found = one_slip(words)
    ids = tuple(dict.fromkeys(named.entry.id for named, _ in found))
    sure = [named for named, right in found if not right]
    if len(ids) == 1 and sure:
        score = fuzz.ratio("".join(words.keys), wordforms.key(sure[0].wording))
        return (words.piece(Match("near", sure[0].entry, sure[0].wording, round(score, 1))),)
    return (words.piece(replace(UNKNOWN, alternatives=ids[:_MOST_OFFERED])),) if ids else ()


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
    match = _alike(words) or head(words)
    return (words.piece(match or replace(UNKNOWN, alternatives=_offers(words))),)


def _alike(words: Words) -> Match | None:
    """The one wording that looks like the whole name. A word that is right may not be exchanged for another."""
    printed = "".join(words.keys)
    if not 6 <= len(printed) <= _LONGEST_NAME:
        return None
    found = process.extract(printed, names().keys, scorer=fuzz.ratio, score_cutoff=_NEAR, limit=3)
    for key, score, _ in found:
        named = names().find(key)
        if named and abs(len(key) - len(printed)) <= _LOST and _keeps_right_words(words, named.wording):
            return Match("near", named.entry, named.wording, round(score, 1))
    return None


def _keeps_right_words(words: Words, wording: str) -> bool:
    """Whether every printed word that the lexicon knows stands in the wording, and no confusable one is taken."""
    vocabulary, wanted = names().vocabulary, set(words_of(wording).keys)
    if any((k in vocabulary or is_plain(k)) and k not in wanted for k in words.keys):
        return False
    if any(k.isdigit() for k in wanted - set(words.keys)):
        return False  # "yellow" is not yellow 5
    printed = " ".join(words.keys)
    known_as = " ".join(words_of(wording).keys)
    for a, b in book().confusable:
        for right, wrong in ((a, b), (b, a)):
            if right in printed and right not in known_as and wrong in known_as:
                return False
    return True


def _offers(words: Words) -> tuple[str, ...]:
    """Ids of the entries whose wordings look most like the name, best first, three at most."""
    if denies_animal(words.keys):
        return (_INSTEAD_OF_MEAT,)
    printed = "".join(words.keys)
    if not 3 < len(printed) <= _LONGEST_NAME:
        return ()
    found = process.extract(printed, names().keys, scorer=fuzz.ratio, score_cutoff=_OFFERED, limit=_MOST_OFFERED)
    return tuple(dict.fromkeys(named.entry.id for key, _, _ in found if (named := names().find(key))))
