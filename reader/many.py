"""Many labels in one file: a CSV or XLSX table in, the same table with readings out, row by row."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from reader.columns import COLUMNS, Cell, failed_row, row_of
from reader.makeup.values import LIKELY
from reader.panel.reading import Panel, panel_from_columns
from reader.pipeline import MARKETS, read_label
from reader.quantities import number
from reader.wording import say

NUTRIENTS = ("energy_kcal", "fat_g", "satfat_g", "carb_g", "sugar_g", "fibre_g", "protein_g", "sodium_mg")
BASES = ("per100g", "serving")

Row = Mapping[str, str]


class TableError(ValueError):
    """A file that is no table we can read; the message says what we saw and what to do."""


def read_table(source: Path, target: Path, *, basis: str = "per100g", market: str = "US", depth: str = LIKELY) -> int:
    """Read every row of `source` and write it with its readings to `target`; returns the number of rows.

    `depth` is how far the make-up is worked out (see `MakeUp`): "order" is the fastest. The endings decide the
    format (.csv, .xlsx). Raises TableError if the source is no table with a statement column.
    """
    if basis not in BASES:
        raise ValueError(f"basis {basis!r} is not known; it must be one of {', '.join(BASES)}")
    header, rows = _open(source)
    if "statement" not in header:
        raise TableError(say("table_no_statement", file=source.name, columns=", ".join(header) or "none"))
    write = _write_xlsx if target.suffix.lower() == ".xlsx" else _write_csv
    kept = [h for h in header if h not in COLUMNS]
    return write(target, [*kept, *COLUMNS], (_with_reading(row, basis, market, depth) for row in rows))


def _with_reading(row: Row, basis: str, market: str, depth: str) -> dict[str, Cell]:
    try:
        own_market = (row.get("market") or market).strip().upper()
        if own_market not in MARKETS:
            return {**row, **failed_row(say("table_market", market=own_market, known=", ".join(MARKETS)))}
        typed, complaint = _typed_panel(row, basis, own_market)
        report = read_label(
            row.get("statement") or "",
            row.get("panel") or "",
            name=row.get("name") or "",
            market=own_market,
            typed_panel=typed,
            depth=depth,
        )
        found = row_of(report)
        if complaint:
            found["problems"] = "; ".join(filter(None, (complaint, str(found["problems"] or ""))))
        return {**row, **found}
    except Exception as error:  # a fault of ours: the row keeps its place, the other rows are read
        return {**row, **failed_row(say("table_fault", error=f"{type(error).__name__}: {error}"))}


def _typed_panel(row: Row, basis: str, market: str) -> tuple[Panel | None, str]:
    """The panel of the number columns, None if they are empty or a free-text panel is given; and what was no number."""
    if (row.get("panel") or "").strip():
        return None, ""
    values: dict[str, float] = {}
    bad: list[str] = []
    for column in (*NUTRIENTS, "serving_size_g"):
        text = (row.get(column) or "").strip()
        if text:
            try:
                values[column] = number(text)
            except ValueError:
                bad.append(f"{column} “{text}”")
    complaint = say("table_no_number", columns=", ".join(bad)) if bad else ""
    serving = values.pop("serving_size_g", None)
    if not values:
        return None, complaint
    return panel_from_columns(values, serving_g=serving or None, basis=basis, market=market), complaint


# -- files --------------------------------------------------------------------------------------------------


def _open(source: Path) -> tuple[list[str], Iterator[Row]]:
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
        value = "".join(c for c in value[:32_000] if c >= " " or c in "\n\t")
        return "'" + value if value.startswith(("=", "+", "@")) else value
    return value
