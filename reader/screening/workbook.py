"""A screening as a workbook (XLSX): the list, the questions, doubles, methods and sources, and what was read.

It is written row by row, so that memory stays flat. Open this file first; what is set how stands in `sheets`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from reader.catalogue.columns import role_told
from reader.columns import Cell
from reader.house.kinds import kinds
from reader.house.values import ASK, Requirement, Verdict
from reader.screening import methods
from reader.screening.fields import groups_of, line_of
from reader.screening.list_sheet import ListSheet
from reader.screening.questions import is_asked, verdicts_of
from reader.screening.sheets import A4, LETTER, ROWS, Head, SheetTable
from reader.screening.told import name_told, standing_of, standing_told
from reader.screening.values import Screened, Screening
from reader.table_files import sheet_text
from reader.wording import say

if TYPE_CHECKING:
    from openpyxl import Workbook

_LETTER_PAPER = ("US", "CA")


def write(screening: Screening, target: Path | BinaryIO, *, rows: int = ROWS) -> None:
    """Write the workbook to a path or a file open for bytes. rows: how many a sheet takes, its heading counted."""
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    book.properties.creator = say("screened_creator")
    book.properties.title = sheet_text(screening.specification.title)
    listed = ListSheet(book, screening, _paper(screening), rows)
    asked = _Questions(book, screening, rows)
    doubles = _Doubles(book, screening, rows)
    for placed, row in screening.by_standing():
        listed.add(line_of(placed, row))
        asked.add(row)
        doubles.see(row)
    listed.table.close()
    asked.table.close()
    doubles.write()
    _methods(book, screening, listed, rows)
    _input(book, screening, rows)
    book.save(target)


def _table(
    book: Workbook, screening: Screening, name: str, heads: Sequence[Head], rows: int, **more: Any
) -> SheetTable:
    title = screening.specification.title
    return SheetTable(book, say(f"screened_sheet_{name}"), heads, title, _paper(screening), rows=rows, **more)


def _paper(screening: Screening) -> int:
    """The paper of the market."""
    return LETTER if screening.terms.market in _LETTER_PAPER else A4


def _head(name: str, width: float, *, wraps: bool = False, centred: bool = False) -> Head:
    return Head(say(f"screened_head_{name}"), width, wraps=wraps, centred=centred)


def _same(name: str, width: float) -> Head:
    """A column that stands in the list too."""
    return Head(say(f"screened_field_{name}"), width, centred=name in ("number", "row"))


# -- questions and doubles -----------------------------------------------------------------------------------


class _Questions:
    """The sheet of questions: a row for each product and question, with the requirements it decides."""

    def __init__(self, book: Workbook, screening: Screening, rows: int) -> None:
        self.specification = screening.specification
        heads = [
            _same("supplier", 20), _same("product", 30), _same("code", 12), _same("number", 8), _same("standing", 16),
            _head("counts", 10), _head("requirement", 30, wraps=True), _head("question", 52, wraps=True),
            _head("why", 52, wraps=True),
        ]  # fmt: skip
        self.table = _table(book, screening, "questions", heads, rows, frozen=2, level="top")

    def add(self, row: Screened) -> None:
        if not is_asked(row):
            return
        of_row: tuple[Cell, ...] = (row.supplier, name_told(row), row.code, row.number, standing_told(standing_of(row)))
        asked: dict[str, list[tuple[Requirement, Verdict]]] = {}
        for pair in zip(self.specification.requirements, verdicts_of(row, self.specification), strict=True):
            if pair[1].verdict == ASK:
                asked.setdefault(pair[1].question, []).append(pair)
        for question, pairs in asked.items():
            counts = say("screened_counts_must" if pairs[0][0].must else "screened_counts_prefer")  # musts come first
            titles = dict.fromkeys(kinds()[requirement.kind].title for requirement, _ in pairs)
            reasons = dict.fromkeys(verdict.because for _, verdict in pairs)
            self.table.add((*of_row, counts, "; ".join(titles), question, " ".join(reasons)))


class _Doubles:
    """The sheet of doubles. What it says of the products is gathered on the way through the list."""

    def __init__(self, book: Workbook, screening: Screening, rows: int) -> None:
        self.groups = screening.groups
        self.wanted = frozenset(groups_of(screening.groups))
        self.seen: dict[int, tuple[Cell, ...]] = {}
        heads = [
            _head("group", 8, centred=True), _head("kind", 22), _same("product", 30), _same("supplier", 20),
            _same("code", 12), _same("standing", 16), _same("number", 8), _same("file", 20),
            _same("sheet", 14), _same("row", 8), _head("alike", 9, centred=True), _head("differs", 24),
        ]  # fmt: skip
        self.table = _table(book, screening, "doubles", heads, rows, frozen=3)

    def see(self, row: Screened) -> None:
        if row.number in self.wanted:
            standing = standing_told(standing_of(row))
            file = row.file or say("catalogue_pasted")
            self.seen[row.number] = (
                name_told(row), row.supplier, row.code, standing, row.number, file, row.sheet, row.row,
            )  # fmt: skip

    def write(self) -> None:
        for k, group in enumerate(self.groups, 1):
            differs = "; ".join(say(f"screened_differs_{name}") for name in group.differs)
            for number in group.numbers:
                if number in self.seen:  # of a screening that was stopped, some are missing
                    kind = say(f"screened_group_{group.kind}")
                    self.table.add((k, kind, *self.seen[number], group.score, differs))
        self.table.close()


# -- methods and input ---------------------------------------------------------------------------------------


def _methods(book: Workbook, screening: Screening, listed: ListSheet, rows: int) -> None:
    heads = [_head("topic", 24), _head("what", 48, wraps=True), _head("says", 90, wraps=True)]
    table = _table(book, screening, "methods", heads, rows, frozen=1, level="top")
    first, *others = (
        methods.about(screening),
        methods.about_sheets(listed.fields, listed.own.example),
        methods.sources(),
    )
    for notes in (first, *others):
        for note in notes:
            table.add((methods.topic_told(note.topic), note.what, note.says))
    table.close()


def _input(book: Workbook, screening: Screening, rows: int) -> None:
    heads = [
        _same("file", 24), _same("sheet", 16), _head("column", 30, wraps=True), _head("role", 20),
        _head("reason", 90, wraps=True),
    ]  # fmt: skip
    table = _table(book, screening, "input", heads, rows, frozen=2, level="top")
    for line in _input_lines(screening):
        table.add(line)
    table.close()


def _input_lines(screening: Screening) -> Iterator[tuple[Cell, ...]]:
    for refused in screening.refused:
        yield refused.file, refused.sheet, None, say("screened_input_refused"), refused.message
    for sheet in screening.sheets:
        place = (sheet.file or say("catalogue_pasted"), sheet.sheet)
        if sheet.left_out:
            yield *place, None, say("screened_input_left_out"), sheet.left_out
        for remark in sheet.remarks:
            yield *place, None, say("screened_input_remark"), remark
        yield *place, None, say("screened_input_numbers"), sheet.basis_why
        for column in sheet.columns:
            role = role_told(column.role) if column.role else say("screened_input_kept")
            yield *place, column.name, role, column.why
