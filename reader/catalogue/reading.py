"""Files and pasted tables → a catalogue: its sheets with guessed columns, and a stream of entries. Open this first."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from reader.catalogue import sources
from reader.catalogue.cell_words import decimal_mark
from reader.catalogue.column_names import NUTRIENTS, SERVING_SIZE
from reader.catalogue.columns import columns_of
from reader.catalogue.entries import EntryMaker
from reader.catalogue.headings import Header, header_of
from reader.catalogue.opening import tables_of
from reader.catalogue.records import Record, Table
from reader.catalogue.settings import guessing, limit
from reader.catalogue.sources import Source
from reader.catalogue.trouble import TableError, refusal
from reader.catalogue.values import Entry, Refused, Sheet
from reader.wording import say

_NO_HEADER = Header(0, 0, (), (), ())


@dataclass(frozen=True, slots=True)
class _Part:
    """One table with how it is read, and what the user said of it."""

    table: Table
    sheet: Sheet
    header: Header


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything that came in, ready to be read. Frozen and picklable; no file stays open.

    refused: files and sheets that could not be read.
    """

    parts: tuple[_Part, ...]
    refused: tuple[Refused, ...] = ()

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """The tables in the order they came in, with how each is read."""
        return tuple(part.sheet for part in self.parts)

    def entries(self) -> Iterator[Entry]:
        """Every row of every sheet that is read, one after the other; may be asked again. Nothing in a file raises.

        A row that cannot be read comes with its problem, and a file that breaks off says so in a last entry.
        """
        number = itertools.count(1)
        for part in self.parts:
            if not part.sheet.left_out:
                yield from _entries(part, number)

    def corrected(
        self,
        file: str,
        sheet: str = "",
        *,
        roles: Mapping[str, str] | None = None,
        basis: str = "",
        header_row: int | None = None,
        read: bool | None = None,
    ) -> Catalogue:
        """The catalogue with one sheet read as the user says; what is not said is guessed anew.

        roles: role → name of the column, "" for none. basis: one of BASES. header_row: row of the heading, 0 for none.
        read: whether its rows are entries. Raises TableError if there is no such sheet, role, column or basis.
        """
        if not any((p.sheet.file, p.sheet.sheet) == (file, sheet) for p in self.parts):
            raise TableError(say("catalogue_no_sheet", file=file, sheet=sheet))
        parts = tuple(
            _part(p.table, p.sheet.file, roles, basis, header_row, read)
            if (p.sheet.file, p.sheet.sheet) == (file, sheet)
            else p
            for p in self.parts
        )
        return replace(self, parts=parts)


def open_catalogue(inputs: Iterable[Path | Source] = (), *, pasted: str = "") -> Catalogue:
    """Look at files, and at a pasted table if there is one. No file raises; what cannot be read is in `refused`."""
    given = [item if isinstance(item, Source) else sources.from_file(item) for item in inputs]
    if pasted.strip():
        given.append(sources.pasted(pasted))
    parts: list[_Part] = []
    refused: list[Refused] = []
    for source in given:
        try:
            parts += _parts(source)
        except TableError as error:
            refused.append(Refused(source.name, "", str(error)))
        except Exception as error:  # a file made to confuse: the others are read all the same
            refused.append(Refused(source.name, "", str(refusal("no_table", file=source.name, error=_told(error)))))
    return Catalogue(_without_bare(parts), tuple(refused))


def _told(error: Exception) -> str:
    return f"{type(error).__name__}: {error}"[:200].replace("\n", " ").rstrip(".")


def _parts(source: Source) -> list[_Part]:
    tables = tables_of(source)
    found = [_part(table, source.name) for table in tables]
    filled = [part for part in found if part.sheet.columns]
    if not filled:
        raise refusal("workbook_no_rows" if tables[0].form == "workbook" else "no_rows", file=source.name)
    return filled


def _part(
    table: Table,
    file: str,
    roles: Mapping[str, str] | None = None,
    basis: str = "",
    header_row: int | None = None,
    read: bool | None = None,
) -> _Part:
    sample = _sample(table)
    _check_width(sample, file)
    header = _NO_HEADER if table.names else header_of(sample, header_row)
    found = columns_of(header, sample, table.names, roles, basis)
    typed = [c.place for c in found.columns if c.role in (*NUTRIENTS, SERVING_SIZE)]
    cells = [r.cells[place] for r in sample if r.row > header.last for place in typed if place < len(r.cells)]
    sheet = Sheet(
        file, table.sheet, table.form, header.row, found.columns, header.above, found.basis, found.basis_why,
        decimal_mark(cells), table.remarks, say("sheet_left_out_chosen") if read is False else "",
    )  # fmt: skip
    if sheet.column_of("statement") is None:
        sheet = replace(sheet, remarks=(*sheet.remarks, say("sheet_no_statement", columns=_named(sheet))))
    return _Part(table, sheet, header)


def _sample(table: Table) -> list[Record]:
    """The first rows. A table that breaks off after some of them is read as far as it goes."""
    found: list[Record] = []
    try:
        found.extend(itertools.islice(table.records(), int(guessing("sample_rows"))))
    except Exception:
        if not found:
            raise
    return found


def _check_width(sample: list[Record], file: str) -> None:
    most = limit("columns")
    for record in sample:
        if len(record.cells) > most:
            count = f"{len(record.cells):,}"
            raise refusal("columns", file=file, count=count, row=record.row, most=f"{most:,}")


def _named(sheet: Sheet) -> str:
    names = [column.name[:40] for column in sheet.columns[:12]]
    return ", ".join(names) + (" …" if len(sheet.columns) > 12 else "")


def _without_bare(parts: list[_Part]) -> tuple[_Part, ...]:
    """Sheets without a statement or a panel are left out where others have them: addresses, notes, lists of words."""
    bare = [part for part in parts if part.sheet.sheet and _is_bare(part.sheet)]
    if len(bare) == len(parts):
        return tuple(parts)
    told = say("sheet_left_out_bare")
    return tuple(replace(p, sheet=replace(p.sheet, left_out=told)) if p in bare else p for p in parts)


def _is_bare(sheet: Sheet) -> bool:
    roles = {column.role for column in sheet.columns}
    return not roles & {"statement", "panel"} and len(roles & set(NUTRIENTS)) < 2


def _entries(part: _Part, number: Iterator[int]) -> Iterator[Entry]:
    maker = EntryMaker(part.sheet, part.header)
    row = part.header.last
    try:
        for record in part.table.records():
            row = record.row
            if row > part.header.last:
                yield maker.entry(next(number), record)
    except Exception as error:  # the file is damaged further down, or gone: what was read stays
        yield maker.broken_off(next(number), row + 1, error)
