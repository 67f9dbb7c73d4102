"""One entry of a catalogue → one row of a screening. Never raises: a row that cannot be read says why."""

from __future__ import annotations

import math

from reader.catalogue.panels import typed_panel_of
from reader.catalogue.values import Entry
from reader.columns import Cell, row_of
from reader.compare.measures import PRICES as MEASURES
from reader.compare.measures import measure
from reader.compare.pack import Pack
from reader.house.standing import Tally, tally
from reader.house.verdicts import judge
from reader.pipeline import MARKETS, read_label
from reader.price import Price, read_price
from reader.quantities import show
from reader.report import Report
from reader.screening.values import Screened, Terms
from reader.wording import say

_PLACES = 2  # decimals of money


def screened(entry: Entry, terms: Terms) -> Screened:
    """The row of an entry, by the market it names, else by that of the terms."""
    market = entry.market or terms.market
    if not (entry.statement.strip() or entry.panel.strip() or entry.typed):
        return unread(entry, market, terms)
    if market not in MARKETS:
        return unread(entry, market, terms, say("table_market", market=market, known=", ".join(MARKETS)))
    try:
        return _read(entry, market, terms)
    except Exception as error:  # a fault of ours: the row keeps its place, the others are read
        return unread(entry, market, terms, say("table_fault", error=f"{type(error).__name__}: {error}"))


def unread(entry: Entry, market: str, terms: Terms, problem: str = "") -> Screened:
    """The row of an entry of which nothing was read: everything is left to be asked."""
    problems = (*entry.problems, problem) if problem else entry.problems
    asked = terms.specification
    open_ = Tally(musts_asked=max(1, len(asked.musts)), preferences_asked=len(asked.preferences))
    return _row(entry, market, tally=open_, problems=problems or (say("screen_nothing"),))


def _read(entry: Entry, market: str, terms: Terms) -> Screened:
    report = read_label(
        entry.statement,
        entry.panel,
        name=entry.name,
        market=market,
        on=terms.on,
        typed_panel=typed_panel_of(entry, market),
        depth=terms.depth,
    )
    price = read_price(entry.price, entry.net_weight, market=market)
    verdicts = judge(report, price, terms.specification)
    figures = {**row_of(report), **_money(report, price)}
    figures.pop("problems")
    found = (problem.message for problem in (*report.problems, *price.problems))
    return _row(
        entry,
        market,
        figures=tuple((column, value) for column, value in figures.items() if value not in (None, "")),
        verdicts=verdicts,
        tally=tally(terms.specification, verdicts),
        problems=tuple(dict.fromkeys((*entry.problems, *found))),
        read=True,
    )


def _row(entry: Entry, market: str, **found: object) -> Screened:
    same = (
        "number", "file", "sheet", "row", "cells", "name", "supplier", "code", "statement", "panel", "price",
        "net_weight", "typed", "basis",
    )  # fmt: skip
    return Screened(market=market, **{name: getattr(entry, name) for name in same}, **found)  # type: ignore[arg-type]


def _money(report: Report, price: Price) -> dict[str, Cell]:
    """Prices as a comparison works them out: ranges, because the shares are."""
    pack = Pack("", report, price)
    found: dict[str, Cell] = {"currency": price.currency or None}
    for name in MEASURES:
        cell = measure(name).take(pack)
        if cell.possible is None:
            continue
        if name == "price_kg":
            found[name] = _rounded(cell.possible.low)
            continue
        for end, ends in (("", cell.possible), ("_likely", cell.likely)):
            if ends is not None:
                found[f"{name}{end}_low"], found[f"{name}{end}_high"] = _rounded(ends.low), _rounded(ends.high)
    return found


def _rounded(value: float) -> float | None:
    return float(show(value, _PLACES).replace(",", "")) if math.isfinite(value) else None
