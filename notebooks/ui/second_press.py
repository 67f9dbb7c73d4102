"""A button for what nothing brings back: the first press says what is lost, the second one does it."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from reader.page.parts import told
from reader.wording import say
from ui.notice import Notice


class SecondPress:
    """Called label_<name>, then label_<name>_sure. `warning` gives the sentences between the two presses, `act` does
    it; what either raises is told by the notice.
    """

    def __init__(self, name: str, warning: Callable[[], str], act: Callable[[], None], notice: Notice) -> None:
        self._warning, self._act, self._notice = warning, act, notice
        self.first = widgets.Button(description=say(f"label_{name}"))
        self.sure = widgets.Button(description=say(f"label_{name}_sure"))
        self.back = widgets.Button(description=say("label_not_sure"))
        self.words = widgets.HTML()
        self.asked = widgets.VBox([self.words, widgets.HBox([self.sure, self.back])]).add_class("asked")
        self.view = widgets.VBox([self.first, self.asked])
        self.first.on_click(lambda _: self._ask())
        self.sure.on_click(lambda _: self._go())
        self.back.on_click(lambda _: self.close())
        self.close()

    def close(self) -> None:
        """As before the first press."""
        self.words.value, self.asked.layout.display, self.first.layout.display = "", "none", ""

    def _ask(self) -> None:
        with self._notice.trying():
            self.words.value = f'<p class="message" role="alert">{told(self._warning())}</p>'
            self.asked.layout.display, self.first.layout.display = "", "none"

    def _go(self) -> None:
        if self.asked.layout.display == "none":  # pressed twice in a hurry
            return
        self.close()
        with self._notice.trying():
            self._act()
