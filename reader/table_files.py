"""Tables written to files, CSV or XLSX, row by row. They are read by `reader/catalogue/`."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from reader.columns import Cell

FORMULA = ("=", "+", "-", "@", "\t", "\r")  # a spreadsheet would run a cell that begins so

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
