"""Rounding rules: which true values a printed number can stand for. The rules are lexicon/rounding.yaml.

A band says how true values of one range are printed. The true values behind a printed number are the hull of those
that some band prints so; a number no band can print is taken at its own last place.
"""

from __future__ import annotations

from functools import lru_cache
from math import floor, inf, log10
from typing import Any, NamedTuple

from reader import tables
from reader.quantities import Interval

_TINY = 1e-9


class Band(NamedTuple):
    """True values from `low` to `high` are printed to the nearest `step`, or, if step is 0, as `shown`."""

    low: float
    high: float
    step: float
    shown: float
    less: bool  # `shown` is printed as "less than"


class Rule(NamedTuple):
    """One rule of lexicon/rounding.yaml."""

    id: str
    basis: tuple[str, ...]
    law: bool
    bands: tuple[Band, ...]
    significant: int
    status: str


def _band(raw: dict[str, Any]) -> Band:
    shown = str(raw.get("shown", "0"))
    step = float(raw.get("step", 0))
    return Band(float(raw["from"]), float(raw.get("to", inf)), step, float(shown.lstrip("<")), shown.startswith("<"))


@lru_cache(maxsize=1)
def _rules() -> dict[tuple[str, str, str], Rule]:
    """(market, nutrient, basis) → rule."""
    found: dict[tuple[str, str, str], Rule] = {}
    for raw in tables.load_raw()["rounding"]:
        bands = tuple(map(_band, raw.get("bands", ())))
        rule = Rule(
            raw["id"], tuple(raw["basis"]), raw["force"] == "law", bands, int(raw.get("significant", 0)), raw["status"]
        )
        keys = ((m, n, b) for m in raw["markets"] for n in raw["nutrients"] for b in raw["basis"])
        for key in keys:
            if key in found:
                raise tables.LexiconError(
                    f"rounding.yaml:{raw['__line__']}: {key} has the rule {found[key].id} already."
                )
            found[key] = rule
    return found


def rule_for(market: str, nutrient: str, basis: str) -> Rule | None:
    """The rule in force for this row, or None: "no rule" is an answer."""
    return _rules().get((market, nutrient, basis))


def last_place(value: float, places: int, less: bool = False) -> Interval:
    """The true values that round to `value` at `places` decimals; for "less than", 0 up to the value."""
    if less:
        return Interval(0.0, value)
    half = 0.5 * 10.0**-places
    return Interval(max(0.0, value - half), value + half)


@lru_cache(maxsize=8192)
def true_values(value: float, places: int, less: bool, market: str, nutrient: str, basis: str) -> tuple[Interval, str]:
    """The true values (unit of the nutrient) behind a printed number, and the rule's id ("" = its own last place)."""
    own = last_place(value, places, less)
    rule = rule_for(market, nutrient, basis)
    if rule is None:
        return own, ""
    if rule.significant:
        return _hull(own, _figures(value, rule.significant)), rule.id
    parts = [part for band in rule.bands if (part := _behind(band, value, less))]
    if not parts:
        return own, ""
    found = parts[0] if len(parts) == 1 else Interval(min(p.low for p in parts), max(p.high for p in parts))
    return (found if rule.law else _guided(rule, found, own, value)), rule.id


def _guided(rule: Rule, found: Interval, own: Interval, value: float) -> Interval:
    """Guidance binds nobody: a number printed more coarsely than it asks keeps its own last place."""
    coarser = value > 0 and own.high - own.low > found.high - found.low + _TINY
    return _hull(own, found) if coarser and any(b.step for b in rule.bands) else found


def _hull(one: Interval, other: Interval) -> Interval:
    return Interval(min(one.low, other.low), max(one.high, other.high))


def _figures(value: float, significant: int) -> Interval:
    """The true values that round to `value` at so many significant figures."""
    if value <= 0:
        return Interval(0.0, 0.0)
    half = 0.5 * 10.0 ** (floor(log10(value)) + 1 - significant)
    return Interval(max(0.0, value - half), value + half)


def _behind(band: Band, value: float, less: bool) -> Interval | None:
    """The true values this band prints as `value`, or None."""
    if not band.step:
        same = less == band.less and abs(band.shown - value) < _TINY
        return Interval(band.low, band.high) if same else None
    if less or abs(value / band.step - round(value / band.step)) > 1e-6:
        return None
    low, high = max(band.low, value - band.step / 2), min(band.high, value + band.step / 2)
    return Interval(low, high) if low <= high else None


def printings(rule: Rule, true: float) -> tuple[tuple[float, bool], ...]:
    """How the rule lets a true value be printed: (number, "less than"?) for each band that holds it."""
    if rule.significant:
        return ((float(f"{true:.{rule.significant}g}"), False),)
    return tuple(
        (round(floor(true / band.step + 0.5) * band.step, 6), False) if band.step else (band.shown, band.less)
        for band in rule.bands
        if band.low <= true <= band.high
    )


def nearest_printable(rule: Rule, value: float) -> float | None:
    """The number nearest to `value` that the rule can print without "less than", or None."""
    numbers = [number for number, less in printings(rule, max(0.0, value)) if not less]
    return min(numbers, key=lambda n: abs(n - value)) if numbers else None
