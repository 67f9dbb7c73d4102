"""The numbers the catalogue goes by: limits of files, thresholds of guesses and of doubles (lexicon/catalogue.yaml)."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from reader import tables


@lru_cache(maxsize=4)
def _numbers(section: str) -> dict[str, float]:
    return {item["id"]: float(item["value"]) for item in tables.load_raw()["catalogue"][section]}


def limit(name: str) -> int:
    """A limit of a file, in the unit its entry names. Raises KeyError if there is none."""
    return int(_numbers("limits")[name])


def guessing(name: str) -> float:
    """A threshold of guessing columns. Raises KeyError if there is none."""
    return _numbers("guessing")[name]


def doubles(name: str) -> float:
    """A threshold of doubles. Raises KeyError if there is none."""
    return _numbers("doubles")[name]


def pairs(raw: dict[str, Any]) -> list[tuple[str, Any]]:
    """The keys and values of a mapping of the lexicon, without the line it stands in."""
    return [(key, value) for key, value in raw.items() if key != "__line__"]
