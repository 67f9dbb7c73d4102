"""What screening comes to: a row for each entry, how far it is, and the whole, read back from its journal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Protocol

from reader.catalogue.values import PER_100G, Group, Refused, Sheet
from reader.columns import Cell
from reader.house.standing import Placed, Tally
from reader.house.values import Specification, Verdict


@dataclass(frozen=True, slots=True)
class Screened:
    """One entry of a catalogue with what it came to.

    number to basis: as in `catalogue.values.Entry`; market: whose rules it was read by, or the words of the list where
    they name no market we know. figures: by column, those of `columns.row_of` that are not empty, and `PRICES`.
    verdicts: in the order of the specification; empty where nothing was read. read: whether anything was.
    problems: whole sentences, of the list and of the reading.
    """

    number: int
    file: str
    sheet: str
    row: int
    cells: tuple[tuple[str, str], ...]
    name: str
    supplier: str
    code: str
    market: str
    statement: str
    panel: str
    price: str
    net_weight: str
    figures: tuple[tuple[str, Cell], ...] = ()
    verdicts: tuple[Verdict, ...] = ()
    tally: Tally = field(default_factory=Tally)
    problems: tuple[str, ...] = ()
    read: bool = False
    typed: tuple[tuple[str, str], ...] = ()
    basis: str = PER_100G

    def figure(self, column: str) -> Cell:
        """The figure of a column, None where there is none."""
        return dict(self.figures).get(column)


# Figures of price: money in `currency`, for a kilogram, for 100 g of protein, for a kilogram of animal tissue.
PRICES = (
    "currency", "price_kg", "price_protein_low", "price_protein_high",
    "price_meat_low", "price_meat_high", "price_meat_likely_low", "price_meat_likely_high",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Progress:
    """How far screening is. done: rows in the journal, those of an earlier run included; whole: of how many, None while
    they are not counted; failed: of those done, the ones that could not be read.
    """

    done: int
    whole: int | None
    failed: int


@dataclass(frozen=True, slots=True)
class Terms:
    """What a screening rests on beside the entries. on: the day whose rules count, None for those known now."""

    specification: Specification
    depth: str
    market: str
    on: date | None = None


class Rows(Protocol):
    """Where the rows are: the journal."""

    def rows(self) -> Iterator[Screened]:
        """All rows in the order of the input."""

    def rows_of(self, numbers: Iterable[int]) -> Iterator[Screened]:
        """The rows with these numbers, in this order."""

    def remove(self) -> None:
        """Delete them."""


@dataclass(frozen=True, slots=True)
class Screening:
    """The whole, or as far as it came before it was stopped. Rows are read from the journal each time they are asked
    for, so that memory stays flat.

    sheets, refused: how the input was read. count: rows that are done; whole: rows there are. counts: by place of the
    requirement in the specification, how many products came to each verdict. groups: entries that belong together.
    counted: False where it was stopped while the rows were counted; then nothing is told of them.
    """

    terms: Terms
    sheets: tuple[Sheet, ...]
    refused: tuple[Refused, ...]
    count: int
    whole: int
    failed: int
    counts: tuple[Mapping[str, int], ...]
    groups: tuple[Group, ...]
    placed: tuple[Placed, ...]
    journal: Rows
    counted: bool = True

    @property
    def specification(self) -> Specification:
        """What was asked for."""
        return self.terms.specification

    @property
    def finished(self) -> bool:
        """Whether every row is done."""
        return self.counted and self.count == self.whole

    def in_order(self) -> Iterator[tuple[Placed, Screened]]:
        """The rows that are done, in the order of the input."""
        places = {placed.number: placed for placed in self.placed}
        return ((places[row.number], row) for row in self.journal.rows() if row.number in places)

    def by_standing(self) -> Iterator[tuple[Placed, Screened]]:
        """The rows that are done, as a shortlist stands. What could not be read leaves everything to be asked."""
        return zip(self.placed, self.journal.rows_of(p.number for p in self.placed), strict=True)
