"""The lists that a command names, read as the user says, and how that is shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from reader.catalogue.reading import Catalogue, open_catalogue
from reader.catalogue.trouble import TableError
from reader.catalogue.values import Sheet
from reader.wording import say


def catalogue_of(
    paths: Sequence[Path], columns: Mapping[str, str], sheets: Sequence[str] = (), basis: str = ""
) -> Catalogue:
    """The catalogue of some files.

    columns: role → heading, "" for none; they hold for every table that has such a heading. sheets: names of the sheets
    of workbooks that are read, all where there are none. basis: what columns of numbers are for, "" as the headings
    say. Raises TableError if no table has such a heading or sheet.
    """
    found = open_catalogue(paths)
    if not found.sheets:
        return found  # the files were refused, with the reasons
    _check(found, columns, sheets)
    for sheet in found.sheets:
        names = {"", *(column.name for column in sheet.columns)}
        roles = {role: name for role, name in columns.items() if name in names}
        read = sheet.sheet in sheets if sheets and sheet.sheet else None
        if roles or basis or read is not None:
            found = found.corrected(sheet.file, sheet.sheet, roles=roles or None, basis=basis, read=read)
    return found


def _check(found: Catalogue, columns: Mapping[str, str], sheets: Sequence[str]) -> None:
    headings = {"", *(column.name for sheet in found.sheets for column in sheet.columns)}
    missing = [name for name in columns.values() if name not in headings]
    if missing:
        raise TableError(say("screen_no_column", names=", ".join(missing)))
    known = [sheet.sheet for sheet in found.sheets if sheet.sheet]
    unknown = [name for name in sheets if name not in known]
    if unknown:
        raise TableError(say("screen_no_sheet", names=", ".join(unknown), known=", ".join(known) or "–"))


def columns_shown(found: Catalogue) -> Iterator[str]:
    """What each column of each table is taken for, and why, line by line."""
    for sheet in found.sheets:
        yield say("screen_table", file=sheet.file, sheet=sheet.sheet) if sheet.sheet else sheet.file
        yield from (f"  {line}" for line in _sheet_shown(sheet))
        yield ""


def _sheet_shown(sheet: Sheet) -> Iterator[str]:
    if sheet.left_out:
        yield sheet.left_out
    for column in sheet.columns:
        yield f"{column.name}: {column.role or '–'}  {column.why}"
    if sheet.basis_why:
        yield sheet.basis_why
    yield from sheet.remarks
