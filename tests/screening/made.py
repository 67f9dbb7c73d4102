"""Screenings made by hand for tests of the files: a dozen invented products held in memory instead of a journal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from reader.catalogue.values import Column, Entry, Group, Refused, Sheet
from reader.house.specification import from_yaml
from reader.house.standing import stand
from reader.house.values import Specification
from reader.screening.rows import counts, line_of
from reader.screening.screen import screened
from reader.screening.values import Screened, Screening, Terms

HOUSE = from_yaml(
    "title: Fern Lane counter\n"
    "must:\n  product: sausage\n  mechanically_separated: none\n  casing: natural\n"
    "prefer:\n  sodium_per_100g: 900\n  phosphates: none\n  price_per_kg: 12 EUR\n"
)
NAMES = ("Name", "Maker", "Art.", "Ingredients", "Panel", "Price", "Note")
PANEL = "Per 100 g: Energy 1180 kJ/285 kcal, Fat 25 g, Carbohydrate 1 g, Protein 13 g, Salt 2.1 g"
ROWS = (
    ("Meadow Wiener", "North Hall", "0071", "Pork, water, salt. In a natural sheep casing.", PANEL, "€4.00 / 400 g", ""),
    ("Brook Wiener", "North Hall", "0072", "Pork, water, salt. In a natural sheep casing.", PANEL, "€5.60 / 400 g", "new"),
    ("Hill Link", "South Yard", "7", "Pork, water, salt, sodium phosphates.", PANEL, "€3.90 / 300 g", ""),
    ("Paste Frank", "South Yard", "8", "Mechanically separated chicken, water, salt.", PANEL, "€1.90 / 400 g", "cheap"),
    ("Cow Link", "", "", "Beef, blorp, water, salt.", "", "", ""),
    ("Empty Link", "West Barn", "9", "", "", "", "to come"),
)  # fmt: skip


class Kept:
    """Rows in memory, asked for as those of a journal are. `read` counts how many were handed out."""

    def __init__(self, rows: Iterable[Screened]) -> None:
        self._rows = {row.number: row for row in rows}
        self.read = 0

    def rows(self) -> Iterator[Screened]:
        return self.rows_of(sorted(self._rows))

    def rows_of(self, numbers: Iterable[int]) -> Iterator[Screened]:
        for number in numbers:
            self.read += 1
            yield self._rows[number]

    def remove(self) -> None:
        self._rows.clear()


def entry(number: int, cells: Sequence[str], names: Sequence[str] = NAMES) -> Entry:
    name, supplier, code, statement, panel, price, *_ = cells
    own = tuple(zip(names, cells, strict=True))
    return Entry(
        number, "list.csv", "", number + 1, own,
        name=name, market="EU", supplier=supplier, code=code, statement=statement, panel=panel, price=price,
    )  # fmt: skip


@lru_cache(maxsize=64)
def read(cells: tuple[str, ...], number: int, house: Specification) -> Screened:
    return screened(entry(number, cells), Terms(house, "order", "EU"))


def screening(
    rows: Iterable[Screened],
    house: Specification = HOUSE,
    *,
    names: Sequence[str] = NAMES,
    groups: tuple[Group, ...] = (),
    refused: tuple[Refused, ...] = (),
) -> Screening:
    """The whole that a run over such rows comes to."""
    listed = list(rows)
    columns = tuple(Column(k, name, name, "", "Kept as it is.") for k, name in enumerate(names))
    return Screening(
        terms=Terms(house, "order", "EU"),
        sheets=(Sheet("list.csv", "", "delimited", 1, columns, basis_why="The lines above the table say per 100 g."),),
        refused=refused,
        count=len(listed),
        whole=len(listed),
        failed=sum(not row.read for row in listed),
        counts=counts((line_of(row).verdicts for row in listed), len(house.requirements)),
        groups=groups,
        placed=stand((row.number, row.tally) for row in listed),
        journal=Kept(listed),
    )


def dozen(house: Specification = HOUSE) -> Screening:
    """The rows above, the first two being doubles of each other."""
    rows = [read(cells, number, house) for number, cells in enumerate(ROWS, 1)]
    refused = (Refused("old.xls", "", "The file old.xls is a workbook of the old kind (XLS), which is not read."),)
    return screening(rows, house, groups=(Group("exact", (1, 2), 100.0, ("name", "code", "price")),), refused=refused)


def many(count: int, house: Specification = HOUSE) -> Screening:
    """The same rows over and over under other numbers and names."""
    some = [read(cells, number, house) for number, cells in enumerate(ROWS, 1)]
    return screening(
        [
            replace(some[k % len(some)], number=k + 1, row=k + 2, name=f"{some[k % len(some)].name} {k + 1}")
            for k in range(count)
        ],
        house,
    )
