"""All wordings of the lexicon, ready to be looked up: which entry a wording names, and the words they are made of."""

from __future__ import annotations

import re
from functools import cached_property, lru_cache
from typing import NamedTuple

from reader import tables, wordforms
from reader.tables import Entry

_NUMBER = re.compile(r"(?:e|ins)?\s*-?\s*(\d{3,4})\s*([a-f]?)\s*\(?\s*((?:i{1,3}|iv|vi{0,2})?)\s*\)?$", re.I)


class Named(NamedTuple):
    """An entry and the wording of it that was found."""

    entry: Entry
    wording: str


class Names:
    """The index of wordings. Built once for a lexicon; knows no grammar."""

    def __init__(self, entries: tuple[Entry, ...]) -> None:
        self.entries = entries
        self.by_key: dict[str, Named] = {}
        self.by_number: dict[str, Entry] = {}
        key = wordforms.key
        for entry in entries:
            for wording in (entry.name, *entry.also):
                self.by_key.setdefault(key(wording), Named(entry, wording))
            for number in entry.e:
                self.by_number.setdefault(number, entry)

    @cached_property
    def vocabulary(self) -> frozenset[str]:
        """Every folded word that occurs in a wording."""
        return frozenset(
            wordforms.word_key(w) for e in self.entries for wording in (e.name, *e.also) for w in wordforms.words(wording)
        )

    @cached_property
    def words(self) -> list[str]:
        """The vocabulary in a fixed order, for searching."""
        return sorted(w for w in self.vocabulary if len(w) > 3)

    @cached_property
    def keys(self) -> list[str]:
        """All folded wordings in a fixed order, for searching."""
        return sorted(self.by_key)

    @cached_property
    def foreign(self) -> dict[str, tuple[Entry, str]]:
        """French, Spanish and German names that are no English wording: key → (entry, language)."""
        found: dict[str, tuple[Entry, str]] = {}
        for entry in self.entries:
            for language, wordings in (("fr", entry.fr), ("es", entry.es), ("de", entry.de)):
                for wording in wordings:
                    folded = wordforms.key(wording)
                    if folded not in self.by_key:
                        found.setdefault(folded, (entry, language))
        return found

    def number(self, printed: str, *, bare: bool) -> Named | None:
        """The additive with a printed number: "E250", "INS 250", "450(i)"; without E or INS only if `bare`."""
        found = _NUMBER.match(printed.strip())
        if found is None or not (bare or printed.strip()[0] in "eEiI"):
            return None
        digits, letter, roman = (g.lower() for g in found.groups())
        for form in (digits + letter + roman, digits + roman, digits + letter, digits):
            if form in self.by_number:
                return Named(self.by_number[form], f"E {form}")
        return None


@lru_cache(maxsize=1)
def names() -> Names:
    """The index of the project's lexicon."""
    return Names(tables.entries())
