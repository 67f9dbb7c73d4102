"""The main path: a pasted label → a Report, one line per stage. Open this file first."""

from __future__ import annotations

from datetime import date

from reader import estimate, facts, ingredients, language, paste, product, scores, statement
from reader.advice import advise
from reader.headline import headline
from reader.panel import Panel, read_panel
from reader.panel_checks import check_panel
from reader.problems import Problem, problem
from reader.report import Report

# What these checks hold a panel against is true of sausages only.
_SAUSAGE_CHECKS = frozenset(("panel_sodium_low", "panel_sodium_high", "panel_serving_weight"))
MARKETS = ("US", "CA", "UK", "EU", "AU")


def read_label(
    statement_text: str,
    panel: str = "",
    *,
    name: str = "",
    market: str = "US",
    on: date | None = None,
    typed_panel: Panel | None = None,
) -> Report:
    """Read one label.

    Any of the texts may hold the whole label. `market` is one of MARKETS ("AU" stands for Australia and New Zealand);
    `on` the day whose rules count; `typed_panel` a panel that came as numbers instead of text. Text never raises, however odd;
    an unknown market raises ValueError.
    """
    if market not in MARKETS:
        raise ValueError(f"market {market!r} is not known; it must be one of {', '.join(MARKETS)}")
    pasted = paste.sort(statement_text, panel, name)
    parsed = statement.read_statement(pasted.statement, pasted.statement_box)
    listed = ingredients.understand(parsed, pasted.statement)
    readable = language.readable(listed, pasted.statement)
    found = facts.gather(listed, pasted.statement, market)
    food = product.classify(listed, pasted.name, readable.ok)
    values = typed_panel if typed_panel is not None else read_panel(pasted.panel, market, box=pasted.panel_box)
    makeup = estimate.make_up(food, market)
    aspects = scores.score(food, found, makeup, values, market)
    advice = advise(food, found, makeup, values, listed, market)
    checks = [p for p in check_panel(values) if food.food == product.SAUSAGE or p.kind not in _SAUSAGE_CHECKS]
    problems = (*_about_paste(pasted, readable.problem), *listed.problems, *values.problems, *checks)
    return Report(
        statement_text, panel, name, market, on, listed, found, food, makeup, values, aspects, advice,
        headline(food, found, values), problems,
    )  # fmt: skip


def _about_paste(pasted: paste.Paste, unreadable: Problem | None) -> tuple[Problem, ...]:
    cut = tuple(problem("too_long", None, box=box, most=paste.MOST) for box in pasted.cut)
    return (*cut, unreadable) if unreadable else cut
