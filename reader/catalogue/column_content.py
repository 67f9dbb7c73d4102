"""What the cells of a column look like, heading aside: which roles they speak for, and which they rule out."""

from __future__ import annotations

import re
import statistics
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from reader.catalogue.cell_words import basis_of, is_nothing, market_of, values_of
from reader.catalogue.column_names import BASIS, NUTRIENTS, SERVING_SIZE
from reader.catalogue.settings import guessing
from reader.naming.lookup import known
from reader.naming.names import names
from reader.panel.reading import find_panel
from reader.pasted import clean
from reader.price import read_price
from reader.tables import load_raw
from reader.wordforms import key

_PARTS = re.compile(r"[,;()\[\]{}.:]|\d+(?:[.,]\d+)?\s*%")
_LOOKED_AT = 14  # parts of one statement, looked up in the lexicon
_PANEL_CELLS = 12  # cells tried as a panel, a millisecond each
_GTIN_LENGTHS = (8, 12, 13, 14)
_LETTERS = re.compile(r"[^\W\d_]")


class Content(NamedTuple):
    """Shares of the cells that are not empty, each 0 to 1, and how many those are (`filled`).

    english: of the parts of statements, how many are known in English and not in another language only.
    """

    filled: int
    looked_at: int
    numbers: float = 0
    statements: float = 0
    english: float = 0
    panels: float = 0
    prices: float = 0
    weights: float = 0
    codes: float = 0
    markets: float = 0
    bases: float = 0
    titles: float = 0
    different: float = 0


def content_of(cells: Sequence[str]) -> Content:
    """What these cells of one column look like."""
    filled = [cell.strip() for cell in cells if not is_nothing(cell)]
    seen = filled[: int(guessing("most_cells"))]
    if not seen:
        return Content(0, len(cells))
    statements, english = _statements(seen)
    return Content(
        filled=len(filled),
        looked_at=len(cells),
        numbers=_share(seen, lambda c: bool(values_of(c))),
        statements=statements,
        english=english,
        panels=_share(seen[:_PANEL_CELLS], _is_panel),
        prices=_share(seen, _is_price),
        weights=_share(seen, _is_weight),
        codes=_share(seen, is_gtin),
        markets=_share(seen, lambda c: bool(market_of(c))),
        bases=_share(seen, lambda c: bool(basis_of(c))),
        titles=_share(seen, _is_title),
        different=len(set(seen)) / len(seen),
    )


def _share(cells: Sequence[str], holds: Callable[[str], bool]) -> float:
    return sum(map(holds, cells)) / len(cells) if cells else 0.0


# -- what one cell is ---------------------------------------------------------------------------------------


def statement_parts(text: str) -> list[str]:
    """The first names between the commas and brackets of a text."""
    return [part.strip(" *.-\n\t") for part in _PARTS.split(text[:1500]) if part.strip(" *.-\n\t")][:_LOOKED_AT]


def _statements(cells: Sequence[str]) -> tuple[float, float]:
    """Share of cells that list ingredients we know, and share of English among the known ones."""
    lists = english = foreign = 0
    for cell in cells:
        parts = statement_parts(cell)
        if len(parts) < 2:
            single = bool(parts) and len(parts[0]) < 40 and bool(known(parts[0].lower())) and len(cells) > 3
            lists, english = lists + single, english + single
            continue
        ours = sum(bool(known(part.lower())) for part in parts)
        theirs = sum(names().foreign(key(part)) is not None for part in parts)
        english, foreign = english + ours, foreign + theirs
        lists += max(ours, theirs) >= 0.4 * len(parts)
    return lists / len(cells), english / max(english + foreign, 1)


def _is_panel(cell: str) -> bool:
    text = clean(cell[:4000])
    place = find_panel(text)
    return place is not None and place[1] - place[0] > 0.5 * len(text.strip())


def _is_price(cell: str) -> bool:
    if len(cell) > 40 or not any(c.isdigit() for c in cell):
        return False
    price = read_price(cell, market="US")
    return price.amount is not None and bool(price.currency)


def _is_weight(cell: str) -> bool:
    return len(cell) <= 40 and bool(_weighed().search(cell)) and read_price("", cell).grams is not None


@lru_cache(maxsize=1)
def _weighed() -> re.Pattern[str]:
    units = (re.escape(word) for unit in load_raw()["price_words"]["units"] for word in unit["words"])
    return re.compile(rf"\d\s*(?:{'|'.join(units)})(?![^\W\d_])", re.I)


def is_gtin(cell: str) -> bool:
    """Whether a cell is an article number with the check digit of GS1 (weights 3 and 1 from the right, mod 10).

    The rule is from memory of the GS1 General Specifications.
    """
    digits = cell.replace(" ", "").replace("-", "")
    if not (digits.isascii() and digits.isdigit() and len(digits) in _GTIN_LENGTHS):
        return False
    total = sum(int(d) * (3 if k % 2 else 1) for k, d in enumerate(reversed(digits)))
    return total % 10 == 0


def _is_title(cell: str) -> bool:
    return 3 <= len(cell) <= 90 and cell.count(",") <= 2 and bool(_LETTERS.search(cell)) and not values_of(cell)


# -- which roles they speak for -----------------------------------------------------------------------------

_TELLING = {
    "statement": "statements", "panel": "panels", "price": "prices", "net_weight": "weights", "code": "codes",
    "market": "markets", BASIS: "bases",
}  # fmt: skip


def speaks_for(content: Content) -> Iterator[tuple[str, float]]:
    """(role, share of cells of its kind) where enough cells are."""
    if not content.filled:
        return
    for role, field in _TELLING.items():
        share = float(getattr(content, field))
        if share >= guessing("share_of_cells"):
            yield role, share
    if content.titles >= guessing("share_of_cells") and content.different > 0.7 and not content.statements > 0.3:
        yield "name", content.titles * content.different


def rules_out(content: Content, role: str) -> bool:
    """Whether the cells cannot be what the heading says: words where numbers belong, numbers where words do."""
    if not content.filled:
        return False
    if role in NUTRIENTS or role == SERVING_SIZE:
        return max(content.numbers, content.weights if role == SERVING_SIZE else 0) < 0.5
    if role in ("statement", "panel", "name", BASIS):
        return content.numbers > 0.5
    if role == "market":
        return content.markets < 0.3
    return False


def fits(content: Content, role: str) -> float:
    """How well the cells fit a role they are not ruled out for, 0 to 1."""
    if not content.filled:
        return 0.0
    full = content.filled / max(content.looked_at, 1)
    if role == "statement":
        return statistics.fmean((content.statements, content.statements * content.english, full))
    if role in _TELLING:
        return statistics.fmean((float(getattr(content, _TELLING[role])), full))
    if role == "name":
        return statistics.fmean((content.titles, content.different, full))
    return full
