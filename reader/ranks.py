"""Ranks of ranges: what overlaps is never ranked apart. Shared by comparisons and shortlists."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from reader.quantities import Interval


def ranks(ranges: Sequence[Interval | None]) -> tuple[tuple[int, int] | None, ...]:
    """For each range the best and the worst rank it allows among all, 1 the first, a higher value before a lower one;
    None for what has no range. Takes n log n steps.
    """
    known = [found for found in ranges if found is not None]
    lows, highs = sorted(found.low for found in known), sorted(found.high for found in known)
    count = len(known)

    def of(own: Interval) -> tuple[int, int]:
        ahead = count - bisect_right(lows, own.high)  # those that lie above it as a whole
        behind = bisect_left(highs, own.low)  # those that lie below it as a whole
        return 1 + ahead, count - behind

    return tuple(None if found is None else of(found) for found in ranges)


def middle(found: Interval | None) -> float:
    """The middle of a range, 0 where there is none: what puts those that share their ranks in order."""
    return 0.0 if found is None else (found.low + found.high) / 2
