"""Tables set in plain text: between upright strokes as Markdown writes them, or in columns that blanks keep apart."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reader.catalogue.column_names import EXACT, heading
from reader.catalogue.encodings import Encoding
from reader.catalogue.lines import Line, lines
from reader.catalogue.records import Record
from reader.catalogue.settings import limit
from reader.catalogue.sources import Source
from reader.wording import say

_RULE = re.compile(r"^\s*\|?(?:\s*:?-{2,}:?\s*[|+])*\s*:?-{2,}:?\s*\|?\s*$")
_STROKE = re.compile(r"(?<!\\)\|")
_APART = re.compile(r"[ \u00a0]{2,}")
_WIDEST = 2000  # letters of a line in which columns are looked for


@dataclass(frozen=True, slots=True)
class Markdown:
    """A table between strokes; the line of dashes is no row of it."""

    source: Source
    encoding: Encoding
    remarks: tuple[str, ...] = ()
    form: str = "markdown"
    sheet: str = ""
    names: tuple[str, ...] = ()

    def records(self) -> Iterator[Record]:
        """Every row that is not empty."""
        for row, line in enumerate(lines(self.source, self.encoding), 1):
            if not _is_rule(line.text):
                cells = [c.strip().replace("\\|", "|") for c in _STROKE.split(_bare(line.text))]
                yield from _record(row, cells, line)


@dataclass(frozen=True, slots=True)
class Spaced:
    """A table in columns set with blanks. starts: where each column begins where all lines agree, else ()."""

    source: Source
    encoding: Encoding
    starts: tuple[int, ...] = ()
    remarks: tuple[str, ...] = ()
    form: str = "spaces"
    sheet: str = ""
    names: tuple[str, ...] = ()

    def records(self) -> Iterator[Record]:
        """Every row that is not empty; a line that does not keep to the columns is parted at two blanks or more."""
        for row, line in enumerate(lines(self.source, self.encoding), 1):
            text = line.text.rstrip("\r\n").removeprefix("\ufeff")
            if not _is_rule(text):
                yield from _record(row, _by_place(text, self.starts) or _APART.split(text.strip()), line)


def _record(row: int, cells: list[str], line: Line) -> Iterator[Record]:
    if any(cells):
        problems = (say("row_line_cut", most=f"{limit('line_bytes'):,}"),) if line.cut else ()
        most = limit("cell_characters")
        yield Record(row, [cell[:most] for cell in cells], problems)


def _bare(text: str) -> str:
    """A line without its outer strokes."""
    return text.strip().removeprefix("\ufeff").removeprefix("|").removesuffix("|")


def _is_rule(text: str) -> bool:
    return "--" in text and len(text) <= _WIDEST and bool(_RULE.match(text))


def is_markdown(rows: Sequence[str]) -> bool:
    """Whether these lines, the first of a text, hold a table between strokes."""
    filled = [row for row in rows if row.strip()]
    return any(_is_rule(rule) and "|" in rule and "|" in before for before, rule in itertools.pairwise(filled))


def spaced_starts(rows: Sequence[str]) -> tuple[int, ...] | None:
    """Where the columns of a text set with blanks begin, () where they are only apart; None if it is no such table.

    It is one if its lines part at two blanks into equally many cells, and headings we know are among them.
    """
    filled = [row.rstrip().removeprefix("\ufeff") for row in rows if row.strip() and not _is_rule(row)]
    filled = [row[:_WIDEST] for row in filled]
    parted = [_APART.split(row.strip()) for row in filled]
    if len(filled) < 2 or not any(sum(heading(cell).how == EXACT for cell in cells) > 1 for cells in parted[:20]):
        return None
    header = next(k for k, cells in enumerate(parted) if sum(heading(c).how == EXACT for c in cells) > 1)
    body = filled[header:]
    width = len(parted[header])
    same = sum(len(cells) == width for cells in parted[header:])
    starts = _columns(body)
    if len(starts) == width:
        return starts
    return () if same > 0.6 * len(body) else None


def _columns(rows: Sequence[str]) -> tuple[int, ...]:
    """Where columns begin: after two or more places that are blank in every line."""
    longest = max(map(len, rows))
    blank = [all(k >= len(row) or row[k] in " \u00a0" for row in rows) for k in range(longest)]
    starts = [k for k in range(2, longest) if not blank[k] and blank[k - 1] and blank[k - 2]]
    first = blank.index(False) if False in blank else 0
    return tuple(dict.fromkeys([first, *(s for s in starts if s > first)]))


def _by_place(text: str, starts: tuple[int, ...]) -> list[str]:
    """The cells of a line by where they stand; [] if text runs over the beginning of a column."""
    if not starts or any(text[s - 1 : s].strip() for s in starts[1:] if s <= len(text)):
        return []
    ends = [*starts[1:], len(text)]
    return [text[a:b].strip() for a, b in zip(starts, ends, strict=True)] if len(text) > starts[0] else []
