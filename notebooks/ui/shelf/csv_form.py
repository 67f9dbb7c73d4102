"""A whole shelf as one table (CSV), and back; also a plain list of packs, as somebody may type it.

Each row is one entry; the column `what` says of which kind. A list by hand needs the column `statement` or `panel` and
nothing else. Cells that a spreadsheet would run are kept from it by an apostrophe, which comes off again on the way
back; no cell is longer than a spreadsheet takes.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from reader.table_files import FORMULA
from ui.shelf.records import PARTS, contents_of, record_of
from ui.shelf.rows import types_of
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Contents, Pack

COLUMNS = (
    "what", "id", "name", "market", "statement", "panel", "price", "nickname", "writer", "added", "hidden", "deleted",
    "pack", "aspect", "place", "words", "act", "joined", "title", "frozen",
)  # fmt: skip
_SHELF = "shelf"
_WHAT = {"writers": "writer", "packs": "pack", "guesses": "guess", "seen": "seen", "changes": "change"}
_GUARD = "'"


def as_csv(contents: Contents) -> str:
    """The table, packs first."""
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS)
    writer.writeheader()
    for part in sorted(PARTS, key=lambda part: part != "packs"):
        for value in getattr(contents, part):
            writer.writerow(_cells({"what": _WHAT[part], **record_of(value)}))
    writer.writerow(_cells({"what": _SHELF, "title": contents.title, "frozen": contents.frozen}))
    return out.getvalue()


def from_csv(text: str, write_id: str, at: int) -> Contents:
    """What such a table says. A pack without an id gets one from `write_id` and its row, one without a time `at`.

    ShelfError if it is no such table or an entry cannot be kept.
    """
    try:
        rows = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True))
    except csv.Error as error:
        raise ShelfError("import_unreadable") from error
    if not rows or not {"statement", "panel"} & set(rows[0]):
        raise ShelfError("import_unreadable")
    parts: dict[str, list[tuple[int, Mapping[str, Any]]]] = {part: [] for part in PARTS}
    part_of = {what: part for part, what in _WHAT.items()}
    title, frozen = "", False
    for number, row in enumerate(rows, 2):  # row 1 holds the names of the columns
        cells = {name: _bare(cell) for name, cell in row.items() if name and cell}
        what = cells.pop("what", _WHAT["packs"])
        if what == _SHELF:
            title, frozen = cells.get("title", ""), cells.get("frozen") == "true"
        elif what in part_of:
            part = part_of[what]
            record = _typed(PARTS[part], cells)
            if PARTS[part] is Pack:
                record = {"id": f"{write_id}-{number}", "added": _time(at), **record}
            parts[part].append((number, record))
        else:
            raise ShelfError("import_unreadable")
    return contents_of(title, frozen, parts)


def _time(at: int) -> Any:
    return record_of(Pack(id="", writer="", added=at))["added"]


def _typed(cls: type, cells: Mapping[str, str]) -> dict[str, Any]:
    """Cells as the values they stand for; an empty cell is an empty text, or left out where it can be no other."""
    record: dict[str, Any] = {}
    for name, kind in types_of(cls).items():
        cell = cells.get(name, "")
        if kind == "bool":
            record[name] = {"true": True, "false": False, "": False}.get(cell.lower(), cell)  # else refused as text
        elif kind == "float":
            record[name] = _number(cell)
        elif cell or (kind == "str" and name not in ("id", "market")):
            record[name] = cell
    return record


def _number(cell: str) -> float | str:
    try:
        return float(cell)
    except ValueError:
        return cell


def _cells(record: Mapping[str, Any]) -> dict[str, str]:
    return {name: str(v).lower() if isinstance(v, bool) else _guarded(str(v)) for name, v in record.items()}


def _guarded(cell: str) -> str:
    return _GUARD + cell if cell.startswith(FORMULA) or _is_guarded(cell) else cell


def _bare(cell: str) -> str:
    return cell[1:] if _is_guarded(cell) else cell


def _is_guarded(cell: str) -> bool:
    return cell.startswith(_GUARD) and cell[1:].startswith((*FORMULA, _GUARD))
