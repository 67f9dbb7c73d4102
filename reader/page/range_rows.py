"""Ranges drawn in rows: the name above, the line below, thin possible, thick likely, tick middle.

Altair is loaded by the first chart, not by this module. Colours are those of the page (`page.css`), by name.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reader.quantities import Interval
from reader.wording import say

if TYPE_CHECKING:
    import altair as alt

_STEP = 38  # px from row to row
_FONT = 'Palatino, "Palatino Linotype", P052, Georgia, "Liberation Serif", "DejaVu Serif", serif'
_INK, _QUIET, _HAIR, SECOND = "currentColor", "var(--quiet)", "var(--hair)", "var(--second)"

Row = dict[str, Any]


class Picture(NamedTuple):
    """A chart, what stands above and below it, and the same numbers as an HTML table."""

    name: str
    title: str
    note: str
    chart: alt.LayerChart
    table: str


def range_row(name: str, possible: Interval | None, likely: Interval | None, middle: float | None) -> Row:
    """A row to be drawn as a range; None where there is nothing to draw."""
    return {
        "row": name,  # what tells rows apart; `name` is what is read
        "name": name,
        "low": possible.low if possible else None,
        "high": possible.high if possible else None,
        "likely_low": likely.low if likely else None,
        "likely_high": likely.high if likely else None,
        "middle": middle,
    }


def range_lines(rows: list[Row], axis: str, top: float, lowest: float = 0.0) -> list[alt.Chart]:
    """Layers: name and numbers above the line, thin line possible, thick part likely, tick middle, circle declared."""
    import altair as alt

    # Channels are named by their classes: finding the class of a bare "low:Q" takes half of all the time.
    base = over(rows).encode(
        y=places(rows),
        tooltip=[alt.Tooltip(f"{f}:N", title=say(f"figure_tip_{f}")) for f in _told(rows)],
    )
    scale = alt.Scale(domain=[lowest, top], nice=False, zero=True)
    x = alt.X("low:Q", scale=scale, axis=alt.Axis(title=axis, tickCount=5))
    at: Any = alt.XValue  # untyped in altair
    above: dict[str, Any] = {"baseline": "bottom", "dy": -6}
    layers = [
        base.mark_text(align="left", limit=alt.expr("width * 0.62"), **above).encode(alt.Text("name:N"), at(0)),
        base.mark_text(align="right", **above).encode(alt.Text("text:N"), at("width")),
        base.transform_filter("isValid(datum.low)").mark_rule(strokeWidth=2, color=SECOND).encode(x, alt.X2("high:Q")),
    ]
    layers += [_ticks(base, end, 7, SECOND) for end in ("low", "high")]
    if any(r["likely_low"] is not None for r in rows):
        thick = base.transform_filter("isValid(datum.likely_low)").mark_rule(strokeWidth=7, color=SECOND)
        layers.append(thick.encode(alt.X("likely_low:Q"), alt.X2("likely_high:Q")))
    if any(r["middle"] is not None for r in rows):
        layers.append(_ticks(base, "middle", 11, _INK))
    if any(r.get("declared") is not None for r in rows):
        points = base.transform_filter("isValid(datum.declared)").mark_point(size=70, color=_INK, strokeWidth=1.5)
        layers.append(points.encode(alt.X("declared:Q")))
    return layers


def broken_lines(rows: list[Row], top: float, lowest: float = 0.0) -> list[alt.Chart]:
    """A broken line over the whole scale for each row that has nothing to draw."""
    import altair as alt

    missing = [{"row": r["row"], "from": lowest, "to": top} for r in rows if r["low"] is None]
    if not missing:
        return []
    base = over(missing).encode(places(rows), alt.X("from:Q"), alt.X2("to:Q"))
    return [base.mark_rule(color=_QUIET, strokeDash=[2, 4], strokeWidth=6)]


def places(rows: list[Row]) -> alt.Y:
    """A line for each row, in the order of the rows whichever of them are seen."""
    import altair as alt

    return alt.Y("row:N", sort=[r["row"] for r in rows], axis=None)


def _ticks(base: alt.Chart, field: str, size: int, color: str) -> alt.Chart:
    import altair as alt

    there = base.transform_filter(f"isValid(datum.{field})")
    ticks: alt.Chart = there.mark_tick(size=size, thickness=2, color=color).encode(alt.X(f"{field}:Q"))
    return ticks


def over(rows: list[Row]) -> alt.Chart:
    """A chart over some rows, without its marks."""
    import altair as alt

    data: Any = alt.Data  # untyped in altair
    return alt.Chart(data(values=rows))


def _told(rows: list[Row]) -> list[str]:
    return ["name", "text", *(["role"] if any("role" in r for r in rows) else [])]


def finished(layers: list[alt.Chart], name: str, words: str) -> alt.LayerChart:
    """The layers as one chart as wide as its place, in the page's look, with a description for screen readers."""
    import altair as alt

    described = f"{say(f'figure_{name}')}. {words}."
    size: dict[str, Any] = {"width": "container", "height": alt.Step(_STEP), "padding": 1}
    chart: alt.LayerChart = (
        alt.layer(*layers, description=described, background="transparent", **size)
        .configure(font=_FONT)
        .configure_view(stroke=None)
        .configure_text(fontSize=14, color=_INK, font=_FONT)
        .configure_axis(
            labelColor=_QUIET, titleColor=_QUIET, labelFontSize=13, titleFontSize=13, titleFontWeight="normal",
            titleFontStyle="italic", titleAnchor="start", titleAlign="left", domainColor=_QUIET, tickColor=_QUIET,
            gridColor=_HAIR, gridDash=[1, 3], labelFlush=True,
        )
    )  # fmt: skip
    return chart
