"""All wordings of the lexicon, ready to be looked up: which entry a wording names, and the words they are made of."""

from __future__ import annotations

import re
from functools import cached_property, lru_cache
from typing import Any, NamedTuple

from reader import tables, wordforms
from reader.tables import Entry

_NUMBER = re.compile(r"(?:e|ins)?\s*-?\s*(\d{3,4})\s*([a-f]?)\s*\(?\s*((?:i{1,3}|iv|vi{0,2})?)\s*\)?$", re.I)

_SCANNED_DIGITS = str.maketrans("OoIl", "0011")


class Named(NamedTuple):
    """An entry and the wording of it that was found."""

    entry: Entry
    wording: str


class Names:
    """The index of wordings; knows no grammar. Entries are made when they are first asked for."""

    def __init__(self, raw: list[dict[str, Any]], index: dict[str, Any]) -> None:
        self._raw = raw
        self._keys: dict[str, tuple[int, str]] = index["keys"]
        self._numbers: dict[str, int] = index["numbers"]
        self._foreign: dict[str, tuple[int, str]] = index["foreign"]
        self._by_market: dict[str, dict[str, int]] = index["by_market"]
        self.vocabulary: frozenset[str] = frozenset(index["vocabulary"])
        self._made: dict[int, Entry] = {}

    def entry(self, position: int) -> Entry:
        """The entry at a position of the ingredient files."""
        made = self._made.get(position)
        if made is None:
            made = self._made[position] = tables.entry_from(self._raw[position])
        return made

    def find(self, key: str) -> Named | None:
        """The entry a folded wording names, if any."""
        found = self._keys.get(key)
        return None if found is None else Named(self.entry(found[0]), found[1])

    def in_market(self, wording: str, market: str) -> Entry | None:
        """The entry a wording names in a market where it means another food than elsewhere."""
        meant = self._by_market.get(market)
        position = meant.get(wordforms.key(wording)) if meant else None
        return None if position is None else self.entry(position)

    def __contains__(self, key: str) -> bool:
        return key in self._keys

    def foreign(self, key: str) -> tuple[Entry, str] | None:
        """Entry and language (fr, es, de) of a name that is no English wording."""
        found = self._foreign.get(key)
        return None if found is None else (self.entry(found[0]), found[1])

    @cached_property
    def words(self) -> list[str]:
        """The vocabulary in a fixed order, for searching."""
        return sorted(w for w in self.vocabulary if len(w) > 2)

    @cached_property
    def keys(self) -> list[str]:
        """All folded wordings in a fixed order, for searching."""
        return sorted(self._keys)

    def number(self, printed: str, *, bare: bool) -> Named | None:
        """The additive with a printed number: "E250", "INS 250", "450(i)"; without E or INS only if `bare`."""
        text = printed.strip()
        if not ((text[:1].isdigit() and bare) or text[:1] in ("e", "E", "i", "I")):
            return None
        found = _NUMBER.match(text) or _NUMBER.match(text[:1] + text[1:].translate(_SCANNED_DIGITS))
        if found is None:
            return None
        digits, letter, roman = (g.lower() for g in found.groups())
        for form in (digits + letter + roman, digits + roman, digits + letter, digits):
            if form in self._numbers:
                return Named(self.entry(self._numbers[form]), f"E {form}")
        return None


def index_of(raw: list[dict[str, Any]], market_wordings: list[dict[str, Any]]) -> dict[str, Any]:
    """The index of all wordings as plain values: folded wording → (position, wording) and its like.

    Raises LexiconError if a wording of a market leads to no entry.
    """
    keys: dict[str, tuple[int, str]] = {}
    numbers: dict[str, int] = {}
    foreign: dict[str, tuple[int, str]] = {}
    vocabulary: set[str] = set()
    for position, item in enumerate(raw):
        for wording in (item["name"], *item.get("also", ())):
            keys.setdefault(wordforms.key(wording), (position, wording))
            vocabulary.update(map(wordforms.word_key, wordforms.words(wording)))
        for number in item.get("e", ()):
            numbers.setdefault(number, position)
    for position, item in enumerate(raw):
        for language in ("fr", "es", "de"):
            for wording in item.get(language, ()):
                if wordforms.key(wording) not in keys:
                    foreign.setdefault(wordforms.key(wording), (position, language))
    return {
        "keys": keys,
        "numbers": numbers,
        "foreign": foreign,
        "by_market": _by_market(raw, market_wordings),
        "vocabulary": sorted(vocabulary),
    }


def _by_market(raw: list[dict[str, Any]], market_wordings: list[dict[str, Any]]) -> dict[str, dict[str, int]]:
    positions = {item["id"]: position for position, item in enumerate(raw)}
    found: dict[str, dict[str, int]] = {}
    for row in market_wordings:
        if row["means"] not in positions:
            raise tables.LexiconError(
                f"market_wordings.yaml:{row['__line__']}: {row['means']!r} is no id of the ingredient files."
            )
        for market in row["markets"]:
            found.setdefault(market, {})[wordforms.key(row["wording"])] = positions[row["means"]]
    return found


@lru_cache(maxsize=1)
def names() -> Names:
    """The index of the project's lexicon."""
    raw = tables.raw_entries()
    market_wordings = tables.load_raw()["market_wordings"]
    return Names(raw, tables.remembered("names", lambda: index_of(raw, market_wordings)))
