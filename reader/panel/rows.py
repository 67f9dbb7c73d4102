"""Panel text → parts: rows put right where names and numbers stand apart, and the stretch of text that is the panel."""

from __future__ import annotations

from reader.panel.parts import CLAIMED, ENERGY_ROWS, WALL, Parts, Row
from reader.panel.text import Token, percent_alone, tokens
from reader.panel.walk import Walk

_GAP = 12  # so many words that belong to no panel end it


def parts_of(text: str) -> Parts:
    """Everything a panel says in `text`; rows without a number are dropped."""
    parts = Walk(text, tokens(text)).run()
    if any(not row.cells for row in parts.rows):
        _values_first(parts)
        _names_first(parts)
        _taken_before(parts)
    alone = percent_alone()
    parts.rows = [row for row in parts.rows if row.cells or (row.percents and row.nutrient in alone)]
    for row in parts.rows:
        parts.claims[row.first : row.last + 1] = bytes([CLAIMED]) * (row.last + 1 - row.first)
    return parts


def _number_before(parts: Parts, row: Row) -> Token | None:
    """The number right before the name, if its unit may belong to the row."""
    token = parts.tokens[row.first - 1] if row.first else None
    if token is None or token.kind != "number" or token.unit == "%" or parts.claims[row.first - 1]:
        return None
    if parts.text[token.end : parts.tokens[row.first].start].strip():
        return None
    energy = row.nutrient in ENERGY_ROWS
    return token if energy == (token.unit in ("kj", "kcal", "")) else None


def _values_first(parts: Parts) -> None:
    """ "130 Calories, 11g Total Fat, 480mg Sodium": every name has its number before it, the last none after."""
    rows = parts.rows
    if len(rows) < 2 or rows[-1].cells or _number_before(parts, rows[0]) is None:
        return
    before = [_number_before(parts, row) for row in rows]
    if all(before):
        for row, token in zip(rows, before, strict=True):
            assert token is not None
            row.cells, row.first = [token], row.first - 1


def _names_first(parts: Parts) -> None:
    """Three or more names, then as many numbers: a column copied by itself. Matched in order."""
    rows, run = parts.rows, 0
    for i, row in enumerate(rows):
        if not row.cells:
            run += 1
            continue
        names = rows[i - run : i + 1]
        if run >= 2 and len(row.cells) == run + 1 and names[-1].first - names[0].first == run:
            for one, cell in zip(names, list(row.cells), strict=True):
                one.cells = [cell]
            parts.names_apart = True
        run = 0


def _taken_before(parts: Parts) -> None:
    """ "0g Trans Fat": a name without a number takes the one before it, if no row needs that one."""
    previous: Row | None = None
    for row in parts.rows:
        token = None if row.cells else _number_before(parts, row)
        if token is not None and not (previous and token in previous.cells and len(previous.cells) == 1):
            if previous and token in previous.cells:
                previous.cells.remove(token)
            row.cells, row.first = [token], row.first - 1
        previous = row


def stretches(parts: Parts) -> list[tuple[int, int]]:
    """First and last token of each stretch of panel text: claims with no wall and few words between them."""
    found: list[tuple[int, int]] = []
    first, last = -1, -1
    for i, claim in enumerate(parts.claims):
        if claim == WALL or (first >= 0 and i - last > _GAP):
            if first >= 0:
                found.append((first, last))
            first = -1
        if claim == CLAIMED:
            first, last = (i if first < 0 else first), i
    return [*found, (first, last)] if first >= 0 else found


def best(parts: Parts) -> tuple[int, int] | None:
    """The stretch with most rows, then with a heading; None when nothing is claimed."""

    def worth(stretch: tuple[int, int]) -> tuple[int, int]:
        inside = sum(stretch[0] <= row.first <= stretch[1] for row in parts.rows if row.cells)
        return inside, sum(stretch[0] <= title <= stretch[1] for title in parts.titles)

    return max(stretches(parts), key=worth, default=None)
