"""One pack of a comparison: its name, its reading, its price."""

from __future__ import annotations

from dataclasses import dataclass

from reader.price import NO_PRICE, Price
from reader.report import Report


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack to compare. name: what it goes by beside the others. remarks: sentences on what of its row in a table
    could not be taken.
    """

    name: str
    report: Report
    price: Price = NO_PRICE
    remarks: tuple[str, ...] = ()
