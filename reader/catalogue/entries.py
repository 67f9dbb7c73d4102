"""A row and what its columns are → an Entry. What was not understood stays in `cells` and is told."""

from __future__ import annotations

from functools import lru_cache

from reader.catalogue.cell_words import Value, basis_of, is_nothing, market_of, scaled, values_of
from reader.catalogue.column_names import BASIS, ENERGY, NUTRIENTS, SERVING_SIZE, TEXTS, heading
from reader.catalogue.headings import Header, is_repeated
from reader.catalogue.records import Record
from reader.catalogue.settings import guessing
from reader.catalogue.trouble import TableError
from reader.catalogue.values import PER_100G, Column, Entry, Sheet
from reader.panel.standards import MARKETS, energy_factors
from reader.price import read_price
from reader.wording import say

_GRAMS = {"g": "1", "mg": "0.001", "mcg": "0.000001"}
_PER_GRAM = {"g": "1", "mg": "1000"}
_PANEL = frozenset((*NUTRIENTS, SERVING_SIZE))


class EntryMaker:
    """Makes the entries of one sheet."""

    def __init__(self, sheet: Sheet, header: Header) -> None:
        self._sheet, self._header = sheet, header
        self._names = [column.name for column in sheet.columns]
        self._texts = {c.role: c for c in sheet.columns if c.role in TEXTS}
        self._numbers = [c for c in sheet.columns if c.role in _PANEL]
        self._basis = sheet.column_of(BASIS)

    def entry(self, number: int, record: Record) -> Entry:
        """The entry of a row, `number` its place in the whole input."""
        problems = list(record.problems)
        named = self._named(record, problems)
        here = self._sheet.file, self._sheet.sheet, record.row
        if self._header.row and is_repeated(record, self._header):
            return Entry(number, *here, named, problems=(*problems, say("row_heading_again")))
        texts = dict.fromkeys(TEXTS, "") | {role: self._text(record, c) for role, c in self._texts.items()}
        texts["market"] = _market(texts["market"], problems)
        typed = self._typed(record, problems)
        basis = self._basis_of(record, problems)
        if not texts["statement"] and not (record.problems and not any(record.cells)):
            problems.append(say("row_no_statement" if "statement" in self._texts else "row_no_statement_column"))
        return Entry(
            number, *here, named, texts["name"], texts["market"], texts["supplier"], texts["code"], texts["statement"],
            texts["panel"], texts["price"], texts["net_weight"], typed, basis, tuple(problems),
        )  # fmt: skip

    def broken_off(self, number: int, row: int, error: Exception) -> Entry:
        """The entry that says that the rest of a sheet could not be read."""
        told = str(error) if isinstance(error, TableError) else say("sheet_breaks_off", error=type(error).__name__)
        return Entry(number, self._sheet.file, self._sheet.sheet, row, (), problems=(told,))

    def _named(self, record: Record, problems: list[str]) -> tuple[tuple[str, str], ...]:
        """Every cell with its name, those beyond the heading too."""
        cells, width = record.cells, len(self._names)
        named = list(zip(self._names, cells, strict=False))
        if len(cells) > width:
            used = set(self._names)
            for k, cell in enumerate(cells[width:], width + 1):
                if cell.strip():
                    name = say("catalogue_column", number=k)
                    named.append((f"{name} (2)" if name in used else name, cell))
        named += [(name, "") for name in self._names[len(cells) :]]
        headed = len(self._header.cells)
        if headed and any(cell.strip() for cell in cells[headed:]):
            problems.append(say("row_longer", count=len(cells), width=headed))
        elif len(cells) < headed and self._sheet.form == "delimited":
            problems.append(say("row_shorter", count=len(cells), width=headed))
        return (*named, *record.named)

    def _cell(self, record: Record, column: Column) -> str:
        cell = record.cells[column.place].strip() if column.place < len(record.cells) else ""
        return "" if is_nothing(cell) else cell

    def _text(self, record: Record, column: Column) -> str:
        """A cell; a bare number of money or weight gets the unit of its heading."""
        cell = self._cell(record, column)
        if column.unit and cell and column.role in ("price", "net_weight"):
            values = values_of(cell, self._sheet.decimal)
            if column.role == "net_weight" and len(values) == 1 and not values[0].unit:
                return f"{values[0].text} {column.unit}"
            if column.role == "price":
                return _priced(cell, column.unit)
        return cell

    def _basis_of(self, record: Record, problems: list[str]) -> str:
        cell = self._cell(record, self._basis) if self._basis else ""
        found = (basis_of(cell) or heading(cell).basis) if cell else ""
        if cell and not found:
            problems.append(say("row_basis", basis=cell[:60], taken=say(f"sheet_basis_{self._sheet.basis}")))
        return found or self._sheet.basis

    def _typed(self, record: Record, problems: list[str]) -> tuple[tuple[str, str], ...]:
        """The numbers of the panel in columns."""
        found: dict[str, str] = {}
        bad, energy = [], []
        for column in self._numbers:
            cell = self._cell(record, column)
            if not cell:
                continue
            values = values_of(cell, self._sheet.decimal)
            if column.role.startswith(ENERGY):
                energy += [(column, value) for value in values if not value.text.startswith("-")]
                understood = bool(values) and not values[0].text.startswith("-")
            else:
                text = self._amount(cell, column, values)
                understood = text is not None
                if text is not None:
                    found[column.role] = text
            if not understood:
                bad.append(f"{column.name} “{cell[:60]}”")
        for column, value in energy:
            role = _energy_role(column, value, found)
            found.setdefault(role, _with_less(value, value.text))
        if bad:
            problems.append(say("table_no_number", columns=", ".join(bad)))
        return tuple(found.items())

    def _amount(self, cell: str, column: Column, values: tuple[Value, ...]) -> str | None:
        """A number in the unit of the role, None if the cell holds none."""
        if column.role == SERVING_SIZE and (len(values) != 1 or values[0].unit not in ("", "g")):
            grams = read_price("", cell).grams
            return f"{grams:.10g}" if grams else None
        if len(values) != 1 or values[0].text.startswith("-"):
            return None
        value, wanted = values[0], column.role.rpartition("_")[2]
        unit = value.unit or column.unit or wanted
        if unit == "%" and wanted == "g" and self._sheet.basis == PER_100G:
            unit = "g"  # the trade's "% fat"
        if unit not in _GRAMS:
            return None
        if unit == wanted:
            return _with_less(value, value.text)
        return _with_less(value, scaled(scaled(value.text, _GRAMS[unit]), _PER_GRAM[wanted]))


