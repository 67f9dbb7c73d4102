"""Laws of verdicts: a tighter wish never looks better, a wider range never decides, ignorance never meets."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reader import read_label
from reader.house.kinds import EXCLUDED, LIMIT, MONEY, NONE, kinds, words_of
from reader.house.values import ASK, FAILS, MEETS, VERDICTS, Requirement, Specification, Verdict
from reader.house.verdicts import judge
from reader.makeup.values import LIKELY, MakeUp, Share
from reader.panel.reading import panel_from_columns
from reader.price import NO_PRICE, Price
from reader.quantities import Interval
from reader.report import Report
from tests.house.test_requirements import sample
from tests.properties import strategies as make

PORK = read_label("Pork, water, corn starch, salt.", depth="order")
SHARES = [k.id for k in kinds().values() if k.judge.startswith("share_")]
AT_LEAST = {k.id for k in kinds().values() if k.judge.endswith("_at_least")}
LISTS = [k for k in kinds().values() if k.judge == "listed"]
EVERYTHING = Specification("All", tuple(map(sample, kinds().values())))

ends = st.tuples(st.floats(0, 100), st.floats(0, 100)).map(lambda pair: Interval(min(pair), max(pair)))
limits = st.floats(0, 100)


def one(report: Report, requirement: Requirement, price: Price = NO_PRICE) -> Verdict:
    return judge(report, price, Specification("T", (requirement,)))[0]


def with_share(kind: str, possible: Interval, likely: Interval | None = None) -> Report:
    """The label with this share of what a kind is about."""
    share = Share(possible, likely)
    makeup = replace(PORK.makeup, groups=((kinds()[kind].values["quantity"], share),), depth=LIKELY)
    assert isinstance(makeup, MakeUp)
    return replace(PORK, makeup=makeup)


def tighter(kind: str, limit: float, other: float) -> tuple[float, float]:
    """(loose, tight) of two limits."""
    return (min(limit, other), max(limit, other)) if kind in AT_LEAST else (max(limit, other), min(limit, other))


def better(one: str, other: str) -> bool:
    return VERDICTS.index(one) < VERDICTS.index(other)


@pytest.mark.parametrize("kind", SHARES)
@given(ends, limits, limits, st.data())
def test_a_tighter_limit_on_a_share_never_looks_better(
    kind: str, possible: Interval, limit: float, other: float, data: st.DataObject
) -> None:
    inside = st.floats(possible.low, possible.high)
    likely = data.draw(st.none() | st.tuples(inside, inside).map(lambda p: Interval(min(p), max(p))))
    report = with_share(kind, possible, likely)
    loose, tight = tighter(kind, limit, other)
    assert not better(
        one(report, Requirement(kind, limit=tight)).verdict, one(report, Requirement(kind, limit=loose)).verdict
    )


@pytest.mark.parametrize("kind", SHARES)
@given(ends, ends, limits)
def test_a_wider_range_never_decides(kind: str, possible: Interval, other: Interval, limit: float) -> None:
    wider = Interval(min(possible.low, other.low), max(possible.high, other.high))
    before = one(with_share(kind, possible), Requirement(kind, limit=limit)).verdict
    after = one(with_share(kind, wider), Requirement(kind, limit=limit)).verdict
    assert after in (ASK, before)


@pytest.mark.parametrize("kind", ["sodium_per_100g", "fat_per_100g", "protein_per_100g"])
@given(st.integers(0, 60), st.floats(0, 100), st.floats(0, 100))
def test_a_tighter_limit_on_the_panel_never_looks_better(kind: str, printed: int, limit: float, other: float) -> None:
    row = kinds()[kind].values["nutrient"]
    panel = panel_from_columns({row: float(printed)}, serving_g=None, basis="per100g", market="US")
    report = replace(PORK, panel=panel)
    loose, tight = tighter(kind, limit, other)
    assert not better(
        one(report, Requirement(kind, limit=tight)).verdict, one(report, Requirement(kind, limit=loose)).verdict
    )


@given(st.floats(0.01, 90), limits, limits)
def test_a_lower_ceiling_never_looks_better(per_kg: float, limit: float, other: float) -> None:
    price = Price("USD", per_kg, 1000.0, 1000.0)
    for kind in ("price_per_kg", "price_per_kg_meat"):
        found = [one(PORK, Requirement(kind, limit=at, words=("USD",)), price).verdict for at in sorted((limit, other))]
        assert not better(*found)


@settings(max_examples=80)
@given(make.name_lists, st.sampled_from(LISTS), st.data())
def test_barring_more_never_looks_better(text: str, kind, data: st.DataObject) -> None:
    words = [w for w in words_of(kind) if w != NONE]
    if kind.takes not in (EXCLUDED, "allowed") or not words:
        return
    more = data.draw(st.lists(st.sampled_from(words), min_size=2, max_size=5, unique=True))
    fewer = more[: data.draw(st.integers(1, len(more) - 1))]
    report = read_label(text, depth="order")
    many, few = (one(report, Requirement(kind.id, words=tuple(w))).verdict for w in (more, fewer))
    strict, lax = (many, few) if kind.takes == EXCLUDED else (few, many)
    assert not better(strict, lax)


@settings(max_examples=80)
@given(make.name_lists)
def test_a_word_that_is_not_understood_never_makes_a_list_meet_more(text: str) -> None:
    plain, with_more = read_label(text, depth="order"), read_label(f"{text}, blorp", depth="order")
    if "blorp" not in with_more.facts.unknown_terms or plain.product.food != with_more.product.food:
        return
    for kind in LISTS:
        requirement = sample(kind)
        if kind.id == "nitrite":
            requirement = Requirement("nitrite", words=(NONE,))
        before, after = one(plain, requirement).verdict, one(with_more, requirement).verdict
        own = bool(kind.values.get("own"))  # a word may stand in another list of the pack than the sausage's own
        assert (before, after) in {(FAILS, FAILS), (ASK, ASK), (MEETS, ASK)} or (own and before == after), kind.id


@settings(max_examples=60)
@given(st.permutations(EVERYTHING.requirements), make.name_lists)
def test_the_order_of_requirements_does_not_matter(order: list[Requirement], text: str) -> None:
    report = read_label(text, depth="order")
    found = judge(report, NO_PRICE, Specification("T", tuple(order)))
    assert sorted(found, key=lambda v: v.kind) == sorted(judge(report, NO_PRICE, EVERYTHING), key=lambda v: v.kind)


@settings(max_examples=150)
@given(make.anything | make.label_like, st.sampled_from(["US", "CA", "UK", "EU", "AU"]))
def test_whatever_was_pasted_gives_verdicts(text: str, market: str) -> None:
    report = read_label(text, text, name=text[:40], market=market, depth="order")
    for found in judge(report, NO_PRICE, EVERYTHING):
        assert found.verdict in kinds()[found.kind].verdicts
        assert bool(found.question) == (found.verdict == ASK)
        assert found.because and found.source
        ours = re.sub("“[^”]*”", "", found.because + found.question)  # without what the label itself says
        if "”" not in text and "“" not in text:
            assert not re.search(r"\bsafe\b|free from", ours)


def test_what_takes_a_number_is_tried_here() -> None:
    numbers = {k.judge for k in kinds().values() if k.takes in (LIMIT, MONEY)}
    assert numbers == {"share_at_most", "share_at_least", "panel_at_most", "panel_at_least", "price_at_most"}
