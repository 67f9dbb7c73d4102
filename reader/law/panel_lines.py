"""Judges of what stands in the printed panel: its layout, its lines and their order, its footnote, its portions.

A line counts as missing only where the panel was read without a doubt and the paste runs past its place; a paste may
leave out anything.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from reader.law.case import Case
from reader.law.printed_panel import ENERGY, amount_of, amount_told, line_of, place_of_row, printed_panel, whole
from reader.law.rules import Rule
from reader.law.terms import spans
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import holds, listed_words
from reader.panel.form import fitting_days
from reader.panel.values import SERVING, Column
from reader.quantities import show
from reader.wording import say


def layout(rule: Rule, case: Case) -> Ruling | None:
    """Which of two lawful layouts the panel has: by `newer` or `older` rows, then by the day of its percentages (that
    of the newer is `newer_day`). Of a paste with neither nothing is said.
    """
    panel = printed_panel(case)
    if panel is None:
        return None
    rows = {a.nutrient for c in panel.columns for a in c.amounts} | {p[0] for p in panel.daily_percents}
    newer, older = (any(row in rows for row in rule.words(way)) for way in ("newer", "older"))
    if newer != older:
        return meets("layout_newer_rows" if newer else "layout_older_rows", *whole(panel))
    for amount, percent, span, fitting in fitting_days(panel.columns, panel.daily_percents, case.market):
        if len(fitting) == 1:
            way = "layout_newer_day" if fitting[0].id == rule.values["newer_day"] else "layout_older_day"
            return meets(
                way, amount.span, span, percent=show(percent), amount=amount_told(amount.nutrient, amount.printed)
            )
    return cannot_tell("layout_open", *whole(panel)) if panel.daily_percents else None


def lines(rule: Rule, case: Case) -> Ruling | None:
    """Whether all `lines` are printed in each of the `columns`.

    A line is missing on the pack, and not only in the paste, where the paste runs from the first line to the last (or
    one of `instead_of_last`) and holds at least `enough` of them; of a paste with fewer nothing is said. Rows that are
    all among `repeated` may stand on the front by themselves.
    """
    panel = printed_panel(case)
    if panel is None:
        return None
    apart = [name for name in rule.words("columns") if panel.column(name) is None]
    if apart:
        return cannot_tell("lines_column", *whole(panel), columns=_columns_told(apart))
    wanted = rule.words("lines")
    columns = [column for name in rule.words("columns") if (column := panel.column(name))]
    missing = [line for line in wanted if not all(amount_of(column, line) for column in columns)]
    if not missing:
        return meets("lines_meets", *whole(panel), count=len(wanted))
    there = {line for line in wanted if line not in missing}
    entire = wanted[0] in there and bool({wanted[-1], *rule.words("instead_of_last")} & (there | _rows(columns)))
    doubtful = panel.problems or panel.left or {line_of(row) for row in _rows(columns)} <= set(rule.words("repeated"))
    names = _rows_told(missing)
    if len(there) < rule.number("enough"):
        return None  # a few lines were copied; what stands beside them is not known
    if entire and not doubtful:
        return breaks("lines_breaks", *whole(panel), names=names)
    return cannot_tell("lines_open", *whole(panel), names=names)


def order(rule: Rule, case: Case) -> Ruling | None:
    """Whether the printed rows stand in the order of `lines`; asked of a panel with at least `enough` of them."""
    panel = printed_panel(case)
    if panel is None:
        return None
    ranks = {line: rank for rank, line in enumerate(rule.words("lines"))}
    column = panel.columns[0]
    placed = sorted(
        (amount.span, ranks[line_of(amount.nutrient)], amount)
        for amount in column.amounts
        if amount.span is not None and line_of(amount.nutrient) in ranks
    )
    if len({rank for _, rank, _ in placed}) < rule.number("enough"):
        return None
    for (before, rank, first), (after, next_rank, second) in pairwise(placed):
        if next_rank < rank:
            ruled = cannot_tell if panel.problems or panel.left else breaks
            above, below = _rows_told([first.nutrient]), _rows_told([second.nutrient])
            return ruled("order_other", before, after, first=above, last=below)
    return meets("order_meets", placed[0][0], placed[-1][0])


def footnote(rule: Rule, case: Case) -> Ruling | None:
    """Whether one of the `words` stands under the panel; a paste that ends before it leaves it open."""
    panel = printed_panel(case)
    if panel is None:
        return None
    there = holds(case.panel_text, rule.words("words"))
    return meets("footnote_meets", *whole(panel)) if there else cannot_tell("footnote_open", *whole(panel))


def portion(_rule: Rule, case: Case) -> Ruling | None:
    """Whether the size of a portion and the number of portions stand beside values per portion."""
    panel = printed_panel(case)
    if panel is None or panel.column(SERVING) is None:
        return None
    if panel.serving_g is None:
        return cannot_tell("portion_size", *whole(panel))
    if panel.servings_per_pack is None:
        return cannot_tell("portion_count", panel.serving_span, grams=show(panel.serving_g))
    return meets("portion_meets", panel.serving_span, grams=show(panel.serving_g), count=show(panel.servings_per_pack))


def declared_row(rule: Rule, case: Case) -> Ruling | None:
    """Where something of `role` and `kinds` is listed, a row of the panel (`row`) may have to be printed."""
    found = case.of_role(str(rule.values["role"]), *rule.words("kinds"))
    if not found:
        return None
    row, names = str(rule.values["row"]), listed_words(case, found)
    percent = next((span for name, _, span in case.panel.daily_percents if name == row), None)
    place = percent or place_of_row(case.panel, row)
    if place is not None:
        return meets("declared_row_meets", place, *spans(found), names=names)
    return cannot_tell("declared_row_open", *spans(found), names=names)


def _rows(columns: Iterable[Column]) -> set[str]:
    return {amount.nutrient for column in columns for amount in column.amounts}


def _rows_told(rows: Iterable[str]) -> str:
    return ", ".join(say("nutrient_energy_kj" if row == ENERGY else f"nutrient_{row}") for row in rows)


def _columns_told(names: Iterable[str]) -> str:
    return ", ".join(say(f"column_{name}") for name in names)


JUDGES = {
    "declared_row": declared_row,
    "panel_footnote": footnote,
    "panel_layout": layout,
    "panel_lines": lines,
    "panel_order": order,
    "panel_portion": portion,
}
