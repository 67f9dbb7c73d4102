"""The boxes a label is pasted into, the examples and the button."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from reader import tables
from reader.page.parts import esc
from reader.wording import say
from ui.pack_boxes import PackBoxes
from ui.state import TEXTS, State


@lru_cache(maxsize=1)
def examples() -> tuple[dict[str, Any], ...]:
    """The invented packs of examples.yaml."""
    return tuple(tables.read_yaml(Path(__file__).with_name("examples.yaml")))


class Inputs:
    """The input part of the page; writes into the state what is typed, calls `on_read` and `on_keep` when asked to."""

    def __init__(self, state: State, on_read: Callable[[], None], on_keep: Callable[[], None]) -> None:
        self.state = state
        self.kept: dict[str, Any] | None = None  # what was typed before an example took its place
        self.filled: dict[str, Any] | None = None  # what the last example put there
        self.boxes = PackBoxes()
        titles = [(say("app_examples_none"), -1), *((e["title"], k) for k, e in enumerate(examples()))]
        self.examples = widgets.Dropdown(description=say("app_examples"), options=titles)
        self.read = _button("app_read", "read")
        self.keep = _button("label_keep", "second")
        self.back = _button("app_back", "second")
        self.back.layout.display = "none"
        self.guess_first = widgets.Checkbox(description=say("label_guess_first"), indent=False)
        self.message = widgets.HTML()
        self._connect(on_read, on_keep)

    def view(self) -> widgets.Widget:
        """The boxes laid out; the order is that of the Tab key."""
        guess = widgets.HBox([self.guess_first]).add_class("ticks").add_class("alone")
        below = widgets.HBox([self.read, self.keep, self.back, guess]).add_class("below")
        first = widgets.HBox([self.examples]).add_class("first")
        box = widgets.VBox([first, self.boxes.view(), below, self.message])
        return box.add_class("inputs")

    def _connect(self, on_read: Callable[[], None], on_keep: Callable[[], None]) -> None:
        for field in (*TEXTS, "market"):
            widgets.link((self.state, field), (getattr(self.boxes, field), "value"))
        self.read.on_click(lambda _: on_read())
        self.keep.on_click(lambda _: on_keep())
        self.back.on_click(lambda _: self._put_back())
        self.examples.observe(self._chosen, "value")
        self.state.observe(self._say, "message")

    def _chosen(self, change: Any) -> None:
        """Put an example into the boxes; what had been typed there can be brought back."""
        if change["new"] < 0:
            return
        typed = self.state.to_dict()
        if not self.state.empty and typed != self.filled:
            self.kept = typed
        self.state.put(examples()[change["new"]])
        self.filled = self.state.to_dict()
        self.back.layout.display = "" if self.kept else "none"

    def _put_back(self) -> None:
        if self.kept is not None:
            self.state.put(self.kept)
        self.kept, self.examples.value = None, -1
        self.back.layout.display = "none"

    def _say(self, change: Any) -> None:
        text = change["new"]
        self.message.value = f'<p class="message" role="alert">{esc(text)}</p>' if text else ""


def _button(key: str, name: str) -> widgets.Button:
    button = widgets.Button(description=say(key))
    return button.add_class(name)
