"""The boxes with which a student joins a class."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from reader.page.parts import said
from reader.wording import say
from ui.notice import Notice
from ui.pack_boxes import line
from ui.shelf.classes import join
from ui.shelf.clock import now
from ui.shelf.keys import new_key
from ui.shelves import Shelves


class Joining:
    """Calls `on_joined` with the key that belongs to the class now."""

    def __init__(self, shelves: Shelves, on_joined: Callable[[str], None]) -> None:
        self._shelves, self._on_joined = shelves, on_joined
        self.key = new_key()  # one until it is in: wrong codes are counted by key
        self.notice = Notice()
        self.code, self.nickname = line("label_code"), line("label_nickname")
        self.go = widgets.Button(description=say("label_join")).add_class("main")
        about = widgets.HTML(f'<p class="quiet">{said("class_nickname_about")}</p>')
        boxes = [self.code, self.nickname, about, self.go, self.notice.view]
        self.view = widgets.VBox(boxes).add_class("boxes").add_class("joining")
        self.go.on_click(lambda _: self._join())

    def _join(self) -> None:
        with self.notice.trying():
            key = self.key
            join(self._shelves.file(), key, self.code.value, self.nickname.value, now())
            self.key = new_key()
            self.code.value = ""
            self._on_joined(key)
