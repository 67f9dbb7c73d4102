"""What differs between two labels: the lists term by term, the panels row by row, each with its places."""

from __future__ import annotations

from dataclasses import dataclass

from reader import wordforms
from reader.compare.alignment import ROLE, Pair, align, moved, terms
from reader.panel.values import PER_100G, SERVING, Panel
from reader.quantities import Interval
from reader.report import Report
from reader.spans import Span

# What a pair of terms can differ in.
ONLY_LEFT, ONLY_RIGHT, OTHER_TERM, OTHER_WORDS = "only_left", "only_right", "other_term", "other_words"
EARLIER, LATER, PERCENT, CLAUSE, INSIDE = "earlier", "later", "percent", "clause", "inside"
# What two rows of a panel come to.
TOGETHER, APART = "together", "apart"


@dataclass(frozen=True, slots=True)
class TermDifference:
    """Two terms that answer each other and what they differ in, () if in nothing.

    left_place, right_place: where they stand in the two pasted texts; None where there is no such term.
    """

    pair: Pair
    differs: tuple[str, ...]

    @property
    def left_place(self) -> Span | None:
        """Where the term stands in the left label."""
        return self.pair.left.ingredient.span if self.pair.left else None

    @property
    def right_place(self) -> Span | None:
        """Where the term stands in the right label."""
        return self.pair.right.ingredient.span if self.pair.right else None


@dataclass(frozen=True, slots=True)
class RowDifference:
    """One row of the panels, both on one basis ("100g", "serving").

    left, right: the true values each printed number can stand for, in the unit at the end of the nutrient's id; None
    where a label does not state it. verdict: TOGETHER (the two have a value in common: they cannot be told apart),
    APART, ONLY_LEFT or ONLY_RIGHT.
    """

    nutrient: str
    basis: str
    left: Interval | None
    right: Interval | None
    verdict: str
    left_place: Span | None
    right_place: Span | None


@dataclass(frozen=True, slots=True)
class Differences:
    """What differs between two labels. terms: all pairs in reading order, those that differ in nothing too."""

    left: Report
    right: Report
    terms: tuple[TermDifference, ...]
    rows: tuple[RowDifference, ...]
    casings: tuple[str, str]

    @property
    def none(self) -> bool:
        """Whether they differ in nothing that can be told."""
        return (
            not any(t.differs for t in self.terms)
            and all(r.verdict == TOGETHER for r in self.rows)
            and self.casings[0] == self.casings[1]
        )


def differences(left: Report, right: Report) -> Differences:
    """Two labels side by side; of each, the list of the sausage itself, and the panel."""
    pairs = align(terms(left.product.ingredients), terms(right.product.ingredients))
    movers = moved(pairs)
    return Differences(
        left,
        right,
        tuple(TermDifference(p, _differs(p, movers)) for p in pairs),
        _rows(left.panel, right.panel),
        (left.facts.casing.value, right.facts.casing.value),
    )


def _differs(pair: Pair, movers: frozenset[int]) -> tuple[str, ...]:
    left, right = pair.left, pair.right
    if left is None or right is None:
        return (ONLY_RIGHT,) if left is None else (ONLY_LEFT,)
    a, b = left.ingredient, right.ingredient
    found = []
    if pair.by == ROLE:
        found.append(OTHER_TERM)
    elif wordforms.key(a.printed) != wordforms.key(b.printed):
        found.append(OTHER_WORDS)
    if left.rank in movers:
        found.append(EARLIER if right.rank < left.rank else LATER)
    if not _same_numbers(a.percent, b.percent):
        found.append(PERCENT)
    if (a.clause.percent if a.clause else None) != (b.clause.percent if b.clause else None):
        found.append(CLAUSE)
    if pair.by != ROLE and bool(left.inside) != bool(right.inside):
        found.append(INSIDE)
    return tuple(found)


def _same_numbers(a: Interval | None, b: Interval | None) -> bool:
    return a is b or (a is not None and b is not None and a.meets(b))


def _rows(left: Panel, right: Panel) -> tuple[RowDifference, ...]:
    """Rows that either panel prints, on the basis both allow: per 100 g where there is one, else per serving."""
    printed = dict.fromkeys(a.nutrient for panel in (left, right) for c in panel.columns for a in c.amounts)
    found = [_row(left, right, nutrient) for nutrient in printed]
    return tuple(row for row in found if row is not None)


def _row(left: Panel, right: Panel, nutrient: str) -> RowDifference | None:
    ways = [(PER_100G, left.per_100g(nutrient), right.per_100g(nutrient)),
            (SERVING, left.per_serving(nutrient), right.per_serving(nutrient))]  # fmt: skip
    both = [way for way in ways if way[1] is not None and way[2] is not None]
    some = [way for way in ways if way[1] is not None or way[2] is not None]
    if not some:
        return None
    basis, a, b = (both or some)[0]
    if a is not None and b is not None:
        verdict = TOGETHER if a.meets(b) else APART
    else:
        verdict = ONLY_LEFT if b is None else ONLY_RIGHT
    return RowDifference(nutrient, basis, a, b, verdict, _place(left, nutrient), _place(right, nutrient))


def _place(panel: Panel, nutrient: str) -> Span | None:
    amounts = (column.get(nutrient) for column in panel.columns)
    return next((a.span for a in amounts if a is not None and a.span is not None), None)
