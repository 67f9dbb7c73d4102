"""The teacher's board, made to be projected: how to join, who and what is there, and what was guessed."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence

import ipywidgets as widgets

from reader.page.parts import esc, said, table
from reader.wording import say
from ui.changing import Changing
from ui.classroom.spread import Spreads
from ui.notice import Notice
from ui.pack_names import names_of
from ui.results import part
from ui.shelf.classes import students
from ui.shelf.guesses import spread
from ui.shelf.keeping import freeze
from ui.shelf.keys import new_id
from ui.shelf.values import Shelf, Spread
from ui.shelf_files import ShelfFiles
from ui.shelves import Opened, Readings, Shelves

ADDRESS = "LABEL_ADDRESS"  # where phones reach the page; set where it is served to a network


class Board:
    """What the teacher sees of a class. `look` has the class looked at again, which calls `refresh`."""

    every_s = 1.0

    def __init__(self, shelves: Shelves, key: str, readings: Readings, look: Callable[[], None]) -> None:
        self._shelves, self._key, self._look = shelves, key, look
        self._opened: Opened | None = None
        self._quiet = False
        self.join, self.counts, self.list, self.notice = widgets.HTML(), widgets.HTML(), widgets.HTML(), Notice()
        self.frozen = widgets.Checkbox(description=say("label_freeze"), indent=False)
        self.spreads = Spreads(readings)
        self.changing = Changing(shelves, lambda: self._opened, look)
        self.files = ShelfFiles(shelves, lambda: self._opened, look)
        self.show_key = widgets.Button(description=say("label_show_key"))
        self.hide_key = widgets.Button(description=say("label_hide_key"))
        self.key = widgets.HTML()
        self.view = self._lay_out()
        self.frozen.observe(lambda change: None if self._quiet else self._freeze(change["new"]), "value")
        self.show_key.on_click(lambda _: self.put_key(True))
        self.hide_key.on_click(lambda _: self.put_key(False))
        self.put_key(False)

    def _lay_out(self) -> widgets.Widget:
        frozen = widgets.VBox([self.frozen]).add_class("ticks").add_class("alone")
        keyed = [widgets.HTML(f"<p>{said('class_key_about')}</p>"), self.show_key, self.hide_key, self.key]
        parts = [
            part("class_joining", widgets.VBox([self.join, self.counts, frozen, self.notice.view])),
            part("class_packs", self.list),
            part("class_spread", self.spreads.view),
            part("class_change", self.changing.view),
            part("class_files", self.files.view),
            part("class_teacher_key", widgets.VBox(keyed).add_class("boxes")),
        ]
        for one in parts:
            one.layout.display = ""
        return widgets.VBox(parts).add_class("board")

    def refresh(self, opened: Opened) -> None:
        """Put up what the shelf holds now; what is typed stays. ShelfError if it cannot be had."""
        self._opened = opened
        shelf, file = opened.shelf, self._shelves.file()
        spreads = spread(file, opened.key)
        counts = said("class_counts", count=len(students(file, opened.key)), part=len(shelf.packs))
        _put(self.join, _joining(shelf))
        _put(self.counts, f'<p class="counts">{counts}</p>')
        _put(self.list, _listed(shelf, spreads))
        self._quiet = True
        try:
            self.frozen.value = shelf.frozen
        finally:
            self._quiet = False
        self.spreads.refresh(shelf, spreads)
        self.changing.refresh()
        self.files.refresh()

    def put_key(self, shown: bool) -> None:
        """Show the teacher's key, or take it away."""
        self.key.value = f'<p class="class-key"><code>{esc(self._key)}</code></p>' if shown else ""
        self.show_key.layout.display, self.hide_key.layout.display = ("none", "") if shown else ("", "none")

    def _freeze(self, frozen: bool) -> None:
        with self.notice.trying():
            freeze(self._shelves.file(), self._key, new_id(), frozen=frozen)
            self._look()


def _put(place: widgets.HTML, html: str) -> None:
    if place.value != html:
        place.value = html


def _joining(shelf: Shelf) -> str:
    address, name = os.environ.get(ADDRESS, ""), say("label_place_class")
    how = said("class_join_at", where=address, name=name) if address else said("class_join_here", name=name)
    return f'<p class="how">{how}</p><p class="code">{esc(shelf.code)}</p>'


def _listed(shelf: Shelf, spreads: Sequence[Spread]) -> str:
    """The packs as a table, the last one first, with how many students guessed."""
    if not shelf.packs:
        return f"<p>{said('class_no_packs')}</p>"
    guessed: dict[str, int] = {}
    for one in spreads:
        guessed[one.pack] = max(guessed.get(one.pack, 0), len(one.places))
    head = [say(f"label_column_{column}") for column in ("pack", "guessed")]
    names = names_of(shelf)
    rows = [[names[pack.id], str(guessed.get(pack.id, 0))] for pack in reversed(shelf.packs)]
    return table(head, rows, numbers=(1,))
