"""Laws of comparisons: uncertainty never ranks packs apart, a pack differs from itself in nothing, sides mirror."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from reader.aspects import ASPECTS
from reader.compare.alignment import ROLE, align, moved, terms
from reader.compare.differences import differences
from reader.compare.measures import measures
from reader.compare.pack import Pack
from reader.compare.ranking import Ranking, rank
from reader.compare.table import Comparison, Line, line_of
from reader.pipeline import read_label
from reader.quantities import Interval
from tests.properties import strategies as make

BARE = line_of(Pack("", read_label("Pork, salt", depth="order")))
PLACES = {name: [m.id for m in measures()].index(name) for name in ASPECTS}

ends = st.tuples(st.floats(0, 10), st.floats(0, 10)).map(lambda pair: Interval(min(pair), max(pair)))
scores = st.fixed_dictionaries({name: st.none() | ends for name in ASPECTS})
weights = st.fixed_dictionaries({name: st.floats(0, 10) for name in ASPECTS}).filter(lambda w: max(w.values()) > 0.01)


def line(number: int, found: dict[str, Interval | None]) -> Line:
    """A pack with these scores; None is a score that is not stated."""
    cells = list(BARE.cells)
    for name, interval in found.items():
        state = "" if interval else "not stated"
        cells[PLACES[name]] = replace(cells[PLACES[name]], possible=interval, likely=None, middle=None, state=state)
    return Line(replace(BARE.pack, name=str(number)), tuple(cells))


def apart(ranking: Ranking) -> set[tuple[str, str]]:
    """The pairs of packs of which one is surely before the other."""
    return {
        (one.line.pack.name, other.line.pack.name)
        for one in ranking.ranked
        for other in ranking.ranked
        if one.possible and other.possible and one.possible.low > other.possible.high
    }


@given(st.lists(scores, min_size=2, max_size=6), weights, st.data())
def test_adding_uncertainty_never_ranks_apart(found, weighted, data) -> None:
    before = rank(Comparison(tuple(line(n, f) for n, f in enumerate(found))), weighted)
    wider = []
    for one in found:
        more = data.draw(st.fixed_dictionaries({name: st.none() | ends for name in ASPECTS}))
        joined = {}
        for name, own in one.items():
            new = more[name]
            joined[name] = (
                None if own is None or new is None else Interval(min(own.low, new.low), max(own.high, new.high))
            )
        wider.append(joined)
    after = rank(Comparison(tuple(line(n, f) for n, f in enumerate(wider))), weighted)
    assert apart(after) <= apart(before)
    ranks = {r.line.pack.name: (r.best, r.worst) for r in before.ranked}
    for ranked in after.ranked:
        best, worst = ranks[ranked.line.pack.name]
        assert ranked.best <= best <= worst <= ranked.worst


@given(st.lists(scores, min_size=2, max_size=6), weights)
def test_ranks_hold_every_order_the_ranges_allow(found, weighted) -> None:
    """Whatever values inside the ranges are the true ones, the true place of each pack lies within its ranks."""
    ranking = rank(Comparison(tuple(line(n, f) for n, f in enumerate(found))), weighted)
    for pick in (min, max):
        for chosen in ranking.ranked:
            values = {r.line.pack.name: (r.possible.low if pick is min else r.possible.high) for r in ranking.ranked}
            own = chosen.possible.high if pick is min else chosen.possible.low
            place = 1 + sum(v > own + 1e-9 for name, v in values.items() if name != chosen.line.pack.name)
            assert chosen.best <= place <= chosen.worst


@given(st.lists(scores, min_size=2, max_size=5), weights, st.floats(0.1, 1))
def test_only_the_proportion_of_the_weights_counts(found, weighted, factor) -> None:
    table = Comparison(tuple(line(n, f) for n, f in enumerate(found)))
    one, other = rank(table, weighted), rank(table, {name: w * factor for name, w in weighted.items()})
    means = {r.line.pack.name: r.possible for r in one.ranked}
    for ranked in other.ranked:
        assert abs(ranked.possible.low - means[ranked.line.pack.name].low) < 1e-6
        assert abs(ranked.possible.high - means[ranked.line.pack.name].high) < 1e-6


@settings(max_examples=60, deadline=None)
@given(make.name_lists | make.label_like)
def test_a_label_differs_from_itself_in_nothing(text: str) -> None:
    report = read_label(text, depth="order")
    assert differences(report, report).none


@settings(max_examples=60, deadline=None)
@given(make.name_lists, make.name_lists)
def test_alignment_uses_every_term_once_and_mirrors(left: str, right: str) -> None:
    one, other = (terms(read_label(text, depth="order").product.ingredients) for text in (left, right))
    pairs = align(one, other)
    assert sorted(p.left.rank for p in pairs if p.left) == [t.rank for t in one]
    assert sorted(p.right.rank for p in pairs if p.right) == [t.rank for t in other]
    mirror = align(other, one)
    assert sum(bool(p.left and p.right) for p in pairs) == sum(bool(p.left and p.right) for p in mirror)
    movers = moved(pairs)
    kept = [p for p in pairs if p.left and p.right and p.by != ROLE and p.left.rank not in movers]
    rights = [p.right.rank for p in sorted(kept, key=lambda p: p.left.rank)]
    assert rights == sorted(rights)
    assert len(movers) == len(moved(mirror))
