"""What the statement prints → rows: order by weight, clauses, declared percentages and ratios.

Ingredients stand in falling order of weight at the time of use (US 9 CFR 317.2(f)(1); EU 1169/2011 Art 18); each one
under a clause is at most its percentage (9 CFR 317.2(f)(1)(vi)); two meats joined by "and" may stand in either order
(9 CFR 317.2(f)(1)(v)). A declared percentage may be meant of the weight used or of the weight sold; its row leaves
room for both, and what either way says beyond that is kept apart.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from reader.makeup.recipe import FINISHED, USED, Node, Place, Recipe, Terms
from reader.makeup.settings import free_order, water_as_finished
from reader.makeup.values import Reason
from reader.polytope.rows import Row
from reader.quantities import Interval, show
from reader.spans import Span

# What one unit of letting go is, in points of the whole: a wrong order is likelier than a wrong printed number.
_GIVE_ORDER, _GIVE_CLAUSE, _GIVE_DECLARED = 1.0, 0.5, 2.0
OF_USED, OF_SOLD = "used", "sold"  # ways to read a declared percentage


class Printed:
    """The rows of a statement with a reason for each fact."""

    def __init__(self, recipe: Recipe, market: str) -> None:
        self.rows: list[Row] = []
        self.reasons: dict[str, Reason] = {}
        self.readings: dict[str, list[Row]] = {OF_USED: [], OF_SOLD: []}
        self.free = free_order(market)
        self.water_as_finished = water_as_finished(market)
        self.list(recipe.places, "")

    def list(self, places: Sequence[Place], inside: str) -> None:
        """The rows of one list and of the lists inside it."""
        blocks: list[list[Place]] = []
        told = self.free.ordered([place[0].ingredient.role for place in places])
        for k, place in enumerate(places):
            first = place[0].ingredient
            if first.clause is not None:
                self.clause(place)
            elif k >= told:
                continue  # from here on the order says nothing
            elif blocks and _either_order(blocks[-1][-1], place):
                blocks[-1].append(place)
            else:
                blocks.append([place])
        for rank, (before, after) in enumerate(itertools.pairwise(blocks), 2):
            for lighter in after:
                for heavier in before:
                    self.order(heavier, lighter, rank, inside)
        for place in places:
            for node in place:
                if node.ingredient.percent is not None:
                    self.declared(node, node.ingredient.percent, bool(inside))
                if node.children:
                    self.list(node.children, node.ingredient.printed)

    def order(self, heavier: Place, lighter: Place, rank: int, inside: str) -> None:
        """The second is not heavier than the first; small ones may be, in markets that let them follow in any order."""
        first, second = self.counted(heavier), self.counted(lighter)
        fact = f"order {lighter[0].path}"
        keep = 1.0 - self.free.most / 100
        terms = plus(second, tuple((c, -keep * v) for c, v in first))
        if self.free.most:
            terms = plus(terms, ((USED, -self.free.most / 100),))
        self.rows.append(Row(fact, terms, high=0.0, give=_GIVE_ORDER))
        item = lighter[0].ingredient
        key = "why_order_inside" if inside else "why_order"
        values = (("name", _name(item.printed)), ("rank", str(rank)), ("inside", _name(inside)))
        self.reasons[fact] = Reason(fact, "label", key, values, item.span, self.free.source or "cfr_9_317_2")

    def counted(self, place: Place) -> Terms:
        """The weight by which a place stands in the order."""
        if self.water_as_finished and place[0].ingredient.role == "water":
            return plus(_mass(place), ((FINISHED, 1.0), (USED, -1.0)))
        return _mass(place)

    def clause(self, place: Place) -> None:
        """Each of them is at most the percentage of the clause, of the whole product."""
        for node in place:
            item = node.ingredient
            clause = item.clause or place[0].ingredient.clause
            assert clause is not None
            fact = f"clause {node.path}"
            terms = plus(node.mass, ((USED, -clause.percent / 100),))
            self.rows.append(Row(fact, terms, high=0.0, give=_GIVE_CLAUSE))
            values = (("name", _name(item.printed)), ("percent", show(clause.percent)))
            self.reasons[fact] = Reason(fact, "label", "why_clause", values, clause.span, "cfr_9_317_2")

    def declared(self, node: Node, percent: Interval, inside: bool) -> None:
        """A printed percentage, of the weight used or sold; inside a bracket perhaps of the bracket alone."""
        item = node.ingredient
        fact = f"declared {node.path}"
        self.reasons[fact] = Reason(
            fact, "label", "why_declared", (("name", _name(item.printed)), ("percent", _percent(percent))),
            item.percent_span or item.span, "eu_1169_2011",
        )  # fmt: skip

        def least(whole: int) -> Row:
            return Row(fact, plus(node.mass, ((whole, -percent.low / 100),)), low=0.0, give=_GIVE_DECLARED)

        def most(whole: int) -> Row:
            return Row(fact, plus(node.mass, ((whole, -percent.high / 100),)), high=0.0, give=_GIVE_DECLARED)

        either = percent.high <= 100
        if not inside:
            self.rows.append(least(FINISHED))
            if either:
                self.readings[OF_USED].append(least(USED))
                self.readings[OF_SOLD].append(most(FINISHED))
        self.rows.append(most(USED if either else FINISHED))

    def ratio(self, mass: Terms, words: str, grams: Interval, span: Span) -> None:
        """ "Made with 120 g pork per 100 g": so much was used for 100 g as sold."""
        fact = f"ratio {words}"
        self.rows.append(Row(fact, plus(mass, ((FINISHED, -grams.low / 100),)), low=0.0, give=_GIVE_DECLARED))
        self.rows.append(Row(fact, plus(mass, ((FINISHED, -grams.high / 100),)), high=0.0, give=_GIVE_DECLARED))
        values = (("name", words), ("grams", _percent(grams)))
        self.reasons[fact] = Reason(fact, "label", "why_ratio", values, span, "eu_1169_2011")


def _either_order(first: Place, second: Place) -> bool:
    a, b = first[0].ingredient, second[0].ingredient
    return b.joiner in ("and", "&") and a.role == b.role == "meat"


def _mass(place: Place) -> Terms:
    return tuple(term for node in place for term in node.mass)


def plus(*rows: Terms) -> Terms:
    """The sum of rows, each column once."""
    total: dict[int, float] = {}
    for row in rows:
        for column, value in row:
            total[column] = total.get(column, 0.0) + value
    return tuple(total.items())


def _percent(interval: Interval) -> str:
    middle = (interval.low + interval.high) / 2
    return show(middle, 2)


def _name(printed: str) -> str:
    return " ".join(printed.split()).lower()
