"""Report → Altair charts, each with its numbers in words. Altair is loaded by the first chart, not by this module.

Every chart is a row of lines: the name above, the line below, so that a phone shows it as well as a desk. Colours are
those of the page (`page.css`), by name, so that a dark page needs no other chart.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reader.makeup.values import LIKELY, Share
from reader.page import figures
from reader.page.range_rows import SECOND, Picture, Row, broken_lines, finished, over, places, range_lines, range_row
from reader.page.terms import role_word
from reader.quantities import Interval, show
from reader.report import Report
from reader.wording import say

if TYPE_CHECKING:
    import altair as alt

V5 = "application/vnd.vegalite.v5+json"
# `ast`: drawn without eval, which the page's Content-Security-Policy forbids.
EMBED = {"actions": False, "renderer": "svg", "ast": True}
_SCHEMA_V5 = "https://vega.github.io/schema/vega-lite/v5.json"  # the name of the format; nothing is fetched
_MOST_ROWS = 24  # rows of the order chart; a longer list is told by its table
# One transparent dot: a page that finds no picture beside a chart makes one and draws the chart again.
_DOT = "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNkYAAAAAYAAjCB0C8AAAAASUVORK5CYII="


def pictures(report: Report) -> tuple[Picture, ...]:
    """The charts that this report has numbers for, in the order of the page."""
    found = []
    if figures.makeup(report):
        found.append(_picture("makeup", makeup(report), figures.makeup_table(report), _makeup_note(report)))
    if figures.order(report):
        found.append(_picture("order", order(report), figures.order_table(report), _order_note(report)))
    if figures.sodium_serving(report) is not None:
        found.append(_picture("day", sodium_day(report), figures.day_table(report), _day_note(report)))
    if figures.sodium_hundred(report) is not None:
        found.append(_picture("survey", sodium_survey(report), figures.survey_table(report)))
    if any(aspect.score for aspect in report.aspects):
        found.append(_picture("aspects", aspects(report), figures.aspects_table(report)))
    return tuple(found)


def as_v5(chart: alt.LayerChart) -> dict[str, Any]:
    """The chart as a bundle that a notebook page draws by itself, offline: Vega-Lite 5 and a line of text."""
    spec = chart.to_dict(validate=False)  # half of the time otherwise; the tests validate every kind of chart
    spec["$schema"] = _SCHEMA_V5
    spec["autosize"] = {"type": "fit-x", "contains": "padding"}
    spec["usermeta"] = {"embedOptions": EMBED}
    return {V5: spec, "image/png": _DOT, "text/plain": spec.get("description", "")}


def _picture(name: str, chart: alt.LayerChart, table: str, note: str = "") -> Picture:
    return Picture(name, say(f"figure_{name}"), note or say(f"figure_{name}_note"), chart, table)


# -- make-up ------------------------------------------------------------------------------------------------


def makeup(report: Report) -> alt.LayerChart:
    """The groups of the make-up, in percent; a tap on a group puts the ingredients that count to it beneath."""
    import altair as alt

    rows = []
    for group in figures.makeup(report):
        rows.append(_share_row(group.name, group.share, group.text, group.id, "group"))
        rows += [_share_row(f"– {name}", share, text, group.id, "inside") for name, share, text in group.members]
    lowest = min([0.0, *(r["low"] for r in rows if r["kind"] == "group")])
    tapped = alt.selection_point(name="tapped", fields=["group"], empty=False)
    seen: Any = {"or": ["datum.kind == 'group'", {"param": "tapped", "empty": False}]}
    layers = [x.transform_filter(seen) for x in range_lines(rows, say("figure_makeup_shares"), 100.0, lowest=lowest)]
    whole = over(rows).transform_filter(seen)
    # A row takes a tap anywhere, not only on its thin line.
    ground = whole.mark_rect(fillOpacity=0, strokeOpacity=0, cursor="pointer").encode(
        y=places(rows), x=alt.value(0), x2=alt.value("width")
    )
    words = "; ".join(f"{r['name']}: {r['text']}" for r in rows if r["kind"] == "group")
    return finished([ground.add_params(tapped), *layers], "makeup", words)


def _share_row(name: str, share: Share, text: str, group: str, kind: str) -> Row:
    found = range_row(name, share.possible, share.likely, share.middle)
    return {**found, "row": f"{group} {name}", "text": text, "group": group, "kind": kind}


def _makeup_note(report: Report) -> str:
    likely = report.makeup.depth == LIKELY
    return say("figure_makeup_note") + " " + say("figure_makeup_likely" if likely else "figure_makeup_possible")


# -- order of the list --------------------------------------------------------------------------------------


def order(report: Report) -> alt.LayerChart:
    """Each term of the sausage's own list with the bounds of its share, in percent."""
    rows = [_order_row(p) for p in figures.order(report)[:_MOST_ROWS]]
    words = "; ".join(f"{r['name']}: {r['text']}" for r in rows)
    return finished(range_lines(rows, say("figure_order_shares"), 100.0), "order", words)


