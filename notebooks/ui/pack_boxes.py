"""The boxes for the texts of one pack."""

from __future__ import annotations

import ipywidgets as widgets

from reader import pipeline
from reader.wording import say
from ui.shelf.values import Texts


class PackBoxes:
    """Statement, panel, front name, price and market."""

    def __init__(self) -> None:
        self.statement = area("app_statement", rows=9)
        self.panel = area("app_panel", rows=9)
        self.name = line("app_name")
        self.price = line("label_price")
        markets = [(say(f"page_market_{m}"), m) for m in pipeline.MARKETS]
        self.market = widgets.Dropdown(description=say("app_market"), options=markets)

    def view(self, *more: widgets.Widget) -> widgets.Widget:
        """The boxes laid out, `more` below the last one; the order is that of the Tab key."""
        beside = widgets.VBox([self.name, self.market, self.price, *more]).add_class("beside")
        lower = widgets.HBox([self.panel, beside]).add_class("lower")
        return widgets.VBox([self.statement, lower])

    def texts(self) -> Texts:
        """What stands in the boxes."""
        return Texts(
            statement=self.statement.value,
            panel=self.panel.value,
            market=self.market.value,
            name=self.name.value,
            price=self.price.value,
        )

    def put(self, texts: Texts) -> None:
        """Fill the boxes."""
        self.statement.value, self.panel.value = texts.statement, texts.panel
        self.name.value, self.price.value, self.market.value = texts.name, texts.price, texts.market


def area(key: str, rows: int) -> widgets.Textarea:
    """A box of several lines, called by `key`, with the hint <key>_hint."""
    # Sent when the box is left, not at every key: a paste of 100 kB would crawl otherwise.
    return widgets.Textarea(
        description=say(key),
        placeholder=say(f"{key}_hint"),
        rows=rows,
        continuous_update=False,
        layout=widgets.Layout(width="100%"),
    )


def line(key: str, **values: object) -> widgets.Text:
    """A box of one line, called by `key`, with the hint <key>_hint."""
    return widgets.Text(description=say(key, **values), placeholder=say(f"{key}_hint"), continuous_update=False)
