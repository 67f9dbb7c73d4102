"""What differs between two labels as HTML: both lists term by term, both panels row by row."""

from __future__ import annotations

from reader.compare.alignment import Term
from reader.compare.differences import CLAUSE, PERCENT, Differences, RowDifference, TermDifference
from reader.page.panel import name_of, unit_of
from reader.page.parts import esc, said, table
from reader.quantities import Interval, show
from reader.report import Report
from reader.spans import Span
from reader.wording import say


def differing(found: Differences, left: str, right: str) -> str:
    """Both labels side by side, under the names the two packs go by."""
    first = f"<p>{said('differ_none')}</p>" if found.none else ""
    listed = table(
        [left, right, say("differ_column_difference")],
        [_term(found, pair) for pair in found.terms],
        caption=say("differ_caption_terms"),
    )
    rows = table(
        [say("page_column_nutrient"), left, right, say("differ_column_difference")],
        [_row(row) for row in found.rows],
        caption=say("differ_caption_rows"),
    )
    casing = table([left, right], [list(found.casings)], caption=say("differ_caption_casing"))
    return (
        f"<h3>{esc(say('differ_title', first=left, last=right))}</h3>{first}{listed}"
        f'<p class="quiet">{said("differ_how")}</p>{casing}'
        + (f'{rows}<p class="quiet">{said("differ_how_rows")}</p>' if found.rows else "")
    )


def _term(found: Differences, row: TermDifference) -> list[str]:
    told = [difference_text(row, kind) for kind in row.differs] or [say("differ_same")]
    return [_placed(found.left, row.pair.left), _placed(found.right, row.pair.right), "; ".join(told)]


def _placed(report: Report, term: Term | None) -> str:
    """A term as pasted, its place among all terms, and where in the text it stands."""
    if term is None:
        return say("differ_not_listed")
    span = term.ingredient.span
    printed = " ".join(report.pasted(span).split()) or term.ingredient.printed
    return say("differ_place", number=term.rank, printed=printed, start=span.start + 1)


def difference_text(row: TermDifference, kind: str) -> str:
    """One difference of two terms in words."""
    if kind not in (PERCENT, CLAUSE):
        return say(f"differ_{kind}")
    return say(f"differ_{kind}", low=_number(row.pair.left, kind), high=_number(row.pair.right, kind))


def _number(term: Term | None, kind: str) -> str:
    assert term is not None  # only two terms that are there differ in numbers
    if kind == CLAUSE:
        clause = term.ingredient.clause
        return f"{show(clause.percent)} %" if clause else say("differ_not_there")
    percent = term.ingredient.percent
    return f"{show((percent.low + percent.high) / 2)} %" if percent else say("differ_not_there")


def _row(row: RowDifference) -> list[str]:
    unit = unit_of(row.nutrient)
    name = say(f"differ_row_{row.basis}", name=name_of(row.nutrient), unit=unit)
    left, right = _true(row.left, row.left_place), _true(row.right, row.right_place)
    return [name, left, right, say(f"differ_{row.verdict}")]


def _true(true: Interval | None, place: Span | None) -> str:
    if true is None:
        return say("page_no_score_not_stated")
    places = 2 if true.high < 10 else 1
    low, high = show(true.low, places), show(true.high, places)
    if place is None:  # typed as numbers, so it stands nowhere
        return say("compare_between", low=low, high=high)
    return say("differ_printed", low=low, high=high, start=place.start + 1)
