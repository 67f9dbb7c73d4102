"""Whose rules count and what the product is read as: two switches above the findings."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from reader import pipeline
from reader.law.classes import classed, classes_of
from reader.page.parts import said
from reader.report import Report
from reader.wording import say

AS_FOUND = ""


class Ruled:
    """Calls `on_market` with a market, `on_class` with the id of a class (AS_FOUND for the one found) when chosen."""

    def __init__(self, on_market: Callable[[str], None], on_class: Callable[[str], None]) -> None:
        markets = [(say(f"page_market_{m}"), m) for m in pipeline.MARKETS]
        self.market = widgets.Dropdown(options=markets, tooltip=say("page_rules_market"))
        self.classed = widgets.Dropdown(options=[("", AS_FOUND)], tooltip=say("page_rules_class"))
        self._quiet = False  # while the switches are set to what was read, nothing is asked for
        self.market.observe(lambda change: self._tell(on_market, change), "value")
        self.classed.observe(lambda change: self._tell(on_class, change), "value")
        rows = [_row("page_rules_market", self.market), _row("page_rules_class", self.classed)]
        self.view = widgets.VBox(rows).add_class("ruled")

    def show(self, report: Report) -> None:
        """Set the switches to what a report was read with."""
        case = report.case
        found_class = classed(case.product, case.facts, case.setting.front, report.market)
        found = say("page_rules_class_found", title=found_class.title)
        options = [(found, AS_FOUND), *((c["title"], name) for name, c in classes_of(report.market).items())]
        self._quiet = True
        try:
            self.market.value = report.market
            if tuple(options) != tuple(self.classed.options):
                self.classed.options = options
            self.classed.value = report.classed.id if report.classed.chosen else AS_FOUND
        finally:
            self._quiet = False

    def _tell(self, told: Callable[[str], None], change: Any) -> None:
        if not self._quiet:
            told(change["new"])


def _row(key: str, switch: widgets.Widget) -> widgets.Widget:
    return widgets.VBox([widgets.HTML(f"<p>{said(key)}</p>"), switch]).add_class("switch")
