"""Where products stand before a house: every must met, something to ask, or a must failed; then by preferences.

What a product meets of the preferences is a range, for what is asked may turn out either way; products whose ranges
overlap share their ranks, as packs do that are compared. Every preference counts the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from reader.house.values import ASK, FAILS, MEETS, VERDICTS, Specification, Verdict
from reader.quantities import Interval
from reader.ranks import middle, ranks


@dataclass(frozen=True, slots=True)
class Tally:
    """The verdicts of one product, counted: small, so that those of a whole catalogue can be kept and sorted."""

    musts_met: int = 0
    musts_asked: int = 0
    musts_failed: int = 0
    preferences_met: int = 0
    preferences_asked: int = 0
    preferences_failed: int = 0

    @property
    def standing(self) -> str:
        """MEETS if every must is met, FAILS if one is failed, else ASK."""
        return FAILS if self.musts_failed else ASK if self.musts_asked else MEETS

    @property
    def preferences(self) -> Interval:
        """How many of the preferences are met: from those that are to those that may be."""
        return Interval(float(self.preferences_met), float(self.preferences_met + self.preferences_asked))


@dataclass(frozen=True, slots=True)
class Placed:
    """A product in its place. number: what the caller knows it by. best, worst: the ranks its preferences allow among
    those of the same standing, 1 the first.
    """

    number: int
    tally: Tally
    best: int
    worst: int


def tally(specification: Specification, verdicts: Sequence[Verdict]) -> Tally:
    """The verdicts of `verdicts.judge`, counted. Raises ValueError if they are not of this specification."""
    pairs = list(zip(specification.requirements, verdicts, strict=True))
    count = {
        (must, v): sum(r.must is must and f.verdict == v for r, f in pairs) for must in (True, False) for v in VERDICTS
    }
    return Tally(
        count[True, MEETS], count[True, ASK], count[True, FAILS],
        count[False, MEETS], count[False, ASK], count[False, FAILS],
    )  # fmt: skip


def stand(tallies: Iterable[tuple[int, Tally]]) -> tuple[Placed, ...]:
    """Products in the order of a shortlist: by standing, then by the middle of what they meet of the preferences, then
    by number, so that the same products always come in the same order.
    """
    ordered = sorted(tallies, key=lambda row: (VERDICTS.index(row[1].standing), -middle(row[1].preferences), row[0]))
    placed: list[Placed] = []
    for _, rows in groupby(ordered, key=lambda row: row[1].standing):
        alike = list(rows)
        for (number, own), places in zip(alike, ranks([t.preferences for _, t in alike]), strict=True):
            assert places is not None  # preferences are always a range
            placed.append(Placed(number, own, *places))
    return tuple(placed)
