"""One label's reading on the page, from the first words to what is likely."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import date
from threading import Thread

import ipywidgets as widgets

from reader.makeup.values import POSSIBLE
from reader.report import Report
from reader.wording import say
from ui import downloads
from ui.results import Results, told
from ui.spoken import Spoken
from ui.state import State

log = logging.getLogger(__name__)


class ReadingView:
    """Shows what `state` holds: words at once, pictures and files after them, what is likely last. Never raises."""

    def __init__(self, state: State, spoken: Spoken) -> None:
        self.state, self._spoken = state, spoken
        self.results = Results(self.assume, self.under, self.as_class)
        self.files = widgets.HTML()
        self._turn = 0  # counts readings, so that a late answer to an earlier one is dropped

    def view(self) -> widgets.Widget:
        """The reading and its files."""
        return widgets.VBox([self.results.view(), self.files])

    def read(self) -> bool:
        """Read what is typed; whether there is a reading."""
        done = self.state.read()
        if done:
            self._show(self._show_new)
        return done

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

    def _show_new(self, report: Report) -> None:
        self.results.show_words(report)
        self._spoken.say(told(report))
        self.results.show_pictures(report)

    def _show(self, show: Callable[[Report], None]) -> None:
        report = self.state.report
        self._turn += 1
        try:
            show(report)
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
