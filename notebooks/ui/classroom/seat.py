"""A student's seat: adding packs, opening those of the class, changing one's own."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from reader.page.parts import said
from reader.wording import say
from ui.changing import Changing
from ui.classroom.adding import Adding
from ui.classroom.opened_pack import OpenedPack
from ui.notice import Notice
from ui.pack_names import names_of
from ui.results import part
from ui.shelf.trouble import ShelfError
from ui.shelves import Opened, Shelves
from ui.spoken import Spoken

_ROWS = 6  # packs seen at once; the list scrolls


class Seat:
    """What a student sees of a class. `look` has the class looked at again, which calls `refresh`."""

    every_s = 5.0  # house: what others add can wait, and thirty seats look

    def __init__(self, shelves: Shelves, key: str, spoken: Spoken, look: Callable[[], None]) -> None:
        self._look = look
        self._opened: Opened | None = None
        self.adding = Adding(shelves, key, self._added)
        self.list = widgets.Select(description=say("label_class_packs"), rows=_ROWS)
        self.open = widgets.Button(description=say("label_class_open_pack")).add_class("main")
        self.none, self.notice = widgets.HTML(f"<p>{said('class_no_packs')}</p>"), Notice()
        self.pack = OpenedPack(shelves, key, spoken)
        self.changing = Changing(shelves, lambda: self._opened, look)
        listed = widgets.VBox([self.none, self.list, self.open, self.notice.view]).add_class("boxes")
        parts = [part("class_add", self.adding.view), part("class_packs", listed)]
        self._change = part("class_change", self.changing.view)
        for one in (*parts, self._change):
            one.layout.display = ""
        for one in (self.none, self.list, self.open):  # until it is known which of them it will be
            one.layout.display = "none"
        self.view = widgets.VBox([*parts, self._change, self.pack.view]).add_class("seat")
        self.open.on_click(lambda _: self._open())

    def refresh(self, opened: Opened) -> None:
        """Put up what the shelf holds now; what is typed stays. ShelfError if it cannot be had."""
        first = self._opened is None
        self._opened = opened
        shelf = opened.shelf
        names = names_of(shelf)
        options = [(names[pack.id], pack.id) for pack in reversed(shelf.packs)]
        if list(self.list.options) != options:
            chosen = self.list.value
            self.list.options = options
            self.list.value = chosen if chosen in names else None
        own = any(pack.writer == shelf.writer for pack in shelf.packs)
        if first and own:
            self.adding.show(False)
        for widget in (self.list, self.open):
            widget.layout.display = "" if options else "none"
        self.none.layout.display = "none" if options else ""
        self.pack.refresh(shelf)
        self.changing.refresh()
        self._change.layout.display = "" if own or self.changing.done.children else "none"

    def _added(self, pack: str) -> None:
        self._look()
        self._show(pack)

    def _open(self) -> None:
        with self.notice.trying():
            if self.list.value is None:
                self.notice.tell(say("class_choose_pack"))
            else:
                self._show(self.list.value)

    def _show(self, pack_id: str) -> None:
        shelf = self._opened.shelf if self._opened else None
        found = next((pack for pack in shelf.packs if pack.id == pack_id), None) if shelf else None
        if shelf is None or found is None:
            raise ShelfError("no_pack")
        self.list.value = pack_id
        self.pack.open(shelf, found)
