"""The sheet of all products: verdicts in narrow columns that carry marks, their reasons behind a fold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from reader.house.values import ASK, FAILS, MEETS, VERDICTS
from reader.screening.fields import (
    FIGURE,
    PLACE,
    PRODUCT,
    REASON,
    ROW,
    VERDICT,
    Field,
    Line,
    OwnCells,
    fields_of,
)  # fmt: skip
from reader.screening.sheets import BOLD, SLANTED, STRUCK, Choice, Head, Mark, SheetTable
from reader.screening.told import NOT_READ, standing_told, verdict_told
from reader.screening.values import Screening
from reader.wording import say

if TYPE_CHECKING:
    from openpyxl import Workbook

# Columns of the list that go on paper, behind standing, product and verdicts.
_ON_PAPER = (
    "currency", "price_kg", "sodium_mg_per_100g", "sodium_mg_per_serving", "meat_low", "meat_high", "meat_likely_low",
    "meat_likely_high",
)  # fmt: skip
_WIDTHS = {
    "standing": 15, "place_best": 6.5, "place_worst": 6.5, "product": 30, "supplier": 20, "in_short": 44,
    "problems": 40, "findings": 30, "file": 18, "meat_sources": 24, "binders": 24, "unknown_terms": 20,
    "allergens": 20, "casing": 18,
}  # fmt: skip


class ListSheet:
    """The sheet; it is written line by line and closed by its table."""

    def __init__(self, book: Workbook, screening: Screening, paper: int, rows: int) -> None:
        self.fields = _arranged(fields_of(screening.specification, screening.groups))
        self.own = OwnCells(screening.sheets)
        heads = [_head_of(field) for field in self.fields]
        heads += [Head(heading, 18, printed=False) for heading in self.own.headings]
        marks = _marks(self.fields, len(screening.specification.musts))
        choices = [Choice(*_verdict_columns(self.fields), tuple(map(verdict_told, VERDICTS)))] if marks else []
        frozen = 1 + [field.id for field in self.fields].index("product")
        self.table = SheetTable(
            book, say("screened_sheet_list"), heads, screening.specification.title, paper,
            rows=rows, frozen=frozen, marks=marks, choices=choices,
        )  # fmt: skip

    def add(self, line: Line) -> None:
        self.table.add([*(field.of(line) for field in self.fields), *self.own.of(line.row)])


def _arranged(fields: Sequence[Field]) -> list[Field]:
    """The columns as they stand in the sheet: those that are printed first."""
    by_part = {part: [f for f in fields if f.part == part] for part in (PLACE, VERDICT, PRODUCT, FIGURE, ROW, REASON)}
    figures = by_part[FIGURE]
    on_paper = [f for name in _ON_PAPER for f in figures if f.id == name]
    rest = [f for f in figures if f.id not in _ON_PAPER]
    return [*by_part[PLACE], *by_part[VERDICT], *on_paper, *by_part[PRODUCT], *by_part[ROW], *rest, *by_part[REASON]]


def _head_of(field: Field) -> Head:
    if field.part == VERDICT:
        return Head(field.heading, 6.5, turned=True)
    printed = field.part == PLACE or field.id in _ON_PAPER
    turned = field.id in _ON_PAPER
    width = 8.5 if turned else _WIDTHS.get(field.id, 60 if field.part == REASON else 12)
    return Head(
        field.heading, width, turned=turned, wraps=field.id in ("product", "supplier"),
        centred=field.id.startswith("place_"), folded=field.part == REASON,
        printed=printed,
    )  # fmt: skip


def _verdict_columns(fields: Sequence[Field]) -> tuple[int, int]:
    places = [k for k, field in enumerate(fields, 1) if field.part == VERDICT]
    return places[0], places[-1]


def _marks(fields: Sequence[Field], musts: int) -> list[Mark]:
    """Verdicts are marked by what stands in them, the standing by the verdicts on the musts beside it."""
    from openpyxl.utils import get_column_letter as letter

    if not any(field.part == VERDICT for field in fields):
        return []
    first, last = _verdict_columns(fields)
    fails, asks = (_quoted(verdict_told(verdict)) for verdict in (FAILS, ASK))
    marks = [
        Mark(first, last, f"{letter(first)}2={fails}", BOLD),
        Mark(first, last, f"{letter(first)}2={asks}", SLANTED),
    ]
    if musts:
        beside = f"${letter(first)}2:${letter(first + musts - 1)}2"
        failed, asked = f"COUNTIF({beside},{fails})>0", f"COUNTIF({beside},{asks})>0"
        words = {standing: _quoted(standing_told(standing)) for standing in (*VERDICTS, NOT_READ)}
        due = f"IF({failed},{words[FAILS]},IF({asked},{words[ASK]},{words[MEETS]}))"
        marks += [
            Mark(1, 1, f"AND($A2<>{words[NOT_READ]},$A2<>{due})", STRUCK),
            Mark(1, 1, failed, BOLD),
            Mark(1, 1, asked, SLANTED),
        ]
    return marks


def _quoted(word: str) -> str:
    return '"' + word.replace('"', '""') + '"'
