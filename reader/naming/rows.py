"""Names that follow one another without commas, and compounds that only look as if they did."""

from __future__ import annotations

from dataclasses import replace

from reader.naming.names import names
from reader.naming.whole import by_words
from reader.naming.words import UNKNOWN, Match, Piece, Words
from reader.phrases import book

_LONGEST = 9  # words in the longest wording looked up inside a longer phrase
_LONGEST_ROW = 300  # words in a row without commas that are searched for names; no real label comes near
_REPEATING = frozenset(("culture", "gum", "meat"))  # words that say of a name what it is anyway
_TISSUE = frozenset(("meat", "by_product", "fish"))
# Roles of what is made of an animal, or to go with it; a salt or a flour behind the animal has lost its comma.
_OF_TISSUE = _TISSUE | {"animal_protein", "broth", "condiment", "fat", "flavouring", "group", "other"}
# Roles of foods that stand as the first word of a compound: "apple juice", "beef stock".
ATTRIBUTIVE = frozenset(
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
    told: list[tuple[Words, Match]] = []
    for part, match in zip(parts, matches, strict=True):
        if told and _says_nothing_new(part, match, told[-1][1]):
            before, its = told.pop()
            both = Words(before.keys + part.keys, before.places + part.places, part.text)
            told.append((both, replace(its, kind="head", dropped=(*its.dropped, part.printed()))))
        else:
            told.append((part, match))
    for k, (part, match) in enumerate(told):
        if waiting is None and k + 1 < len(told) and _attributive(part, match, *told[k + 1]):
            waiting = part
            continue
        if waiting is not None:
            whole = Words(waiting.keys + part.keys, waiting.places + part.places, part.text)
            match = replace(match, kind="head", dropped=(waiting.printed(), *match.dropped))
            part, waiting = whole, None
        pieces.append(part.piece(match, "missing" if pieces else ""))
    return tuple(pieces)


def _says_nothing_new(part: Words, match: Match, before: Match) -> bool:
    """Whether a name only repeats what the name before it is: "methylcellulose" gum, "pork liver" meat."""
    if match.entry is None or before.entry is None or len(part) > 1 or part.keys[0] not in _REPEATING:
        return False
    return match.entry.role == before.entry.role or {match.entry.role, before.entry.role} <= _TISSUE


def _attributive(part: Words, match: Match, follower: Words, its: Match) -> bool:
    """Whether a name belongs to the generic noun behind it: "apple" juice, "hydrolyzed beef" stock, not "pork" salt."""
    if len(follower) > 1:
        return False
    head = follower.keys[0]
    if head in book().dependent_heads:
        return True
    role = match.entry.role if match.entry else ""
    if len(part) > 1 or role not in ATTRIBUTIVE or head not in book().heads:
        return False
    return role not in _TISSUE or (its.entry is not None and its.entry.role in _OF_TISSUE)
