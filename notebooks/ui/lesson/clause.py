"""The exercise on the words “contains 2 % or less of”: what they change, found by reading the label without them."""

from __future__ import annotations

from dataclasses import dataclass

from reader.makeup.assumptions import assume
from reader.makeup.model import models_of
from reader.makeup.values import ORDER
from reader.pipeline import read_label
from reader.polytope.solver import Solver
from reader.quantities import show
from reader.report import Report
from reader.wording import say
from ui.lesson.exercises import NO, YES, Exercise, Question, Remark, not_yet, numeric, right

_SAME = 0.05  # percent; closer shares are shown as the same number


def exercise(statement: str, *, about: str, beside: str, market: str = "US") -> Exercise:
    """Three questions on the clause of a statement: on `about`, a name printed behind it, and on `beside`, a name that
    stands before `about` on the list.

    Raises ValueError where the statement has no such clause or no such names.
    """
    case = _case(statement, about, beside, market)
    changes = (say("lesson_falls"), say("lesson_stays"), say("lesson_rises"))
    return Exercise(
        (
            Question("most", say("lesson_clause_most_asks", name=about), numeric(case.most, "%")),
            Question("without", say("lesson_clause_without_asks", words=case.words, name=about), case.without, changes),
            Question("order", say("lesson_clause_order_asks", first=beside, last=about), case.order, (YES, NO)),
        )
    )


@dataclass(frozen=True, slots=True)
class _Case:
    """What the reader makes of the statement, and of the same without its clause."""

    name: str
    beside: str
    words: str  # the clause as printed
    place: int  # of the item in the list, from 1
    high: float  # the most it can be, in percent
    high_without: float
    may_exceed: bool  # whether there may be more of it than of the one beside it

    def most(self, value: float) -> Remark:
        if abs(value - self.high) < _SAME:
            return right("clause_most_right", most=show(self.high))
        key = "clause_most_above" if value > self.high else "clause_most_below"
        return not_yet(key, value=show(value, 2))

    def without(self, chosen: str) -> Remark:
        change = self.high_without - self.high
        happens = "stays" if abs(change) < _SAME else "rises" if change > 0 else "falls"
        if chosen != say(f"lesson_{happens}"):
            return not_yet("clause_without_not_yet", name=self.name, count=self.place - 1)
        return right("clause_without_right", most=show(self.high), high=show(self.high_without), rank=self.place)

    def order(self, chosen: str) -> Remark:
        tells = "open" if self.may_exceed else "tells"
        names = {"first": self.beside, "last": self.name}
        if (chosen == YES) == (not self.may_exceed):
            return right(f"clause_order_right_{tells}", **names)
        return not_yet(f"clause_order_not_yet_{tells}", **names)


def _case(statement: str, about: str, beside: str, market: str) -> _Case:
    report = read_label(statement, market=market, depth=ORDER)
    at, other = _place(report, about), _place(report, beside)
    item = report.product.ingredients[at]
    if item.clause is None or other > at:
        raise ValueError(f"“{about}” has to stand behind a clause such as “contains 2 % or less of”, after “{beside}”.")
    span = item.clause.span
    without = read_label(statement[: span.start] + statement[span.end :], market=market, depth=ORDER)
    own, bare = _Room(report), _Room(without)
    return _Case(
        about,
        beside,
        " ".join(report.pasted(span).split()).rstrip(":"),
        at + 1,
        own.most(at),
        bare.most(at),
        own.most(at, less=other) > _SAME,
    )


def _place(report: Report, name: str) -> int:
    for place, item in enumerate(report.product.ingredients):
        if " ".join(item.printed.split()).casefold() == " ".join(name.split()).casefold():
            return place
    raise ValueError(f"“{name}” does not stand on this list as it is printed.")


class _Room:
    """What a list leaves possible by itself: without its panel and without habits of the trade."""

    def __init__(self, report: Report) -> None:
        case = report.case
        assumed = assume(case.product, case.facts, case.setting, {})
        model, _ = models_of(case.product, case.listed, case.facts, None, case.market, assumed, case.statement)
        self.solver = Solver(model.without(model.taken_for_granted()).polytope())
        self.masses = [[term for node in place for term in node.mass] for place in model.recipe.places]

    def most(self, place: int, *, less: int | None = None) -> float:
        """The most an ingredient can be, or can exceed another by, in percent of what went in."""
        other = [] if less is None else [(column, -share) for column, share in self.masses[less]]
        return self.solver.end((*self.masses[place], *other), largest=True).value
