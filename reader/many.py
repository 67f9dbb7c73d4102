"""Many labels in one file: a table of any form in, the same table with readings out, row by row."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from reader.catalogue.panels import typed_panel_of
from reader.catalogue.reading import Catalogue, open_catalogue
from reader.catalogue.trouble import TableError
from reader.catalogue.values import BASES, Entry
from reader.columns import COLUMNS, Cell, failed_row, row_of
from reader.makeup.values import LIKELY
from reader.pipeline import MARKETS, read_label
from reader.table_files import write_table
from reader.wording import say


def read_table(source: Path, target: Path, *, basis: str = "", market: str = "US", depth: str = LIKELY) -> int:
    """Read every row of `source` and write it with its readings to `target`; returns the number of rows.

    `basis` is what the number columns are for, one of BASES, or "" to go by the headings. `depth` is how far the
    make-up is worked out (see `MakeUp`): "order" is the fastest. The ending of `target` decides its format (.csv,
    .xlsx). Raises TableError if the source is no table with a column of statements.
    """
    catalogue = open_table(source, basis)
    names = dict.fromkeys(column.name for sheet in catalogue.sheets for column in sheet.columns)
    kept = [name for name in names if name not in COLUMNS]
    return write_table(target, [*kept, *COLUMNS], _readings(catalogue, market, depth))


def open_table(source: Path, basis: str = "") -> Catalogue:
    """The catalogue of one file. Raises TableError if it is no table with a column of statements, ValueError on an
    unknown basis.
    """
    if basis and basis not in BASES:
        raise ValueError(f"basis {basis!r} is not known; it must be one of {', '.join(BASES)}")
    catalogue = open_catalogue([source])
    for refused in catalogue.refused:
        raise TableError(refused.message)
    for sheet in catalogue.sheets if basis else ():
        catalogue = catalogue.corrected(sheet.file, sheet.sheet, basis=basis)
    if not any(sheet.column_of("statement") for sheet in catalogue.sheets):
        columns = [column.name for sheet in catalogue.sheets for column in sheet.columns]
        raise TableError(say("table_no_statement", file=source.name, columns=", ".join(columns) or "none"))
    return catalogue


def _readings(catalogue: Catalogue, market: str, depth: str) -> Iterator[dict[str, Cell]]:
    return (_with_reading(entry, market, depth) for entry in catalogue.entries())


def _with_reading(entry: Entry, market: str, depth: str) -> dict[str, Cell]:
    row: dict[str, Cell] = dict(entry.cells)
    try:
        own = entry.market or market
        if own not in MARKETS:
            return {**row, **failed_row(say("table_market", market=own, known=", ".join(MARKETS)))}
        if not (entry.statement or entry.panel):
            return {**row, **failed_row("; ".join(entry.problems))}
        panel = typed_panel_of(entry, own)
        report = read_label(entry.statement, entry.panel, name=entry.name, market=own, typed_panel=panel, depth=depth)
        found = row_of(report)
        found["problems"] = "; ".join(filter(None, (*entry.problems, str(found["problems"] or ""))))
        return {**row, **found}
    except Exception as error:  # a fault of ours: the row keeps its place, the other rows are read
        return {**row, **failed_row(say("table_fault", error=f"{type(error).__name__}: {error}"))}
