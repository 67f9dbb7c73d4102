"""How fast a run goes and how long it will take, from how far it is and a clock."""

from __future__ import annotations

import math
import time
from collections import deque
from collections.abc import Callable

from reader.quantities import show
from reader.wording import say

_LOOKS_BACK = 30.0  # seconds: the rate is that of the last half minute, so that a slow stretch counts for a while only
_TOO_SOON = 2.0  # seconds in which no rate is told yet


class Pace:
    """Told from time to time how many rows are done. Rows done before the first telling count for no rate."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._told: deque[tuple[float, int]] = deque()

    def at(self, done: int) -> None:
        """So many rows are done now."""
        now = self._clock()
        self._told.append((now, done))
        while len(self._told) > 2 and self._told[1][0] <= now - _LOOKS_BACK:
            self._told.popleft()

    @property
    def rate(self) -> float | None:
        """Rows a second; None where it is too soon to tell."""
        if not self._told:
            return None
        (begun, before), (now, done) = self._told[0], self._told[-1]
        return (done - before) / (now - begun) if now - begun >= _TOO_SOON and done > before else None

    def left(self, whole: int | None) -> float | None:
        """Seconds until all are done; None where that cannot be told."""
        rate = self.rate
        if rate is None or whole is None:
            return None
        return max(whole - self._told[-1][1], 0) / rate


def time_told(seconds: float) -> str:
    """A stretch of time for people, rounded up as far as it matters."""
    if seconds < 55:
        return say("suppliers_seconds", count=max(5, 5 * math.ceil(seconds / 5)))
    minutes = math.ceil(seconds / 60)
    if minutes < 100:
        return say("suppliers_minute" if minutes == 1 else "suppliers_minutes", count=minutes)
    return say("suppliers_hours", count=show(math.ceil(seconds / 360) / 10, 1))


def rate_told(rate: float) -> str:
    """Rows a second for people."""
    return show(rate, 0 if rate >= 10 else 1)
