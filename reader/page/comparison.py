"""Packs side by side as HTML: tables, ranking, and the whole comparison as one document to keep or print.

Few packs stand as columns, more as rows with a few measures a table, so that a phone 390 px wide shows each whole.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence

from reader.aspects import ASPECTS
from reader.compare.differences import differences
from reader.compare.measures import PRICES
from reader.compare.ranking import LIKELY, PRICE, Ranked, Ranking
from reader.compare.table import Comparison, Line
from reader.page.differences import differing
from reader.page.pack_figures import cell_text, measure_name
from reader.page.parts import esc, part, range_bar, said, table, told
from reader.page.sheet import sheet
from reader.quantities import Interval, show
from reader.wording import say

FEW = 3  # packs that stand as columns
# What one table holds, by its caption; at most three measures beside the names of the packs.
MAKEUP = (
    ("makeup", ("share_meat", "share_binders", "share_added_water", "share_sweeteners", "share_salt")),
    ("inside", ("share_mechanically_separated", "share_by_products", "share_meat_fat")),
)
PANEL = (("sodium", ("sodium_serving", "serving_weight", "sodium_100g")), ("panel", ("protein_100g", "fat_100g")))
WORDS = (("words", ("cure", "casing_stated", "fillers")), ("counts", ("ingredients", "breaks")))
PRICE_TABLES = (("price", PRICES),)
_WIDEST = 3


def comparison(found: Comparison, ranking: Ranking | None = None) -> str:
    """The comparison as parts of a page, the ranking first; with two packs also what differs between them."""
    first = part("compare_rank", ranked_table(ranking)) if ranking is not None else ""
    differs = ""
    if len(found.lines) == 2:
        one, other = (line.pack for line in found.lines)
        between = differences(one.report, other.report)
        differs = part("compare_differs", differing(between, one.name, other.name))
    return first + measured(found) + differs + about(found)


def measured(found: Comparison) -> str:
    """Every measure of every pack, as parts of a page."""
    return "".join(
        (
            part("compare_aspects", _aspects(found)),
            part("compare_makeup", _tables(found, MAKEUP) + _quiet("compare_key_makeup")),
            part("compare_panel", _tables(found, PANEL) + _quiet("compare_key_printed")),
            part("compare_words", _tables(found, WORDS) + _quiet("finding_not_advice")),
            part("compare_price", _prices(found)),
        )
    )


def about(found: Comparison) -> str:
    """What could not be taken of the packs, and how to take the comparison, as a part of a page."""
    remarks = [f"{line.pack.name}: {text}" for line in found.lines for text in line.pack.remarks]
    lasting = ("compare_about_scores", "compare_about_small", "compare_about_packs", "page_allergens_caution")
    listed = "".join(f"<li>{text}</li>" for text in (*map(told, remarks), *map(said, lasting)))
    return part("compare_about", f'<ul class="plain">{listed}</ul>')


def document(found: Comparison, ranking: Ranking | None = None) -> str:
    """The comparison as a whole HTML file without script."""
    title = say("compare_title")
    header = f"<header><h1>{esc(title)}</h1><p class='quiet'>{counted(found)}</p></header>"
    return sheet(title, header + comparison(found, ranking), kind="comparison")


def counted(found: Comparison) -> str:
    """How many packs there are, by whose rules they were read, and which were passed over; HTML."""
    return f"{said('compare_counts', count=len(found.lines))} {_markets(found)}{_missing(found)}".strip()


def _markets(found: Comparison) -> str:
    markets = dict.fromkeys(line.pack.report.market for line in found.lines)
    names = ", ".join(say(f"page_market_{m}") for m in markets)
    return said("compare_counts_markets", market=names) if len(markets) > 1 else said("page_read_as", market=names)


def _missing(found: Comparison) -> str:
    """Which packs a sorting could not place or a filter could not judge."""
    told_of = (("compare_order_missing", found.unsorted), ("compare_left_out", found.left_out))
    return "".join(
        f" {said(key, title=measure_name(name), names=', '.join(names))}"
        for key, by in told_of for name, names in by
    )  # fmt: skip


def _quiet(key: str) -> str:
    return f'<p class="quiet">{said(key)}</p>'


# -- tables -------------------------------------------------------------------------------------------------


def _tables(found: Comparison, groups: Iterable[tuple[str, Sequence[str]]]) -> str:
    return "".join(_table(found.lines, say(f"compare_caption_{caption}"), names) for caption, names in groups)


def _table(lines: Sequence[Line], caption: str, names: Sequence[str]) -> str:
    """One topic: packs as columns when they are few, else as rows, a few measures a table."""
    if len(lines) <= FEW:
        head = [say("compare_pack"), *(line.pack.name for line in lines)]
        rows = [[measure_name(n), *(_shown(line, n) for line in lines)] for n in names]
        return table(head, rows, caption=caption)
    made = []
    count = -(-len(names) // _WIDEST)
    size = -(-len(names) // count)
    for start in range(0, len(names), size):
        some = names[start : start + size]
        head = [say("compare_pack"), *(measure_name(n) for n in some)]
        rows = [[line.pack.name, *(_shown(line, n) for n in some)] for line in lines]
        made.append(table(head, rows, caption=caption))
    return "".join(made)


def _shown(line: Line, name: str) -> str:
    return unbroken(cell_text(name, line.cell(name)))


def unbroken(text: str) -> str:
    """The text with ranges that stay on one line: a word joiner behind each dash."""
    return re.sub(r"–(?=\d)", "–\u2060", text)


def bars(caption: str, rows: Iterable[Sequence[str]], head: Sequence[str]) -> str:
    """A table whose last column is drawn: cells of text first, then the HTML of a range bar."""
    top = "".join(f'<th scope="col">{esc(cell)}</th>' for cell in head)
    body = ""
    for name, *cells, drawn in rows:
        middle = "".join(f"<td>{esc(unbroken(cell))}</td>" for cell in cells)
        body += f'<tr><th scope="row">{esc(name)}</th>{middle}<td class="drawn">{drawn}</td></tr>'
    return (
        f'<div class="wide"><table class="bars"><caption>{esc(caption)}</caption><thead><tr>{top}</tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )


def _aspects(found: Comparison) -> str:
    head = [say(f"compare_{key}") for key in ("pack", "range", "drawn")]
    pieces = []
    for aspect in ASPECTS:
        title = say(f"aspect_{aspect}")
        caption = say("compare_caption_aspects", title=title, scale=say(f"aspect_{aspect}_scale"))
        rows = [_aspect_row(line, aspect) for line in found.lines]
        pieces.append(bars(caption, rows, head))
    return "".join(pieces) + _quiet("compare_key")


def _aspect_row(line: Line, aspect: str) -> tuple[str, str, str]:
    cell, name = line.cell(aspect), line.pack.name
    text = cell_text(aspect, cell)
    return name, text, range_bar(f"{name}: {text}", cell.possible, cell.likely, cell.middle)


def _prices(found: Comparison) -> str:
    cells = [line.cell("price_kg") for line in found.lines]
    remarks = [p.message for line in found.lines for p in line.pack.price.problems]
    listed = "".join(f"<li>{told(text)}</li>" for text in dict.fromkeys(remarks))
    listed = f'<ul class="plain">{listed}</ul>' if listed else ""
    if all(cell.state for cell in cells):
        return f"<p>{said('compare_no_prices')}</p>{listed}"
    currencies = dict.fromkeys(cell.currency for cell in cells if cell.currency)
    several = f"<p>{said('compare_price_currencies', names=', '.join(currencies))}</p>" if len(currencies) > 1 else ""
    return several + _tables(found, PRICE_TABLES) + listed + _quiet("compare_key_price")


# -- ranking ------------------------------------------------------------------------------------------------


def criterion_name(name: str) -> str:
    """What a weighted criterion is called."""
    return say("rank_criterion_price") if name == PRICE else say(f"aspect_{name}")


def rank_text(ranked: Ranked) -> str:
    """The ranks a pack can have: "2", "1–3", or that it is not ranked."""
    if ranked.best is None:
        return say("rank_not_ranked")
    best, worst = str(ranked.best), str(ranked.worst)
    return best if best == worst else say("compare_between", low=best, high=worst)


def mean_text(ranked: Ranked) -> str:
    """The weighted mean as a range, the likely one behind it; "" for a pack that is not ranked."""
    if ranked.possible is None:
        return ""
    low, high = _outward(ranked.possible)
    text = say("compare_between", low=low, high=high)
    if ranked.likely is None:
        return text
    low, high = _outward(ranked.likely)
    return say("compare_likely", range=text, value=say("compare_between", low=low, high=high))


def _outward(found: Interval) -> tuple[str, str]:
    """Both ends of a mean to one decimal, so that the range never shrinks."""
    return show(math.floor(found.low * 10 + 1e-6) / 10), show(math.ceil(found.high * 10 - 1e-6) / 10)


def ranked_table(ranking: Ranking) -> str:
    """The ranking as a table with what it rests on. No pack gets one number."""
    weights = ", ".join(say("rank_weight", name=criterion_name(n), value=show(w)) for n, w in ranking.weights)
    by = "rank_by_likely" if ranking.by == LIKELY else "rank_by_possible"
    how = [said("rank_weights", names=weights), said(by)]
    how += [said("rank_price")] if PRICE in dict(ranking.weights) else []
    head = [say("compare_pack"), say("rank_column_rank"), say("compare_range"), say("compare_drawn")]
    rows = [
        (r.line.pack.name, rank_text(r), mean_text(r),
         range_bar(f"{r.line.pack.name}: {mean_text(r) or rank_text(r)}", r.possible, r.likely))
        for r in ranking.ranked
    ]  # fmt: skip
    remarks = "".join(f"<li>{text}</li>" for r in ranking.ranked for text in _remarks(r))
    remarks = f'<ul class="plain">{remarks}</ul>' if remarks else ""
    return f"<p>{' '.join(how)}</p>{bars(say('rank_caption'), rows, head)}{remarks}"


def _remarks(ranked: Ranked) -> Iterable[str]:
    name = ranked.line.pack.name
    if ranked.open and not ranked.barred:
        yield said("rank_open", name=name, names=", ".join(map(criterion_name, ranked.open)))
    if ranked.barred:
        yield said("rank_barred", name=name, names=", ".join(map(criterion_name, ranked.barred)))
