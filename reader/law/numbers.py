"""Judges of the printed numbers of a panel: their rounding, their energy, their percentages of a day.

A number counts against a label only where the panel was read without a doubt.
"""

from __future__ import annotations

from collections.abc import Iterator

from reader.law.case import Case
from reader.law.printed_panel import amount_of, amount_told, printed_panel
from reader.law.rules import Rule
from reader.law.values import BREAKS, TINY, Ruling, breaks, cannot_tell, meets
from reader.panel.checks import check_panel
from reader.panel.form import fitting_days
from reader.panel.rounding import Rule as Rounding
from reader.panel.rounding import printings, rule_for
from reader.panel.standards import percent_checked
from reader.panel.values import PACK, SERVING, Amount, Panel
from reader.quantities import show
from reader.wording import say


def rounding(rule: Rule, case: Case) -> Ruling | None:
    """Whether each number is one that the rounding of lexicon/rounding.yaml can give.

    Of rows whose rounding was only remembered nothing is said, unless the whole rule is; nor of rows that are
    `left_out`. Guidance binds nobody. Where most numbers are odd, they are hardly those of the pack.
    """
    panel = printed_panel(case)
    judged = list(_rounded(rule, panel)) if panel is not None else []
    if panel is None or not judged:
        return None
    odd = [(amount, steps, near) for amount, steps in judged if (near := _nearest(steps, amount))]
    if not odd:
        return meets("rounding_meets", *(amount.span for amount, _ in judged), count=len(judged))
    spans = [amount.span for amount, _, _ in odd]
    numbers = ", ".join(amount_told(amount.nutrient, amount.printed) for amount, _, _ in odd)
    nearest = ", ".join(near for _, _, near in odd)
    if not all(steps.law for _, steps, _ in odd):
        return cannot_tell("rounding_guidance", *spans, printed=numbers, expected=nearest)
    per_serving = panel.serving_span is not None or panel.column(PACK) is not None
    if per_serving and not panel.problems and 2 * len(odd) <= len(judged):
        return breaks("rounding_breaks", *spans, printed=numbers, expected=nearest)
    return cannot_tell("rounding_open", *spans, printed=numbers, expected=nearest)


def _rounded(rule: Rule, panel: Panel) -> Iterator[tuple[Amount, Rounding]]:
    """The numbers of a panel whose rounding is known as surely as the rule, with the rounding."""
    for column in panel.columns:
        for amount in column.amounts:
            steps = rule_for(panel.market, amount.nutrient, column.basis)
            if steps is None or amount.less_than or amount.nutrient in rule.words("left_out"):
                continue
            if steps.status == "read" or rule.status != "read":
                yield amount, steps


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
        beside = amount_told(amount.nutrient, amount.printed)
        return ruled("percent_other", span, amount.span, percent=show(percent), amount=beside)
    if any(problem.kind == "panel_percent_mixed" for problem in check_panel(panel)):
        return cannot_tell("percent_mixed", *(span for _, _, span, _ in fitting))
    return meets("percent_meets", *(span for _, _, span, _ in fitting), count=len(fitting))


def _nearest(steps: Rounding, amount: Amount) -> str:
    """The printings nearest to a number that the steps cannot give, in words; "" if they can."""
    near = printings(steps, amount.printed)
    if any(abs(number - amount.printed) < TINY and not less for number, less in near):
        return ""
    told = [(amount_told(amount.nutrient, number), less) for number, less in near]
    return " / ".join(dict.fromkeys(say("page_less_than", value=value) if less else value for value, less in told))


JUDGES = {"panel_arithmetic": arithmetic, "panel_percents": percents, "panel_rounding": rounding}
