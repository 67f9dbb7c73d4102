"""Words of a label as judges look for them and quote them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from reader import wordforms
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.spans import Span

_QUOTED_MOST = 4  # house: a sentence that quotes more is not read


def listed_words(case: Case, ingredients: Iterable[Ingredient]) -> str:
    """The printed names of some ingredients, each once, for a pair of quotes: "pork”, “beef"."""
    found = dict.fromkeys(case.text(i.span) for i in ingredients)
    shown = list(found)[:_QUOTED_MOST]
    return "”, “".join(shown) + (" …" if len(found) > _QUOTED_MOST else "")


def place_of(case: Case, wordings: tuple[str, ...]) -> Span | None:
    """Where one of some wordings stands first: on the front, beside the list, or among words of the list that name no
    ingredient ("casing not edible").
    """
    found = case.words.first(wordings)
    if found is not None:
        return found
    wanted = _keys(wordings)
    odd = (i for i in case.terms if i.role in ("unknown", "casing"))
    return next((i.span for i in odd if any(w in wordforms.key(i.printed) for w in wanted)), None)


@lru_cache(maxsize=128)
def _keys(wordings: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(map(wordforms.key, wordings))
