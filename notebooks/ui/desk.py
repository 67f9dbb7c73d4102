"""Lays out the page "One pack". Open this file first: state, inputs, results, downloads meet here and nowhere else."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import date
from threading import Thread

import ipywidgets as widgets
from IPython.display import display

from reader import pipeline
from reader.makeup.values import POSSIBLE
from reader.page import charts, page
from reader.page.parts import said
from reader.report import Report
from reader.wording import say
from ui import downloads
from ui.inputs import Inputs, examples
from ui.results import Results
from ui.state import State

log = logging.getLogger(__name__)


class Desk:
    """One visitor's page."""

    def __init__(self, state: State | None = None) -> None:
        self.state = state or State()
        self.inputs = Inputs(self.state, self.read)
        self.results = Results(self.assume, self.under, self.as_class)
        self._turn = 0  # counts readings, so that a late answer to an earlier one is dropped
        self.files = widgets.HTML()

    def view(self) -> widgets.Widget:
        """The whole page."""
        lead = f"<header><h1>{said('app_title')}</h1><p>{said('app_lead')}</p></header>"
        top = widgets.HTML(f"<style>{page.styles()}</style>{lead}")
        title = widgets.HTML(f"<h2>{said('app_part_label')}</h2>").add_class("part-title")
        asked = widgets.VBox([title, self.inputs.view().add_class("part-body")]).add_class("desk-part")
        box = widgets.VBox([top, asked, self.results.view(), self.files])
        return box.add_class("sheet").add_class("desk")

    def read(self) -> None:
        """Read what is typed: words at once, pictures and files after them, what is likely last. Never raises."""
        if self.state.read():
            self._show(self.results.show_words)

    def assume(self, name: str, choice: str) -> None:
        """Read the same label again with one assumption changed."""
        self.state.choices = {**self.state.choices, name: choice}
        self._again()

    def under(self, market: str) -> None:
        """Read the same label again by the rules of another market."""
        self.state.market = market
        self._again()

    def as_class(self, chosen: str) -> None:
        """Read the same label again as another class of product ("" for the one found)."""
        self.state.classed_as = chosen
        self._again()

    def _again(self) -> None:
        if self.state.read(again=True):
            self._show(self.results.show_again)

    def _show(self, show_words: Callable[[Report], None]) -> None:
        report = self.state.report
        self._turn += 1
        try:
            show_words(report)
            self.results.show_pictures(report)
            self.files.value = downloads.links(report, date.today())
        except Exception:  # a fault of ours; what is shown already stays
            log.exception("The reading could not be shown whole.")
            self.state.message = say("app_fault_show")
            return
        if report.makeup.depth == POSSIBLE:
            Thread(target=self._go_on, args=(self._turn,), daemon=True).start()

    def _go_on(self, turn: int) -> None:
        """Find what is likely while the visitor reads, and put it in its place, unless another label was read since."""
        report = self.state.likely()
        if report is None or turn != self._turn:
            return
        try:
            self.state.report = report
            self.results.show_again(report)
            self.files.value = downloads.links(report, date.today())
        except Exception:
            log.exception("The likely make-up could not be shown.")


def show() -> None:
    """Put the page up, then load what the first click will need while nobody waits."""
    display(Desk().view())  # type: ignore[no-untyped-call]
    Thread(target=_warm, daemon=True).start()


def _warm() -> None:
    try:
        example = examples()[0]
        report = pipeline.read_label(example["statement"], example["panel"], name=example["name"])
        page.document(report)
        for picture in charts.pictures(report):
            charts.as_v5(picture.chart)
    except Exception:
        log.exception("The page could not be warmed up; the first reading will be slower.")
