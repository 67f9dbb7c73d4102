"""How a text of rows is written: which delimiter, quotation marks, escapes. Tried out on its first rows.

The right delimiter is the one that cuts nearly all rows into the same number of cells and gives headings we know; no
single count of characters tells that, for statements are full of commas and semicolons themselves.
"""

from __future__ import annotations

import contextlib
import csv
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from reader import tables
from reader.catalogue.column_names import EXACT, heading

NO_DELIMITER = "\x1f"  # one column; the sign stands in no text
_HINT = re.compile(r"^\ufeff?sep=(.)\r?\n?$", re.I)
_SAME = 0.6  # share of rows that must have the same number of cells
_LOOKED_AT = 100  # rows


class Dialect(NamedTuple):
    """delimiter: one letter, NO_DELIMITER for a single column. escape: before a quotation mark inside a cell, or "".

    width: cells of most rows. hinted: the first line only names the delimiter.
    """

    delimiter: str
    escape: str = ""
    blank_before_quote: bool = False
    width: int = 1
    hinted: bool = False

    def reader(self, rows: Iterable[str]) -> Iterator[list[str]]:
        """A csv reader of these lines."""
        csv.field_size_limit(2**31 - 1)  # the limits that hold are those of lines and records
        return csv.reader(
            rows,
            delimiter=self.delimiter,
            escapechar=self.escape or None,
            doublequote=True,
            skipinitialspace=self.blank_before_quote,
        )

    def unquoted(self, line: str) -> list[str]:
        """The cells of one line in which quotation marks mean nothing."""
        return line.rstrip("\r\n").split(self.delimiter)


def dialect_of(rows: Sequence[str]) -> Dialect:
    """How these lines, the first of a file, are written."""
    first = next((row for row in rows if row.strip()), "")
    hint = _HINT.match(first)
    if hint:
        behind = list(rows[rows.index(first) + 1 :])
        return _tried(hint[1], behind)[1]._replace(hinted=True)
    found = [_tried(delimiter, rows) for delimiter in tables.load_raw()["catalogue"]["delimiters"]]
    score, best = max(found, key=lambda f: f[0])
    return best if score >= _SAME else Dialect(NO_DELIMITER)


def _tried(delimiter: str, rows: Sequence[str]) -> tuple[float, Dialect]:
    text = "".join(rows)
    sign = re.escape(delimiter)
    spaced = bool(re.search(rf'{sign} "', text)) and not re.search(rf'{sign}"', text)
    escape = "\\" if text.count('\\"') > text.count('""') else ""
    dialect = Dialect(delimiter, escape, spaced)
    cells = _cells(dialect, rows)
    widths = Counter(len(row) for row in cells if len(row) > 1)
    if not widths:
        return 0.0, dialect
    width, _ = max(widths.items(), key=lambda w: (w[1], w[0]))
    same = widths[width] / len(cells)
    headed = max((sum(heading(cell).how == EXACT for cell in row) for row in cells[:_LOOKED_AT]), default=0)
    if headed < 2 and _is_prose(cells, width):
        same /= 2
    quoted = len(re.findall(rf'"{sign}|{sign}"', text)) > len(cells) / 2
    return same + 0.02 * min(width, 20) + 0.1 * min(headed, 4) + 0.1 * quoted, dialect._replace(width=width)


def _cells(dialect: Dialect, rows: Sequence[str]) -> list[list[str]]:
    """The rows as this dialect cuts them. The last may be cut off, so it counts only if it stands alone."""
    found: list[list[str]] = []
    with contextlib.suppress(csv.Error):  # a lone carriage return, or what follows an escape: not written so
        found.extend(row for row in dialect.reader(rows) if any(cell.strip() for cell in row))
    return found[:-1] if len(found) > 2 else found


def _is_prose(cells: Sequence[Sequence[str]], width: int) -> bool:
    """Whether a blank follows nearly every delimiter, as in sentences and lists of ingredients."""
    behind = [cell for row in cells for cell in row[1:] if cell.strip()]
    return width > 1 and sum(cell[0] == " " for cell in behind) > 0.8 * len(behind)
