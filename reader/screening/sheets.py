"""Sheets of a workbook written row by row, so that memory stays flat: headings, filters, widths, print, marks.

Everything is told by words, weight, slant, boxes and hatching, so that it prints in black and white. Where a sheet is
full, its table goes on in a further one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from reader.columns import Cell
from reader.table_files import sheet_cell, sheet_text
from reader.wording import say

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.formatting.rule import Rule

# Limits of the file form (ECMA-376 and the notes of its implementers, from memory).
ROWS, COLUMNS, SHEET_NAME = 1_048_576, 16_384, 31
_TURNED_HEIGHT, _HEIGHT, _LINE, _TALLEST = 190, 48, 15.0, 409.0  # points: headings, a line, the tallest row there is
_HEADER = 100  # characters at the head of a page, whose setting takes 255 in all
_PER_WIDTH = 1.1  # letters of running text in the width of a figure
LETTER, A4 = 1, 9  # paper sizes (ECMA-376 Part 1, 18.3.1.63)
BOLD, SLANTED, STRUCK = "bold", "slanted", "struck"


@dataclass(frozen=True, slots=True)
class Head:
    """A column: its heading and how it is set. width: in characters. turned: the heading is written upwards, over a
    narrow column. wraps: long texts go on in a further line. centred: of numbers that a text stands beside. folded:
    behind a fold that opens with one press. printed: whether it belongs on paper.
    """

    text: str
    width: float = 12
    turned: bool = False
    wraps: bool = False
    centred: bool = False
    folded: bool = False
    printed: bool = True


@dataclass(frozen=True, slots=True)
class Mark:
    """How cells are set as long as a formula is true of them, so that a mark follows what somebody corrects.

    first, last: columns from 1. formula: of the first data row, with absolute columns where it looks elsewhere.
    look: BOLD (in a hatched box), SLANTED or STRUCK.
    """

    first: int
    last: int
    formula: str
    look: str


@dataclass(frozen=True, slots=True)
class Choice:
    """Columns, from 1, whose cells take one of a few words."""

    first: int
    last: int
    words: tuple[str, ...]


@dataclass(slots=True)
class SheetTable:
    """One table of a workbook, with a heading in each of its sheets. Call `close` before the workbook is saved.

    title: of its sheets, at most SHEET_NAME characters with a number behind it. above: what paper says at its head.
    level: "top" or "bottom", where texts stand in rows of several lines. rows: how many a sheet takes.
    """

    book: Workbook
    title: str
    heads: Sequence[Head]
    above: str = ""
    paper: int = A4
    frozen: int = 0
    level: str = "bottom"
    marks: Sequence[Mark] = ()
    choices: Sequence[Choice] = ()
    rows: int = ROWS
    _sheet: Any = None
    _sheets: int = 0
    _row: int = 0
    _styles: list[Any] = field(default_factory=list)

    def __post_init__(self) -> None:
        if len(self.heads) > COLUMNS:
            raise ValueError(f"{len(self.heads)} columns do not fit a sheet of {COLUMNS}")
        self._begin()

    def add(self, values: Iterable[Cell]) -> None:
        """Write one row."""
        if self._row >= self.rows:
            self._end()
            self._begin()
        self._row += 1
        cells = [sheet_cell(self._sheet, value) for value in values]
        for k, style in enumerate(self._styles[: len(cells)]):
            if style is not None and cells[k] is not None:
                cells[k] = _styled(self._sheet, cells[k], style)
        height = _height(self.heads, cells)
        if height > _LINE:
            self._sheet.row_dimensions[self._row].height = height
        self._sheet.append(cells)
        self._sheet.row_dimensions.pop(self._row, None)  # it is written; kept, the heights of all rows would pile up

    def close(self) -> None:
        """Set what needs the last row: filter, marks, the printed part."""
        self._end()

    def _begin(self) -> None:
        self._sheets += 1
        name = self.title if self._sheets == 1 else say("screened_sheet_further", title=self.title, number=self._sheets)
        sheet = self._sheet = self.book.create_sheet(name[:SHEET_NAME])
        _lay_out(sheet, self.heads, self.frozen)
        _for_paper(sheet, self.above, self.paper)
        sheet.append([_heading(sheet, head) for head in self.heads])
        self._row = 1
        self._styles = [_style(sheet, head, self.level) for head in self.heads]

    def _end(self) -> None:
        from openpyxl.utils import get_column_letter as letter
        from openpyxl.worksheet.datavalidation import DataValidation

        sheet, last = self._sheet, max(self._row, 2)
        sheet.auto_filter.ref = f"A1:{letter(len(self.heads))}{self._row}"
        for mark in self.marks:
            area = f"{letter(mark.first)}2:{letter(mark.last)}{last}"
            sheet.conditional_formatting.add(area, _rule(mark))
        for choice in self.choices:
            allowed = DataValidation("list", formula1=f'"{",".join(choice.words)}"', allow_blank=True)
            allowed.add(f"{letter(choice.first)}2:{letter(choice.last)}{last}")
            sheet.data_validations.append(allowed)
        printed = [k for k, head in enumerate(self.heads, 1) if head.printed]
        if len(printed) < len(self.heads):
            sheet.print_area = f"A1:{letter(printed[-1])}{self._row}"
        sheet.close()


def _lay_out(sheet: Any, heads: Sequence[Head], frozen: int) -> None:
    """What has to stand before the first row: widths, folds, what stays in view."""
    from openpyxl.utils import get_column_letter as letter
    from openpyxl.worksheet.properties import PageSetupProperties

    for k, head in enumerate(heads, 1):
        of_column = sheet.column_dimensions[letter(k)]
        of_column.width = head.width
        if head.folded:
            of_column.outlineLevel = 1
            of_column.hidden = True
        elif k > 1 and heads[k - 2].folded:
            of_column.collapsed = True  # the button of the fold stands over this column
    sheet.row_dimensions[1].height = _TURNED_HEIGHT if any(head.turned for head in heads) else _HEIGHT
    sheet.freeze_panes = f"{letter(frozen + 1)}2"
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)


def _for_paper(sheet: Any, above: str, paper: int) -> None:
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = paper
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0  # as many pages down as it takes
    sheet.print_title_rows = "1:1"
    if told := " ".join(sheet_text(above).split())[:_HEADER]:
        sheet.oddHeader.left.text = told.replace("&", "&&")
    sheet.oddFooter.left.text = sheet.title.replace("&", "&&")
    sheet.oddFooter.right.text = say("screened_sheet_page", number="&P", count="&N")
    sheet.page_margins.left = sheet.page_margins.right = 0.4  # inches
    sheet.page_margins.top = sheet.page_margins.bottom = 0.7


def _cell(sheet: Any, text: str) -> Any:
    from openpyxl.cell import WriteOnlyCell

    cell = WriteOnlyCell(sheet, text)
    cell.data_type = "s"  # whatever the text looks like
    return cell


def _style(sheet: Any, head: Head, level: str) -> Any:
    """How the cells of a column are set; None where they need no style, which is much faster."""
    from openpyxl.styles import Alignment

    if not (head.wraps or head.centred or level == "top"):
        return None
    template = _cell(sheet, "")
    template.alignment = Alignment(wrap_text=head.wraps, vertical=level, horizontal="center" if head.centred else None)
    return template._style


def _styled(sheet: Any, value: Any, style: Any) -> Any:
    if isinstance(value, str):
        value = _cell(sheet, value)
    elif not hasattr(value, "data_type"):  # a number
        from openpyxl.cell import WriteOnlyCell

        value = WriteOnlyCell(sheet, value)
    value._style = style
    return value


def _height(heads: Sequence[Head], cells: Sequence[Any]) -> float:
    """Points that the longest wrapped text of a row takes; not every spreadsheet program works that out by itself."""
    lines = 1
    for head, cell in zip(heads, cells, strict=False):
        if head.wraps and cell is not None:
            text = str(getattr(cell, "value", cell))
            lines = max(lines, sum(math.ceil(len(part) / (head.width * _PER_WIDTH)) or 1 for part in text.split("\n")))
    return min(lines * _LINE, _TALLEST)


def _heading(sheet: Any, head: Head) -> Any:
    from openpyxl.styles import DEFAULT_FONT, Alignment, Border, Font, Side

    cell = _cell(sheet, sheet_text(head.text))
    cell.font = Font(DEFAULT_FONT.name, DEFAULT_FONT.size, bold=True)
    cell.border = Border(bottom=Side("thin"))
    cell.alignment = Alignment(wrap_text=True, vertical="bottom", text_rotation=90 if head.turned else 0)
    return cell


def _rule(mark: Mark) -> Rule:
    from openpyxl.formatting.rule import FormulaRule
    from openpyxl.styles import Border, Font, PatternFill, Side

    if mark.look == BOLD:
        line = Side("thin")
        box = Border(left=line, right=line, top=line, bottom=line)
        hatched = PatternFill("lightUp", fgColor="FF808080", bgColor="FFFFFFFF")
        return FormulaRule([mark.formula], font=Font(bold=True), border=box, fill=hatched)
    if mark.look == SLANTED:
        return FormulaRule([mark.formula], font=Font(italic=True), border=Border(bottom=Side("dotted")))
    return FormulaRule([mark.formula], font=Font(strike=True))
