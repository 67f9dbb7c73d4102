"""Lays out the page "One pack". Open this file first: state, inputs, results, downloads meet here and nowhere else."""

from __future__ import annotations

import logging
from datetime import date
from threading import Thread

import ipywidgets as widgets
from IPython.display import display

from reader import pipeline
from reader.page import charts, page
from reader.page.parts import said
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
        self.results = Results()
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
        """Read what is typed: words at once, pictures and files after them. Never raises."""
        if not self.state.read():
            return
        report = self.state.report
        try:
            self.results.show_words(report)
            self.results.show_pictures(report)
            self.files.value = downloads.links(report, date.today())
        except Exception:  # a fault of ours; what is shown already stays
            log.exception("The reading could not be shown whole.")
            self.state.message = say("app_fault_show")


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
