"""Packs of a table file → the comparison as a file: HTML to read or print, CSV to reckon on with."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator, Mapping
from pathlib import Path

from reader.catalogue.panels import typed_panel_of
from reader.catalogue.trouble import TableError
from reader.catalogue.values import Entry
from reader.columns import Cell
from reader.compare.measures import WORDS, measures
from reader.compare.pack import Pack
from reader.compare.ranking import POSSIBLE, Ranking, rank
from reader.compare.table import LEAST, MOST, Comparison, Line, compare, line_of, ordered
from reader.makeup.values import LIKELY
from reader.many import open_table
from reader.page import comparison, paper
from reader.pipeline import MARKETS, read_label
from reader.price import read_price
from reader.table_files import harmless
from reader.wording import say

SHEETS = ("comparison", "worksheets", "answers", "summary", "cards")


def compare_file(
    source: Path,
    target: Path,
    *,
    basis: str = "",
    market: str = "US",
    depth: str = LIKELY,
    weights: Mapping[str, float] | None = None,
    by: str = POSSIBLE,
    sort: str = "",
    sheet: str = SHEETS[0],
) -> int:
    """Compare the packs of `source` and write them to `target`, .csv or else HTML; returns how many.

    `source` has the columns of `read_table` and, where wanted, `price` and `net_weight`. `weights` and `by` are those
    of `rank`; `sort` is a measure. `sheet` is one of SHEETS and concerns HTML. Raises TableError if the source is no
    table of 2 to 40 packs, ValueError on an unknown weight, measure or sheet.
    """
    if sheet not in SHEETS:
        raise ValueError(f"sheet {sheet!r} is not known; it must be one of {', '.join(SHEETS)}")
    whole = sheet == SHEETS[0]
    packs = read_packs(source, basis=basis, market=market, depth=depth, least=LEAST if whole else 1)
    found = compare(packs) if whole else Comparison(tuple(map(line_of, packs)))
    ranking = rank(found, weights, by=by) if weights else None
    if sort:
        found = ordered(found, sort)
    csv_wanted = target.suffix.lower() == ".csv"
    text = as_csv(found, ranking) if csv_wanted else as_html(sheet, found, ranking)
    target.write_text(text, encoding="utf-8", newline="")
    return len(packs)


def read_packs(
    source: Path, *, basis: str = "", market: str = "US", depth: str = LIKELY, least: int = LEAST
) -> tuple[Pack, ...]:
    """The packs of a table file, read. Raises TableError if it is no table of `least` to 40 packs, or if a row names a
    market that is not known.
    """
    listed = []
    for entry in open_table(source, basis).entries():
        listed.append(entry)
        if len(listed) > MOST:
            raise TableError(say("compare_too_many", file=source.name, most=MOST))
    if len(listed) < least:
        raise TableError(say("compare_too_few", file=source.name, count=len(listed), least=least))
    return tuple(_pack(entry, market, depth) for entry in listed)


def _pack(entry: Entry, market: str, depth: str) -> Pack:
    own = entry.market or market
    if own not in MARKETS:
        raise TableError(say("compare_market", number=entry.number, market=own, known=", ".join(MARKETS)))
    panel = typed_panel_of(entry, own)
    report = read_label(entry.statement, entry.panel, name=entry.name, market=own, typed_panel=panel, depth=depth)
    price = read_price(entry.price, entry.net_weight, market=own)
    name = entry.name or entry.code or say("compare_unnamed", number=entry.number)
    return Pack(name, report, price, entry.problems)


def as_html(sheet: str, found: Comparison, ranking: Ranking | None) -> str:
    """One of SHEETS as a whole HTML file; the ranking stands in the comparison only."""
    packs = [line.pack for line in found.lines]
    if sheet == "summary":
        return paper.class_summary(packs)
    if sheet == "cards":
        return paper.cards(packs)
    if sheet != SHEETS[0]:
        return paper.worksheets(packs, answers=sheet == "answers")
    return comparison.document(found, ranking)


# -- CSV ----------------------------------------------------------------------------------------------------


def as_csv(found: Comparison, ranking: Ranking | None) -> str:
    """A row for each pack: every measure with its ends, the places of the ranking behind."""
    rows = [dict(_cells(line)) for line in found.lines]
    if ranking is not None:
        places = {id(r.line.pack): r for r in ranking.ranked}
        for row, line in zip(rows, found.lines, strict=True):
            place = places[id(line.pack)]
            low, high = place.possible or (None, None)
            row.update(rank_best=place.best, rank_worst=place.worst, mean_low=low, mean_high=high)
    columns = dict.fromkeys(column for row in rows for column in row)
    out = io.StringIO()
    writer = csv.DictWriter(out, list(columns))
    writer.writeheader()
    writer.writerows({key: _plain(value) for key, value in row.items()} for row in rows)
    return out.getvalue()


def _cells(line: Line) -> Iterator[tuple[str, Cell]]:
    yield "name", line.pack.name
    yield "market", line.pack.report.market
    for what, cell in zip(measures(), line.cells, strict=True):
        if what.kind == WORDS:
            yield what.id, cell.state or "; ".join(cell.words)
            continue
        for end, found in (("", cell.possible), ("_likely", cell.likely)):
            yield f"{what.id}{end}_low", found.low if found else None
            yield f"{what.id}{end}_high", found.high if found and math.isfinite(found.high) else None
        yield f"{what.id}_state", cell.state
    yield "breaks_titles", "; ".join(line.cell("breaks").words)
    yield "currency", line.cell("price_kg").currency
    yield "problems", "; ".join([*line.pack.remarks, *(p.message for p in line.pack.price.problems)])


def _plain(value: Cell) -> Cell:
    """A cell that no spreadsheet takes for a formula; numbers with at most four decimals."""
    if isinstance(value, float):
        return round(value, 4)
    return harmless(value) if isinstance(value, str) else value