def _with_less(value: Value, text: str) -> str:
    return f"<{text}" if value.less else text


def _market(cell: str, problems: list[str]) -> str:
    """The code of a market; words that are none stay and are told."""
    found = market_of(cell) if cell else ""
    if cell and not found:
        problems.append(say("row_market", market=cell[:60], known=", ".join(MARKETS)))
    return found or cell


def _priced(cell: str, unit: str) -> str:
    """A bare number of money with the currency and the weight its heading names."""
    currency, _, per = unit.partition("/")
    has_money = read_price(cell).currency
    return (
        cell + (f" {currency}" if currency and not has_money else "") + (f" / {per}" if per and "/" not in cell else "")
    )


def _energy_role(column: Column, value: Value, found: dict[str, str]) -> str:
    """Kilocalories or kilojoules: as the cell says, as the heading says, else as fat, carbohydrate and protein do."""
    unit = value.unit if value.unit in ("kcal", "kj") else column.role.removeprefix(ENERGY).strip("_")
    if unit:
        return f"energy_{unit}"
    printed = float(value.text)
    expected = sum(float(found[n].lstrip("<")) * factor for n, factor in _kcal_per_gram().items() if n in found)
    if {"fat_g", "protein_g"} <= set(found) and expected > 0 and printed > 0:
        return "energy_kj" if printed > 2 * expected else "energy_kcal"
    return "energy_kj" if printed >= guessing("kilojoules_from") else "energy_kcal"


@lru_cache(maxsize=1)
def _kcal_per_gram() -> dict[str, float]:
    return next(f.values for f in energy_factors("US") if f.energy == "energy_kcal")
