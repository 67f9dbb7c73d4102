"""Smallest and largest value of a linear target over a polytope, proved, with the facts that set them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Literal

from reader.polytope.rows import Polytope, check_terms, check_variables

if TYPE_CHECKING:
    from reader.polytope.engines import Answer, Engine
    from reader.polytope.matrix import Array

Point = tuple[float, ...]
Target = Sequence[tuple[int, float]]

_NOUGHT = 1e-9  # a dual smaller than this, in units of the largest, is a trace left by arithmetic
_SHARE = 0.01  # of its own size: how far a row without a give is thought to move when facts are put in order


class InfeasibleError(ValueError):
    """The rows contradict each other, so nothing has a smallest or largest value; see `conflict`."""


class SolverError(RuntimeError):
    """No engine gave an answer that proves itself."""


@dataclass(frozen=True, slots=True)
class End:
    """One end of what a target can be.

    value: in the target's unit; -inf or inf where nothing limits it, then there is no point and there are no facts.
    point: amounts at which it is reached.
    facts: the facts whose rows hold it there, strongest first, each once. Without all of them the end may move, without
    any other it does not. No facts: only the limits of single amounts (0, `upper`) hold it. Strength is how far the end
    would move if the fact's rows gave way by one unit of relaxation (those without a give: by 1 % of their size) and
    nothing else stopped it.
    strengths: that of each fact, in the target's unit; many facts move an end by next to nothing.
    """

    value: float
    point: Point
    facts: tuple[str, ...]
    strengths: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Bounds:
    """Both ends of what a target can be.

    Values are exact to 1e-6 of themselves or of the target's largest coefficient, whichever is larger. Points, facts:
    see `End`.
    """

    low: float
    high: float
    low_point: Point
    high_point: Point
    low_facts: tuple[str, ...]
    high_facts: tuple[str, ...]


class Solver:
    """One polytope, built once, asked for many targets.

    engine: "highs" is fast, "scipy" about eight times slower and used without being asked when the first is missing
    or gives an answer that does not prove itself.
    """

    def __init__(self, polytope: Polytope, engine: Literal["highs", "scipy"] = "highs") -> None:
        from reader.polytope import engines, matrix

        self.polytope = polytope
        self._kit = engines
        self._dense = matrix.dense
        self._arrays = matrix.system(polytope)
        self._engine = self._choose(engine)
        self._spare: Engine | None = None
        self._known: dict[bytes, Answer] = {}  # groups of one ingredient ask what that ingredient asks
        start = self._solve(self._dense((), polytope.size))
        self.feasible: bool = start.status is not engines.Status.INFEASIBLE

    def bounds(self, target: Target, constant: float = 0.0) -> Bounds:
        """Smallest and largest value of the target's sum plus a constant.

        Raises InfeasibleError when the polytope has no point, ValueError for a target that speaks of variables that
        are not there, SolverError when no engine gave a provable answer.
        """
        low, high = self.end(target), self.end(target, largest=True)
        return Bounds(low.value + constant, high.value + constant, low.point, high.point, low.facts, high.facts)

    def end(self, target: Target, *, largest: bool = False) -> End:
        """The smallest, or the largest, value of the target's sum. Raises as `bounds` does."""
        sign = -1.0 if largest else 1.0
        costs, scale = self._costs(target)
        answer = self._answer(sign * costs)
        if answer.status is self._kit.Status.UNBOUNDED:
            return End(-sign * inf, (), (), ())
        strengths = self._strengths(answer)
        facts = tuple(sorted(strengths, key=lambda fact: -strengths[fact]))
        value = sign * scale * answer.value + 0.0  # + 0.0, so that there is no -0.0
        return End(value, tuple(answer.point.tolist()), facts, tuple(scale * strengths[fact] for fact in facts))

    def corner(self, target: Target) -> Point:
        """A point where the target's sum is smallest; () when nothing limits it. Raises as `bounds` does."""
        return tuple(self._answer(self._costs(target)[0]).point.tolist())

    def _costs(self, target: Target) -> tuple[Array, float]:
        """The target's coefficients with the largest made 1, and what they were divided by."""
        if not self.feasible:
            raise InfeasibleError("no amounts satisfy all rows at once")
        terms = tuple(target)
        check_terms(terms, "the target")
        check_variables(terms, self.polytope.size, "the target")
        costs = self._dense(terms, self.polytope.size)
        scale = float(abs(costs).max()) or 1.0
        return costs / scale, scale

    def _choose(self, wish: str) -> Engine:
        if wish not in ("highs", "scipy"):
            raise ValueError(f"there is no engine {wish!r}; there are highs and scipy")
        if wish == "highs":
            try:
                return self._kit.Fast(self._arrays)
            except ImportError:
                pass
        return self._kit.Plain(self._arrays)

    def _answer(self, costs: Array) -> Answer:
        """What `_solve` finds, each question asked once."""
        key = costs.tobytes()
        if key not in self._known:
            self._known[key] = self._solve(costs)
        return self._known[key]

    def _solve(self, costs: Array) -> Answer:
        """An answer that proves itself, or else that there is none on the word of the engine that keeps no state."""
        kit = self._kit
        answer = self._engine.minimise(costs)
        proved = self._proved(answer, costs)
        if not proved and isinstance(self._engine, kit.Fast):
            self._spare = self._spare or kit.Plain(self._arrays)
            answer = self._spare.minimise(costs)
            proved = self._proved(answer, costs)
        if proved or answer.status in (kit.Status.INFEASIBLE, kit.Status.UNBOUNDED):
            return answer
        raise SolverError("no engine found an answer that proves itself")

    def _proved(self, answer: Answer, costs: Array) -> bool:
        if answer.status is self._kit.Status.INFEASIBLE:
            return self._kit.contradictory(answer, self._arrays)
        return answer.status is self._kit.Status.OPTIMAL and self._kit.trustworthy(answer, costs, self._arrays)

    def _strengths(self, answer: Answer) -> dict[str, float]:
        strengths: dict[str, float] = {}
        pressing = abs(answer.duals)
        (rows,) = (pressing > _NOUGHT * max(1.0, pressing.max(initial=0.0))).nonzero()
        sizes = _SHARE * abs(self._arrays.a[rows] * answer.point).max(axis=1, initial=0.0)
        for k, by, size, scale in zip(
            rows.tolist(), pressing[rows].tolist(), sizes.tolist(), self._arrays.scale[rows].tolist(), strict=True
        ):
            row = self.polytope.rows[k]
            moved = row.give / scale if row.give > 0.0 else size
            strengths[row.fact] = strengths.get(row.fact, 0.0) + by * moved
        return strengths
