"""Whether a requirement can be judged: a sentence for each mistake of a form or a file, with the nearest right word."""

from __future__ import annotations

import math

from rapidfuzz import fuzz, process

from reader.house.kinds import CHOICE, LIMIT, MONEY, NONE, Kind, kinds, words_of
from reader.house.sought import names_something
from reader.house.values import Requirement, Specification
from reader.quantities import show
from reader.wording import say

TITLE_MOST = 120  # house: characters; longer is no title
_NEAR = 60.0  # house: ratio of equal letters below which no word is offered
_LISTED = 12  # house: words a sentence lists; of more, only examples are told


def faults(specification: Specification) -> tuple[str, ...]:
    """A sentence for everything in a specification that cannot be judged; () where all is well."""
    return (*title_faults(specification.title), *(f for r in specification.requirements for f in requirement_faults(r)))


def title_faults(title: str) -> tuple[str, ...]:
    """What is wrong with a title: it is one line that can be printed."""
    if not title.strip():
        return (say("house_fault_title_missing"),)
    if len(title) > TITLE_MOST or not title.isprintable() or title != title.strip():
        return (say("house_fault_title", most=TITLE_MOST),)
    return ()


def requirement_faults(requirement: Requirement) -> tuple[str, ...]:
    """What is wrong with a requirement: its kind, the limit it takes, the words it takes."""
    kind = kinds().get(requirement.kind)
    if kind is None:
        return (unknown_kind(requirement.kind),)
    return (*_limit_faults(kind, requirement), *_word_faults(kind, requirement.words))


def unknown_kind(name: str) -> str:
    """The sentence on a kind of requirement there is not."""
    return _offered(("house_fault_kind", "house_fault_kind_near"), name, tuple(kinds()), most=len(kinds()))


def _limit_faults(kind: Kind, requirement: Requirement) -> tuple[str, ...]:
    limit = requirement.limit
    if kind.takes not in (LIMIT, MONEY):
        return () if limit is None else (say("house_fault_no_limit", name=kind.id),)
    if limit is None:
        return (say("house_fault_limit_missing", name=kind.id, unit=kind.unit),)
    if not math.isfinite(limit) or not 0 <= limit <= kind.most:
        return (say("house_fault_limit", name=kind.id, value=f"{limit:g}", most=show(kind.most, 2), unit=kind.unit),)
    return ()


def _word_faults(kind: Kind, words: tuple[str, ...]) -> tuple[str, ...]:
    if kind.takes == LIMIT:
        return () if not words else (say("house_fault_no_words", name=kind.id, words=", ".join(words)),)
    if not words:
        return (say("house_fault_words_missing", name=kind.id, known=_examples(words_of(kind))),)
    if kind.takes in (CHOICE, MONEY) and len(words) > 1:
        return (say("house_fault_one_word", name=kind.id, words=", ".join(words), known=_examples(words_of(kind))),)
    if len(set(words)) < len(words):
        return (say("house_fault_word_twice", name=kind.id, words=", ".join(words)),)
    if NONE in words and len(words) > 1 and kind.values.get("none"):
        return (say("house_fault_none_and", name=kind.id, words=", ".join(words)),)
    return tuple(_unknown_word(kind, word) for word in words if not known(kind, word))


def known(kind: Kind, word: str) -> bool:
    """Whether a kind takes a word; where names are taken, also one that several names have in common ("soy")."""
    return word in words_of(kind) or (kind.values.get("words") == "names" and names_something(kind, word))


def _unknown_word(kind: Kind, word: str) -> str:
    return _offered(("house_fault_word", "house_fault_word_near"), word, words_of(kind), name=kind.id)


def _offered(
    keys: tuple[str, str], seen: str, known_words: tuple[str, ...], name: str = "", most: int = _LISTED
) -> str:
    """The sentence on a word that is not known; the second of the keys where a known one is near."""
    near = process.extractOne(seen, known_words, scorer=fuzz.ratio, processor=str.lower, score_cutoff=_NEAR)
    told = {"words": seen, "name": name, "known": _examples(known_words, most)}
    return say(keys[1], near=near[0], **told) if near else say(keys[0], **told)


def _examples(words: tuple[str, ...], most: int = _LISTED) -> str:
    """The words, or the first of many."""
    return ", ".join(words[:most]) + (" …" if len(words) > most else "")
