"""The measures of compared packs in words, once: tables, charts and files tell them alike."""

from __future__ import annotations

import math

from reader.compare.measures import NUMBER, WORDS, Cell, Measure, measure
from reader.makeup_words import between
from reader.quantities import Interval, show
from reader.wording import say

_PRINTED = ("sodium_serving", "sodium_100g", "protein_100g", "fat_100g")  # the middle is what the panel prints


def measure_name(name: str) -> str:
    """What a measure is called, with its unit."""
    return say(f"compare_measure_{name}")


def cell_text(name: str, cell: Cell) -> str:
    """A cell in words, its unit left to the heading (money apart): ranges always as ranges."""
    what = measure(name)
    if cell.state:
        return say("page_no_score_" + cell.state.replace(" ", "_"))
    if what.kind == WORDS:
        return ", ".join(cell.words) or say("compare_none_listed")
    if what.kind == NUMBER:
        count = show(cell.middle or 0.0)
        return say("compare_more", count=count, names="; ".join(cell.words)) if cell.words else count
    assert cell.possible is not None
    if name in _PRINTED and cell.middle is not None:
        low, high = (show(end, _places(what)) for end in cell.possible)
        return say("compare_printed", value=show(cell.middle, _places(what)), low=low, high=high)
    text = range_text(what, cell.possible, cell.currency)
    likely = cell.likely
    return say("compare_likely", range=text, value=range_text(what, likely)) if likely else text


def range_text(what: Measure, found: Interval, currency: str = "") -> str:
    """A range of a measure in words, without its unit; money with its currency where one is given."""
    if what.unit == "%":
        return between(what.id.removeprefix("share_"), found, unit="")
    low, high = (f"{x:,.2f}" if what.unit == "money" else show(x, _places(what)) for x in found)
    if math.isinf(found.high):
        told = say("compare_at_least", low=low)
    else:
        told = low if low == high else say("compare_between", low=low, high=high)
    return say("compare_money", unit=currency, value=told) if currency else told


def _places(what: Measure) -> int:
    return 0 if what.unit == "mg" else 1
