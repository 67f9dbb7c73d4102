"""One sheet of a workbook (XLSX) as a table, read row by row by openpyxl after the guard has looked it through."""

from __future__ import annotations

import datetime
import itertools
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import PurePosixPath
from typing import Any

from reader.catalogue.records import Record
from reader.catalogue.settings import limit
from reader.catalogue.sources import Source
from reader.catalogue.trouble import refusal
from reader.catalogue.workbook_guard import Merged, SheetNotes, looked_through
from reader.wording import say

_AT_ONCE = 256  # rows taken from openpyxl in one go
_NO_NOTES = SheetNotes(frozenset(), ())


@dataclass(frozen=True, slots=True)
class WorkbookSheet:
    """One sheet. hidden: the workbook does not show it. said: sentences about the file."""

    source: Source
    sheet: str
    notes: SheetNotes
    hidden: bool = False
    said: tuple[str, ...] = ()
    form: str = "workbook"
    names: tuple[str, ...] = ()

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is to be said of the sheet as a whole."""
        found = [*self.said, *([say("sheet_hidden", sheet=self.sheet)] if self.hidden else [])]
        if self.notes.formulas:
            found.append(say("sheet_formulas", sheet=self.sheet, count=len(self.notes.formulas)))
        return tuple(found)

    def records(self) -> Iterator[Record]:
        """Every row that is not empty; cells of a merged place all hold what is shown there."""
        merged = _Merges(self.notes.merged)
        most = limit("cell_characters")
        for row, values in enumerate(self._values(), 1):
            if not values and not merged.any_open:
                continue
            cells = merged.filled(row, [_text(value) for value in values])
            problems = []
            for k, cell in enumerate(cells):
                if len(cell) > most:
                    cells[k] = cell[:most]
                    problems.append(say("row_cell_cut", place=k + 1, count=f"{len(cell):,}", most=f"{most:,}"))
            if row in self.notes.formulas:
                problems.append(say("row_formula"))
            if problems or any(cell.strip() for cell in cells):
                yield Record(row, cells, tuple(problems))

    def _values(self) -> Iterator[tuple[Any, ...]]:
        """The values of each row, empty ones included. Raises TableError where the sheet is damaged."""
        with self.source.open() as file:
            book = _opened(self.source, file)
            try:
                rows = book[self.sheet].iter_rows(values_only=True)
                for _ in range(0, limit("workbook_rows"), _AT_ONCE):
                    some, error = _some(rows)
                    yield from some
                    if error:
                        raise refusal("workbook_damaged", file=self.source.name, sheet=self.sheet) from error
                    if len(some) < _AT_ONCE:
                        return
                raise refusal("workbook_far_row", sheet=self.sheet, most=f"{limit('workbook_rows'):,}")
            finally:
                book.close()


def sheets_of(source: Source) -> list[WorkbookSheet]:
    """The sheets of a workbook in its order. Raises TableError if it may not or cannot be opened."""
    notes = looked_through(source)
    with source.open() as file:
        book = _opened(source, file)
        try:
            return [
                WorkbookSheet(source, s.title, notes.get(_part(s), _NO_NOTES), s.sheet_state != "visible")
                for s in book.worksheets
            ]
        finally:
            book.close()


def _part(sheet: Any) -> str:
    """Where the sheet stands in the archive."""
    return str(PurePosixPath(sheet._worksheet_path.lstrip("/")))


def _opened(source: Source, file: Any) -> Any:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of styles and extensions that do not concern us
            reader = _reader()(file, read_only=True, data_only=True)
            reader.read()
            return reader.wb
    except Exception as error:  # openpyxl raises whatever the archive inside makes it raise
        raise refusal("broken_workbook", file=source.name) from error


@lru_cache(maxsize=1)
def _reader() -> Any:
    """The reader of openpyxl, which does not measure sheets before it reads them.

    Its own reads a sheet to the end to find the size where the writer did not state it, and what the writer states may
    be wrong.
    """
    from openpyxl.reader.excel import ExcelReader  # 150 ms; only for workbooks
    from openpyxl.worksheet._read_only import ReadOnlyWorksheet

    class Unmeasured(ReadOnlyWorksheet):  # type: ignore[misc]
        def _get_size(self) -> None:
            pass

    class Reader(ExcelReader):  # type: ignore[misc]
        def read_worksheets(self) -> None:
            for sheet, relation in self.parser.find_sheets():
                if relation.target in self.valid_files and "chartsheet" not in relation.Type:
                    found = Unmeasured(self.wb, sheet.name, relation.target, self.shared_strings)
                    found.sheet_state = sheet.state
                    self.wb._sheets.append(found)

    return Reader


def _some(rows: Iterator[tuple[Any, ...]]) -> tuple[list[tuple[Any, ...]], Exception | None]:
    """The next rows, and what kept the one after them from being read."""
    found: list[tuple[Any, ...]] = []
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of dates that are none
        try:
            found.extend(itertools.islice(rows, _AT_ONCE))
        except Exception as error:  # whatever a damaged sheet makes openpyxl raise
            return found, error
    return found, None


def _text(value: Any) -> str:
    """A value as a person would type it: no trailing ".0", no more than the 15 digits a sheet shows."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.15g}"
    if isinstance(value, datetime.datetime) and not (value.hour or value.minute or value.second):
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, datetime.date | datetime.time) else str(value)


class _Merges:
    """Fills the cells of merged places; only the first of each holds a value in the file."""

    def __init__(self, places: tuple[Merged, ...]) -> None:
        self._coming = sorted(places, key=lambda p: p.first_row, reverse=True)
        self._open: list[tuple[Merged, str]] = []

    @property
    def any_open(self) -> bool:
        """Whether a place goes on into the next row."""
        return bool(self._open)

    def filled(self, row: int, cells: list[str]) -> list[str]:
        """The cells of a row with what merged places show in them. A place over several columns stays in its first."""
        while self._coming and self._coming[-1].first_row <= row:
            place = self._coming.pop()
            value = cells[place.first_column] if place.first_row == row and place.first_column < len(cells) else ""
            if value and place.last_row > row:
                self._open.append((place, value))
        if self._open:
            self._open = [(p, v) for p, v in self._open if p.last_row >= row]
            for place, value in self._open:
                if len(cells) <= place.first_column:
                    cells += [""] * (place.first_column + 1 - len(cells))
                if not cells[place.first_column]:
                    cells[place.first_column] = value
        return cells
