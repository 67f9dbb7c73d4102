"""Laws of the linear core: bounds are exact, only shrink, name what decides; conflicts are small and can be repaired."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog  # the outside check: scipy's own interface, https://docs.scipy.org

from reader.polytope.conflict import conflict, relaxed
from reader.polytope.engines import Plain
from reader.polytope.inside import inside
from reader.polytope.matrix import dense, system
from reader.polytope.nearest import nearest
from reader.polytope.rows import Polytope, Row
from reader.polytope.sampler import Normal, Settings, sample
from reader.polytope.solver import Bounds, Solver
from reader.polytope.spanning import spanning

SEEDS = st.integers(0, 2**32 - 1)
TOTAL = 100.0


def close(value: float) -> object:
    return pytest.approx(value, abs=2e-5, rel=2e-6)  # a bound is exact to 1e-6 of targets whose coefficients reach 3


def random_row(rng: np.random.Generator, size: int, fact: str, around: np.ndarray) -> Row:
    """A row that a given point satisfies, one-sided or two-sided."""
    used = rng.choice(size, rng.integers(1, size + 1), replace=False)
    terms = tuple((int(k), float(rng.normal())) for k in used)
    value = sum(c * around[k] for k, c in terms)
    low, high = value - rng.exponential(10), value + rng.exponential(10)
    side = rng.integers(3)
    return Row(fact, terms, -inf if side == 1 else low, inf if side == 2 else high, give=float(rng.uniform(0.5, 2)))


def random_polytope(rng: np.random.Generator) -> Polytope:
    """Amounts that sum to 100, with rows that one random point satisfies."""
    size, many = int(rng.integers(2, 7)), int(rng.integers(1, 9))
    point = rng.dirichlet(np.ones(size)) * TOTAL
    rows = [random_row(rng, size, f"fact {k % 5}", point) for k in range(many)]
    return Polytope(size, (Row("total", tuple((k, 1.0) for k in range(size)), TOTAL, TOTAL), *rows))


def random_target(rng: np.random.Generator, size: int) -> list[tuple[int, float]]:
    return [(k, float(rng.uniform(-3, 3))) for k in range(size)]


def contradiction(rng: np.random.Generator) -> Polytope:
    """A random polytope with one row more that asks for what the others forbid."""
    polytope = random_polytope(rng)
    target = random_target(rng, polytope.size)
    beyond = Solver(polytope).end(target, largest=True).value + rng.uniform(0.1, 20)
    return replace(polytope, rows=(*polytope.rows, Row("odd one", tuple(target), low=beyond, give=1.0)))


def ends(bounds: Bounds) -> tuple[float, float]:
    return bounds.low, bounds.high


@settings(max_examples=60)
@given(SEEDS)
def test_bounds_are_those_of_another_solver_and_are_reached(seed: int) -> None:
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    target = random_target(rng, polytope.size)
    bounds = Solver(polytope).bounds(target, constant=5.0)
    upper, limits = [], []
    for row in polytope.rows:
        dense = np.zeros(polytope.size)
        for k, c in row.terms:
            dense[k] += c
        for sign, limit in ((1.0, row.high), (-1.0, -row.low)):
            if limit < inf:
                upper.append(sign * dense)
                limits.append(limit)
    costs = np.array([c for _, c in target])
    low = linprog(costs, A_ub=upper, b_ub=limits, method="highs-ipm")
    high = linprog(-costs, A_ub=upper, b_ub=limits, method="highs-ipm")
    assert bounds.low == close(low.fun + 5.0)
    assert bounds.high == close(5.0 - high.fun)
    assert bounds.low_point @ costs + 5.0 == close(bounds.low)
    assert bounds.high_point @ costs + 5.0 == close(bounds.high)
    for point in (bounds.low_point, bounds.high_point):
        assert min(point) >= -1e-6
        assert all(r.low - 1e-5 <= r.value(point) <= r.high + 1e-5 for r in polytope.rows)


@settings(max_examples=30)
@given(SEEDS)
def test_both_engines_agree(seed: int) -> None:
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    target = random_target(rng, polytope.size)
    fast, plain = Solver(polytope).bounds(target), Solver(polytope, "scipy").bounds(target)
    assert ends(fast) == (close(plain.low), close(plain.high))


@settings(max_examples=40)
@given(SEEDS)
def test_one_more_row_never_widens(seed: int) -> None:
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    target = random_target(rng, polytope.size)
    before = Solver(polytope).bounds(target)
    inside = np.array(before.low_point) * 0.4 + np.array(before.high_point) * 0.6
    more = replace(polytope, rows=(*polytope.rows, random_row(rng, polytope.size, "more", inside)))
    after = Solver(more).bounds(target)
    assert before.low - 1e-5 <= after.low <= after.high <= before.high + 1e-5


@settings(max_examples=40)
@given(SEEDS)
def test_the_order_of_rows_and_amounts_does_not_matter(seed: int) -> None:
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    target = random_target(rng, polytope.size)
    place = rng.permutation(polytope.size).tolist()
    rows = [replace(r, terms=tuple((place[k], c) for k, c in r.terms)) for r in polytope.rows]
    other = replace(polytope, rows=tuple(rows[k] for k in rng.permutation(len(rows))))
    found, again = Solver(polytope).bounds(target), Solver(other).bounds([(place[k], c) for k, c in target])
    assert ends(found) == (close(again.low), close(again.high))


@settings(max_examples=60)
@given(SEEDS)
def test_the_facts_named_decide_and_the_others_do_not(seed: int) -> None:
    """Rows are random, so no two press on the same end by chance, and what is named is all of it."""
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    target = random_target(rng, polytope.size)
    end = Solver(polytope).end(target)
    assert list(end.strengths) == sorted(end.strengths, reverse=True) and len(set(end.facts)) == len(end.facts)
    named = [fact for fact in end.facts if fact != "total"]
    unnamed = [fact for fact in polytope.relaxable if fact not in named]
    assert Solver(polytope.without(unnamed)).end(target).value == close(end.value)
    if named:
        assert Solver(polytope.without(named)).end(target).value < end.value - 1e-7
    for fact, strength in zip(end.facts, end.strengths, strict=True):
        if fact != "total":
            step = 1e-3  # small, because an end moves the slower the further its rows have given way
            wider = tuple(r.widened(r.give * step) if r.fact == fact else r for r in polytope.rows)
            moved = end.value - Solver(replace(polytope, rows=wider)).end(target).value
            assert moved == pytest.approx(strength * step, rel=1e-2, abs=2e-5)


@settings(max_examples=40)
@given(SEEDS)
def test_the_smallest_conflict_is_one_and_none_of_it_can_be_spared(seed: int) -> None:
    polytope = contradiction(np.random.default_rng(seed))
    found = conflict(polytope)
    assert not found.structural and "odd one" in found.smallest
    others = [fact for fact in polytope.relaxable if fact not in found.smallest]
    core = polytope.without(others)
    assert not Solver(core).feasible
    for fact in found.smallest:
        assert Solver(core.without([fact])).feasible


@settings(max_examples=40)
@given(SEEDS)
def test_suspects_are_all_facts_that_alone_restore_harmony_and_the_units_are_right(seed: int) -> None:
    polytope = contradiction(np.random.default_rng(seed))
    found = conflict(polytope)
    assert {s.fact for s in found.suspects} == {f for f in polytope.relaxable if Solver(polytope.without([f])).feasible}
    assert [s.units for s in found.suspects] == sorted(s.units for s in found.suspects)
    for suspect in found.suspects:
        for share, holds in ((1.001, True), (0.99, False)):
            units = suspect.units * share
            rows = tuple(r.widened(r.give * units) if r.fact == suspect.fact else r for r in polytope.rows)
            assert Solver(replace(polytope, rows=rows)).feasible is holds
        for need in suspect.needs:
            assert need.low <= need.high


@settings(max_examples=40)
@given(SEEDS)
def test_the_least_relaxation_repairs_and_less_does_not(seed: int) -> None:
    polytope = contradiction(np.random.default_rng(seed))
    found = conflict(polytope)
    assert found.least and Solver(relaxed(polytope, found.least)).feasible
    assert not Solver(relaxed(polytope, {fact: 0.99 * units for fact, units in found.least.items()})).feasible
    assert sum(found.least.values()) <= min((s.units for s in found.suspects), default=inf) + 1e-6


@settings(max_examples=30)
@given(SEEDS)
def test_spanning_points_span_as_much_whatever_is_known(seed: int) -> None:
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    solver = Solver(polytope)
    every = spanning(solver)
    known = [every[k] for k in rng.choice(len(every), rng.integers(0, len(every) + 1), replace=False)]
    spans = (
        np.linalg.matrix_rank(np.array(points) - points[0], tol=1e-6) for points in (every, spanning(solver, known))
    )
    assert len(set(map(int, spans))) == 1


@settings(max_examples=40)
@given(SEEDS)
def test_walls_left_out_are_never_missed(seed: int) -> None:
    """What stays of the walls, in the directions there are, allows what the whole polytope allows: by scipy."""
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    solver = Solver(polytope)
    within = inside(system(polytope), np.array(spanning(solver)))
    costs = dense(tuple(random_target(rng, polytope.size)), polytope.size)
    if not within.axes.shape[1]:
        return
    found = linprog(
        within.axes.T @ costs,
        within.walls @ within.axes,
        within.limits - within.walls @ within.centre,
        bounds=(None, None),
    )
    assert found.status == 0
    assert solver.end(list(enumerate(costs.tolist()))).value == close(found.fun + costs @ within.centre)


@settings(max_examples=40)
@given(SEEDS)
def test_no_point_of_the_polytope_lies_much_nearer(seed: int) -> None:
    """A convex sum of squares is nowhere lower than its tangent at a point, whose least is a linear program: scipy's."""
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    targets = [random_target(rng, polytope.size) for _ in range(int(rng.integers(1, 6)))]
    weights = [Normal(tuple(t), float(rng.normal(0, 100)), float(rng.uniform(0.5, 20))) for t in targets]
    found = nearest(polytope, weights, np.array(spanning(Solver(polytope))))
    point, slope = np.array(found.point), np.zeros(polytope.size)
    arrays = system(polytope)
    assert arrays.excess(point) <= 1e-6
    squares = []
    for weight in weights:
        form = dense(weight.terms, polytope.size)
        off = (form @ point - weight.mean) / weight.sd
        squares.append(off**2)
        slope += 2 * off / weight.sd * form
    assert found.parts == pytest.approx(squares) and found.total == pytest.approx(sum(squares))
    least = max(0.0, found.total + Plain(arrays).minimise(slope).value - slope @ point)
    assert found.total - least <= 0.011 * max(1.0, found.total)


@settings(max_examples=25)
@given(SEEDS)
def test_every_sampled_point_is_one_of_the_polytope(seed: int) -> None:
    rng = np.random.default_rng(seed)
    polytope = random_polytope(rng)
    target = random_target(rng, polytope.size)
    solver = Solver(polytope)
    bounds = solver.bounds(target)
    pull = Normal(tuple(random_target(rng, polytope.size)), float(rng.normal(0, 50)), 1.0)
    drawn = sample(polytope, spanning(solver), [pull], [target], seed, Settings(4, 4, (4,), keep=(20,)))
    slack = 1e-6 * max(TOTAL, abs(bounds.low), abs(bounds.high))
    assert bounds.low - slack <= drawn.values.min() and drawn.values.max() <= bounds.high + slack
    assert drawn.points.min() >= -1e-6
    for row in polytope.rows:
        values = sum(c * drawn.points[:, k] for k, c in row.terms)
        assert np.all((values >= row.low - 1e-4) & (values <= row.high + 1e-4))
