"""Lays out the page. Open this file first: what the parts of the app share is made here and nowhere else."""

from __future__ import annotations

import logging
from threading import Thread

import ipywidgets as widgets
from IPython.display import display

from reader import pipeline
from reader.page import charts, page
from reader.page.parts import said
from reader.page.sheet import sheet_styles
from ui.beside.beside import Beside
from ui.classroom.classroom import Classroom
from ui.inputs import examples
from ui.keyring import Keyring
from ui.one_pack import OnePack
from ui.places import Places
from ui.quick_start import spare_address_grammar
from ui.screening.suppliers import Suppliers
from ui.shelves import Readings, Shelves
from ui.spoken import Spoken
from ui.state import State

log = logging.getLogger(__name__)


class Desk:
    """One visitor's page."""

    def __init__(self, state: State | None = None) -> None:
        self.state = state or State()
        self.keyring, self.spoken, self.readings = Keyring(), Spoken(), Readings()
        self.shelves = Shelves(self.keyring)
        self.one = OnePack(self.state, self.shelves, self.spoken)
        self.places = Places(
            {
                "one": lambda: self.one,
                "beside": lambda: Beside(self.shelves, self.readings, self.spoken),
                "class": lambda: Classroom(self.shelves, self.readings, self.spoken),
                "suppliers": lambda: Suppliers(self.spoken),
            },
            self.spoken,
        )

    def view(self) -> widgets.Widget:
        """The whole page."""
        lead = f"<header><h1>{said('app_title')}</h1><p>{said('app_lead')}</p></header>"
        top = widgets.HTML(f"<style>{page.styles()}{sheet_styles()}</style>{lead}")
        self.places.go("one")
        box = widgets.VBox([top, self.keyring.view, self.spoken.view, self.places.view])
        return box.add_class("sheet").add_class("desk")


def show() -> None:
    """Put the page up, then load what the first click will need while nobody waits."""
    display(Desk().view())  # type: ignore[no-untyped-call]
    Thread(target=_warm, daemon=True).start()


def _warm() -> None:
    try:
        spare_address_grammar()
        example = examples()[0]
        report = pipeline.read_label(example["statement"], example["panel"], name=example["name"])
        page.document(report)
        for picture in charts.pictures(report):
            charts.as_v5(picture.chart)
    except Exception:
        log.exception("The page could not be warmed up; the first reading will be slower.")
