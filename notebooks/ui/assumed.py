"""A switch for each assumption of the make-up."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from reader.makeup.values import Assumption
from reader.makeup_words import assumption_told, choice_told
from reader.page.parts import said, told


class Switches:
    """What is assumed, each with its choices; calls `on_change` with (id, choice) when one is changed."""

    def __init__(self, on_change: Callable[[str, str], None]) -> None:
        self._on_change = on_change
        self._title = widgets.HTML(f"<h3>{said('page_makeup_assumed')}</h3>")
        self._shown: tuple[Assumption, ...] = ()
        self.view = widgets.VBox([]).add_class("assumed")

    def show(self, assumptions: tuple[Assumption, ...]) -> None:
        """Put up a switch for each; nothing is touched if they are the ones shown."""
        if assumptions == self._shown:
            return
        self._shown = assumptions
        rows = [self._row(a) for a in assumptions]
        self.view.children = (self._title, *rows) if rows else ()

    def _row(self, assumption: Assumption) -> widgets.Widget:
        options = [(choice_told(assumption, choice), choice) for choice in assumption.choices]
        name = assumption_told(assumption)
        switch = widgets.Dropdown(options=options, value=assumption.choice, tooltip=name)

        def changed(change: Any) -> None:
            self._on_change(assumption.id, change["new"])

        switch.observe(changed, "value")
        return widgets.VBox([widgets.HTML(f"<p>{told(name)}</p>"), switch]).add_class("switch")
