"""Panel text → Panel: every printed number as the interval of true values it can stand for.

Open this file first: `read_panel` is one line per stage. Stages: text (tokens), walk and rows (what
stands beside what), columns (which column is which), numbers (units, slips, rounding), form (layout), left (the rest).
"""

from __future__ import annotations

from collections.abc import Mapping

from reader.panel import columns
from reader.panel import form as forms
from reader.panel.left import left_over, tell
from reader.panel.numbers import Setting, plain_number
from reader.panel.parts import CLAIMED, Heading, Parts, Row
from reader.panel.rows import best, parts_of, stretches
from reader.panel.standards import MARKETS, numbers
from reader.panel.text import Token, may_hold_panel, usual_energy
from reader.panel.typed import typed_panel
from reader.panel.values import PER_100G, SERVING, Amount, Column, Panel
from reader.problems import problem
from reader.quantities import show
from reader.spans import Span
from reader.wording import say

__all__ = ["Amount", "Column", "Panel", "find_panel", "panel_from_columns", "read_panel"]

_ENOUGH_ROWS = 3  # rows that make a panel without a title
_NEAR = 3  # so many foreign words inside a place of the panel still belong to it


def read_panel(clean_text: str, market: str = "US", *, box: str = "panel") -> Panel:
    """The panel in a text, which may hold other things too. No text raises; an unknown market raises ValueError."""
    market = _market(market)
    parts = parts_of(clean_text)
    stretch = best(parts)
    rows = [row for row in parts.rows if stretch and stretch[0] <= row.first <= stretch[1]]
    setting = Setting(clean_text, box, market)
    if stretch is None or not any(row.cells for row in rows):
        return _nothing(clean_text, market)
    found = forms.votes(parts, stretch)
    family = forms.family(found, market)
    setting.market = forms.market_of(family, market)
    if setting.market != market:
        setting.problems.append(problem("panel_market", form=_name(setting.market), market=_name(market)))
    headings = [heading for heading in parts.headings if stretch[0] <= heading.first <= stretch[1]]
    serving_g, serving_span = _serving(parts, headings, setting)
    read, percents, reason = _columns(parts, columns.sections(rows, headings), serving_g, setting)
    if serving_g is None and not any(column.basis == PER_100G for column in read):
        setting.problems.append(problem("panel_no_serving_weight"))
    left = left_over(parts, rows, read, box)
    tell(parts, stretch, left, setting)
    return Panel(
        serving_g,
        serving_span.of(clean_text) if serving_span else "",
        serving_span,
        _servings(parts),
        read,
        tuple(percents),
        forms.us_form(found, read, percents) if family == "us" else family,
        setting.market,
        reason,
        tuple(setting.problems),
        _places(parts, box),
        left,
    )


def find_panel(clean_text: str) -> tuple[int, int] | None:
    """Start and end of the panel in a whole pasted label, or None.

    Needs a title with a row or a serving line, or three rows.
    """
    if not may_hold_panel(clean_text, _ENOUGH_ROWS):
        return None
    parts = parts_of(clean_text)
    stretch = best(parts)
    if stretch is None:
        return None
    first, last = stretch
    rows = sum(first <= row.first <= last for row in parts.rows if row.cells)
    titled = any(first <= title <= last for title in parts.titles)
    serving = parts.serving is not None and first <= parts.serving.first <= last
    if rows < _ENOUGH_ROWS and not (titled and (rows or serving)):
        return None
    return _trimmed(clean_text, parts.tokens[first].start, parts.tokens[last].end)


def panel_from_columns(
    values: Mapping[str, float],
    *,
    serving_g: float | None,
    basis: str,
    market: str,
    less_than: frozenset[str] = frozenset(),
) -> Panel:
    """The Panel of the number columns of a table. `basis` is "per100g" or "serving"; values in the unit of their id,
    those named in `less_than` only upper ends ("<0.5").
    """
    return typed_panel(values, serving_g, basis, _market(market), less_than)


