"""Allergen words as labels print them, and which allergens a run of words names."""

from __future__ import annotations

import re
from functools import lru_cache

from reader import tables, wordforms

_BESIDE = frozenset(
    [
        "and",
        "or",
        "also",
        "may",
        "the",
        "a",
        "an",
        "ingredient",
        "ingredients",
        "contain",
        "contains",
        "containing",
        "product",
        "products",
        "derivative",
        "derivatives",
        "tree",
        "from",
        "powder",
        "protein",
        "proteins",
        "lecithin",
        "oil",
        "flour",
        "less",
        "trace",
        "traces",
        "of",
        "gluten",
        "cereal",
        "cereals",
    ]
)


@lru_cache(maxsize=1)
def _by_word() -> dict[str, str]:
    found: dict[str, str] = {}
    for item in tables.load_raw()["allergens"]["allergens"]:
        for word in item["words"]:
            found[wordforms.key(word)] = item["id"]
    return found


@lru_cache(maxsize=2048)
def allergens_in(words: str) -> tuple[str, ...]:
    """Ids of the allergens that stand by name in the words, in order, each once."""
    table, keys = _by_word(), [wordforms.word_key(w) for w in wordforms.words(words)]
    found: dict[str, None] = {}
    i = 0
    while i < len(keys):
        for length in (3, 2, 1):
            allergen = table.get("".join(keys[i : i + length])) if i + length <= len(keys) else None
            if allergen:
                found[allergen] = None
                i += length
                break
        else:
            i += 1
    return tuple(found)


def is_allergen_list(words: str) -> bool:
    """Whether the words name allergens and nothing else: what follows "Contains" on an allergen line."""
    if re.search(r"[%\d]", words):
        return False
    keys = [wordforms.word_key(w) for w in wordforms.words(words)]
    rest = [k for k in keys if k not in _BESIDE and not allergens_in(k)]
    return bool(allergens_in(words)) and not [k for k in rest if k not in _part_words()]


@lru_cache(maxsize=1)
def _part_words() -> frozenset[str]:
    """Single words of allergen names printed as two ("brazil nut")."""
    return frozenset(
        wordforms.word_key(w)
        for item in tables.load_raw()["allergens"]["allergens"]
        for word in item["words"]
        for w in word.split()
    )
