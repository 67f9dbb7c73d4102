"""Which entries are doubles of one another, nearly so, or variants of one product.

Held for each entry: some hundred bytes of keys and its folded name; for each different statement its folded text and
160 bytes of signature, all in all some 700 bytes for a label. Nothing of the entries themselves is kept, so they may
stream. Time grows with the number of entries and of pairs that look alike, not with all pairs.

Candidates are found by MinHash (Broder 1997, from memory) over runs of four letters, cut into bands; each candidate
is then compared in full. A pair just at the threshold is missed about once in ten times, one further inside rarely.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from rapidfuzz import fuzz

from reader.catalogue.cell_words import weight_words
from reader.catalogue.settings import doubles
from reader.catalogue.values import Entry, Group

if TYPE_CHECKING:
    import numpy as np

EXACT, NEAR, VARIANTS = "exact", "near", "variants"

_BANDS, _ROWS = 20, 8
_MOST_LEADERS = 12  # statements one is compared with in a band; more look alike only in lists of one recipe
_WORD = re.compile(r"[^\W_]+")
_FIELDS = ("name", "code", "panel", "price", "net_weight")


class _Held(NamedTuple):
    """What is kept of an entry: its number, its statement's place among the different ones, keys of its fields."""

    number: int
    statement: int
    fields: tuple[int, ...]
    maker: str
    name: str

    def field(self, name: str) -> int:
        return self.fields[_FIELDS.index(name)]


class _Sets:
    """Sets of places that grow together (union by the smaller place), with the least score that joined each."""

    def __init__(self, count: int) -> None:
        self._above = list(range(count))
        self._score = [100.0] * count

    def of(self, place: int) -> int:
        above = self._above
        while above[place] != place:
            above[place] = above[above[place]]
            place = above[place]
        return place

    def join(self, one: int, other: int, score: float) -> None:
        low, high = sorted((self.of(one), self.of(other)))
        self._above[high] = low
        self._score[low] = min(score, self._score[low], self._score[high])

    def score(self, place: int) -> float:
        return self._score[self.of(place)]


def find_doubles(entries: Iterable[Entry]) -> tuple[Group, ...]:
    """Groups of entries that belong together, by kind and then by their first number.

    An entry may stand in a group of each kind. Entries whose statement is missing or very short are in none.
    """
    held, statements = _collected(entries)
    alike = _alike(statements)
    exact = _by(held, lambda h: (h.statement, h.field("panel")))
    near = [
        g for g in _by(held, lambda h: alike.of(h.statement)) if len({(h.statement, h.field("panel")) for h in g}) > 1
    ]
    groups = [_group(EXACT, g, 100) for g in exact]
    groups += [_group(NEAR, g, alike.score(g[0].statement)) for g in near]
    groups += [_group(VARIANTS, g, score) for g, score in _variants(held, statements, alike)]
    return tuple(groups)


def folded(text: str) -> str:
    """A text as its words in small letters: what is left when print does not count."""
    return " ".join(_WORD.findall(unicodedata.normalize("NFKC", text).casefold()))


def _collected(entries: Iterable[Entry]) -> tuple[list[_Held], list[str]]:
    places: dict[int, int] = {}
    statements: list[str] = []
    held = []
    for entry in entries:
        text = folded(entry.statement)
        if len(text) < doubles("shortest"):
            continue
        place = places.setdefault(_key(text), len(statements))
        if place == len(statements):
            statements.append(text)
        panel = folded(entry.panel) or (
            " ".join(f"{n} {t}" for n, t in entry.typed) + entry.basis if entry.typed else ""
        )
        fields = tuple(
            map(_key, (folded(entry.name), entry.code, panel, folded(entry.price), folded(entry.net_weight)))
        )
        held.append(_Held(entry.number, place, fields, folded(entry.supplier) or entry.file, _stem(entry.name)))
    return held, statements


def _key(text: str) -> int:
    return (
        int.from_bytes(hashlib.blake2b(text.encode("utf-8", "replace"), digest_size=8).digest(), "big") if text else 0
    )


def _stem(name: str) -> str:
    """A name without numbers and words of weight: "Farmhouse Bratwurst 6 x 60 g" → "farmhouse bratwurst"."""
    return " ".join(w for w in folded(name).split() if not w[0].isdigit() and w not in weight_words())


def _by(held: Sequence[_Held], key: Any) -> list[list[_Held]]:
    """Entries with one key, where they are several, in order of their first."""
    found: dict[Hashable, list[_Held]] = defaultdict(list)
    for one in held:
        found[key(one)].append(one)
    return [group for group in found.values() if len(group) > 1]


def _group(kind: str, group: Sequence[_Held], score: float) -> Group:
    differs = tuple(name for k, name in enumerate(_FIELDS) if len({h.fields[k] for h in group}) > 1)
    return Group(kind, tuple(sorted(h.number for h in group)), round(score, 1), differs)


