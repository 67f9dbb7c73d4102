"""The charts: valid specifications, the report's own numbers, the same numbers in the table beside them."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Any

import pytest
from ui.inputs import examples

from reader.makeup.values import Share
from reader.page import charts, figures, page
from reader.pipeline import read_label
from reader.quantities import Interval, show
from reader.report import Report
from reader.wording import say
from tests.shown import EVIL, Shown


@pytest.fixture(scope="module", params=examples(), ids=lambda pack: pack["title"])
def report(request: pytest.FixtureRequest) -> Report:
    pack = request.param
    return read_label(pack["statement"], pack["panel"], name=pack["name"], market=pack["market"])


def rows_of(chart: Any) -> list[dict[str, Any]]:
    """The rows of the largest data set of a chart; `to_dict` also checks the whole specification."""
    spec = chart.to_dict()
    found = [part["data"]["values"] for part in (spec, *spec["layer"]) if "data" in part]
    rows: list[dict[str, Any]] = max(found, key=len)
    return rows


def test_the_order_chart_has_the_reports_bounds(report: Report) -> None:
    rows = rows_of(charts.order(report))
    shares = report.makeup.ingredients
    assert [(r["low"], r["high"]) for r in rows] == [(s.possible.low, s.possible.high) for s in shares[: len(rows)]]
    for row, term in zip(rows, report.product.ingredients, strict=False):
        assert row["name"].endswith(term.printed)
        assert (row["declared"] is None) == (term.percent is None)


def test_the_order_table_has_the_same_numbers(report: Report) -> None:
    cells = re.findall(r"<td [^>]*>(.*?)</td>", figures.order_table(report))
    for share in report.makeup.ingredients:
        assert show(share.possible.low) in cells
        assert show(share.possible.high) in cells


def test_sodium_is_the_panels(report: Report) -> None:
    serving = report.panel.stated_per_serving("sodium_mg")
    assert serving is not None
    first, *days = rows_of(charts.sodium_day(report))
    assert first["middle"] == serving
    assert first["low"] <= serving <= first["high"]
    assert days[0]["middle"] == 2000
    assert [d["middle"] for d in days] == [d.mg for d in figures.days(report)]
    table = figures.day_table(report)
    for day in figures.days(report):
        assert f">{show(100 * serving / day.mg, 0)}</td>" in table


def test_a_day_that_was_not_seen_first_hand_is_marked_beside_its_picture_and_table() -> None:
    for market, words in (("US", "second-hand"), ("AU", "not verified"), ("EU", "")):
        report = read_label("Pork, salt", "Per serving (50 g): Sodium 500 mg", market=market)
        note = next(p.note for p in charts.pictures(report) if p.name == "day")
        assert (words in note) if words else (note == say("figure_day_note"))
        assert words in page.document(report)


def test_the_survey_chart_has_every_survey_and_this_pack(report: Report) -> None:
    rows = rows_of(charts.sodium_survey(report))
    hundred = report.panel.stated_per_100g("sodium_mg")
    assert rows[0]["middle"] == hundred
    assert [r["name"] for r in rows[1:]] == [s.name for s in figures.surveys()]
    assert show(hundred or 0, 0) in figures.survey_table(report)


def test_the_aspects_chart_has_the_scores(report: Report) -> None:
    rows = rows_of(charts.aspects(report))
    for row, aspect in zip(rows, report.aspects, strict=True):
        assert (row["low"], row["high"]) == (tuple(aspect.score) if aspect.score else (None, None))
        if aspect.score is None:
            assert row["text"] in ("not stated", "does not apply")
            assert row["text"] in figures.aspects_table(report)


def test_every_picture_is_drawn_offline_and_told_in_words(report: Report) -> None:
    for picture in charts.pictures(report):
        bundle = charts.as_v5(picture.chart)
        spec = bundle[charts.V5]
        assert spec["$schema"].endswith("/v5.json")
        assert spec["width"] == "container"
        assert spec["description"].startswith(picture.title)
        assert bundle["text/plain"] == spec["description"]
        assert "url" not in json.dumps(spec.get("data", {}))
        assert picture.title
        assert picture.note
        assert "<caption>" in picture.table


def test_a_likely_share_becomes_the_thick_part(report: Report) -> None:
    shares = [
        Share(s.possible, Interval(s.possible.low, s.possible.high), s.possible.low) for s in report.makeup.ingredients
    ]
    likely = replace(report, makeup=replace(report.makeup, ingredients=tuple(shares)))
    rows = rows_of(charts.order(likely))
    assert all(r["likely_low"] == r["low"] and r["middle"] == r["low"] for r in rows)
    picture = next(p for p in charts.pictures(likely) if p.name == "order")
    assert "likely" in picture.note
    assert "Likely" in picture.table


def test_a_likely_score_becomes_the_thick_part(report: Report) -> None:
    told = tuple(replace(a, likely=a.score, middle=a.score.low) if a.score else a for a in report.aspects)
    likely = replace(report, aspects=told)
    rows = rows_of(charts.aspects(likely))
    assert all((r["likely_low"], r["likely_high"]) == (r["low"], r["high"]) for r in rows)
    table = figures.aspects_table(likely)
    assert "Likely" in table
    assert f"({show(next(a.middle for a in told if a.middle is not None))})" in table
    without = tuple(replace(a, likely=None, middle=None) for a in report.aspects)
    assert "Likely" not in figures.aspects_table(replace(report, aspects=without))


def test_without_a_panel_there_is_no_sodium_chart() -> None:
    names = [p.name for p in charts.pictures(read_label("Ingredients: pork, water, salt."))]
    assert names == ["makeup", "order", "aspects"]


def test_where_nothing_is_scored_there_is_nothing_to_draw() -> None:
    assert charts.pictures(read_label("hello")) == ()
    only_panel = charts.pictures(read_label("", "Serving size 50 g. Sodium 500 mg"))
    assert [p.name for p in only_panel] == ["day", "survey", "aspects"]
    assert [r["text"] for r in rows_of(only_panel[-1].chart)][:3] == ["not stated"] * 3


def test_the_make_up_is_drawn_by_group_with_its_ingredients_on_demand(report: Report) -> None:
    pictures = {p.name: p for p in charts.pictures(report)}
    if not report.product.ingredients:
        assert "makeup" not in pictures
        return
    rows = rows_of(pictures["makeup"].chart)
    groups = [r for r in rows if r["kind"] == "group"]
    shares = dict(report.makeup.groups)
    for row in groups:
        assert (row["low"], row["high"]) == tuple(shares[row["group"]].possible)
        assert row["name"] in pictures["makeup"].table
    inside = [r for r in rows if r["kind"] == "inside"]
    assert {r["group"] for r in inside} <= {r["group"] for r in groups}
    spec = charts.as_v5(pictures["makeup"].chart)[charts.V5]
    assert [p["name"] for p in spec["params"]] == ["tapped"]


def test_a_long_list_is_cut_and_says_so() -> None:
    text = "Ingredients: pork, " + ", ".join(f"spice {k}" for k in range(60)) + "."
    order = next(p for p in charts.pictures(read_label(text, depth="possible")) if p.name == "order")
    assert len(rows_of(order.chart)) < 61
    assert "more terms" in order.note


def test_tables_are_escaped() -> None:
    for picture in charts.pictures(read_label(EVIL)):
        assert not [t for t, a in Shown(picture.table).elements if t in ("script", "img", "svg", "a") or "onclick" in a]
