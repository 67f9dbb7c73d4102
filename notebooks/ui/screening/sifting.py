"""A page of a shortlist: which products are let through, and those that stand on one page. No widget here."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from reader.house.standing import Placed
from reader.screening.told import standing_of
from reader.screening.values import Screened, Screening

PAGE = 50  # products shown at once
ANY = ""
EVERY = "\n"  # no supplier is called so: blanks are taken out of their names


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is shown. supplier: EVERY for all, "" for products without one. standing: one of told.STANDINGS, ANY for
    all. place: of a requirement in the specification, None for any; verdict: what it has to come to, ANY for all.
    """

    supplier: str = EVERY
    standing: str = ANY
    place: int | None = None
    verdict: str = ANY


@dataclass(frozen=True, slots=True)
class Sifted:
    """rows: of one page, in the order of the shortlist. found: how many are let through in all."""

    rows: tuple[tuple[Placed, Screened], ...]
    found: int


def sift(screening: Screening, wishes: Wishes, page: int) -> Sifted:
    """The products of a page, from 0, in the order of the shortlist. With wishes every row is looked at."""
    if wishes == Wishes():
        placed = screening.placed[page * PAGE : (page + 1) * PAGE]
        products = screening.journal.rows_of(one.number for one in placed)
        return Sifted(tuple(zip(placed, products, strict=True)), len(screening.placed))
    rows, found = [], 0
    for one, product in screening.by_standing():
        if lets_through(wishes, product):
            if page * PAGE <= found < (page + 1) * PAGE:
                rows.append((one, product))
            found += 1
    return Sifted(tuple(rows), found)


def lets_through(wishes: Wishes, product: Screened) -> bool:
    """Whether a product is shown."""
    if wishes.supplier not in (EVERY, supplier_of(product)):
        return False
    if wishes.standing not in (ANY, standing_of(product)):
        return False
    if wishes.verdict == ANY:
        return True
    asked = product.verdicts if wishes.place is None else product.verdicts[wishes.place : wishes.place + 1]
    return any(verdict.verdict == wishes.verdict for verdict in asked)


def suppliers_of(screening: Screening) -> dict[str, int]:
    """The suppliers with the number of their products, by name."""
    counted = Counter(supplier_of(product) for _, product in screening.in_order())
    return dict(sorted(counted.items()))


def supplier_of(product: Screened) -> str:
    """The supplier as it is compared: blanks do not count."""
    return " ".join(product.supplier.split())
