"""Which row of a table heads its columns: not always the first, sometimes two, sometimes none."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from reader.catalogue.cell_words import is_nothing, values_of
from reader.catalogue.column_names import EXACT, KEPT, NEAR, NOTHING, NUTRIENTS, heading, words_of
from reader.catalogue.records import Record
from reader.catalogue.settings import guessing, pairs
from reader.tables import load_raw
from reader.wording import say


class Header(NamedTuple):
    """The heading of a table.

    row: 0 where there is none. last: the last row of the heading, where units stand below it. cells: headings as they
    stood. asked: what of each heading is looked at, groups above and units below it included. above: what stands over
    the heading, row by row.
    """

    row: int
    last: int
    cells: tuple[str, ...]
    asked: tuple[str, ...]
    above: tuple[str, ...]


def header_of(sample: Sequence[Record], chosen: int | None = None) -> Header:
    """The heading among the first rows of a table; `chosen` is a row the user named, 0 for none."""
    if chosen is not None:
        at = next((k for k, record in enumerate(sample) if record.row == chosen), None)
    else:
        at = _guessed(sample)
    if at is None:
        return Header(0, 0, (), (), ())
    cells = [cell.strip() for cell in sample[at].cells]
    while cells and not cells[-1]:
        cells.pop()
    units = _units(sample[at + 1].cells, cells) if at + 1 < len(sample) else None
    directly_above = sample[at - 1].cells if at and sample[at - 1].row == sample[at].row - 1 else []
    groups = _groups(directly_above, len(cells))
    asked = [
        " ".join(filter(None, (cell, f"({unit})" if unit else "", group if heading(cell).role in NUTRIENTS else "")))
        for cell, unit, group in zip(cells, units or [""] * len(cells), groups, strict=True)
    ]
    above = tuple(" ".join(filter(None, (c.strip() for c in r.cells))) for r in sample[:at])
    return Header(sample[at].row, sample[at + 1].row if units else sample[at].row, tuple(cells), tuple(asked), above)


def _guessed(sample: Sequence[Record]) -> int | None:
    """The place of the row with most headings we know; else a first row of words over rows that are not."""
    rows = sample[: int(guessing("header_within"))]
    scores = [_known(record) for record in rows]
    best = max(scores, default=0.0)
    if best >= 2 or (best >= 1 and _is_narrow(sample)):
        return scores.index(best)
    usual = Counter(len(_filled(record)) for record in sample).most_common(1)
    for k, record in enumerate(rows[:3]):
        if usual and len(_filled(record)) >= max(usual[0][0], 2) and _looks_like_heading(record, sample[k + 1 :]):
            return k
    return None


def _filled(record: Record) -> list[str]:
    return [cell for cell in record.cells if cell.strip()]


def _is_narrow(sample: Sequence[Record]) -> bool:
    return max((len(_filled(record)) for record in sample), default=0) <= 2


def _known(record: Record) -> float:
    """How many headings we know a row holds; only kept ones and misspelt ones count half."""
    cells, score = _filled(record), 0.0
    if any(len(cell) > 200 for cell in cells):
        return 0.0
    for cell in cells:
        found = heading(cell)
        if found.how != NOTHING and not values_of(cell):
            score += 1 if found.how == EXACT and found.role != KEPT else 0.5 if found.how != NEAR else 0.4
    return score if score >= 0.25 * len(cells) else 0.0


def _looks_like_heading(record: Record, below: Sequence[Record]) -> bool:
    """Short different words over cells of which some are long or numbers."""
    cells = _filled(record)
    if any(len(cell) > 60 or values_of(cell) for cell in cells) or len(set(cells)) < len(cells):
        return False
    return any(len(cell) > 80 or bool(values_of(cell)) for r in below[:20] for cell in _filled(r))


def _units(cells: Sequence[str], header: Sequence[str]) -> list[str] | None:
    """The units in the row below a heading, if it holds nothing else."""
    given = [cell.strip() for cell in cells[: len(header)]] + [""] * (len(header) - len(cells))
    filled = [cell for cell in given if cell]
    units = {w.lower() for _, words in pairs(load_raw()["panel_words"]["units"]) for w in words}
    bases = {w for _, words in pairs(load_raw()["column_names"]["bases"]) for w in words}
    if len(filled) < 2 or not all(cell.strip("()[]").lower() in units | bases for cell in filled):
        return None
    return given


def _groups(cells: Sequence[str], width: int) -> list[str]:
    """What a row above groups the columns under, where it says what numbers are for: "Nutrition per 100 g"."""
    filled = [k for k, cell in enumerate(cells) if cell.strip()]
    if not filled or filled == [0] or len(filled) > width / 2:
        return [""] * width
    found, last = [], ""
    for k in range(width):
        cell = cells[k].strip() if k < len(cells) else ""
        last = cell or last
        basis = heading(last).basis if last else ""
        found.append(_told(basis))
    return found


def _told(basis: str) -> str:
    return str(load_raw()["column_names"]["bases"][basis][0]) if basis else ""


def unique_names(headings: Sequence[str], width: int) -> list[str]:
    """A name for each column: its heading; with a number where it stands twice; "column 3" where none stands."""
    found: list[str] = []
    used: set[str] = set()
    for k in range(max(width, len(headings))):
        stood = headings[k] if k < len(headings) and headings[k] else say("catalogue_column", number=k + 1)
        name, count = stood, 1
        while name in used:
            count += 1
            name = f"{stood} ({count})"
        used.add(name)
        found.append(name)
    return found


def basis_above(header: Header) -> str:
    """What the title lines over a table say its numbers are for, "" where they say nothing or both."""
    found = {heading(line).basis for line in header.above if len(words_of(line)) < 20} - {""}
    return found.pop() if len(found) == 1 else ""


def is_repeated(record: Record, header: Header) -> bool:
    """Whether a row says the headings once more, as in lists put together from several."""
    cells = [cell.strip() for cell in record.cells]
    same = sum(a == b and not is_nothing(a) for a, b in zip(cells, header.cells, strict=False))
    return same >= 2 and same >= 0.8 * sum(bool(cell) for cell in header.cells)
