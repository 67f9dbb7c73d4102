"""A source → its tables: what kind of file it is, its encoding and how its rows are written, all told by content."""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import PurePath

from reader.catalogue import delimited, dialect, set_in_text
from reader.catalogue.encodings import Encoding, encoding_of
from reader.catalogue.json_rows import json_rows
from reader.catalogue.kinds import WORKBOOK, kind_of
from reader.catalogue.lines import lines
from reader.catalogue.records import Table
from reader.catalogue.settings import guessing
from reader.catalogue.sources import Source
from reader.catalogue.workbook import sheets_of
from reader.wording import say

_WORKBOOK_ENDINGS = (".xlsx", ".xlsm", ".xltx")
_SAMPLE_LETTERS = 2_000_000
_USUAL = ("UTF-8",)


def tables_of(source: Source) -> list[Table]:
    """The tables of a source, at least one. Raises TableError if it cannot be read as any."""
    ending = PurePath(source.name).suffix.lower()
    if kind_of(source) == WORKBOOK:
        said = () if ending in _WORKBOOK_ENDINGS else (say("sheet_workbook", file=source.name),)
        return [replace(sheet, said=said) for sheet in sheets_of(source)]
    encoding = encoding_of(source)
    remarks = [say("sheet_no_workbook", file=source.name)] if ending in _WORKBOOK_ENDINGS else []
    if encoding.fallback:
        remarks.append(say("sheet_two_encodings", usual=encoding.told, encoding=encoding.fallback_told))
    elif encoding.told not in _USUAL:
        remarks.append(say("sheet_encoding", encoding=encoding.told))
    return [_of_text(source, encoding, tuple(remarks))]


def _of_text(source: Source, encoding: Encoding, remarks: tuple[str, ...]) -> Table:
    found = json_rows(source, encoding)
    if found is not None:
        return replace(found, remarks=remarks)
    rows, letters = [], 0
    for line in itertools.islice(lines(source, encoding), int(guessing("sample_rows"))):
        rows.append(line.text)
        letters += len(line.text)
        if letters > _SAMPLE_LETTERS:
            break
    if set_in_text.is_markdown(rows):
        return set_in_text.Markdown(source, encoding, remarks)
    written = dialect.dialect_of(rows, whole=len(rows) < guessing("sample_rows") and letters <= _SAMPLE_LETTERS)
    if written.delimiter == dialect.NO_DELIMITER:
        starts = set_in_text.spaced_starts(rows)
        if starts is not None:
            return set_in_text.Spaced(source, encoding, starts, remarks)
    return delimited.Delimited(source, encoding, written, remarks)
