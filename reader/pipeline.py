"""The main path: a pasted label → a Report, one line per stage. Open this file first."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from reader import paste
from reader.facts import gather, nothing
from reader.front import beside, front_of
from reader.ingredients import understand
from reader.language import readable
from reader.law.case import Case
from reader.law.classes import classed
from reader.law.findings import judge
from reader.law.setting import Setting
from reader.makeup.estimate import make_up
from reader.makeup.values import LIKELY
from reader.panel.checks import check_panel
from reader.panel.reading import Panel, read_panel
from reader.problems import Problem, problem
from reader.product import SAUSAGE, classify
from reader.report import Report
from reader.scores import score
from reader.statement.grammar import read_statement
from reader.wording import say

MARKETS = ("US", "CA", "UK", "EU", "AU")
# What these checks hold a panel against is true of sausages only.
_SAUSAGE_CHECKS = frozenset(("panel_sodium_low", "panel_sodium_high", "panel_serving_weight"))


def read_label(
    statement: str,
    panel: str = "",
    *,
    name: str = "",
    market: str = "US",
    on: date | None = None,
    typed_panel: Panel | None = None,
    depth: str = LIKELY,
    choices: Mapping[str, str] | None = None,
    classed_as: str = "",
) -> Report:
    """Read one label.

    Any of the texts may hold the whole label. `market` is one of MARKETS ("AU" stands for Australia and New Zealand),
    `on` the day whose rules count, `typed_panel` a panel that came as numbers instead of text. Text never raises,
    however odd; an unknown market raises ValueError.
    """
    if market not in MARKETS:
        raise ValueError(f"market {market!r} is not known; it must be one of {', '.join(MARKETS)}")
    boxes = paste.sort(statement, panel, name)
    listed = understand(read_statement(boxes.statement, boxes.statement_box), boxes.statement, market)
    language = readable(listed, boxes.statement)
    found = gather(listed, boxes.statement, market)
    facts = found if language.ok else nothing(found)
    front, sentences = front_of(boxes.name, listed, boxes.statement), beside(listed, boxes.statement)
    product = classify(listed, front, language.ok)
    setting = Setting(market, on, front, sentences, classed(product, facts, front, market, classed_as))
    values = typed_panel if typed_panel is not None else read_panel(boxes.panel, market, box=boxes.panel_box)
    makeup = make_up(product, listed, facts, values, setting, text=boxes.statement, depth=depth, choices=choices)
    case = Case(product, listed, facts, makeup, values, setting, boxes.statement, boxes.panel, boxes.name)
    return Report(
        statement=statement,
        panel_text=panel,
        name=name,
        market=market,
        on=on,
        listed=listed,
        facts=facts,
        product=product,
        makeup=makeup,
        panel=values,
        aspects=score(product, facts, makeup, values, market),
        problems=(
            *_about_paste(boxes, language.problem),
            *listed.problems,
            *values.problems,
            *(p for p in check_panel(values) if product.food == SAUSAGE or p.kind not in _SAUSAGE_CHECKS),
        ),
        case=case,
        findings=judge(case),
    )


def _about_paste(boxes: paste.Paste, unreadable: Problem | None) -> tuple[Problem, ...]:
    cut = tuple(problem("too_long", None, box=say(f"page_box_{box}"), most=f"{paste.MOST:,}") for box in boxes.cut)
    return (*cut, unreadable) if unreadable else cut
