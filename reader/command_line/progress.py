"""How far a screening is, as one line on a terminal that is written over and over."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import TextIO

from reader.screening.values import Progress
from reader.wording import say

Clock = Callable[[], float]
_EVERY = 0.5  # seconds
_EVERY_IN_FILE = 30.0  # seconds, where each telling is a line of its own
_WIDTH = 76  # characters, so that a shorter line covers a longer one


class ProgressLine:
    """Tells how many rows are counted, then how many are done, how fast, and how long the rest may take."""

    def __init__(self, clock: Clock, stream: TextIO, *, quiet: bool = False) -> None:
        self._clock, self._stream, self._over, self._quiet = clock, stream, stream.isatty(), quiet
        self._last: float | None = None
        self._begun: tuple[float, int] | None = None

    def counted(self, rows: int) -> None:
        """So many rows were counted so far."""
        self._tell(say("screen_counting", count=f"{rows:,}"))

    def done(self, progress: Progress) -> None:
        """It is so far. Rows of an earlier run count for no rate."""
        now = self._clock()
        begun, before = self._begun = self._begun or (now, progress.done)
        whole = progress.whole or 0
        told = say("screen_progress", count=f"{progress.done:,}", whole=f"{whole:,}")
        if progress.done > before and progress.done < whole:
            rate = (progress.done - before) / max(now - begun, 1e-9)
            told = say("screen_rate", text=told, value=f"{rate:,.1f}", amount=_time((whole - progress.done) / rate))
        self._tell(told, always=progress.done == whole)

    def end(self) -> None:
        """Leave the line as it stands."""
        if self._over and self._last is not None:
            print(file=self._stream)

    def _tell(self, told: str, *, always: bool = False) -> None:
        if self._quiet:
            return
        now = self._clock()
        if not always and self._last is not None and now - self._last < (_EVERY if self._over else _EVERY_IN_FILE):
            return
        self._last = now
        with suppress(OSError):  # nobody reads it any more, which is no reason to end the work
            print(f"\r{told:<{_WIDTH}}" if self._over else told, end="" if self._over else "\n", file=self._stream)
            self._stream.flush()


def _time(seconds: float) -> str:
    """Hours, minutes and seconds as on a clock."""
    whole = round(seconds)
    return f"{whole // 3600}:{whole // 60 % 60:02}:{whole % 60:02}"
