"""Whether a workbook (XLSX) may be opened: how large it unpacks, by its directory and by what really comes out.

A workbook is a zip archive of XML. A few kilobytes can unpack to gigabytes, and a definition in XML can grow without
end, so sizes and beginnings are looked at before any reader of workbooks sees the file. The same pass notes which
cells hold a formula that nobody computed and which are merged, for a reader of values sees neither.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from typing import NamedTuple

from reader.catalogue.settings import limit
from reader.catalogue.sources import Source
from reader.catalogue.trouble import TableError, refusal

_CHUNK = 1 << 20
_OVERLAP = 4096  # bytes of a piece looked at again with the next one
_SHEET = re.compile(r"xl/worksheets/[^/]+\.xml$")
_DEFINITIONS = re.compile(rb"<!(DOCTYPE|ENTITY)", re.I)
_FORMULA_ALONE = re.compile(
    rb'<c\b[^>]{0,200}?\br="([A-Z]{1,3})(\d{1,7})"[^>]{0,200}>\s*<f\b(?:[^>]{0,300}/>|[^>]{0,300}>[^<]{0,9000}</f>)\s*'
    rb"(?:<v\s*/>|<v>\s*</v>)?\s*</c>"
)
_MERGED = re.compile(rb'<mergeCell\b[^>]{0,100}?\bref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"')
_MOST_NOTED = 20_000  # formulas and merged places remembered for one sheet


class Merged(NamedTuple):
    """A merged place: first and last row from 1, first and last column from 0."""

    first_row: int
    last_row: int
    first_column: int
    last_column: int


class SheetNotes(NamedTuple):
    """What a reader of values does not see of a sheet: rows, from 1, with a formula without value; merged places."""

    formulas: frozenset[int]
    merged: tuple[Merged, ...]


def looked_through(source: Source) -> dict[str, SheetNotes]:
    """The notes of each sheet by its place in the archive. Raises TableError if the workbook may not be opened."""
    try:
        with source.open() as file, zipfile.ZipFile(file) as archive:
            _check_sizes(source, archive)
            return {info.filename: _looked_at(source, archive, info) for info in _xml(archive)}
    except TableError:
        raise
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, NotImplementedError, ValueError) as error:
        raise refusal("broken_workbook", file=source.name) from error


def _xml(archive: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    return [info for info in archive.infolist() if info.filename.endswith((".xml", ".rels"))]


def _check_sizes(source: Source, archive: zipfile.ZipFile) -> None:
    """By the directory of the archive, of which nothing is unpacked yet; zipfile unpacks no more than it says there."""
    whole = sum(info.file_size for info in archive.infolist())
    texts = max((info.file_size for info in archive.infolist() if "sharedStrings" in info.filename), default=0)
    for size, most in ((whole, limit("workbook_bytes")), (texts, limit("workbook_texts_bytes"))):
        if size > most:
            raise refusal("workbook_too_large", file=source.name, size=f"{size // 10**6:,}", most=f"{most // 10**6:,}")
    ratio = whole / max(source.size(), 1)
    if whole > limit("workbook_small_bytes") and ratio > limit("workbook_ratio"):
        raise refusal("workbook_bomb", file=source.name, ratio=f"{ratio:,.0f}")


def _looked_at(source: Source, archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> SheetNotes:
    """One part of the archive, unpacked in pieces and thrown away."""
    is_sheet = bool(_SHEET.search(info.filename))
    formulas: set[int] = set()
    merged: list[Merged] = []
    before = b""
    with archive.open(info) as part:
        while piece := part.read(_CHUNK):
            text = before + piece
            if b"<!" in text and _DEFINITIONS.search(text):
                raise refusal("workbook_entities", file=source.name)
            if is_sheet:
                if b"<f" in text and len(formulas) < _MOST_NOTED:
                    formulas.update(int(m[2]) for m in _FORMULA_ALONE.finditer(text))
                if b"<mergeCell" in text and len(merged) < _MOST_NOTED:
                    merged += [_place(*m.groups()) for m in _MERGED.finditer(text)]
            before = text[-_OVERLAP:]
    return SheetNotes(frozenset(formulas), tuple(dict.fromkeys(merged)))


def _place(first_column: bytes, first_row: bytes, last_column: bytes, last_row: bytes) -> Merged:
    return Merged(int(first_row), int(last_row), _column(first_column), _column(last_column))


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = 26 * number + letter - 64
    return number - 1
