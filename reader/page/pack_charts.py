"""Compared packs → Altair charts, one measure each with a row for every pack, drawn as the charts of one reading are.

Altair is loaded by the first chart, not by this module.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from reader.compare.measures import measure
from reader.compare.table import Comparison, Line
from reader.page.pack_figures import cell_text, measure_name
from reader.page.parts import table
from reader.page.range_rows import Picture, Row, broken_lines, finished, range_lines, range_row
from reader.quantities import Interval
from reader.wording import say

if TYPE_CHECKING:
    import altair as alt

# What is drawn, by the kind of picture; a measure no pack states is not.
DRAWN = {
    "aspects": ("meat_source", "filler_load", "casing", "sodium"),
    "makeup": ("share_meat", "share_binders", "share_added_water", "share_sweeteners", "share_salt"),
    "sodium": ("sodium_serving", "sodium_100g"),
    "price": ("price_kg", "price_protein", "price_meat"),
}
_TOPS = {"score": 10.0, "%": 100.0}  # whole scales; others end a little beyond the highest pack
_ROOM = 1.02


def pack_pictures(found: Comparison, *kinds: str) -> tuple[Picture, ...]:
    """The charts of a comparison of some `kinds` of DRAWN, of all where none is named, in their order.

    With 40 packs a chart takes about 0.15 s, so a page asks for the kind it shows.
    """
    return tuple(
        _picture(found, kind, name)
        for kind in kinds or DRAWN
        for name in DRAWN[kind]
        if any(_has(line, name) for line in found.lines)
    )


def _has(line: Line, name: str) -> bool:
    cell = line.cell(name)
    return not cell.state and cell.possible is not None


def _picture(found: Comparison, kind: str, name: str) -> Picture:
    rows = [(line.pack.name, cell_text(name, line.cell(name))) for line in found.lines]
    shown = table([say("compare_pack"), measure_name(name)], rows, caption=measure_name(name))
    note = say(f"figure_packs_{kind}_note")
    return Picture(name, measure_name(name), note, packs(found, name), shown)


def packs(found: Comparison, name: str) -> alt.LayerChart:
    """One measure of all packs, in the order of the comparison; a broken line where a pack states nothing.

    Raises ValueError if the measure is unknown.
    """
    rows = [_row(number, line, name) for number, line in enumerate(found.lines, 1)]
    ends = [end for row in rows for end in (row["low"], row["high"]) if end is not None]
    top = _TOPS.get(measure(name).unit, max(ends, default=1.0) * _ROOM or 1.0)
    lowest = min([0.0, *ends])
    words = "; ".join(f"{row['name']}: {row['text']}" for row in rows)
    layers = [*range_lines(rows, measure_name(name), top, lowest=lowest), *broken_lines(rows, top, lowest)]
    return finished(layers, f"packs_{_kind(name)}", words)


def _kind(name: str) -> str:
    return next((kind for kind, names in DRAWN.items() if name in names), "other")


def _row(number: int, line: Line, name: str) -> Row:
    cell, title = line.cell(name), f"{number}  {line.pack.name}"
    possible = cell.possible if cell.possible is None else _drawable(cell.possible)
    likely = cell.likely if cell.likely is None else _drawable(cell.likely)
    return {**range_row(title, possible, likely, cell.middle), "text": cell_text(name, cell)}


def _drawable(found: Interval) -> Interval:
    """A range without an upper end is drawn as its lower one; its words say "at least"."""
    return found if math.isfinite(found.high) else Interval(found.low, found.low)
