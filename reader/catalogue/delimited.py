"""Delimited text (CSV) as a table: one record after the other, whatever its quotation marks do (RFC 4180 and worse)."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass

from reader.catalogue.dialect import Dialect
from reader.catalogue.encodings import Encoding
from reader.catalogue.lines import Line, lines
from reader.catalogue.records import Record
from reader.catalogue.settings import limit
from reader.catalogue.sources import Source
from reader.wording import say


class _TooLongError(Exception):
    """A record went on for more lines than any record does."""


class _Feed:
    """Lines for a csv reader, of which those of the current record are remembered and can be given back."""

    def __init__(self, source: Iterator[Line]) -> None:
        self._source = source
        self._back: list[Line] = []
        self._most_lines, self._most_letters = limit("record_lines"), limit("line_bytes")
        self._letters = 0
        self.taken: list[Line] = []
        self.ended = False

    def __iter__(self) -> _Feed:
        return self

    def __next__(self) -> str:
        if len(self.taken) >= self._most_lines or self._letters > self._most_letters:
            raise _TooLongError
        line = self._back.pop() if self._back else next(self._source, None)
        if line is None:
            self.ended = True
            raise StopIteration
        self.taken.append(line)
        self._letters += len(line.text)
        return self._closed(line) if line.cut else line.text

    def _closed(self, line: Line) -> str:
        """A line of which the end is lost, ended so that the record does not run on into the next line."""
        open_cell = sum(taken.text.count('"') for taken in self.taken) % 2
        return line.text + ('"\n' if open_cell else "\n")

    def forget(self) -> None:
        """Begin a new record."""
        self.taken.clear()
        self._letters = 0

    def give_back(self) -> None:
        """Keep the first line of the record; the others will be read again."""
        self._back.extend(reversed(self.taken[1:]))
        del self.taken[1:]
        self.ended = False


@dataclass(frozen=True, slots=True)
class Delimited:
    """A table in delimited text."""

    source: Source
    encoding: Encoding
    dialect: Dialect
    remarks: tuple[str, ...] = ()
    form: str = "delimited"
    sheet: str = ""
    names: tuple[str, ...] = ()

    def records(self) -> Iterator[Record]:
        """Every row that is not empty. A quotation mark that opens and never closes is taken as it stands."""
        feed = _Feed(lines(self.source, self.encoding))
        reader = self.dialect.reader(feed)
        row = 0
        while True:
            feed.forget()
            cells, stray = self._next(reader, feed)
            if cells is None:
                return
            if stray:
                feed.give_back()
                reader = self.dialect.reader(feed)
            row += 1
            if any(cell.strip() for cell in cells) and not (self.dialect.hinted and row == 1):
                yield Record(row, *self._told(cells, feed.taken, stray))

    def _next(self, reader: Iterator[list[str]], feed: _Feed) -> tuple[list[str] | None, bool]:
        """The cells of the next record, None at the end; and whether its first line was read alone."""
        try:
            cells = next(reader)
        except StopIteration:
            return None, False
        except _TooLongError:
            return self._alone(feed.taken[0]), True
        except csv.Error:  # a carriage return outside quotation marks
            return self._in_one_line(feed.taken[0]), True
        if self._is_stray(cells, feed):
            return self._alone(feed.taken[0]), True
        return cells, False

    def _is_stray(self, cells: list[str], feed: _Feed) -> bool:
        """Whether lines became one record by a mark that was not meant to open a cell."""
        if feed.ended:
            marks = sum(
                line.text.count('"') - line.text.count('\\"') * bool(self.dialect.escape) for line in feed.taken
            )
            if marks % 2:
                return True
        if len(feed.taken) == 1:
            return False
        right = self.dialect.width
        return (len(cells) != right and len(self._alone(feed.taken[0])) == right) or not self._is_strict(feed.taken)

    def _is_strict(self, taken: list[Line]) -> bool:
        """Whether every cell that opens with a quotation mark also ends with one."""
        try:
            list(self.dialect.reader((line.text for line in taken), strict=True))
        except csv.Error:
            return False
        return True

    def _alone(self, line: Line) -> list[str]:
        return self.dialect.unquoted(line.text)

    def _in_one_line(self, line: Line) -> list[str]:
        """The cells of a line in which a carriage return is a blank."""
        return next(self.dialect.reader([line.text.rstrip("\r\n").replace("\r", " ")]), [])

    def _told(self, cells: list[str], taken: list[Line], stray: bool) -> tuple[list[str], tuple[str, ...]]:
        """The cells, those too long cut, and what was odd."""
        problems = []
        if stray and '"' in taken[0].text:
            problems.append(say("row_open_quote"))
        if any(line.odd for line in taken):
            problems.append(say("row_encoding", encoding=self.encoding.fallback_told, usual=self.encoding.told))
        if any(line.cut for line in taken):
            problems.append(say("row_line_cut", most=f"{limit('line_bytes'):,}"))
        most = limit("cell_characters")
        if any(len(line.text) > most for line in taken) or sum(len(line.text) for line in taken) > most:
            for k, cell in enumerate(cells):
                if len(cell) > most:
                    cells[k] = cell[:most]
                    problems.append(say("row_cell_cut", place=k + 1, count=f"{len(cell):,}", most=f"{most:,}"))
        return cells, tuple(problems)
