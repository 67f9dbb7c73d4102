"""Rows that contradict each other: which facts cannot hold together, which one alone may be at fault, the least repair.

Every fact that has a give gets one amount of its own, its units of relaxation, in which all its rows give way. With
that, each question below is one linear program more on the same rows, with other costs.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import inf

from reader.polytope.rows import Polytope, Row
from reader.polytope.solver import Solver

_NOUGHT = 1e-7  # units; fewer are arithmetic
_MARGIN = 1e-6  # units; how much further than needed a relaxed polytope gives way, so that it has points for sure
_SHUFFLES = 3  # further orders in which facts are struck out while looking for a small set


@dataclass(frozen=True, slots=True)
class Need:
    """What one row's sum can come to when the rows of its fact are left out, for comparison with what it demands."""

    row: Row
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Suspect:
    """A fact that restores harmony when it alone gives way.

    units: by how many units it has to at least. needs: what the rest leaves each of its rows.
    """

    fact: str
    units: float
    needs: tuple[Need, ...]


@dataclass(frozen=True, slots=True)
class Conflict:
    """Why a polytope has no points.

    structural: the rows that are never relaxed, or the limits of single amounts, contradict each other already; then
    all else is empty, except the alternatives.
    smallest: facts that cannot hold together, of which none can be spared; no smaller set was found in a few tries.
    suspects: single facts that restore harmony when they give way, fewest units first.
    alternatives: the names of the given other polytopes that do have points, in the order given.
    least: facts → units of relaxation, with the smallest sum that restores harmony.
    """

    structural: bool
    smallest: tuple[str, ...]
    suspects: tuple[Suspect, ...]
    alternatives: tuple[str, ...]
    least: Mapping[str, float]


def conflict(polytope: Polytope, alternatives: Mapping[str, Polytope] | None = None) -> Conflict:
    """Explain an infeasible polytope. Raises ValueError when it is feasible: then there is nothing to explain."""
    if Solver(polytope).feasible:
        raise ValueError("the polytope has points; there is no conflict to explain")
    fitting = tuple(name for name, other in (alternatives or {}).items() if Solver(other).feasible)
    elastic = _Elastic(polytope)
    if not elastic.solver.feasible:
        return Conflict(True, (), (), fitting, {})
    least = elastic.least()
    smallest = elastic.smallest()
    suspects = (_suspect(polytope, fact) for fact in smallest if elastic.agree(f for f in elastic.units if f != fact))
    return Conflict(False, smallest, tuple(sorted(suspects, key=lambda s: s.units)), fitting, least)


def relaxed(polytope: Polytope, least: Mapping[str, float]) -> Polytope:
    """The polytope with facts given way by so many units, as `Conflict.least` has them, and every fact by a trace."""
    rows = (row.widened(row.give * (least.get(row.fact, 0.0) + _MARGIN)) if row.give else row for row in polytope.rows)
    return replace(polytope, rows=tuple(rows))


class _Elastic:
    """The polytope with an amount more for each fact that may give way."""

    def __init__(self, polytope: Polytope, facts: Iterable[str] | None = None) -> None:
        named = polytope.relaxable if facts is None else facts
        self.units = {fact: polytope.size + k for k, fact in enumerate(named)}
        rows = (part for row in polytope.rows for part in self._parts(row))
        upper = (*(polytope.upper or [inf] * polytope.size), *[inf] * len(self.units))
        self.solver = Solver(Polytope(polytope.size + len(self.units), tuple(rows), upper))
        # Where the contradiction is itself hardly more than arithmetic, half of it still counts as one.
        self._nought = min(_NOUGHT, self._units_of(self.units) / 2) if self.solver.feasible else _NOUGHT

    def _parts(self, row: Row) -> tuple[Row, ...]:
        unit = self.units.get(row.fact)
        if row.give == 0.0 or unit is None:
            return (row,)
        below = Row(row.fact, (*row.terms, (unit, row.give)), low=row.low)
        above = Row(row.fact, (*row.terms, (unit, -row.give)), high=row.high)
        return tuple(part for part in (below, above) if part.low > -inf or part.high < inf)

    def _units_of(self, facts: Iterable[str]) -> float:
        kept = [self.units[fact] for fact in facts]
        point = self.solver.corner([(unit, 1.0) for unit in kept])
        return sum(point[unit] for unit in kept)

    def agree(self, facts: Iterable[str]) -> bool:
        """Whether these facts can hold together when all others may give way."""
        return self._units_of(facts) <= self._nought

    def least(self) -> dict[str, float]:
        """The units by which facts give way at the smallest sum, facts that need not left out."""
        point = self.solver.corner([(unit, 1.0) for unit in self.units.values()])
        return {fact: point[unit] for fact, unit in self.units.items() if point[unit] > self._nought}

    def smallest(self) -> tuple[str, ...]:
        """An irreducible set of facts that cannot hold together, in the order of the polytope.

        Deletion filter (Chinneck, "Feasibility and Infeasibility in Optimization", 2008; from memory, not verified):
        strike out each fact in turn and keep it struck out while the others still contradict each other. What is left
        depends on the order, so a few are tried.
        """
        shuffle = random.Random(0)
        facts = list(self.units)
        orders = [facts, facts[::-1], *(shuffle.sample(facts, len(facts)) for _ in range(_SHUFFLES))]
        return min((self._struck(order) for order in orders), key=len)

    def _struck(self, order: list[str]) -> tuple[str, ...]:
        left = list(self.units)
        for fact in order:
            rest = [f for f in left if f != fact]
            if not self.agree(rest):
                left = rest
        return tuple(left)


def _suspect(polytope: Polytope, fact: str) -> Suspect:
    alone = _Elastic(polytope, [fact])
    rest = Solver(polytope.without([fact]))
    needs = []
    for row in polytope.rows:
        if row.fact == fact and row.give > 0.0:
            bounds = rest.bounds(row.terms)
            needs.append(Need(row, bounds.low, bounds.high))
    return Suspect(fact, alone.least().get(fact, 0.0), tuple(needs))
