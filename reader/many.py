"""Many labels in one file: a CSV or XLSX table in, the same table with readings out, row by row."""

from __future__ import annotations

from pathlib import Path

from reader.columns import COLUMNS, Cell, failed_row, row_of
from reader.makeup.values import LIKELY
from reader.panel.reading import Panel, panel_from_columns
from reader.pipeline import MARKETS, read_label
from reader.quantities import number
from reader.table_files import Row, TableError, open_table, write_table
from reader.wording import say

NUTRIENTS = ("energy_kcal", "fat_g", "satfat_g", "carb_g", "sugar_g", "fibre_g", "protein_g", "sodium_mg")
BASES = ("per100g", "serving")


def read_table(source: Path, target: Path, *, basis: str = "per100g", market: str = "US", depth: str = LIKELY) -> int:
    """Read every row of `source` and write it with its readings to `target`; returns the number of rows.

    `depth` is how far the make-up is worked out (see `MakeUp`): "order" is the fastest. The endings decide the
    format (.csv, .xlsx). Raises TableError if the source is no table with a statement column.
    """
    if basis not in BASES:
        raise ValueError(f"basis {basis!r} is not known; it must be one of {', '.join(BASES)}")
    header, rows = open_table(source)
    if "statement" not in header:
        raise TableError(say("table_no_statement", file=source.name, columns=", ".join(header) or "none"))
    kept = [h for h in header if h not in COLUMNS]
    return write_table(target, [*kept, *COLUMNS], (_with_reading(row, basis, market, depth) for row in rows))


def _with_reading(row: Row, basis: str, market: str, depth: str) -> dict[str, Cell]:
    try:
        own_market = (row.get("market") or market).strip().upper()
        if own_market not in MARKETS:
            return {**row, **failed_row(say("table_market", market=own_market, known=", ".join(MARKETS)))}
        typed, complaint = typed_panel_of(row, basis, own_market)
        report = read_label(
            row.get("statement") or "",
            row.get("panel") or "",
            name=row.get("name") or "",
            market=own_market,
            typed_panel=typed,
            depth=depth,
        )
        found = row_of(report)
        if complaint:
            found["problems"] = "; ".join(filter(None, (complaint, str(found["problems"] or ""))))
        return {**row, **found}
    except Exception as error:  # a fault of ours: the row keeps its place, the other rows are read
        return {**row, **failed_row(say("table_fault", error=f"{type(error).__name__}: {error}"))}


def typed_panel_of(row: Row, basis: str, market: str) -> tuple[Panel | None, str]:
    """The panel of the number columns, None if they are empty or a free-text panel is given; and what was no number."""
    if (row.get("panel") or "").strip():
        return None, ""
    values: dict[str, float] = {}
    bad: list[str] = []
    for column in (*NUTRIENTS, "serving_size_g"):
        text = (row.get(column) or "").strip()
        if text:
            try:
                values[column] = number(text)
            except ValueError:
                bad.append(f"{column} “{text}”")
    complaint = say("table_no_number", columns=", ".join(bad)) if bad else ""
    serving = values.pop("serving_size_g", None)
    if not values:
        return None, complaint
    return panel_from_columns(values, serving_g=serving or None, basis=basis, market=market), complaint