def _name(market: str) -> str:
    return say(f"page_market_{market}")


def _market(market: str) -> str:
    known = "AU" if market == "NZ" else market
    if known not in MARKETS:
        raise ValueError(f"market must be one of {', '.join(MARKETS)}, not {market!r}.")
    return known


def _nothing(text: str, market: str) -> Panel:
    problems = (problem("panel_nothing"),) if text.strip() else ()
    return Panel(None, "", None, None, (), (), "none", market, say("basis_none"), problems, ())


def _columns(
    parts: Parts, found: list[tuple[list[Heading], list[Row]]], serving_g: float | None, setting: Setting
) -> tuple[tuple[Column, ...], list[tuple[str, float, Span]], str]:
    """The columns, the percents of a day, and why each column is what it is."""
    read: list[tuple[Column, ...]] = []
    percents: list[tuple[str, float, Span]] = []
    layouts: list[columns.Layout] = []
    for headings, rows in found:
        lines = columns.lines_of(rows, usual_energy(setting.market), setting)
        setting.units_printed = columns.units_printed(lines)
        layout = columns.layout(headings, lines, serving_g, setting.market, setting)
        read.append(columns.columns_of(layout, lines, setting))
        percents += columns.percents_of(layout, lines, setting)
        layouts.append(layout)
    if parts.names_apart:
        setting.say("panel_names_apart", parts.tokens[found[0][1][0].first])
    return columns.merged(read), percents, columns.reason(layouts)


def _serving(parts: Parts, headings: list[Heading], setting: Setting) -> tuple[float | None, Span | None]:
    """The grams of a serving and the place that says so: the serving line, else a column heading."""
    serving = parts.serving
    heading = next((h for h in headings if h.basis == SERVING and h.weight is not None), None)
    if serving is not None and (serving.weight is not None or heading is None):
        tokens, weight = parts.tokens[serving.first : serving.last + 1], serving.weight
        start = tokens[0].end
    elif heading is not None:
        tokens, weight = parts.tokens[heading.first : heading.last + 1], heading.weight
        start = tokens[0].start if tokens[0].kind == "per" else tokens[0].end
    else:
        return None, None
    return _grams(weight, setting), Span(*_trimmed(setting.text, start, tokens[-1].end), setting.box)


def _grams(weight: Token | None, setting: Setting) -> float | None:
    if weight is None:
        return None
    value = plain_number(weight)
    if weight.fixed:
        read_as_nine = setting.span(weight).of(setting.text).isdigit()
        kind = "panel_nine_for_g" if read_as_nine else "panel_letters_for_digits"
        setting.say(kind, weight, taken=f"{show(value)} {weight.unit}")
    if weight.unit == "oz":
        grams = round(value * numbers()["grams_per_ounce"], 2)
        setting.say("panel_serving_ounces", weight, taken=show(value), ounces=show(value), grams=show(grams))
        return grams or None
    return value or None


def _servings(parts: Parts) -> float | None:
    return plain_number(parts.servings) or None if parts.servings else None


def _trimmed(text: str, start: int, end: int) -> tuple[int, int]:
    """The place without blanks and colons before it; a bracket or full stop that closes it belongs to it."""
    while start < end and text[start] in " :;,.-\n|":
        start += 1
    if text[end : end + 1] == ")" and "(" in text[start:end].rsplit(")", 1)[-1]:
        end += 1
    if text[end : end + 1] == ".":
        end += 1
    return start, end


def _places(parts: Parts, box: str) -> tuple[Span, ...]:
    """The parts of the text that belong to the panel, in order; up to three foreign words do not part them."""
    found: list[tuple[int, int]] = []
    for first, last in stretches(parts):
        start = previous = first
        for i in range(first, last + 1):
            if parts.claims[i] == CLAIMED:
                if i - previous > _NEAR + 1:
                    found.append((start, previous))
                    start = i
                previous = i
        found.append((start, previous))
    return tuple(Span(parts.tokens[a].start, parts.tokens[b].end, box) for a, b in found)
