"""The linear core in cases by hand, and the sampler against closed forms."""

from __future__ import annotations

import subprocess
import sys
from math import inf, nan, sqrt
from pathlib import Path
from statistics import fmean, variance

import numpy as np
import pytest
from scipy import special, stats
from threadpoolctl import threadpool_info, threadpool_limits

from reader.polytope import engines, matrix
from reader.polytope.conflict import conflict, relaxed
from reader.polytope.convergence import agreement
from reader.polytope.rows import Polytope, Row
from reader.polytope.sampler import Normal, Power, Sample, Settings, sample, together
from reader.polytope.solver import InfeasibleError, Solver, SolverError
from reader.polytope.spanning import spanning

ROOT = Path(__file__).parent.parent


def total(size: int, value: float) -> Row:
    return Row("total", tuple((k, 1.0) for k in range(size)), value, value)


# Three amounts that fall and sum to 100, the last at least 20: the first is then between 33⅓ and 60.
FALLING = Polytope(
    3,
    (
        total(3, 100.0),
        Row("first before second", ((0, 1.0), (1, -1.0)), low=0.0, give=1.0),
        Row("second before third", ((1, 1.0), (2, -1.0)), low=0.0, give=1.0),
        Row("third", ((2, 1.0),), low=20.0, give=2.0),
    ),
)
# The first at least 60, the second at least 50, of 100 together; what is said of the third is not in the way.
TORN = Polytope(
    3,
    (
        total(3, 100.0),
        Row("first", ((0, 1.0),), low=60.0, give=1.0),
        Row("second", ((1, 1.0),), low=50.0, give=5.0),
        Row("third", ((2, 1.0),), high=30.0, give=1.0),
    ),
)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Row("a", ((0, nan),)), "coefficient nan at variable 0"),
        (lambda: Row("a", ((0, inf),)), "coefficient inf"),
        (lambda: Row("a", ((0, 1.0),), low=nan), "no limits that can be met"),
        (lambda: Row("a", ((0, 1.0),), low=inf), "no limits that can be met"),
        (lambda: Row("a", ((0, 1.0),), low=2.0, high=1.0), "wrong way round"),
        (lambda: Row("a", ((0, 1.0),), give=-1.0), "give of -1.0"),
        (lambda: Polytope(2, (Row("a", ((2, 1.0),)),)), "variable 2, but there are only 2"),
        (lambda: Polytope(2, (Row("a", ((-1, 1.0),)),)), "variable -1"),
        (lambda: Polytope(0, ()), "no points"),
        (lambda: Polytope(2, (), (1.0,)), "1 upper limits for 2"),
        (lambda: Polytope(1, (), (-1.0,)), "negative"),
        (lambda: Normal(((0, 1.0),), 1.0), "needs numbers, and an sd"),
        (lambda: Normal(((0, 1.0),), nan, 1.0), "needs numbers, and an sd"),
        (lambda: Solver(FALLING).bounds([(3, 1.0)]), "the target speaks of variable 3"),
        (lambda: Solver(FALLING, "none"), "no engine 'none'"),  # type: ignore[arg-type]
        (lambda: sample(FALLING, [], [], [], 0), "points of the polytope"),
    ],
)
def test_what_cannot_be_meant_raises_a_sentence(make, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        make()


def test_limits_crossed_by_rounding_only_are_one_limit() -> None:
    row = Row("a", ((0, 1.0),), low=0.1 + 0.2, high=0.3)
    assert Solver(Polytope(1, (row,))).bounds([(0, 1.0)]).high == pytest.approx(0.3)


@pytest.mark.parametrize("engine", ["highs", "scipy"])
def test_bounds_with_their_points_and_facts(engine) -> None:
    bounds = Solver(FALLING, engine).bounds([(0, 1.0)], constant=1.0)
    assert (bounds.low, bounds.high) == (pytest.approx(1 + 100 / 3), pytest.approx(61.0))
    assert bounds.high_point == pytest.approx((60.0, 20.0, 20.0))
    assert set(bounds.high_facts) == {"total", "second before third", "third"}
    # One unit of "third" is 2 and moves the end by 4, one of "second before third" by 1.
    end = Solver(FALLING, engine).end([(0, 1.0)], largest=True)
    strengths = dict(zip(end.facts, end.strengths, strict=True))
    assert strengths["third"] == pytest.approx(4.0) and strengths["second before third"] == pytest.approx(1.0)
    assert end.facts[0] == "third"


def test_an_amount_named_twice_in_a_row_counts_twice() -> None:
    twice = Polytope(1, (Row("a", ((0, 1.0), (0, 1.0)), high=10.0),))
    assert Solver(twice).bounds([(0, 1.0)]).high == pytest.approx(5.0)


def test_no_limit_is_said_as_no_limit() -> None:
    bounds = Solver(Polytope(2, (Row("a", ((0, 1.0), (1, -1.0)), low=0.0),))).bounds([(0, 1.0)])
    assert (bounds.low, bounds.high, bounds.high_point, bounds.high_facts) == (0.0, inf, (), ())


def test_a_contradiction_has_no_bounds() -> None:
    solver = Solver(TORN)
    assert not solver.feasible
    with pytest.raises(InfeasibleError):
        solver.bounds([(0, 1.0)])


def test_contradictions_prove_themselves() -> None:
    """So that the other engine, which takes long to load, is hardly ever asked about them; whether they are is its word."""
    draw = np.random.default_rng(5)
    proved = []
    for _ in range(60):
        size = int(draw.integers(4, 25))
        rows = (
            Row(f"r{k}", tuple(enumerate(draw.normal(size=size).tolist())), 20 * draw.normal()) for k in range(size)
        )
        polytope = Polytope(size, (total(size, 100.0), *rows))
        arrays, costs = matrix.system(polytope), np.zeros(size)
        proof = engines.contradictory(engines.Fast(arrays).minimise(costs), arrays)
        if engines.Plain(arrays).minimise(costs).status is engines.Status.INFEASIBLE:
            proved.append(proof)
        else:
            assert not proof
    assert len(proved) > 30 and fmean(proved) > 0.9


@pytest.mark.parametrize("rays", [[1.0, -1.0, 0.5, 0.2], [0.0] * 4, [nan, 0.0, 0.0, 0.0], []])
def test_weights_of_rows_that_have_points_prove_no_contradiction(rays: list[float]) -> None:
    answer = engines.Answer(engines.Status.INFEASIBLE, nan, np.empty(0), np.array(rays))
    assert not engines.contradictory(answer, matrix.system(FALLING))


def spoil(answer: engines.Answer, how: str) -> engines.Answer:
    status, value, point, duals = answer.status, answer.value, answer.point, answer.duals
    if how == "breaks a row":
        return engines.Answer(status, value, point + 0.5, duals)
    if how == "not the smallest":  # a point that satisfies all rows, with the value it has
        return engines.Answer(status, 50.0, np.array([50.0, 30.0, 20.0]), duals)
    if how == "not a number":
        return engines.Answer(status, nan, point * nan, duals)
    if how == "failed":
        return engines.Answer(engines.Status.FAILED, nan, np.empty(0), np.empty(0))
    return engines.Answer(engines.Status.INFEASIBLE, nan, np.empty(0), np.empty(0))


@pytest.mark.parametrize("how", ["breaks a row", "not the smallest", "not a number", "failed", "infeasible"])
def test_an_answer_that_does_not_prove_itself_is_sought_again(how: str, monkeypatch) -> None:
    true = engines.Fast.minimise
    monkeypatch.setattr(engines.Fast, "minimise", lambda self, costs: spoil(true(self, costs), how))
    bounds = Solver(FALLING).bounds([(0, 1.0)])
    assert (bounds.low, bounds.high) == (pytest.approx(100 / 3), pytest.approx(60.0))
    true_plain = engines.Plain.minimise
    if how != "infeasible":  # from the engine without a state, that is believed
        monkeypatch.setattr(engines.Plain, "minimise", lambda self, costs: spoil(true_plain(self, costs), how))
        with pytest.raises(SolverError):
            Solver(FALLING).bounds([(0, 1.0)])


def test_many_targets_in_any_order_have_the_bounds_of_each_alone(monkeypatch) -> None:
    """Also where a corner already seen settles a question, or the best of them starts the next; asked twice, nothing is
    solved again.
    """
    draw = np.random.default_rng(5)
    rows = tuple(Row(f"r{k}", tuple(enumerate(draw.normal(size=12).tolist())), high=5.0) for k in range(8))
    polytope = Polytope(12, (total(12, 100.0), *rows))
    targets = [tuple(enumerate(draw.normal(size=12).tolist())) for _ in range(80)]
    targets += [((k, 1.0),) for k in range(12)] + [((k, 2.0), (k + 1, 1.0)) for k in range(11)]
    solver = Solver(polytope)
    together = [solver.bounds(target) for target in targets]
    for target, found in zip(targets, together, strict=True):
        alone = Solver(polytope, "scipy").bounds(target)
        assert (found.low, found.high) == pytest.approx((alone.low, alone.high), abs=1e-6)
        assert sum(value * found.low_point[k] for k, value in target) == pytest.approx(found.low, abs=1e-6)
    monkeypatch.setattr(engines.Fast, "minimise", None)
    assert [solver.bounds(target) for target in targets] == together


def test_without_highspy_the_other_engine_answers(monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "highspy", None)
    assert Solver(FALLING).bounds([(0, 1.0)]).high == pytest.approx(60.0)


def test_nothing_heavy_is_imported_before_it_is_needed_and_nothing_is_printed() -> None:
    code = (
        "import sys, reader, reader.polytope.conflict as c, reader.polytope.sampler as s, reader.polytope.spanning as k\n"
        "assert not {'numpy', 'scipy', 'highspy'} & set(sys.modules), 'loaded too early'\n"
        "from reader.polytope.rows import Polytope, Row\n"
        "p = Polytope(2, (Row('a', ((0, 1.0), (1, 1.0)), 1.0, 1.0),))\n"
        "v = k.spanning(c.Solver(p)); s.sample(p, v, [], [[(0, 1.0)]], 1)\n"
        "assert 'scipy' not in sys.modules, 'the second engine is for need only'\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_one_thread_holds_numpy_too_where_it_was_not_loaded_before() -> None:
    code = (
        "from reader.polytope.threads import one_thread_for_good\n"
        "one_thread_for_good()\n"
        "import numpy\n"
        "from threadpoolctl import threadpool_info\n"
        "assert [p['num_threads'] for p in threadpool_info() if p['user_api'] == 'blas'] == [1]\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_conflict_names_what_cannot_hold_together_and_who_may_be_at_fault() -> None:
    found = conflict(TORN, {"more in all": Polytope(3, (total(3, 120.0), *TORN.rows[1:])), "the same": TORN})
    assert not found.structural
    assert found.smallest == ("first", "second")
    assert [(s.fact, s.units) for s in found.suspects] == [("second", pytest.approx(2.0)), ("first", pytest.approx(10))]
    need = found.suspects[0].needs[0]
    assert (need.row.low, need.low, need.high) == (50.0, 0.0, pytest.approx(40.0))
    assert found.alternatives == ("more in all",)
    assert found.least == {"second": pytest.approx(2.0)}
    mended = Solver(relaxed(TORN, found.least)).bounds([(0, 1.0)])
    assert mended.low == pytest.approx(60.0, abs=1e-4) and mended.high == pytest.approx(60.0, abs=1e-4)
    assert mended.high - mended.low > 1e-6  # a little room, so that no rounding makes it impossible again


def test_rows_of_one_fact_give_way_together() -> None:
    rows = (Row("both", ((0, 1.0),), low=60.0, give=1.0), Row("both", ((1, 1.0),), low=50.0, give=1.0))
    found = conflict(Polytope(2, (total(2, 100.0), *rows)))
    assert found.smallest == ("both",)
    assert [(s.units, len(s.needs)) for s in found.suspects] == [(pytest.approx(5.0), 2)]


def test_two_faults_have_no_single_suspect() -> None:
    rows = (
        *(Row(f"low {k}", ((k, 1.0),), low=10.0, give=1.0) for k in (0, 1)),
        *(Row(f"high {k}", ((k, 1.0),), high=7.0, give=1.0) for k in (0, 1)),
    )
    found = conflict(Polytope(2, rows))
    assert found.suspects == () and len(found.smallest) == 2
    assert sum(found.least.values()) == pytest.approx(6.0)


def test_rows_that_never_give_way_can_contradict_each_other() -> None:
    found = conflict(Polytope(1, (Row("a", ((0, 1.0),), low=2.0),), (1.0,)))
    assert found.structural and not found.smallest and not found.suspects and not found.least


def test_no_conflict_is_a_wrong_question() -> None:
    with pytest.raises(ValueError, match="no conflict"):
        conflict(FALLING)


def test_a_contradiction_as_small_as_rounding_is_mended_too() -> None:
    rows = (Row("a", ((0, 1.0),), low=1.0 + 3e-8, give=1.0), Row("b", ((0, 1.0),), high=1.0, give=1.0))
    torn = Polytope(1, rows)
    assert not Solver(torn).feasible
    found = conflict(torn)
    assert found.smallest == ("a", "b") and Solver(relaxed(torn, found.least)).feasible


def span(points: tuple[tuple[float, ...], ...]) -> int:
    away = np.array(points) - points[0]
    return int(np.linalg.matrix_rank(away, tol=1e-6))


@pytest.mark.parametrize(
    ("rows", "dimension"),
    [
        ((), 5),
        ((total(5, 1.0),), 4),
        ((total(5, 1.0), Row("a", ((0, 1.0), (1, -1.0)), 0.0, 0.0)), 3),
        ((total(5, 5.0),), 0),
        # Nothing says that the second equals the first, but nothing else is left.
        ((Row("a", ((0, 1.0), (1, -1.0)), low=0.0), Row("b", ((1, 1.0), (0, -1.0)), low=0.0)), 4),
    ],
)
def test_spanning_points_span_the_polytope(rows: tuple[Row, ...], dimension: int) -> None:
    polytope = Polytope(5, rows, (1.0,) * 5)
    assert span(spanning(Solver(polytope))) == dimension


def test_spanning_points_find_a_direction_that_the_ends_of_amounts_do_not_show(monkeypatch) -> None:
    """Where all amounts rise and fall together at the ends of each, the rest is found across them."""
    square = Solver(Polytope(2, (), (1.0, 1.0)))
    true = Solver.corner

    def diagonal(self: Solver, target) -> tuple[float, ...]:
        return ((0.0, 0.0) if target[0][1] > 0 else (1.0, 1.0)) if len(target) == 1 else true(self, target)

    monkeypatch.setattr(Solver, "corner", diagonal)
    assert span(spanning(square)) == 2


def test_spanning_points_are_sought_only_for_what_known_points_leave_open(monkeypatch) -> None:
    cube, asked = Polytope(3, (), (1.0, 1.0, 1.0)), []
    true = Solver.corner
    monkeypatch.setattr(Solver, "corner", lambda self, target: asked.append(target) or true(self, target))
    square = [(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)]
    found = spanning(Solver(cube), square)
    assert found[:3] == tuple(square) and span(found) == 3
    assert asked == [[(2, -1.0)], [(2, 1.0)]]
    asked.clear()
    assert spanning(Solver(cube), found) == found and not asked


def test_spanning_points_need_an_end_in_every_direction() -> None:
    with pytest.raises(ValueError, match="no end in some direction"):
        spanning(Solver(Polytope(1, ())))


def draw(polytope: Polytope, weights=(), targets=None, seed: int = 1, how: Settings | None = None, **more) -> Sample:
    wanted = targets or [[(k, 1.0)] for k in range(polytope.size)]
    return sample(polytope, spanning(Solver(polytope)), weights, wanted, seed, how, **more)


LONG = Settings(starts=16, warmup=(4, 8, 16), keep=(300,))


@pytest.mark.parametrize("size", [2, 3, 8, 20])
def test_even_sampling_of_a_simplex_has_the_moments_of_the_dirichlet_distribution(size: int) -> None:
    """Dirichlet(1, …, 1): mean 1/n, variance (n-1)/(n²(n+1)), covariance -1/(n²(n+1)), P(x > t) = (1-t)^(n-1).

    Textbook formulas (Kotz, Balakrishnan, Johnson, Continuous Multivariate Distributions, chapter 49; from memory).
    """
    drawn = draw(Polytope(size, (total(size, 1.0),)), how=LONG)
    variance = (size - 1) / (size**2 * (size + 1))
    error = 5 * sqrt(variance / min(drawn.effective))
    assert drawn.values.mean(axis=0) == pytest.approx(np.full(size, 1 / size), abs=error)
    covariance = np.cov(drawn.values.T)
    # The kurtosis is below that of an exponential distribution, 9, which makes a variance good to √(8 / draws).
    assert np.diag(covariance) == pytest.approx(np.full(size, variance), rel=5 * sqrt(8 / min(drawn.effective)))
    assert covariance[0, 1] == pytest.approx(-1 / (size**2 * (size + 1)), abs=0.06 * variance)
    for share in (0.1, 0.5, 0.9):
        assert drawn.quantiles(0, [share])[0] == pytest.approx(1 - (1 - share) ** (1 / (size - 1)), rel=0.08, abs=0.004)
    assert drawn.converged


@pytest.mark.parametrize(
    ("mean", "sd", "low", "high"),
    [(5, 1, 0, 10), (5, 4, 0, 10), (0, 1, 0, 10), (-8, 1, 0, 10), (-40, 1, 0, 10), (13, 2, 0, 10), (5, 1000, 0, 10)],
)
def test_a_cut_normal_has_its_moments(mean: float, sd: float, low: float, high: float) -> None:
    """Mean, sd and quantiles of the truncated normal distribution (textbook formulas, as in scipy.stats.truncnorm)."""
    line = Polytope(1, (Row("a", ((0, 1.0),), low, high),))
    drawn = draw(line, [Normal(((0, 1.0),), mean, sd)], how=LONG)
    law = stats.truncnorm((low - mean) / sd, (high - mean) / sd, mean, sd)
    assert drawn.mean(0) == pytest.approx(law.mean(), abs=5 * law.std() / sqrt(drawn.effective[0]))
    assert drawn.values.std() == pytest.approx(law.std(), rel=0.05)
    shares = (0.1, 0.5, 0.9)
    assert drawn.quantiles(0, shares) == pytest.approx(law.ppf(shares), abs=0.05 * law.std())


def test_a_normal_far_from_all_walls_keeps_its_covariance() -> None:
    """x ~ N(50, 1²) and x + y ~ N(90, 2²), independent: y has variance 1 + 4 and covariance -1 with x (textbook)."""
    box = Polytope(2, (), (100.0, 100.0))
    drawn = draw(box, [Normal(((0, 1.0),), 50, 1), Normal(((0, 1.0), (1, 1.0)), 90, 2)], how=LONG)
    assert drawn.values.mean(axis=0) == pytest.approx([50, 40], abs=0.06)
    assert np.cov(drawn.values.T) == pytest.approx(np.array([[1, -1], [-1, 5]]), abs=0.15)


@pytest.mark.parametrize(("mean", "sd", "spread"), [(90.0, 0.5, 0.1), (1.0, 0.1, 5.0)])
def test_a_spread_follows_the_mean_of_the_chains(mean: float, sd: float, spread: float) -> None:
    """The first amount lies near its mean and gives the second its sd, far from what it would be at the start."""
    box = Polytope(2, (), (100.0, 100.0))
    weights = [Normal(((0, 1.0),), mean, sd), Normal(((1, 1.0),), 50, spread=((0, spread),))]
    drawn = draw(box, weights, how=LONG)
    assert drawn.values[:, 1].std() == pytest.approx(spread * mean, rel=0.04)


def test_a_spread_that_grows_follows_a_sum_of_amounts() -> None:
    """Two amounts near 30 and 10 give the third the sd of a tenth of their sum, not of the root of their squares."""
    weights = [Normal(((0, 1.0),), 30, 0.1), Normal(((1, 1.0),), 10, 0.1)]
    grown = Normal(((2, 1.0),), 50, grows=((0, 0.1), (1, 0.1)))
    drawn = draw(Polytope(3, (), (100.0,) * 3), [*weights, grown], how=LONG)
    assert drawn.values[:, 2].std() == pytest.approx(4.0, rel=0.04)


def test_two_amounts_in_one_are_thinned_to_count_nearly_as_one() -> None:
    """x + y + z = 100, where x and y are two parts of one thing, s = x + y: evenly drawn, s has the density s and the mean
    200 / 3, where one amount would have 50. Thinned it has the density s * exp(-s / m) with m its mean (integrated here).
    """
    even, thinned = (draw(Polytope(3, (total(3, 100.0),)), how=LONG, thinned=t) for t in ([], [((0, 1.0), (1, 1.0))]))
    assert even.values[:, :2].sum(axis=1).mean() == pytest.approx(200 / 3, abs=1.0)
    mean, grid = thinned.values[:, :2].sum(axis=1).mean(), np.linspace(0.0, 100.0, 10_001)
    density = grid * np.exp(-grid / mean)
    assert mean == pytest.approx(density @ grid / density.sum(), abs=1.0)
    assert mean < 58


def test_powers_make_shares_follow_a_dirichlet_distribution_whatever_there_is_of_the_whole() -> None:
    """Four parts of a sum s up to 100, drawn as densities of amounts: s stays even, and apart from it the shares have the
    mean and variance of a Dirichlet distribution (textbook).
    """
    parameters = np.array([0.2, 0.4, 0.7, 0.9])
    every = tuple((k, 1.0) for k in range(4))
    powers = [*(Power(((k, 1.0),), 1 - a) for k, a in enumerate(parameters)), Power(every, parameters.sum() - 1)]
    drawn = draw(Polytope(4, (Row("most", every, high=100.0),)), how=LONG, powers=powers)
    whole = drawn.points.sum(axis=1)
    assert np.quantile(whole, (0.1, 0.25, 0.5, 0.75, 0.9)) == pytest.approx([10, 25, 50, 75, 90], abs=3.0)
    shares, mean = drawn.points / whole[:, None], parameters / parameters.sum()
    assert shares.mean(axis=0) == pytest.approx(mean, abs=0.02)
    assert shares.var(axis=0) == pytest.approx(mean * (1 - mean) / (parameters.sum() + 1), rel=0.1)
    assert abs(np.corrcoef(whole, shares[:, 3])[0, 1]) < 0.1


@pytest.mark.parametrize("power", [0.0, -1.0, nan, inf])
def test_a_power_is_a_number_above_nothing(power: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        Power(((0, 1.0),), power)


def test_a_weight_that_is_cut_off_pulls_nothing_towards_more_room() -> None:
    """x ~ N(50, 15²), and y a normal variable about x / 2 that is cut off at 0.3 x and 0.7 x: a density of y that adds up
    to one leaves x its mean. If it does not, x counts by erf(0.2 x / (√2 sd)), and its mean is that of the product.
    """
    rows = Row("least", ((1, 1.0), (0, -0.3)), low=0.0), Row("most", ((1, 1.0), (0, -0.7)), high=0.0)
    cone = Polytope(2, rows, (130.0, 100.0))
    about, half = Normal(((0, 1.0),), 50, 15), ((0, 0.2),)
    loose, kept = (
        draw(cone, [about, Normal(((1, 1.0), (0, -0.5)), 0.0, spread=((0, 0.2 / 1.4),), within=within)], how=LONG)
        for within in ((), half)
    )
    grid = np.linspace(0.0, 130.0, 10_001)
    density = stats.norm.pdf(grid, 50, 15) * special.erf(1.4 * grid / loose.mean(0) / sqrt(2))
    assert loose.mean(0) == pytest.approx(density @ grid / density.sum(), abs=0.35)
    assert loose.mean(0) > 51.4
    assert kept.mean(0) == pytest.approx(50.0, abs=0.7)


def test_samples_put_together_count_alike() -> None:
    """Two intervals, of which the second is drawn from more often: half of what is put together lies in each."""
    ends = [(0.0, 1.0), (9.0, 10.0)]
    lines = [Polytope(1, (Row("a", ((0, 1.0),), low, high),)) for low, high in ends]
    short, long = draw(lines[0], how=Settings(keep=(24,))), draw(lines[1], how=LONG)
    both = together([short, long])
    assert len(long.values) > len(short.values)
    assert (both.values < 5.0).mean() == pytest.approx(0.5)
    assert len(both.points) == len(both.values) == 2 * len(short.values)
    assert together([long]) is long


def test_no_samples_cannot_be_put_together() -> None:
    with pytest.raises(ValueError, match="no samples"):
        together([])


def test_a_weight_on_what_cannot_change_changes_nothing() -> None:
    even = draw(Polytope(2, (total(2, 1.0),)))
    fixed = draw(Polytope(2, (total(2, 1.0),)), [Normal(((0, 1.0), (1, 1.0)), 7.0, spread=((0, 1e-12),))])
    assert np.array_equal(even.values, fixed.values)


def test_the_same_seed_gives_the_same_answer() -> None:
    weights = [Normal(((0, 1.0),), 50, 10)]
    first, again, other = (draw(FALLING, weights, seed=seed) for seed in (1, 1, 2))
    assert np.array_equal(first.points, again.points) and first == first
    assert not np.array_equal(first.points, other.points)


def test_a_polytope_of_one_point_is_sampled_as_that_point() -> None:
    drawn = draw(Polytope(2, (total(2, 1.0), Row("a", ((0, 1.0),), 0.25, 0.25))))
    assert np.ptp(drawn.points, axis=0) == pytest.approx([0, 0], abs=1e-9)
    assert drawn.mean(1) == pytest.approx(0.75)
    assert drawn.rhat == (1.0, 1.0) and drawn.converged


def test_widths_of_very_different_size_are_all_walked() -> None:
    """An amount up to 0.01 beside one up to 100: both are even, with sd = width / √12 (textbook)."""
    drawn = draw(Polytope(2, (), (0.01, 100.0)), how=LONG)
    assert drawn.values.std(axis=0) == pytest.approx([0.01 / sqrt(12), 100 / sqrt(12)], rel=0.03)


def test_no_end_needs_a_weight() -> None:
    ray, starts = Polytope(1, ()), [(0.0,), (1.0,)]
    half = sample(ray, starts, [Normal(((0, 1.0),), 0.0, 1.0)], [[(0, 1.0)]], 1, LONG)
    assert half.mean(0) == pytest.approx(sqrt(2 / np.pi), rel=0.03)  # half-normal distribution, textbook
    with pytest.raises(ValueError, match="no end in some direction"):
        sample(ray, starts, [], [[(0, 1.0)]], 1)


def test_chains_cross_a_cone_of_falling_amounts_fast() -> None:
    """Twelve amounts that fall and sum to 100, even: the k-th largest piece of a broken stick is on average the sum of
    1/j for j from k to 12, over 12 (textbook). Each draw has to be worth half an independent one.
    """
    order = (Row(f"{k}", ((k, 1.0), (k + 1, -1.0)), low=0.0) for k in range(11))
    drawn = draw(Polytope(12, (total(12, 100.0), *order)), how=Settings(keep=(24,)))  # ten tell their own worth roughly
    expected = [100 / 12 * sum(1 / j for j in range(k, 13)) for k in range(1, 13)]
    error = 5 * drawn.values.std(axis=0) / np.sqrt(drawn.effective)
    assert (np.abs(drawn.values.mean(axis=0) - expected) <= error).all()
    assert drawn.converged and min(drawn.effective) >= len(drawn.values) / 2


SHORT = {"starts": 4, "each": 2, "warmup": (4,), "settle": 2, "keep": (8, 8, 12)}
LENIENT = {"agreed": 100.0, "enough": 0.0, "drift": 100.0, "still": 100.0}


@pytest.mark.parametrize("strict", [{"agreed": 0.5}, {"enough": 1e9}, {"drift": 0.0}, {"still": 0.0}], ids=str)
def test_chains_that_have_not_settled_are_continued_and_it_is_said_when_they_still_have_not(strict) -> None:
    weights = [Normal(((0, 1.0),), 50, spread=((1, 0.5),))]
    settled = draw(FALLING, weights, how=Settings(**SHORT, **LENIENT))
    assert settled.converged and settled.sweeps == 4 + 2 + 8
    never = draw(FALLING, weights, how=Settings(**SHORT, **LENIENT | strict))
    assert not never.converged and never.sweeps == 4 + 2 + 8 + 2 + 8 + 2 + 12 and len(never.values) == 12 * 4 * 2
    # Without targets that judge, only the sds of the weights are left to tell.
    judged = draw(FALLING, weights, how=Settings(**SHORT, **LENIENT | strict), judges=[])
    assert judged.converged is ("still" not in strict)


def test_sampling_does_not_depend_on_threads_and_leaves_them_as_they_are() -> None:
    def threads() -> list[int]:
        return [one["num_threads"] for one in threadpool_info() if one["user_api"] == "blas"]

    drawn = []
    for many in (1, 2):
        with threadpool_limits(limits=many, user_api="blas"):
            before = threads()
            drawn.append(draw(FALLING, [Normal(((0, 1.0),), 50, 10)]))
            assert threads() == before
    assert np.array_equal(drawn[0].points, drawn[1].points)


def test_agreement_of_independent_draws() -> None:
    draws = np.random.default_rng(0).normal(size=(100, 20, 3))
    for each in (1, 4):
        found = agreement(draws, each)
        assert found.rhat == pytest.approx([1, 1, 1], abs=0.01)
        assert found.drift == pytest.approx([0, 0, 0], abs=5 * 2 / sqrt(2000))
        assert found.effective == pytest.approx([2000, 2000, 2000], rel=0.2)


def test_nested_rhat_is_what_its_definition_says() -> None:
    """Worked out once more by hand with the standard library: between families over within and between chains."""
    chains = [[1.0, 2.0, 4.0, 3.0], [2.0, 5.0, 3.0, 4.0], [7.0, 6.0, 9.0, 8.0], [9.0, 9.0, 6.0, 7.0]]
    means = [fmean(chain) for chain in chains]
    between = variance([fmean(means[:2]), fmean(means[2:])])
    within = fmean([variance(means[:2]), variance(means[2:])]) + fmean(variance(chain) for chain in chains)
    found = agreement(np.array(chains).T[:, :, None], each=2)
    assert found.rhat[0] == pytest.approx(sqrt(1 + between / within))


def test_agreement_shows_families_that_remember_their_start_and_chains_that_drift() -> None:
    rng = np.random.default_rng(0)
    apart = agreement(rng.normal(size=(100, 20, 1)) + np.repeat(rng.normal(size=(1, 5, 1)) * 3, 4, axis=1), 4)
    assert apart.rhat[0] > 1.5 and abs(apart.drift[0]) < 0.1 and apart.effective[0] < 100
    drifting = agreement(rng.normal(size=(100, 20, 1)) + np.linspace(-3, 3, 100)[:, None, None], 4)
    assert drifting.rhat[0] < 1.01 and drifting.drift[0] > 1.0 and drifting.effective[0] < 100


def test_agreement_counts_draws_that_depend_on_each_other_for_less() -> None:
    """A first-order autoregression with coefficient r is worth (1 - r) / (1 + r) of its length (textbook)."""
    rng = np.random.default_rng(0)
    draws = [rng.normal(size=(50, 1))]
    for _ in range(1999):
        draws.append(0.6 * draws[-1] + 0.8 * rng.normal(size=(50, 1)))
    assert agreement(np.array(draws)).effective[0] == pytest.approx(2000 * 50 * 0.4 / 1.6, rel=0.1)


# -- nearest ------------------------------------------------------------------------------------------------


def test_the_nearest_point_is_the_projection() -> None:
    """On the triangle x + y + z = 1 the point nearest to (1, 1, 0), all sds 1, is (.5, .5, 0): closed form."""
    import numpy as np

    from reader.polytope.nearest import nearest

    triangle = Polytope(3, (Row("whole", ((0, 1.0), (1, 1.0), (2, 1.0)), low=1.0, high=1.0),))
    wanted = [Normal(((k, 1.0),), mean, 1.0) for k, mean in enumerate((1.0, 1.0, 0.0))]
    found = nearest(triangle, wanted, np.eye(3))
    assert found.total == pytest.approx(0.5, abs=0.02)
    assert found.point == pytest.approx((0.5, 0.5, 0.0), abs=0.05)
    assert sum(found.parts) == pytest.approx(found.total)


def test_a_point_inside_that_all_weights_like_costs_nothing() -> None:
    import numpy as np

    from reader.polytope.nearest import nearest

    square = Polytope(2, (), (1.0, 1.0))
    found = nearest(square, [Normal(((0, 1.0),), 0.3, 0.1)], np.array([[1.0, 0.0], [0.0, 1.0]]))
    assert found.total == pytest.approx(0.0, abs=0.01)
