"""Rows and polytopes as plain values: what is known about unknown amounts, each row with the fact it comes from."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from math import inf, isfinite, isnan

Terms = tuple[tuple[int, float], ...]  # (variable, coefficient); a variable may come twice, then the two are added

ROUNDING = 1e-9  # relative; what arithmetic on printed numbers may lose


@dataclass(frozen=True, slots=True)
class Row:
    """`low <= sum of coefficient * variable <= high`, as one fact demands it.

    fact: id of the statement or assumption it comes from; rows that share it are relaxed and named together.
    give: how much one unit of relaxation of this fact moves the row's limits, in the row's own unit; 0 for a row that
    is never relaxed, because without it the amounts would mean nothing.
    Raises ValueError for numbers that cannot be meant.
    """

    fact: str
    terms: Terms
    low: float = -inf
    high: float = inf
    give: float = 0.0

    def __post_init__(self) -> None:
        check_terms(self.terms, f"the row of {self.fact!r}")
        if isnan(self.low) or isnan(self.high) or self.low == inf or self.high == -inf:
            raise ValueError(f"the row of {self.fact!r} has no limits that can be met: {self.low} to {self.high}")
        if self.low > self.high + ROUNDING * max(1.0, abs(self.high)):
            raise ValueError(f"the row of {self.fact!r} has its limits the wrong way round: {self.low} > {self.high}")
        if not (isfinite(self.give) and self.give >= 0.0):
            raise ValueError(f"the row of {self.fact!r} has a give of {self.give}; it must be 0 or a positive number")

    def value(self, point: tuple[float, ...]) -> float:
        """What the row's sum comes to at a point."""
        return sum(coefficient * point[variable] for variable, coefficient in self.terms)

    def widened(self, by: float) -> Row:
        """The row with both limits moved outwards by so much of its own unit."""
        return replace(self, low=self.low - by, high=self.high + by)


@dataclass(frozen=True, slots=True)
class Polytope:
    """All points of `size` amounts, none below 0 nor above its `upper`, that satisfy every row.

    upper: one limit for each amount, `inf` allowed, or nothing for no limits. These limits belong to no fact and are
    never named nor relaxed; a limit that has to be named is a row. Raises ValueError for rows that do not fit.
    """

    size: int
    rows: tuple[Row, ...]
    upper: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if self.size < 1:
            raise ValueError(f"a polytope of {self.size} variables has no points")
        if self.upper and len(self.upper) != self.size:
            raise ValueError(f"there are {len(self.upper)} upper limits for {self.size} variables")
        if any(isnan(limit) or limit < 0.0 for limit in self.upper):
            raise ValueError("an upper limit is negative or not a number")
        for row in self.rows:
            check_variables(row.terms, self.size, f"the row of {row.fact!r}")

    @property
    def relaxable(self) -> tuple[str, ...]:
        """The facts that can be relaxed, each once, in the order of their first row."""
        return tuple(dict.fromkeys(row.fact for row in self.rows if row.give > 0.0))

    def without(self, facts: Collection[str]) -> Polytope:
        """The same without the rows of these facts; rows that are never relaxed stay."""
        return replace(self, rows=tuple(r for r in self.rows if r.give == 0.0 or r.fact not in facts))


def check_terms(terms: Terms, whose: str) -> None:
    """Raises ValueError when a coefficient is no finite number."""
    for variable, coefficient in terms:
        if not isfinite(coefficient):
            raise ValueError(f"{whose} has the coefficient {coefficient} at variable {variable}")


def check_variables(terms: Terms, size: int, whose: str) -> None:
    """Raises ValueError when a variable is none of the `size` there are."""
    for variable, _ in terms:
        if not 0 <= variable < size:
            raise ValueError(f"{whose} speaks of variable {variable}, but there are only {size}, counted from 0")
