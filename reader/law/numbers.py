"""Judges of the printed numbers of a panel: their rounding, their energy, their percentages of a day.

They look at panels pasted as text only: numbers typed into a table say nothing of how a pack prints them. A number
counts against a label only where the panel was read without a doubt.
"""

from __future__ import annotations

from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import BREAKS, Ruling, breaks, cannot_tell, meets
from reader.panel.checks import check_panel
from reader.panel.form import fitting_days
from reader.panel.rounding import Rule as Rounding
from reader.panel.rounding import printings, rule_for
from reader.panel.standards import percent_checked
from reader.panel.values import PACK, SERVING, Amount, Column, Panel
from reader.quantities import show
from reader.wording import say

ENERGY = "energy"  # in a list of lines: kJ, kcal or both
_UNITS = {"kj": "kJ", "kcal": "kcal"}
_TINY = 1e-6


def printed_panel(case: Case) -> Panel | None:
    """The panel, if it was pasted as text and has the layout of the market whose rules are asked; else None."""
    panel = case.panel
    if panel.form in ("columns", "none") or panel.empty or panel.market != case.market:
        return None
    return panel


def rounding(rule: Rule, case: Case) -> Ruling | None:
    """Whether each number is one that the rounding of lexicon/rounding.yaml can give.

    Of rows whose rounding was only remembered nothing is said, unless the whole rule is; nor of rows that are
    `left_out`. Guidance binds nobody. Where most numbers are odd, they are hardly those of the pack.
    """
    panel = printed_panel(case)
    if panel is None:
        return None
    odd, judged, bound, left_out = [], [], True, rule.words("left_out")
    for column in panel.columns:
        for amount in column.amounts:
            steps = rule_for(panel.market, amount.nutrient, column.basis)
            if (
                steps is None
                or amount.less_than
                or amount.nutrient in left_out
                or steps.status != rule.status == "read"
            ):
                continue
            judged.append(amount)
            near = _nearest(steps, amount)
            if near:
                odd.append((amount, near))
                bound = bound and steps.law
    if not judged:
        return None
    if not odd:
        return meets("rounding_meets", *(amount.span for amount in judged), count=len(judged))
    spans = [amount.span for amount, _ in odd]
    numbers = ", ".join(told(amount, amount.printed) for amount, _ in odd)
    nearest = ", ".join(near for _, near in odd)
    if not bound:
        return cannot_tell("rounding_guidance", *spans, printed=numbers, expected=nearest)
    per_serving = panel.serving_span is not None or panel.column(PACK) is not None
    if per_serving and not panel.problems and 2 * len(odd) <= len(judged):
        return breaks("rounding_breaks", *spans, printed=numbers, expected=nearest)
    return cannot_tell("rounding_open", *spans, printed=numbers, expected=nearest)


def arithmetic(rule: Rule, case: Case) -> Ruling | None:
    """Whether the `lines` of a column fit together as the checks of the panel (`problems`) see it. A difference that
    has other explanations leaves the rule open; the rule says in `verdicts` whether it can be broken at all.
    """
    panel = printed_panel(case)
    if panel is None:
        return None
    column = next((c for c in panel.columns if all(amount_of(c, line) for line in rule.words("lines"))), None)
    if column is None:
        return None
    odd = [problem for problem in check_panel(panel) if problem.kind in rule.words("problems")]
    if odd:
        ruled = breaks if BREAKS in rule.verdicts and not panel.problems else cannot_tell
        return ruled("arithmetic_other", *(problem.span for problem in odd))
    return meets("arithmetic_meets", *(a.span for line in rule.words("lines") if (a := amount_of(column, line))))


def percents(_rule: Rule, case: Case) -> Ruling | None:
    """Whether each percentage of a day can be that of the amount beside it, on one of the days known."""
    panel = printed_panel(case)
    if panel is None:
        return None
    of = tuple(p for p in panel.daily_percents if p[0] in percent_checked(panel.market))
    fitting = fitting_days(panel.columns, of, panel.market)
    if not fitting:
        return None
    wrong = [(amount, percent, span) for amount, percent, span, days in fitting if not days]
    if wrong:
        amount, percent, span = wrong[0]
        # A percentage per portion beside an amount per 100 g says nothing of the amount.
        certain = not panel.problems and (panel.column(SERVING) is not None or panel.serving_g is None)
        ruled = breaks if certain else cannot_tell
        beside = told(amount, amount.printed)
        return ruled("percent_other", span, amount.span, percent=show(percent), amount=beside)
    if any(problem.kind == "panel_percent_mixed" for problem in check_panel(panel)):
        return cannot_tell("percent_mixed", *(span for _, _, span, _ in fitting))
    return meets("percent_meets", *(span for _, _, span, _ in fitting), count=len(fitting))


def told(amount: Amount, number: float) -> str:
    """A number with the unit of an amount's nutrient."""
    unit = amount.nutrient.rsplit("_", 1)[-1]
    return f"{show(number, 3)} {_UNITS.get(unit, unit)}"


def line_of(nutrient: str) -> str:
    """The line of a panel a nutrient stands on: itself, or ENERGY for kJ and kcal."""
    return ENERGY if nutrient.startswith(ENERGY) else nutrient


def amount_of(column: Column, line: str) -> Amount | None:
    """The amount of a line; "energy" is kJ or kcal."""
    return next((a for a in column.amounts if line_of(a.nutrient) == line), None)


def _nearest(steps: Rounding, amount: Amount) -> str:
    """The printings nearest to a number that the steps cannot give, in words; "" if they can."""
    near = printings(steps, amount.printed)
    if any(abs(number - amount.printed) < _TINY and not less for number, less in near):
        return ""
    ways = (say("page_less_than", value=told(amount, n)) if less else told(amount, n) for n, less in near)
    return " / ".join(dict.fromkeys(ways))


JUDGES = {"panel_arithmetic": arithmetic, "panel_percents": percents, "panel_rounding": rounding}
