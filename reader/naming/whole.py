"""One name as a whole: its wording as it stands, without words such as "organic", or beside its additive number."""

from __future__ import annotations

from dataclasses import replace

from reader import wordforms
from reader.naming.names import names
from reader.naming.words import Match, Words
from reader.phrases import book

CONNECTORS = frozenset(("and", "or", "with", "including"))
_MOST_QUALIFIERS = 6  # taken off either end; keeps the cost of a long row of them bounded


def one_name(words: Words, bare_number: bool) -> Match | None:
    """The entry the words name together: by wording, by additive number, or by both.

    With `bare_number` a number counts without E or INS, as behind the name of a class.
    """
    found = by_words(words) if len(words) else None
    if found is None and 0 < len(words) <= 4:
        named = names().number(words.printed(), bare=bare_number)
        found = Match("number", named.entry, named.wording) if named else _beside_number(words)
    return found


def by_words(words: Words) -> Match | None:
    """The entry the words name, whole or without qualifiers at their ends."""
    named = names().find("".join(words.keys))
    if named is not None:
        same = wordforms.plain(words.printed()) == named.wording
        return Match("exact" if same else "spelling", named.entry, named.wording)
    for i, j in _trimmings(words.keys):
        named = names().find("".join(words.keys[i:j]))
        if named:
            dropped = tuple(words.word(k) for k in (*range(i), *range(j, len(words))))
            return Match("head", named.entry, named.wording, 100.0, dropped)
    return None


def _trimmings(keys: tuple[str, ...]) -> list[tuple[int, int]]:
    """Ranges left when qualifiers are taken off the ends, the longest first."""
    fronts, backs = _cuts(keys), [len(keys) - k for k in _cuts(keys[::-1], backwards=True)]
    ranges = [(a, b) for a in fronts for b in backs if a < b and b - a < len(keys)]
    return sorted(ranges, key=lambda r: (r[0] - r[1], r[0]))


def _cuts(keys: tuple[str, ...], backwards: bool = False) -> list[int]:
    """How many words can be taken off the front (of the reversed words if backwards) as qualifiers."""
    qualifiers, cuts, i = book().qualifiers, [0], 0
    while i < len(keys) and len(cuts) <= _MOST_QUALIFIERS:
        for step in (4, 3, 2, 1):
            run = keys[i : i + step][::-1] if backwards else keys[i : i + step]
            if len(run) == step and "".join(run) in qualifiers:
                i += step
                cuts.append(i)
                break
        else:
            break
    return cuts


def _beside_number(words: Words) -> Match | None:
    """A name with its additive number beside it ("guar gum E412"), or the number alone if the name is unknown."""
    n = len(words)
    if CONNECTORS & set(words.keys):
        return None
    for cut in (2, 1):
        for a, b, c, d in ((n - cut, n, 0, n - cut), (0, cut, cut, n)):
            if n <= cut:
                continue
            number, rest = words.part(a, b), words.part(c, d)
            named = names().number(number.printed(), bare=False)
            if named:
                found = by_words(rest)
                if found is not None and found.entry is not None and (found.entry.e or found.entry is named.entry):
                    return replace(found, dropped=(*found.dropped, number.printed()))
                return Match("number", named.entry, named.wording, 100.0, (rest.printed(),))
    return None
