"""The nutrition panel as understood: which column is which and why, every printed number with its true values."""

from __future__ import annotations

from reader.page.parts import said, table, told
from reader.panel.values import Amount, Column, Panel
from reader.quantities import Interval, show
from reader.report import Report
from reader.wording import has, say

_UNITS = ("kcal", "kj", "mcg", "mg", "g")
_SHOWN_AS = {"kj": "kJ", "mcg": "µg"}


def panel(report: Report) -> str:
    """The panel as tables with the reasons, or a sentence that there is none."""
    read = report.panel
    if read.empty:
        return f"<p>{said('page_panel_none')}</p>"
    shown = "".join(_column(report, column) for column in read.columns if column.amounts)
    how = f"{told(read.basis_reason)} {_serving(read)} {_form(read)}"
    return f'<p>{how}</p>{shown}{_left(report)}<p class="quiet">{_rounding(read)}</p>'


def _left(report: Report) -> str:
    """What of the panel went into no row, letter by letter."""
    words = [" ".join(report.pasted(span).split()) for span in report.panel.left]
    return f"<p>{said('page_panel_left', words='; '.join(f'“{w}”' for w in words))}</p>" if words else ""


def unit_of(nutrient: str) -> str:
    """The unit at the end of a nutrient's id, as printed."""
    unit = nutrient.rsplit("_", 1)[-1]
    return _SHOWN_AS.get(unit, unit) if unit in _UNITS else ""


def name_of(nutrient: str) -> str:
    """The nutrient's name."""
    return say(f"nutrient_{nutrient}") if has(f"nutrient_{nutrient}") else nutrient.replace("_", " ")


def _serving(read: Panel) -> str:
    parts = [say("page_panel_serving", weight=show(read.serving_g))] if read.serving_g else []
    if read.servings_per_pack:
        parts.append(say("page_panel_servings", count=show(read.servings_per_pack)))
    return told("; ".join(parts) + ".") if parts else ""


def _form(read: Panel) -> str:
    key = "page_form_" + read.form.replace(" ", "_")
    return said("page_panel_form", form=say(key)) if has(key) else ""


def _rounding(read: Panel) -> str:
    return said("page_panel_rounding", market=say(f"page_market_{read.market}"))


def _column(report: Report, column: Column) -> str:
    read = report.panel
    title = say(f"page_column_{column.basis}")
    if column.basis == "serving" and read.serving_g:
        title += f" ({show(read.serving_g)} g)"
    percents = {n: p for n, p, _ in read.daily_percents} if column.basis != "100g" else {}
    keys = ["nutrient", "printed", "true", *(["percent"] if percents else [])]
    rows = []
    for amount in column.amounts:
        percent = show(percents[amount.nutrient], 0) if amount.nutrient in percents else ""
        rows.append([name_of(amount.nutrient), _printed(amount), _true(amount), *([percent] if percents else [])])
    return table([say(f"page_column_{k}") for k in keys], rows, caption=title[0].upper() + title[1:], numbers=(1, 2, 3))


def _printed(amount: Amount) -> str:
    value = f"{show(amount.printed, 2)} {unit_of(amount.nutrient)}"
    return say("page_less_than", value=value) if amount.less_than else value


def _true(amount: Amount) -> str:
    low, high = _ends(amount.true)
    return say("page_true_between", low=low, high=f"{high} {unit_of(amount.nutrient)}")


def _ends(true: Interval) -> tuple[str, str]:
    places = 2 if true.high < 10 else 1
    return show(true.low, places), show(true.high, places)
