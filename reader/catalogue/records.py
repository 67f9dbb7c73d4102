"""A row of a table before anything is known of its columns, and what every kind of table can do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple, Protocol


class Record(NamedTuple):
    """One row. row: as the user counts, from 1. problems: whole sentences.

    named: cells that came with their own name and belong to no column of the table (JSON).
    """

    row: int
    cells: list[str]
    problems: tuple[str, ...] = ()
    named: tuple[tuple[str, str], ...] = ()


class Table(Protocol):
    """A table of some form. Frozen and picklable; `records` may be asked again and reads the source anew."""

    @property
    def form(self) -> str:
        """As in `Sheet.form`."""
        ...

    @property
    def sheet(self) -> str:
        """Name of the sheet, "" where there is none."""
        ...

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the columns where the form itself has them (JSON), else ()."""
        ...

    @property
    def remarks(self) -> tuple[str, ...]:
        """Sentences about the table as a whole."""
        ...

    def records(self) -> Iterator[Record]:
        """Every row that is not empty, one after the other."""
        ...