def _order_row(placed: figures.Placed) -> Row:
    share, declared = placed.share, placed.term.percent
    return {
        **range_row(placed.name, share.possible, share.likely, share.middle),
        "text": f"{show(share.possible.low)}–{show(share.possible.high)} %",
        "role": role_word(placed.term.role),
        "declared": (declared.low + declared.high) / 2 if declared else None,
    }


def _order_note(report: Report) -> str:
    placed = figures.order(report)
    likely = say("figure_order_likely") if any(p.share.likely for p in placed) else ""
    declared = say("figure_order_declared") if any(p.term.percent for p in placed) else ""
    more = len(placed) - _MOST_ROWS
    rest = say("figure_order_more", count=more) if more > 0 else ""
    return " ".join(part for part in (say("figure_order_note"), likely, declared, rest) if part)


# -- sodium -------------------------------------------------------------------------------------------------


def sodium_day(report: Report) -> alt.LayerChart:
    """A serving's sodium beside a day's, in mg."""
    serving, days = figures.sodium_serving(report), figures.days(report)
    assert serving is not None
    true, stated = serving
    weight = report.panel.serving_g
    name = say("figure_day_serving", weight=show(weight)) if weight else say("figure_day_serving_unknown")
    rows = [{**range_row(name, true, Interval(0, stated), stated), "text": f"{show(stated, 0)} mg"}]
    rows += [{**range_row(d.name, Interval(0, d.mg), None, d.mg), "text": _of_day(d)} for d in days]
    top = max([true.high, *(d.mg for d in days)]) * 1.02
    words = "; ".join(f"{r['name']}: {r['text']}" for r in rows)
    return finished(range_lines(rows, say("figure_day_axis"), top), "day", words)


def _day_note(report: Report) -> str:
    return f"{say('figure_day_note')} {figures.day_doubts(report)}".strip()


def _of_day(day: figures.Day) -> str:
    share = f" · {say('figure_day_share', share=show(day.serving, 0))}" if day.serving is not None else ""
    return f"{show(day.mg, 0)} mg{share}"


def sodium_survey(report: Report) -> alt.LayerChart:
    """This pack's sodium per 100 g among surveyed products."""
    pack = figures.sodium_hundred(report)
    assert pack is not None
    true, stated = pack
    rows = [{**range_row(say("figure_survey_pack"), true, None, stated), "text": f"{show(stated, 0)} mg"}]
    for s in figures.surveys():
        ends = Interval(s.low, s.high) if s.low is not None and s.high is not None else None
        text = f"{show(ends.low, 0)}–{show(ends.high, 0)} mg" if ends else f"{show(s.mean or 0.0, 0)} mg"
        rows.append({**range_row(s.name, ends, None, s.mean), "text": text})
    top = max([true.high, *(s.high or s.mean or 0.0 for s in figures.surveys())]) * 1.02
    layers = range_lines(rows, say("figure_survey_axis"), top)
    here = over([{"middle": stated}]).mark_rule(color=SECOND, strokeDash=[3, 3]).encode(x="middle:Q")
    words = "; ".join(f"{r['name']}: {r['text']}" for r in rows)
    return finished([here, *layers], "survey", words)


# -- the four aspects ---------------------------------------------------------------------------------------


def aspects(report: Report) -> alt.LayerChart:
    """The four scores as ranges from 0 to 10; without a score a broken line and the word for why."""
    rows = []
    for aspect in report.aspects:
        row = range_row(say(f"aspect_{aspect.id}"), aspect.score, aspect.likely, aspect.middle)
        if aspect.score is None:
            rows.append({**row, "text": say("page_no_score_" + aspect.state.replace(" ", "_"))})
        else:
            rows.append({**row, "text": f"{show(aspect.score.low)}–{show(aspect.score.high)}"})
    words = "; ".join(f"{r['name']}: {r['text']}" for r in rows)
    layers = range_lines(rows, say("figure_aspects_axis"), 10.0)
    return finished([*layers, *broken_lines(rows, 10.0)], "aspects", words)
