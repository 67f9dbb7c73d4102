"""The form with which a student puts a pack on the shelf of the class."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from reader.wording import say
from ui.notice import Notice
from ui.pack_boxes import PackBoxes
from ui.shelf.clock import now
from ui.shelf.keys import new_id
from ui.shelf.packs import add
from ui.shelf.values import Texts
from ui.shelves import Shelves


class Adding:
    """Adds to the shelf that `key` gives; calls `on_added` with the id of the new pack."""

    def __init__(self, shelves: Shelves, key: str, on_added: Callable[[str], None]) -> None:
        self._shelves, self._key, self._on_added = shelves, key, on_added
        self._tried: tuple[Texts, str] | None = None
        self.notice, self.boxes = Notice(), PackBoxes()
        self.begin = widgets.Button(description=say("label_add_begin"))
        self.add = widgets.Button(description=say("label_add")).add_class("read")
        self.form = widgets.VBox([self.boxes.view(), self.add]).add_class("inputs")
        parts = [widgets.VBox([self.begin]).add_class("boxes"), self.form, self.notice.view]
        self.view = widgets.VBox(parts)
        self.begin.on_click(lambda _: self.show(True))
        self.add.on_click(lambda _: self._add())
        self.show(True)

    def show(self, form: bool) -> None:
        """The form, or only the button that opens it."""
        self.form.layout.display, self.begin.layout.display = ("", "none") if form else ("none", "")
        self.notice.tell("")

    def _add(self) -> None:
        if self.form.layout.display == "none":  # pressed twice in a hurry
            return
        with self.notice.trying():
            texts = self.boxes.texts()
            write_id = self._id_for(texts)
            add(self._shelves.file(), self._key, write_id, texts, now())
            self._tried = None
            self.boxes.put(Texts(market=texts.market))
            self.show(False)
            self._on_added(write_id)

    def _id_for(self, texts: Texts) -> str:
        """The same for the same texts until it went through: who cannot know whether it did adds nothing twice."""
        if self._tried is None or self._tried[0] != texts:
            self._tried = (texts, new_id())
        return self._tried[1]
