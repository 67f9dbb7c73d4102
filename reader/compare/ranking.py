"""Packs ranked by weights the user sets: every result a range; packs whose ranges overlap share their ranks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from reader.aspects import ASPECTS
from reader.compare.measures import Cell
from reader.compare.table import Comparison, Line
from reader.facts import NOT_STATED
from reader.quantities import Interval
from reader.ranks import middle, ranks

PRICE = "price"
CRITERIA = (*ASPECTS, PRICE)
TOP = 10.0  # scores and weights go from 0 to 10
ANYWHERE = Interval(0.0, TOP)
POSSIBLE, LIKELY = "possible", "likely"


@dataclass(frozen=True, slots=True)
class Ranked:
    """A pack's place. best, worst: the ranks its range allows, 1 the first; both None if it is not ranked.

    possible: the weighted mean of its possible ranges, 0–10; likely: the same of the likely ones, where an aspect has
    one. open: weighted criteria that are not stated, so that they count as anywhere from 0 to 10. barred: weighted
    aspects that do not apply; such a pack is not ranked.
    """

    line: Line
    possible: Interval | None
    likely: Interval | None
    best: int | None
    worst: int | None
    open: tuple[str, ...] = ()
    barred: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ranking:
    """The packs in order of the middles of their ranges, those not ranked last. by: "possible" or "likely", the ranges
    that decide whether two packs are told apart.
    """

    weights: tuple[tuple[str, float], ...]
    by: str
    ranked: tuple[Ranked, ...]


def rank(table: Comparison, weights: Mapping[str, float], *, by: str = POSSIBLE) -> Ranking:
    """Rank by the weighted mean of the aspects and the price per kilogram, each weight from 0 to 10.

    The price counts 10 for the lowest per kilogram among these packs, half of that at twice as much; only prices in
    the currency most of the packs have are compared. Raises ValueError on an unknown criterion, a weight outside
    0–10, or no weight above 0.
    """
    checked = _checked(weights)
    if by not in (POSSIBLE, LIKELY):
        raise ValueError(f"by {by!r} is not known; it must be {POSSIBLE} or {LIKELY}")
    prices = _price_scores(table)
    found = [_mean(line, checked, prices[k]) for k, line in enumerate(table.lines)]
    used = [_used(r, by) for r in found]
    allowed = zip(found, ranks(used), strict=True)
    placed = [one if places is None else replace(one, best=places[0], worst=places[1]) for one, places in allowed]
    placed.sort(key=lambda r: (_used(r, by) is None, -middle(_used(r, by))))
    return Ranking(tuple(checked.items()), by, tuple(placed))


def _checked(weights: Mapping[str, float]) -> dict[str, float]:
    for name, weight in weights.items():
        if name not in CRITERIA:
            raise ValueError(f"{name!r} cannot be weighted; it must be one of {', '.join(CRITERIA)}")
        if not 0 <= weight <= TOP:
            raise ValueError(f"the weight of {name} is {weight:g}; it must be from 0 to {TOP:g}")
    found = {name: weights[name] for name in CRITERIA if weights.get(name, 0) > 0}
    if not found:
        raise ValueError("give at least one of the weights a value above 0")
    return found


def _price_scores(table: Comparison) -> list[Cell]:
    cells = [line.cell("price_kg") for line in table.lines]
    named = [c.currency for c in cells if not c.state]
    currency = max(dict.fromkeys(named), key=named.count, default="")
    amounts = [_amount(c) for c in cells if not c.state and c.currency == currency]
    lowest = min(amounts, default=0.0)
    scores = []
    for cell in cells:
        if cell.state or cell.currency != currency:
            scores.append(Cell(state=NOT_STATED))
        else:
            score = TOP * lowest / _amount(cell)
            scores.append(Cell(Interval(score, score)))
    return scores


def _amount(cell: Cell) -> float:
    assert cell.middle is not None  # a price per kilogram is one number
    return cell.middle


def _mean(line: Line, weights: Mapping[str, float], price: Cell) -> Ranked:
    cells = {name: price if name == PRICE else line.cell(name) for name in weights}
    unknown = tuple(name for name, cell in cells.items() if cell.state == NOT_STATED)
    barred = tuple(name for name, cell in cells.items() if cell.state not in ("", NOT_STATED))
    if barred:
        return Ranked(line, None, None, None, None, unknown, barred)
    whole = sum(weights.values())

    def mean(ranges: Mapping[str, Interval]) -> Interval:
        low = sum(weights[name] * found.low for name, found in ranges.items())
        high = sum(weights[name] * found.high for name, found in ranges.items())
        return Interval(low / whole, high / whole)

    possible = {name: cell.possible or ANYWHERE for name, cell in cells.items()}
    likely = {name: cell.likely or possible[name] for name, cell in cells.items()}
    told = mean(likely) if any(cell.likely for cell in cells.values()) else None
    return Ranked(line, mean(possible), told, None, None, unknown)


def _used(ranked: Ranked, by: str) -> Interval | None:
    return ranked.likely or ranked.possible if by == LIKELY else ranked.possible
