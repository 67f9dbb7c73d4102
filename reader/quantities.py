"""Numbers: intervals of true values, and numbers as labels print them. No food knowledge."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple


class Interval(NamedTuple):
    """Closed interval of what a quantity can be. `low <= high` always holds."""

    low: float
    high: float

    def times(self, factor: float) -> Interval:
        """Both ends multiplied by a factor ≥ 0."""
        return Interval(self.low * factor, self.high * factor)

    def plus(self, other: Interval) -> Interval:
        """The interval of the sum of two quantities."""
        return Interval(self.low + other.low, self.high + other.high)

    def within(self, low: float, high: float) -> Interval:
        """Both ends moved into [low, high]."""
        return Interval(min(max(self.low, low), high), min(max(self.high, low), high))

    def holds(self, value: float, tolerance: float = 1e-9) -> bool:
        """Whether the value lies inside, ends included."""
        return self.low - tolerance <= value <= self.high + tolerance

    def meets(self, other: Interval) -> bool:
        """Whether the two have a point in common."""
        return self.low <= other.high and other.low <= self.high


NUMBER = r"\d{1,3}(?:[,.  ]\d{3})+(?![\d])|\d*[.,]\d+|\d+"
_GROUPED = re.compile(r"\d{1,3}(?:([,.  ])\d{3})+$")


def number(printed: str, *, grouped: bool = True) -> float:
    """A printed number as a float; 1,050 → 1050 (if `grouped`), 0,5 → 0.5, 1.050 → 1.05.

    A single comma before exactly three digits is a thousands mark unless the part before it is 0;
    a single full stop is a decimal mark. Raises ValueError when it is no number.
    """
    text = printed.strip()
    found = _GROUPED.match(text)
    if grouped and found:
        mark = found.group(1)
        if text.count(mark) > 1 or (mark != "." and not text.startswith("0")):
            return float(re.sub(r"[,.  ]", "", text))
    return float(text.replace(",", ".").replace(" ", ""))


def decimals(printed: str) -> int:
    """How many decimal places a printed number shows. "80" → 0, "10.5" → 1, "0,5" → 1."""
    found = re.search(r"[.,](\d+)$", printed.strip())
    return len(found.group(1)) if found else 0


def as_printed(printed: str) -> Interval:
    """The true values that round to this printed number at its own last place. "80" → 79.5–80.5."""
    half = 0.5 * 10.0 ** -decimals(printed)
    value = number(printed, grouped=False)
    return Interval(max(0.0, value - half), value + half)


@lru_cache(maxsize=16384)
def show(value: float, places: int = 1) -> str:
    """A number for people: at most `places` decimals, no trailing zeros, thousands with a comma."""
    text = f"{value:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
