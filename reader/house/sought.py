"""Words of a requirement → the lexicon entries that it bars: surely, or perhaps, as the entry is worded."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reader import tables, wordforms
from reader.house.kinds import ALLOWED, CHOICE, NONE, Kind, kinds, raw
from reader.house.values import Requirement
from reader.law.classes import birds
from reader.law.terms import UNCLEAR
from reader.tables import Entry

YES, NO, PERHAPS = "yes", "no", "perhaps"


@dataclass(frozen=True, slots=True)
class Sought:
    """What may not be in a product: ids of entries that are it, and of such as may be it, wordings that leave open what
    they are made of. names: the words of what is barred by its name: what stands beside a wording can settle it.
    """

    surely: frozenset[str]
    perhaps: frozenset[str]
    names: frozenset[frozenset[str]] = frozenset()

    def holds(self, entry: Entry, beside: frozenset[str] | None = None) -> str:
        """YES, NO or PERHAPS; `beside` are the words that tell what the entry is made of, as in "starch (potato)"."""
        if entry.id in self.surely:
            return YES
        if entry.id not in self.perhaps:
            return NO
        if beside is None or not self.names:
            return PERHAPS
        told = name_words(entry.name) | beside
        if any(name <= told for name in self.names):
            return YES
        return PERHAPS if any(name & beside for name in self.names) else NO


@lru_cache(maxsize=1024)
def sought(requirement: Requirement) -> Sought:
    """What a requirement about the list bars."""
    kind = kinds()[requirement.kind]
    if kind.takes == CHOICE:
        return Sought(_ids(e for e in tables.entries() if is_of(kind.choices[requirement.words[0]], e)), frozenset())
    inside = [e for e in tables.entries() if is_of(kind.values["of"], e)]
    if kind.values["words"] == "animals":
        return _other_animals(inside, requirement.words)
    if kind.values["words"] == "names":
        named = _named(kind, inside, requirement.words)
    else:
        named = _chosen(kind, inside, requirement.words)
    return _all_but(inside, named) if kind.takes == ALLOWED else named


def _all_but(inside: list[Entry], allowed: Sought) -> Sought:
    """What is left of some entries where some are allowed; what may be allowed may be barred too."""
    return Sought(_ids(inside) - allowed.surely - allowed.perhaps, allowed.perhaps)


def _chosen(kind: Kind, inside: list[Entry], words: Iterable[str]) -> Sought:
    choices = [kind.choices[word] for word in words if word != NONE]
    surely = _ids(e for e in inside if any(is_of(choice, e) for choice in choices))
    perhaps = {*kind.listed("vague"), *(i for choice in choices for i in choice.get("perhaps", ()))}
    return Sought(surely, frozenset(perhaps) - surely)


def is_of(selection: Mapping[str, Any], entry: Entry) -> bool:
    """Whether an entry is of the `roles` (and there of the `kinds`, if any) or among the `entries` of a selection."""
    of_kind = not selection.get("kinds") or entry.kind in selection["kinds"]
    return (entry.role in selection.get("roles", ()) and of_kind) or entry.id in selection.get("entries", ())


def _other_animals(inside: list[Entry], words: Iterable[str]) -> Sought:
    """What is not of some animals. Words that name no animal ("meat", "poultry") leave it open, unless no animal or
    every one they can mean is the same to the house.
    """
    species = {animal["word"]: frozenset(animal["species"]) for animal in raw()["animals"]}
    allowed = frozenset[str]().union(*(species[word] for word in words if word != NONE))
    if not allowed:
        return Sought(_ids(inside), frozenset())
    perhaps = [e for e in inside if _of_allowed(e, allowed) is None]
    return Sought(_ids(e for e in inside if _of_allowed(e, allowed) is False), _ids(perhaps))


def _of_allowed(entry: Entry, allowed: frozenset[str]) -> bool | None:
    """Whether an entry is of allowed animals; None where its name leaves the animal open."""
    of = frozenset(entry.species)
    if of and of <= allowed:
        return True
    of_no_bird = "poultry" in of and not birds() & allowed
    return False if of_no_bird or of - allowed - UNCLEAR else None


# -- names ---------------------------------------------------------------------------------------------------


def _named(kind: Kind, inside: list[Entry], words: Iterable[str]) -> Sought:
    """What some words name: all of a kind, and all that have the words in their name; "starch" names corn starch too.
    A shorter name of the same kind ("starch") may be what a longer one names ("potato starch").
    """
    surely: dict[str, Entry] = {}
    for word in words:
        if word != NONE:
            surely.update((e.id, e) for e in inside if word == e.kind or name_words(word) <= name_words(e.name))
    general = name_words(" ".join(kind.listed("general_words")))
    longer = {(e.kind, name_words(e.name)) for e in surely.values()}
    perhaps = [
        e
        for e in inside
        if e.id not in surely and any(of == e.kind and name_words(e.name) - general < name for of, name in longer)
    ]
    vague = frozenset(kind.listed("vague")) - surely.keys() if surely else frozenset()
    return Sought(frozenset(surely), _ids(perhaps) | vague, frozenset(name for _, name in longer))


@lru_cache(maxsize=1024)
def names_something(kind: Kind, word: str) -> bool:
    """Whether a word names anything a kind is about."""
    wanted = name_words(word)
    inside = (e for e in tables.entries() if is_of(kind.values["of"], e))
    return bool(wanted) and word == word.lower() and any(wanted <= name_words(e.name) for e in inside)


@lru_cache(maxsize=8192)
def name_words(name: str) -> frozenset[str]:
    """The words of a name, folded, in any order; those that name one thing only together are one."""
    for words in raw()["as_one"]:
        name = name.replace(words, words.replace(" ", ""))
    return frozenset(map(wordforms.word_key, wordforms.words(name)))


def _ids(entries: Iterable[Entry]) -> frozenset[str]:
    return frozenset(e.id for e in entries)
