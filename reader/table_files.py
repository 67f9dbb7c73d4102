"""Tables written to files, CSV or XLSX, row by row. They are read by `reader/catalogue/`."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, TextIO

from reader.columns import Cell
from reader.wording import say

# A spreadsheet may run a cell that begins so (OWASP, "CSV Injection", from memory: the list of that page).
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
LONGEST = 32_767  # UTF-16 units in a cell of a workbook; more and spreadsheet programs call the file damaged

_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")  # what XML 1.0 cannot carry
_ESCAPE_LIKE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")  # read as one character by ECMA-376 Part 1, 22.9.2.19
_LINE_END = re.compile(r"\r\n?")
_ERRORS = frozenset(("#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A"))  # would be no text any more


def write_table(target: Path, columns: list[str], rows: Iterable[Mapping[str, Cell]]) -> int:
    """Write rows as CSV, or as XLSX if the name ends so; returns how many. Nothing in them is run by a spreadsheet."""
    if target.suffix.lower() == ".xlsx":
        return _write_xlsx(target, columns, rows)
    with target.open("w", encoding="utf-8", newline="") as file:
        return write_csv(file, columns, rows)


def harmless(text: str) -> str:
    """The text so that no spreadsheet runs it: an apostrophe before what begins like a formula, after blanks too."""
    return "'" + text if text.startswith(FORMULA) or text.lstrip().startswith(FORMULA) else text


# -- CSV -----------------------------------------------------------------------------------------------------


def write_csv(file: TextIO, columns: Sequence[str], rows: Iterable[Mapping[str, Cell]]) -> int:
    """Write a heading and rows to an open text file; returns how many rows."""
    writer = csv.writer(file)
    writer.writerow(map(harmless, columns))
    count = 0
    for row in rows:
        writer.writerow([_text(row.get(c)) for c in columns])
        count += 1
    return count


def _text(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.10g}"
    return harmless(value) if isinstance(value, str) else str(value)


# -- XLSX ----------------------------------------------------------------------------------------------------


def _write_xlsx(target: Path, columns: list[str], rows: Iterable[Mapping[str, Cell]]) -> int:
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    sheet: Any = book.create_sheet("readings")
    sheet.append([sheet_cell(sheet, c) for c in columns])
    count = 0
    for row in rows:
        sheet.append([sheet_cell(sheet, row.get(c)) for c in columns])
        count += 1
    book.save(target)
    return count


def sheet_cell(sheet: Any, value: Cell) -> Any:
    """A value as a write-only sheet takes it: text stays text, whatever it looks like; None where there is nothing,
    also for a number without an end.
    """
    if isinstance(value, str):
        text = sheet_text(value)
        return _text_cell(sheet, text) if text in _ERRORS else text or None
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def _text_cell(sheet: Any, text: str) -> Any:
    from openpyxl.cell import WriteOnlyCell

    cell = WriteOnlyCell(sheet, text)
    cell.data_type = "s"
    return cell


def sheet_text(text: str) -> str:
    """A text as a cell of a workbook can hold it: never a formula, no sign that XML cannot carry (U+FFFD stands for
    it), no longer than LONGEST; where it was cut, its end says so.
    """
    shown = _LINE_END.sub("\n", harmless(text))
    shown = _ESCAPE_LIKE.sub("_x005F_", _NOT_XML.sub("\ufffd", shown))
    if _units(shown) <= LONGEST:
        return shown
    told = f" … {say('table_cell_cut')}"
    kept = shown[: LONGEST - len(told)]
    while _units(kept) + len(told) > LONGEST:  # a character beyond U+FFFF is two units
        kept = kept[: -max(1, (_units(kept) + len(told) - LONGEST) // 2)]
    return kept + told


def _units(text: str) -> int:
    return len(text) if text.isascii() else len(text.encode("utf-16-le", "surrogatepass")) // 2
