"""Words of a label as judges look for them and quote them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import islice

from reader import wordforms
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.spans import Span

_QUOTED_MOST = 4  # house: a sentence that quotes more is not read


def pasted_words(case: Case, places: Iterable[Span]) -> str:
    """The words at some places, each once, for a pair of quotes: "pork”, “beef"."""
    return "”, “".join(dict.fromkeys(map(case.text, places)))


def listed_words(case: Case, ingredients: Iterable[Ingredient]) -> str:
    """The printed names of the first few of some ingredients, each once, for a pair of quotes."""
    places = {case.text(i.span): i.span for i in ingredients}.values()
    return pasted_words(case, islice(places, _QUOTED_MOST)) + (" …" if len(places) > _QUOTED_MOST else "")


def quoted(case: Case, ingredients: Iterable[Ingredient]) -> str:
    """The printed names of all of them, each once and in quotes: where one left out would mislead."""
    return f"“{pasted_words(case, (i.span for i in ingredients))}”"


def unquoted(case: Case, ingredients: Iterable[Ingredient]) -> str:
    """The printed names, each once, for a sentence without quotes: "BHA, BHT"."""
    return ", ".join(dict.fromkeys(case.text(i.span) for i in ingredients))


def place_of(case: Case, wordings: tuple[str, ...]) -> Span | None:
    """Where one of some wordings stands first: on the front, beside the list, or among words of the list that name no
    ingredient ("casing not edible").
    """
    found = case.words.first(wordings)
    if found is not None:
        return found
    return next((i.span for i in case.terms if i.role in ("unknown", "casing") and holds(i.printed, wordings)), None)


def holds(text: str, wordings: tuple[str, ...]) -> bool:
    """Whether a text holds one of some wordings, as words or within one ("metabisulphite")."""
    folded = wordforms.key(text)
    return any(wanted in folded for wanted in keys(wordings))


@lru_cache(maxsize=1024)
def keys(wordings: tuple[str, ...]) -> tuple[str, ...]:
    """Some wordings, each folded as a whole."""
    return tuple(map(wordforms.key, wordings))


@lru_cache(maxsize=1024)
def first_words(wordings: tuple[str, ...]) -> frozenset[str]:
    """The first word of each wording, folded as the words of the front are."""
    return frozenset(wordforms.word_key(wordforms.WORD.findall(w)[0]) for w in wordings)


@lru_cache(maxsize=4096)
def words_in(text: str) -> frozenset[str]:
    """The words of a text, folded."""
    return frozenset(map(wordforms.word_key, wordforms.words(text)))