# -- statements that are nearly the same --------------------------------------------------------------------


def _alike(statements: Sequence[str]) -> _Sets:
    """The different statements joined where they are nearly the same."""
    sets = _Sets(len(statements))
    if len(statements) < 2:
        return sets
    signs = _signs(statements)
    for band in range(_BANDS):
        for run in _runs(signs[:, band]):
            _join_run(run, statements, sets)
    return sets


def _join_run(run: list[int], statements: Sequence[str], sets: _Sets) -> None:
    """Compare the statements of one run, the short ones first, each with those before it that nothing was like."""
    threshold = doubles("near")
    least = threshold / (
        200 - threshold
    )  # of two such statements the shorter is no shorter than this part of the other
    run.sort(key=lambda place: (len(statements[place]), place))
    leaders: list[int] = []
    for place in run:
        text = statements[place]
        for leader in reversed(leaders[-_MOST_LEADERS:]):
            if len(statements[leader]) < least * len(text):
                break
            if sets.of(leader) == sets.of(place):
                break
            score = fuzz.ratio(statements[leader], text, score_cutoff=threshold)
            if score:
                sets.join(leader, place, score)
                break
        else:
            leaders.append(place)
            continue
        if sets.of(leaders[-1]) != sets.of(place):
            leaders.append(place)


def _signs(statements: Sequence[str]) -> np.ndarray[Any, Any]:
    """One row of keys for each statement, one key for each band; equal keys are likely where texts are alike."""
    import numpy as np

    numbers = np.random.default_rng(20)  # the same in every run
    size = _BANDS * _ROWS
    factors = numbers.integers(1, 2**32, size, dtype=np.uint32) | np.uint32(1)
    offsets = numbers.integers(0, 2**32, size, dtype=np.uint32)
    weights = numbers.integers(1, 2**63, _ROWS, dtype=np.uint64) | np.uint64(1)
    found = np.empty((len(statements), _BANDS), np.uint64)
    for place, text in enumerate(statements):
        letters = np.frombuffer(text.encode("utf-8")[:4000], np.uint8).astype(np.uint32)
        grams = letters[:-3] | letters[1:-2] << 8 | letters[2:-1] << 16 | letters[3:] << 24
        grams ^= grams >> np.uint32(15)
        grams *= np.uint32(0x2C1B3C6D)
        grams ^= grams >> np.uint32(12)
        least = (grams[:, None] * factors + offsets).min(axis=0)
        found[place] = (least.reshape(_BANDS, _ROWS).astype(np.uint64) * weights).sum(axis=1, dtype=np.uint64)
    return found


def _runs(keys: np.ndarray[Any, Any]) -> Iterator[list[int]]:
    """Places with one key, where they are several."""
    import numpy as np

    order = np.argsort(keys, kind="stable")
    starts = np.concatenate(([0], np.flatnonzero(np.diff(keys[order])) + 1, [len(keys)]))
    several = np.flatnonzero(np.diff(starts) > 1)
    for start, end in zip(starts[several], starts[several + 1], strict=True):
        yield order[start:end].tolist()


# -- variants -----------------------------------------------------------------------------------------------


def _variants(held: Sequence[_Held], statements: Sequence[str], alike: _Sets) -> Iterator[tuple[list[_Held], float]]:
    """Entries of one maker whose names begin alike and whose statements are alike but not nearly the same."""
    for block in _by([h for h in held if h.name], lambda h: (h.maker, h.name.split()[0])):
        sets = _Sets(len(block))
        leaders: list[int] = []
        order = sorted(range(len(block)), key=lambda k: (block[k].name, block[k].number))
        for k in order:
            for leader in reversed(leaders[-_MOST_LEADERS:]):
                score = _variant_score(block[leader], block[k], statements, alike)
                if score:
                    sets.join(leader, k, score)
                    break
            else:
                leaders.append(k)
        for group in _by_set(block, sets):
            if len({alike.of(block[k].statement) for k in group}) > 1:
                yield [block[k] for k in group], sets.score(group[0])


def _variant_score(one: _Held, other: _Held, statements: Sequence[str], alike: _Sets) -> float:
    """How alike the statements of two variants are, 0 if they are none."""
    if fuzz.ratio(one.name, other.name) < doubles("variant_name"):
        return 0.0
    if alike.of(one.statement) == alike.of(other.statement):
        return 100.0
    return fuzz.ratio(statements[one.statement], statements[other.statement], score_cutoff=doubles("variant_statement"))


def _by_set(block: Sequence[_Held], sets: _Sets) -> list[list[int]]:
    found: dict[int, list[int]] = defaultdict(list)
    for k in range(len(block)):
        found[sets.of(k)].append(k)
    return [group for group in found.values() if len(group) > 1]
