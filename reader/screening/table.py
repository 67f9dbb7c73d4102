"""A screening as CSV: a row for each entry with everything known of it, for spreadsheets and for other programs."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import BinaryIO

from reader.columns import Cell
from reader.screening.fields import OwnCells, fields_of, line_of
from reader.screening.values import Screening
from reader.table_files import write_csv


def write(screening: Screening, target: Path | BinaryIO, *, by_standing: bool = False) -> int:
    """Write the table to a path or a file open for bytes; returns how many rows. They stand in the order of the input,
    or as a shortlist does.

    The columns are those of the workbook under short names, then the suppliers' own. UTF-8 with a byte order mark, by
    which spreadsheets know it; lines end in CR LF (RFC 4180). No cell is one that a spreadsheet would run.
    """
    if isinstance(target, Path):
        with target.open("wb") as file:
            return write(screening, file, by_standing=by_standing)
    fields, own = fields_of(screening.specification, screening.groups), OwnCells(screening.sheets)

    def rows() -> Iterator[Mapping[str, Cell]]:
        for placed, row in screening.by_standing() if by_standing else screening.in_order():
            line = line_of(placed, row)
            yield {field.id: field.of(line) for field in fields} | dict(zip(own.headings, own.of(row), strict=True))

    text = io.TextIOWrapper(target, encoding="utf-8-sig", errors="replace", newline="", write_through=True)
    try:
        return write_csv(text, [*(field.id for field in fields), *own.headings], rows())
    finally:
        text.detach()  # the file stays open for whoever opened it
