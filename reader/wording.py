"""The sentences people read. They stand in lexicon/wording/, so that a teacher can correct them there."""

from __future__ import annotations

from functools import lru_cache

from reader import tables


@lru_cache(maxsize=1)
def _templates() -> dict[str, str]:
    found: dict[str, str] = {}
    for name, content in tables.load_raw().items():
        if name.startswith("wording/"):
            found.update((k, v) for k, v in content.items() if k != "__line__")
    return found


def say(key: str, **values: object) -> str:
    """The sentence `key` of lexicon/wording/, its {places} filled. Raises KeyError when either is missing."""
    return _templates()[key].format(**values)


def has(key: str) -> bool:
    """Whether lexicon/wording/ holds the sentence."""
    return key in _templates()
