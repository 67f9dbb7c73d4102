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

    def reader(self, rows: Iterable[str], *, strict: bool = False) -> Iterator[list[str]]:
        """A csv reader of these lines. strict: it raises csv.Error where marks are not as RFC 4180 has them."""
        csv.field_size_limit(2**31 - 1)  # the limits that hold are those of lines and records
        return csv.reader(
            rows,
            delimiter=self.delimiter,
            escapechar=self.escape or None,
            doublequote=True,
            skipinitialspace=self.blank_before_quote,
            strict=strict,
        )

    def unquoted(self, line: str) -> list[str]:
        """The cells of one line in which quotation marks mean nothing."""
        return line.rstrip("\r\n").split(self.delimiter)


def dialect_of(rows: Sequence[str], whole: bool = True) -> Dialect:
    """How these lines, the first of a file, are written; `whole` says that they are all of it."""
    first = next((row for row in rows if row.strip()), "")
    hint = _HINT.match(first)
    if hint:
        behind = list(rows[rows.index(first) + 1 :])
        return _tried(hint[1], behind, whole)[2]._replace(hinted=True)
    found = [_tried(delimiter, rows, whole) for delimiter in tables.load_raw()["catalogue"]["delimiters"]]
    fitting = [f for f in found if f[1] >= _SAME]
    return max(fitting, key=lambda f: f[0])[2] if fitting else Dialect(NO_DELIMITER)


def _tried(delimiter: str, rows: Sequence[str], whole: bool) -> tuple[float, float, Dialect]:
    """How much speaks for a delimiter, the share of rows it cuts alike (half of it for prose), and the dialect."""
    text = "".join(rows)
    sign = re.escape(delimiter)
    spaced = bool(re.search(rf'{sign} "', text)) and not re.search(rf'{sign}"', text)
    escape = "\\" if text.count('\\"') > text.count('""') else ""
    dialect = Dialect(delimiter, escape, spaced)
    cells = _cells(dialect, rows, whole)
    widths = Counter(len(row) for row in cells if len(row) > 1)
    if not widths:
        return 0.0, 0.0, dialect
    width, _ = max(widths.items(), key=lambda w: (w[1], w[0]))
    same = widths[width] / len(cells)
    headed, headings = max((_headings(row), len(row)) for row in cells[:_LOOKED_AT])
    if headed > 1:
        width, same = headings, max(same, _SAME)
    elif _is_prose(cells, width):
        same /= 2
    quoted = len(re.findall(rf'"{sign}|{sign}"', text)) > len(cells) / 2
    score = same + 0.02 * min(width, 20) + 0.1 * min(headed, 4) + 0.1 * quoted
    return score, same, dialect._replace(width=width)


def _cells(dialect: Dialect, rows: Sequence[str], whole: bool) -> list[list[str]]:
    """The rows as this dialect cuts them; the last may be cut off itself where more lines follow."""
    found: list[list[str]] = []
    with contextlib.suppress(csv.Error):  # a lone carriage return, or what follows an escape: not written so
        found.extend(row for row in dialect.reader(rows) if any(cell.strip() for cell in row))
    return found if whole else found[:-1]


def _headings(row: Sequence[str]) -> int:
    """How many headings we know a row holds, 0 where it is rather a list of ingredients: "Pork, salt, sugar"."""
    known = sum(heading(cell).how == EXACT for cell in row)
    spaced = any(cell[:1] == " " for cell in row)
    return known if known == len(row) or (known >= len(row) / 3 and not spaced) else 0


def _is_prose(cells: Sequence[Sequence[str]], width: int) -> bool:
    """Whether a blank follows nearly every delimiter, as in sentences and lists of ingredients."""
    behind = [cell for row in cells for cell in row[1:] if cell.strip()]
    return width > 1 and sum(cell[0] == " " for cell in behind) > 0.8 * len(behind)
