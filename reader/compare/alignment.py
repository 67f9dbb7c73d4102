"""Terms of two lists paired: by lexicon entry, else by wording, else by role, the nearest in place first."""

from __future__ import annotations

import itertools
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass

from reader import wordforms
from reader.ingredient_tree import Ingredient

ENTRY, WORDING, ROLE = "entry", "wording", "role"
_CLASS, _UNKNOWN = "class", "unknown"


@dataclass(frozen=True, slots=True)
class Term:
    """One term of a list. rank: its place among all terms, from 1; inside: the printed name it is part of, or ""."""

    rank: int
    ingredient: Ingredient
    inside: str = ""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two terms that answer each other; one is None where a term stands in one list only.

    by: ENTRY (one lexicon entry), WORDING (one wording), ROLE (different things with one role), "" for a single term.
    """

    left: Term | None
    right: Term | None
    by: str = ""


def terms(ingredients: tuple[Ingredient, ...]) -> tuple[Term, ...]:
    """All terms of a list in printed order, those in brackets after what they are part of. A word that only announces
    a class ("preservative") is no term.
    """
    found = enumerate(_within(ingredients, ""), 1)
    return tuple(Term(rank, ingredient, inside) for rank, (ingredient, inside) in found)


def _within(ingredients: tuple[Ingredient, ...], inside: str) -> Iterator[tuple[Ingredient, str]]:
    for ingredient in ingredients:
        announces = ingredient.role == _CLASS
        if not announces:
            yield ingredient, inside
        yield from _within(ingredient.parts, inside if announces else ingredient.printed)


def align(left: Sequence[Term], right: Sequence[Term]) -> tuple[Pair, ...]:
    """Every term of both lists in exactly one pair, in the order of the left list; a term of the right list alone
    stands after the pair of the term before it and what is alone there.
    """
    pairs: list[Pair] = []
    free_left, free_right = list(left), list(right)
    for by, key in ((ENTRY, _entry), (WORDING, _wording)):
        found = _in_turn(free_left, free_right, key)
        pairs += [Pair(a, b, by) for a, b in found]
        free_left, free_right = _without(free_left, [a for a, _ in found]), _without(free_right, [b for _, b in found])
    found = _nearest(free_left, free_right, len(left), len(right))
    pairs += [Pair(a, b, ROLE) for a, b in found]
    pairs += [Pair(a, None) for a in _without(free_left, [a for a, _ in found])]
    alone = _without(free_right, [b for _, b in found])
    pairs.sort(key=lambda p: p.left.rank if p.left else 0)
    return _put_in(pairs, alone)


def moved(pairs: Sequence[Pair]) -> frozenset[int]:
    """Left ranks of the fewest terms that must have moved for the two orders to differ as they do.

    Terms paired by role are other ingredients and move nothing. Method: what is left of the pairs when a longest
    rising run of right ranks is taken out (Fredman 1975, on longest increasing subsequences; not verified).
    """
    both = [(p.left.rank, p.right.rank) for p in pairs if p.left and p.right and p.by != ROLE]
    both.sort()
    tails: list[int] = []  # the least right rank a run of each length can end with
    ends: list[int] = []  # which pair that is
    before: list[int] = []
    for n, (_, rank) in enumerate(both):
        k = bisect_left(tails, rank)
        before.append(ends[k - 1] if k else -1)
        tails[k : k + 1], ends[k : k + 1] = [rank], [n]
    kept, n = set(), ends[-1] if ends else -1
    while n >= 0:
        kept.add(n)
        n = before[n]
    return frozenset(left for n, (left, _) in enumerate(both) if n not in kept)


def _entry(term: Term) -> Hashable:
    return term.ingredient.entry.id if term.ingredient.entry else None


def _wording(term: Term) -> Hashable:
    return wordforms.key(term.ingredient.printed) or None


def _in_turn(left: Sequence[Term], right: Sequence[Term], key: Callable[[Term], Hashable]) -> list[tuple[Term, Term]]:
    """Terms with one key, the first with the first, the second with the second."""
    there: dict[Hashable, list[Term]] = defaultdict(list)
    for term in right:
        there[key(term)].append(term)
    found = []
    for term in left:
        own = key(term)
        if own is not None and there[own]:
            found.append((term, there[own].pop(0)))
    return found


def _nearest(left: Sequence[Term], right: Sequence[Term], of_left: int, of_right: int) -> list[tuple[Term, Term]]:
    """Terms of one role; one kind before another, then the least distance in place relative to the list's length."""
    ways = [
        (a.ingredient.kind != b.ingredient.kind, abs(a.rank / of_left - b.rank / of_right), a.rank, b.rank, a, b)
        for a, b in itertools.product(left, right)
        if a.ingredient.role == b.ingredient.role and a.ingredient.role != _UNKNOWN
    ]
    found, used_left, used_right = [], set[int](), set[int]()
    for *_, a, b in sorted(ways, key=lambda way: way[:4]):
        if a.rank not in used_left and b.rank not in used_right:
            used_left.add(a.rank)
            used_right.add(b.rank)
            found.append((a, b))
    return found


def _without(all_terms: Sequence[Term], taken: Sequence[Term]) -> list[Term]:
    ranks = {t.rank for t in taken}
    return [t for t in all_terms if t.rank not in ranks]


def _put_in(pairs: list[Pair], alone: Sequence[Term]) -> tuple[Pair, ...]:
    """Terms of the right list alone, each after the pair that holds the term before it there."""
    placed = list(pairs)
    for term in sorted(alone, key=lambda t: t.rank):
        previous = next((n for n, p in enumerate(placed) if p.right and p.right.rank == term.rank - 1), -1)
        at = previous + 1
        while at < len(placed) and placed[at].right is None:
            at += 1
        placed.insert(at, Pair(None, term))
    return tuple(placed)
