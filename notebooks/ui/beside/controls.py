"""The boxes in which a visitor says what counts, in which order the packs stand and which are let through."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from reader.compare.measures import WORDS, measure, measures
from reader.compare.ranking import CRITERIA, LIKELY, POSSIBLE, TOP
from reader.page.comparison import criterion_name
from reader.page.pack_figures import measure_name
from reader.page.parts import said
from reader.wording import say
from ui.beside.wishes import ANY, AS_THEY_CAME, BY_RANK, Wishes


class Weights:
    """A weight for each criterion, and which ranges decide."""

    def __init__(self, on_change: Callable[[], None]) -> None:
        # A list to choose from, not a slider: it can be hit with a thumb and read out.
        counts = [(say("label_weight_none"), 0.0), *((str(n), float(n)) for n in range(1, int(TOP) + 1))]
        self.boxes = {
            name: widgets.Dropdown(description=_capital(criterion_name(name)), options=counts) for name in CRITERIA
        }
        options = [(say(f"label_rank_{by}"), by) for by in (LIKELY, POSSIBLE)]
        self.by = widgets.Dropdown(description=say("label_rank_by"), options=options)
        for box in (*self.boxes.values(), self.by):
            box.observe(lambda _: on_change(), "value")
        rows = widgets.VBox([*self.boxes.values()]).add_class("weights")
        how = widgets.HTML(f'<p class="quiet">{said("beside_weights")}</p>')
        self.view = widgets.VBox([how, rows, self.by]).add_class("boxes")


class Sieve:
    """Order and filter of the packs."""

    def __init__(self, on_change: Callable[[], None]) -> None:
        self._on_change = on_change
        listed = [(measure_name(m.id), m.id) for m in measures()]
        orders = [(say("label_order_came"), AS_THEY_CAME), (say("label_order_rank"), BY_RANK), *listed]
        self.order = widgets.Dropdown(description=say("label_order"), options=orders)
        directions = [(say("label_falling"), True), (say("label_rising"), False)]
        self.falling = widgets.Dropdown(description=say("label_direction"), options=directions)
        self.only = widgets.Dropdown(description=say("label_only"), options=[(say("label_only_all"), ANY), *listed])
        self.least, self.most, self.word = (
            widgets.Text(description=say(f"label_{name}"), continuous_update=False)
            for name in ("least", "most", "word")
        )
        self.trouble = widgets.HTML()
        self.only.observe(lambda _: self._fit(), "value")
        for box in (self.order, self.falling, self.only, self.least, self.most, self.word):
            box.observe(lambda _: on_change(), "value")
        pairs = [widgets.VBox([self.order, self.only]), widgets.VBox([self.falling, self.least, self.most, self.word])]
        self.view = widgets.VBox([widgets.HBox(pairs).add_class("two"), self.trouble]).add_class("boxes")
        self._fit()

    def _fit(self) -> None:
        """Show the boxes that the chosen measure can be filtered by."""
        words = self.only.value != ANY and measure(self.only.value).kind == WORDS
        numbers = self.only.value != ANY and not words
        for box, there in ((self.least, numbers), (self.most, numbers), (self.word, words)):
            box.layout.display = "" if there else "none"

    def wishes(self, weights: Weights) -> Wishes:
        """What all boxes say; a number that cannot be read filters nothing, and that is told."""
        unread: list[str] = []
        least, most = _number(self.least.value, -math.inf, unread), _number(self.most.value, math.inf, unread)
        self.trouble.value = "".join(f'<p class="message">{said("beside_no_number", words=w)}</p>' for w in unread)
        return Wishes(
            weights={name: box.value for name, box in weights.boxes.items()},
            by=weights.by.value,
            order=self.order.value,
            falling=self.falling.value,
            only=self.only.value,
            least=least,
            most=most,
            word=self.word.value.strip(),
        )


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _number(text: str, nothing: float, unread: list[str]) -> float:
    plain: Any = text.strip().rstrip("%").strip().replace(",", ".")
    if not plain:
        return nothing
    try:
        found = float(plain)
    except ValueError:
        found = math.nan
    if math.isfinite(found):
        return found
    unread.append(text.strip())
    return nothing
