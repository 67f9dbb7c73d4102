"""Laws of shares and scores: a score moves only the way its ground says; bounds are true, attained and sum to one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reader.aspects import CASING, FILLER_LOAD, MEAT_SOURCE, SODIUM
from reader.ingredient_tree import Ingredient
from reader.makeup.shares import bound, weighted
from reader.naming.words import UNKNOWN
from reader.pipeline import read_label
from reader.quantities import Interval
from reader.report import Report
from reader.scores import along, curve_points
from reader.spans import Span
from reader.statement.tree import Clause
from tests.properties import strategies as make

TAIL = "water, salt, contains 2% or less of: dextrose, sodium nitrite"


def score(report: Report, aspect: str) -> Interval:
    found = report.aspect(aspect).score
    assert found is not None
    return found


@settings(max_examples=40)
@given(st.sampled_from(make.MEATS), st.sampled_from(make.PASTES))
def test_paste_never_raises_the_meat_score(meat: str, paste: str) -> None:
    """Putting mechanically separated material before, behind or instead of the meat never raises either end."""
    plain = score(read_label(f"{meat}, {TAIL}", depth="possible"), MEAT_SOURCE)
    behind = score(read_label(f"{meat}, {paste}, {TAIL}", depth="possible"), MEAT_SOURCE)
    before = score(read_label(f"{paste}, {meat}, {TAIL}", depth="possible"), MEAT_SOURCE)
    instead = score(read_label(f"{paste}, {TAIL}", depth="possible"), MEAT_SOURCE)
    assert instead.high <= before.high <= behind.high <= plain.high
    assert before.low <= behind.low and instead.low <= behind.low <= plain.high


@settings(max_examples=40)
@given(st.sampled_from(make.MEATS), st.sampled_from(make.FILLERS))
def test_filler_never_raises_the_filler_score(meat: str, filler: str) -> None:
    """A filler early in the list scores no better than under a clause, and that no better than none."""
    none = score(read_label(f"{meat}, {TAIL}", depth="possible"), FILLER_LOAD)
    few = score(read_label(f"{meat}, {TAIL}, {filler}", depth="possible"), FILLER_LOAD)
    much = score(read_label(f"{meat}, {filler}, {TAIL}", depth="possible"), FILLER_LOAD)
    assert none == Interval(10.0, 10.0)
    assert much.low <= few.low <= none.low and much.high <= few.high <= none.high


@given(st.integers(5, 2000), st.integers(5, 2000))
def test_more_sodium_never_scores_better(a: int, b: int) -> None:
    """More sodium in the same serving gives no higher score."""
    less, more = sorted((a, b))
    low = score(read_label("pork, salt", f"Serving size 50 g. Sodium {more} mg", depth="order"), SODIUM)
    high = score(read_label("pork, salt", f"Serving size 50 g. Sodium {less} mg", depth="order"), SODIUM)
    assert low.low <= high.low + 0.1 and low.high <= high.high + 0.1


def test_a_small_serving_does_not_flatter() -> None:
    """The same sausage sold in half the serving keeps the score its 100 g deserve."""
    whole = score(read_label("pork, salt", "Serving size 56 g. Sodium 700 mg"), SODIUM)
    half = score(read_label("pork, salt", "Serving size 28 g. Sodium 350 mg"), SODIUM)
    per_100g = along(curve_points(SODIUM, "per_100g"), 1250)
    assert half.high <= per_100g + 0.6
    assert half.low < 4 > whole.low


@pytest.mark.parametrize(("aspect", "curve", "rising"), [
    (MEAT_SOURCE, "share", True), (FILLER_LOAD, "share", False), (SODIUM, "serving", False), (SODIUM, "per_100g", False),
])  # fmt: skip
def test_curves_only_rise_or_only_fall(aspect: str, curve: str, rising: bool) -> None:
    points = curve_points(aspect, curve)
    heights = [along(points, x / 2) for x in range(5000)]
    assert heights == sorted(heights, reverse=not rising)


def test_silence_about_the_casing_covers_every_lawful_option() -> None:
    silent = score(read_label("pork, water, salt"), CASING)
    for phrase in ("in a natural pork casing", "in a collagen casing", "in a cellulose casing"):
        stated = score(read_label(f"pork, water, salt, {phrase}"), CASING)
        assert silent.low <= stated.low and stated.high <= silent.high


# -- shares -------------------------------------------------------------------------------------------------


def item(clause: float | None = None, percent: Interval | None = None, joiner: str = ",") -> Ingredient:
    place = Span(0, 0)
    return Ingredient(
        "x",
        place,
        place,
        UNKNOWN,
        "meat",
        joiner=joiner,
        clause=Clause(clause, place) if clause else None,
        percent=percent,
    )


recipes = st.lists(st.floats(0.05, 100), min_size=1, max_size=14).map(
    lambda xs: [100 * x / sum(xs) for x in sorted(xs, reverse=True)]
)


@given(recipes, st.sampled_from([2.0, 1.5, 1.0, 0.5]), st.data())
def test_bounds_hold_the_truth(recipe: list[float], threshold: float, data: st.DataObject) -> None:
    """Whatever the true recipe, every bound and every group bound drawn from its own label holds it."""
    small = [s for s in recipe if s <= threshold]
    ahead = [s for s in recipe if s > threshold]
    small = data.draw(st.permutations(small))
    declared = data.draw(st.sets(st.integers(0, len(recipe) - 1), max_size=2))
    truth = [*ahead, *small]
    items = [
        item(
            threshold if k >= len(ahead) else None,
            Interval(max(0.0, round(share) - 0.5), round(share) + 0.5) if k in declared else None,
        )
        for k, share in enumerate(truth)
    ]
    chain = bound(items, "US")
    for share, low, high in zip(truth, chain.low, chain.high, strict=True):
        assert low - 1e-6 <= share <= high + 1e-6
    weights = data.draw(st.lists(st.floats(0, 1), min_size=len(truth), max_size=len(truth)))
    total = weighted(chain, [Interval(w, w) for w in weights])
    assert total.holds(sum(s * w for s, w in zip(truth, weights, strict=True)), 1e-6)


@given(st.integers(1, 12))
def test_ends_are_attained_where_only_order_is_known(n: int) -> None:
    """The k-th of n in order is at most 100/k, and the first at least 100/n."""
    chain = bound([item() for _ in range(n)], "US")
    assert list(chain.high) == pytest.approx([100 / k for k in range(1, n + 1)])
    assert chain.low[0] == pytest.approx(100 / n)


@given(recipes)
def test_one_more_fact_never_widens(recipe: list[float]) -> None:
    """A declared percentage on the first ingredient narrows every interval or leaves it."""
    bare = bound([item() for _ in recipe], "US")
    told = bound([item(percent=Interval(recipe[0] - 0.5, recipe[0] + 0.5)), *(item() for _ in recipe[1:])], "US")
    for low, high, low_told, high_told in zip(bare.low, bare.high, told.low, told.high, strict=True):
        assert low_told >= low - 1e-6
        assert high_told <= high + 1e-6
