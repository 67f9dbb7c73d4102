"""Tables in files: CSV or XLSX in, row by row, and out."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from reader.columns import Cell
from reader.wording import say

FORMULA = ("=", "+", "-", "@", "\t", "\r")  # a spreadsheet would run a cell that begins so

Row = Mapping[str, str]


class TableError(ValueError):
    """A file that is no table we can read; the message says what we saw and what to do."""


def open_table(source: Path) -> tuple[list[str], Iterator[Row]]:
    """The header of a CSV or XLSX file and its rows, one after the other. Raises TableError if it is no table."""
    if not source.is_file():
        raise TableError(say("table_no_file", file=str(source)))
    return _read_xlsx(source) if source.suffix.lower() == ".xlsx" else _read_csv(source)


def _read_csv(source: Path) -> tuple[list[str], Iterator[Row]]:
    csv.field_size_limit(50_000_000)
    encoding = _encoding(source)
    file = source.open(encoding=encoding, errors="replace", newline="")
    first = file.readline()
    delimiter = max(",;\t|", key=first.count)
    file.seek(0)
    reader = csv.reader(file, delimiter=delimiter)
    header = [h.strip().lstrip("\ufeff") for h in next(reader, [])]

    def rows() -> Iterator[Row]:
        with file:
            for cells in reader:
                if any(c.strip() for c in cells):
                    yield dict(zip(header, (*cells, *[""] * (len(header) - len(cells))), strict=False))

    return header, rows()


def _encoding(source: Path) -> str:
    """UTF-8 unless the first part of the file is not, then the Windows encoding."""
    with source.open("rb") as file:
        start = file.read(1_000_000)
    if start.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    try:
        start.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.start < len(start) - 4:
            return "cp1252"
    return "utf-8-sig"


def _read_xlsx(source: Path) -> tuple[list[str], Iterator[Row]]:
    from openpyxl import load_workbook  # 150 ms; only for workbooks

    try:
        book = load_workbook(source, read_only=True, data_only=True)
    except Exception as error:  # openpyxl raises whatever the archive inside makes it raise
        raise TableError(say("table_no_workbook", file=source.name)) from error
    lines = book.worksheets[0].iter_rows(values_only=True)
    header = [str(c).strip() if c is not None else "" for c in next(lines, ())]

    def rows() -> Iterator[Row]:
        for cells in lines:
            texts = ["" if c is None else str(c) for c in cells]
            if any(t.strip() for t in texts):
                yield dict(zip(header, texts, strict=False))

    return header, rows()


def write_table(target: Path, columns: list[str], rows: Iterable[Mapping[str, Cell]]) -> int:
    """Write rows as CSV, or as XLSX if the name ends so; returns how many."""
    return (_write_xlsx if target.suffix.lower() == ".xlsx" else _write_csv)(target, columns, rows)


def _write_csv(target: Path, columns: list[str], rows: Iterable[Mapping[str, Cell]]) -> int:
    count = 0
    with target.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(columns)
        for row in rows:
            writer.writerow([_text(row.get(c)) for c in columns])
            count += 1
    return count


def _text(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _write_xlsx(target: Path, columns: list[str], rows: Iterable[Mapping[str, Cell]]) -> int:
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    sheet: Any = book.create_sheet("readings")
    sheet.append(columns)
    count = 0
    for row in rows:
        sheet.append([_cell(row.get(c)) for c in columns])
        count += 1
    book.save(target)
    return count


def _cell(value: Cell) -> Cell:
    """A cell that no spreadsheet takes for a formula."""
    if isinstance(value, str):
        return harmless("".join(c for c in value[:32_000] if c >= " " or c in "\n\t"))
    return value


def harmless(text: str) -> str:
    """The text so that no spreadsheet runs it as a formula."""
    return "'" + text if text.startswith(FORMULA) else text
