"""Packs side by side as one value: a cell for each pack and measure; sorted and filtered by any measure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from reader.compare.measures import WORDS, Cell, Measure, measure, measures
from reader.compare.pack import Pack

LEAST, MOST = 2, 40
LOW, MIDDLE, HIGH = "low", "middle", "high"
ENDS = (LOW, MIDDLE, HIGH)


@dataclass(frozen=True, slots=True)
class Line:
    """A pack with its cells, in the order of `measures()`."""

    pack: Pack
    cells: tuple[Cell, ...]

    def cell(self, name: str) -> Cell:
        """The cell of a measure. Raises ValueError if there is no such measure."""
        return self.cells[measures().index(measure(name))]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Packs side by side. unsorted: by measure, the names of the packs that stand last because they state nothing to
    sort by; left_out: by measure, the names of those a filter could not judge, since they state nothing of it.
    """

    lines: tuple[Line, ...]
    unsorted: tuple[tuple[str, tuple[str, ...]], ...] = ()
    left_out: tuple[tuple[str, tuple[str, ...]], ...] = ()


def compare(packs: Sequence[Pack]) -> Comparison:
    """The comparison of 2 to 40 packs, in their order. Raises ValueError with fewer or more."""
    if not LEAST <= len(packs) <= MOST:
        raise ValueError(f"{len(packs)} packs cannot be compared; it must be {LEAST} to {MOST}")
    return Comparison(tuple(line_of(pack) for pack in packs))


def line_of(pack: Pack) -> Line:
    """One pack with its cells."""
    return Line(pack, tuple(m.take(pack) for m in measures()))


def ordered(table: Comparison, name: str, *, end: str = MIDDLE, falling: bool = False) -> Comparison:
    """The packs by a measure: a range by its low or high end or its middle, words by the alphabet.

    Packs that state nothing of it stand last whichever the direction, in the order they had. Without a middle of its
    own (no likely one), a range goes by the point half way between its possible ends. Raises ValueError on an unknown
    measure or end.
    """
    if end not in ENDS:
        raise ValueError(f"end {end!r} is not known; it must be one of {', '.join(ENDS)}")
    what = measure(name)
    stated = [line for line in table.lines if not line.cell(name).state]
    missing = [line for line in table.lines if line.cell(name).state]
    stated.sort(key=lambda line: _place(what, line.cell(name), end), reverse=falling)
    silent = ((name, tuple(line.pack.name for line in missing)),) if missing else ()
    return replace(table, lines=(*stated, *missing), unsorted=silent)


def _place(what: Measure, cell: Cell, end: str) -> tuple[str, float]:
    if what.kind == WORDS:
        return "; ".join(cell.words).casefold(), 0.0
    return cell.currency, value_at(cell, end)


def value_at(cell: Cell, end: str) -> float:
    """One end of a cell's possible range, or the middle of it; infinite where the range has no upper end."""
    possible = cell.possible
    if possible is None:
        raise ValueError("a cell without a range has no ends")
    if end == MIDDLE:
        return cell.middle if cell.middle is not None else (possible.low + possible.high) / 2
    return possible.low if end == LOW else possible.high


def filtered(
    table: Comparison, name: str, *, least: float = -math.inf, most: float = math.inf, end: str = MIDDLE, word: str = ""
) -> Comparison:
    """The packs whose low, middle or high end of a measure lies between `least` and `most`, or whose words hold `word`
    (letter case aside). Those that state nothing of it are left out and named in `left_out`.
    """
    if end not in ENDS:
        raise ValueError(f"end {end!r} is not known; it must be one of {', '.join(ENDS)}")
    what = measure(name)

    def holds(cell: Cell) -> bool:
        if what.kind == WORDS or word:
            return word.casefold() in "; ".join(cell.words).casefold()
        return least <= value_at(cell, end) <= most

    kept = tuple(line for line in table.lines if not line.cell(name).state and holds(line.cell(name)))
    silent = tuple(line.pack.name for line in table.lines if line.cell(name).state)
    left_out = (*table.left_out, (name, silent)) if silent else table.left_out
    return replace(table, lines=kept, left_out=left_out)
