"""One product of the shortlist: its verdicts with their reasons, and the whole reading of its label on demand."""

from __future__ import annotations

import ipywidgets as widgets

from reader.catalogue.panels import typed_panel_of
from reader.catalogue.values import Entry
from reader.house.values import Specification
from reader.page.parts import esc
from reader.screening.values import Screened
from reader.wording import say
from ui.notice import Notice
from ui.reading import ReadingView
from ui.screening.product_words import name_of, verdicts
from ui.spoken import Spoken
from ui.state import State


class OpenedProduct:
    """Shows one product at a time."""

    def __init__(self, spoken: Spoken) -> None:
        self._spoken = spoken
        self._product: Screened | None = None
        self._reading: ReadingView | None = None  # made when it is first asked for
        self._view: widgets.Widget | None = None
        self.state = State()
        self.notice = Notice()
        self.words = widgets.HTML()
        self.read = widgets.Button(description=say("label_whole_reading"))
        self._slot = widgets.VBox([]).add_class("opened-reading")
        box = widgets.VBox([self.words, self.read, self.notice.view]).add_class("boxes")
        self.view = widgets.VBox([box, self._slot])
        self.read.on_click(lambda _: self._read())
        self.state.observe(lambda change: self.notice.tell(change["new"]), "message")
        self.show(None, None)

    def show(self, product: Screened | None, specification: Specification | None) -> None:
        """Show the verdicts of a product; None to put it away."""
        self._product = product
        self._slot.children = ()
        self.notice.tell("")
        there = product is not None and specification is not None
        self.view.layout.display = "" if there else "none"
        if product is None or specification is None:
            return
        self.words.value = f"<h3>{esc(name_of(product))}</h3>{verdicts(product, specification)}"
        self.read.layout.display = "" if product.read else "none"

    def _read(self) -> None:
        """The whole reading of its label, as of one pack."""
        product = self._product
        if product is None:
            return
        texts = {field: getattr(product, field) for field in ("statement", "panel", "name", "price", "market")}
        self.state.put(texts)
        self.state.typed_panel = typed_panel_of(_entry(product), self.state.market)
        if self._reading is None or self._view is None:
            self._reading = ReadingView(self.state, self._spoken)
            self._view = self._reading.view()
        self._slot.children = (self._view,)  # first: a chart takes its width from its place
        self._reading.read()


def _entry(product: Screened) -> Entry:
    """What is known of a product's panel, as the catalogue has it."""
    place = product.number, product.file, product.sheet, product.row, product.cells
    return Entry(*place, panel=product.panel, typed=product.typed, basis=product.basis)
