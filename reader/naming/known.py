"""Names whose every word is known: looked up, never searched.

Order: the whole wording; an additive number; the wording without words such as "organic"; several joined by
"and" or "or"; a row of known names whose commas are missing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from reader import wordforms
from reader.naming.names import names
from reader.naming.words import UNKNOWN, Match, Piece, Words
from reader.phrases import book

_CONNECTORS = frozenset(("and", "or", "with", "including"))
_TISSUE = frozenset(("meat", "mechanically_separated", "fat", "by_product", "fish"))
_LONGEST = 9  # words in the longest wording looked up inside a longer phrase
_MOST_QUALIFIERS = 6  # taken off either end; keeps the cost of a long row of them bounded
_LONGEST_ROW = 300  # words in a row without commas that are searched for names; no real label comes near
_ATTRIBUTIVE = frozenset(
    [
        "meat",
        "by_product",
        "fish",
        "egg",
        "dairy",
        "vegetable",
        "fruit",
        "nut",
        "legume",
        "cereal",
        "bakery",
        "spice",
        "condiment",
        "confectionery",
        "alcohol",
    ]
)

Read = Callable[[Words], tuple[Piece, ...]]


def strict(words: Words, bare_number: bool = False) -> tuple[Piece, ...]:
    """The pieces of a name if every word of it is known; empty if not. About 10 µs."""
    found = by_words(words) if len(words) else None
    if found is None and 0 < len(words) <= 4:
        named = names().number(words.printed(), bare=bare_number)
        found = Match("number", named.entry, named.wording) if named else _beside_number(words)
    if found is not None:
        return (words.piece(found),)
    return joined(words, strict, bare_number) or row(words)


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
    if _CONNECTORS & set(words.keys):
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


# -- joined by "and" or "or" --------------------------------------------------------------------------------


def joined(words: Words, read: Read, bare_number: bool = False) -> tuple[Piece, ...]:
    """Ingredients joined by "and", "or", "and/or". With "or" they are one ingredient with alternatives.

    One side at least must be known; `read` then reads the others.
    """
    sides, joiners = _sides(words)
    if len(sides) < 2:
        return ()
    settled = [strict(side, bare_number) for side in sides]
    if "with" in joiners and (not all(settled) or _is_water(settled[-1])):
        return ()  # "with" joins known ingredients only, and "with water" tells how one was prepared
    if "with" in joiners and _flavoured(settled):
        return (words.piece(replace(settled[0][0].match, kind="head", dropped=(sides[-1].printed(),))),)
    if not all(settled) or _raw_before_tail(settled[:-1], sides[-1]):
        settled = _shared_tail(sides) or settled
    if not all(settled):
        if not any(settled):
            return ()
        settled = [found or read(side) for found, side in zip(settled, sides, strict=True)]
        if not all(settled):
            return ()
    settled = _pastes(settled, joiners)
    pieces = list(settled[0])
    for joiner, found in zip(joiners, settled[1:], strict=True):
        pieces += (replace(found[0], joiner=joiner), *found[1:])
    roles = {piece.match.entry.role if piece.match.entry else "" for piece in pieces}
    if not {"or", "and/or"} & set(joiners) or roles <= _TISSUE:  # each animal is told by itself
        return tuple(pieces)
    return (words.piece(_choice(settled)),)


def _pastes(settled: list[tuple[Piece, ...]], joiners: list[str]) -> list[tuple[Piece, ...]]:
    """ "Mechanically separated turkey or chicken": both are; with "and" it stays open and is read as printed."""
    first = settled[0][-1].match.entry
    if first is None or first.role != "mechanically_separated" or "and" in joiners:
        return settled
    out = settled[:1]
    for found in settled[1:]:
        named = names().find(wordforms.key(f"mechanically separated {found[0].match.wording}"))
        match = replace(found[0].match, kind="head", entry=named.entry, wording=named.wording) if named else None
        out.append((replace(found[0], match=match), *found[1:]) if match else found)
    return out


def _flavoured(settled: list[tuple[Piece, ...]]) -> bool:
    """ "Apple flavor with other natural flavors" is one flavouring."""
    roles = {piece.match.entry.role for found in settled for piece in found if piece.match.entry}
    return len(settled) == 2 and len(settled[0]) == 1 and roles == {"flavouring"}


def _is_water(found: tuple[Piece, ...]) -> bool:
    return any(piece.match.entry is not None and piece.match.entry.role == "water" for piece in found)


def _raw_before_tail(settled: list[tuple[Piece, ...]], last: Words) -> bool:
    """Whether "soybean and palm oil" is meant: raw foods before a name that ends in oil, juice, powder …"""
    tails = book().shared_tails
    if not ({last.keys[-1], "".join(last.keys[-2:])} & tails) or len(last) < 2:
        return False
    entries = [piece.match.entry for found in settled for piece in found]
    return all(entry is not None and entry.role in _ATTRIBUTIVE for entry in entries)


def _sides(words: Words) -> tuple[list[Words], list[str]]:
    sides: list[Words] = []
    joiners: list[str] = []
    start = i = 0
    while i < len(words):
        j = i
        while j < len(words) and words.keys[j] in _CONNECTORS:
            j += 1
        if j > i:
            if i > start and j < len(words):
                sides.append(words.part(start, i))
                joiners.append(_joiner(words.keys[i:j]))
            start = i = j
        else:
            i += 1
    if sides and start < len(words):
        sides.append(words.part(start, len(words)))
    return sides, joiners[: len(sides) - 1]


def _joiner(keys: tuple[str, ...]) -> str:
    if {"with", "including"} & set(keys):
        return "with"
    return "and/or" if {"and", "or"} <= set(keys) else keys[0]


def _shared_tail(sides: list[Words]) -> list[tuple[Piece, ...]]:
    """ "Black and white pepper": every side takes the last words of the last one."""
    last = sides[-1]
    rest = strict(last)
    for cut in range(1, min(4, len(last)) if rest else 0):
        tail = last.part(cut, len(last))
        found = [by_words(Words(s.keys + tail.keys, s.places + tail.places, s.text)) for s in sides[:-1]]
        if all(found):
            return [*((s.piece(replace(m, kind="head")),) for s, m in zip(sides, found, strict=False) if m), rest]
    return []


def _choice(settled: list[tuple[Piece, ...]]) -> Match:
    matches = [piece.match for found in settled for piece in found]
    first = next((m for m in matches if m.entry), matches[0])
    others = tuple(m.entry for m in matches if m.entry and m is not first)
    return replace(first, kind="choice", others=others) if first.entry else first


# -- a row of names without commas --------------------------------------------------------------------------


def row(words: Words, lenient: bool = False) -> tuple[Piece, ...]:
    """Known names that follow one another without commas: "corn syrup dextrose".

    All words must be known; if `lenient`, three in ten may be unknown and stand as unknown pieces.
    A food word before a generic noun ("apple juice") is a compound, not a missing comma.
    """
    n = len(words)
    if not 2 <= n <= _LONGEST_ROW:
        return ()
    cost: list[tuple[int, int]] = [(0, 0)] + [(n + 1, 0)] * n
    back = [(0, False)] * (n + 1)
    table, qualifiers = names(), book().qualifiers
    for i in range(n):
        unknown, pieces = cost[i]
        if unknown > n:
            continue
        for j in range(i + 1, min(n, i + _LONGEST) + 1):
            run = "".join(words.keys[i:j])
            fits = run in table or (
                j - i > 1 and words.keys[i] in qualifiers and by_words(words.part(i, j)) is not None
            )
            if fits and (unknown, pieces + 1) < cost[j]:
                cost[j], back[j] = (unknown, pieces + 1), (i, True)
        if (unknown + 1, pieces) < cost[i + 1]:
            cost[i + 1], back[i + 1] = (unknown + 1, pieces), (i, False)
    if cost[n][0] > (n * 3 // 10 if lenient else 0) or cost[n][1] < 2:
        return ()
    return _pieces_of_row(words, back)


def _pieces_of_row(words: Words, back: list[tuple[int, bool]]) -> tuple[Piece, ...]:
    runs: list[tuple[int, int, bool]] = []
    j = len(words)
    while j:
        i, fits = back[j]
        if runs and not fits and not runs[-1][2]:
            runs[-1] = (i, runs[-1][1], False)
        else:
            runs.append((i, j, fits))
        j = i
    parts = [words.part(i, j) for i, j, _ in reversed(runs)]
    matches = [by_words(p) or UNKNOWN for p in parts]
    return _collective(parts, matches) or _without_compounds(parts, matches)


def _collective(parts: list[Words], matches: list[Match]) -> tuple[Piece, ...]:
    """ "Spices cayenne pepper": one ingredient, the collective word, made of the others."""
    first = matches[0]
    if "".join(parts[0].keys) not in book().collectives or first.entry is None:
        return ()
    if any(m.entry is None or m.entry.role not in (first.entry.role, "spice", "flavouring") for m in matches):
        return ()
    whole = Words(parts[0].keys, parts[0].places + parts[-1].places, parts[0].text)
    return (
        whole.piece(first, inner=tuple(p.piece(m, "missing") for p, m in zip(parts[1:], matches[1:], strict=True))),
    )


def _without_compounds(parts: list[Words], matches: list[Match]) -> tuple[Piece, ...]:
    pieces: list[Piece] = []
    waiting: Words | None = None
    for k, (part, match) in enumerate(zip(parts, matches, strict=True)):
        follower = parts[k + 1] if k + 1 < len(parts) else None
        if _attributive(part, match, follower) and waiting is None:
            waiting = part
            continue
        if waiting is not None:
            whole = Words(waiting.keys + part.keys, waiting.places + part.places, part.text)
            match = replace(match, kind="head", dropped=(waiting.printed(), *match.dropped))
            part, waiting = whole, None
        pieces.append(part.piece(match, "missing" if pieces else ""))
    return tuple(pieces)


def _attributive(part: Words, match: Match, follower: Words | None) -> bool:
    """Whether a name belongs to the generic noun behind it: "apple" juice, "hydrolyzed beef" stock."""
    if follower is None or len(follower) > 1:
        return False
    head = follower.keys[0]
    if head in book().dependent_heads:
        return True
    role = match.entry.role if match.entry else ""
    return len(part) == 1 and role in _ATTRIBUTIVE and head in book().heads
