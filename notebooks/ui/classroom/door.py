"""The door: classes this browser belongs to, joining one, opening one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import ipywidgets as widgets

from reader.page.parts import said
from reader.wording import say
from ui.classroom.joining import Joining
from ui.notice import Notice
from ui.pack_boxes import line
from ui.results import part
from ui.shelf.classes import open_class
from ui.shelf.clock import now
from ui.shelf.keys import new_key
from ui.shelf.packs import look
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Shelf
from ui.shelves import Opened, Shelves


class Door:
    """Calls `on_key` with a key that opens a class and is not in this browser yet, `on_chosen` with the name of one
    that is.
    """

    def __init__(self, shelves: Shelves, on_key: Callable[[str], None], on_chosen: Callable[[str], None]) -> None:
        self._shelves, self._on_key, self._on_chosen = shelves, on_key, on_chosen
        self.joining = Joining(shelves, on_key)
        self.opening_notice, self.key_notice = Notice(), Notice()
        self.title = line("label_class_title")
        self.open = widgets.Button(description=say("label_class_open")).add_class("main")
        self.key = line("label_class_key")
        self.use_key = widgets.Button(description=say("label_class_use_key"))
        self.mine = widgets.VBox([]).add_class("boxes").add_class("mine")
        self._mine = part("class_mine", self.mine)
        self._names: list[tuple[str, str]] = []
        self.view = self._lay_out()
        self.open.on_click(lambda _: self._open())
        self.use_key.on_click(lambda _: self._use_key())

    def refresh(self, opened: Sequence[Opened]) -> None:
        """Put up a button for each class."""
        names = [(o.name, class_name(o.shelf)) for o in opened]
        if names != self._names:
            self._names = names
            self.mine.children = tuple(self._button(name, text) for name, text in names)
        self._mine.layout.display = "" if names else "none"

    def _lay_out(self) -> widgets.Widget:
        about = widgets.HTML(f"<p>{said('class_about_opening')}</p>")
        opening = widgets.VBox([about, self.title, self.open, self.opening_notice.view]).add_class("boxes")
        elsewhere = widgets.HTML(f"<p>{said('class_about_key')}</p>")
        keyed = widgets.VBox([elsewhere, self.key, self.use_key, self.key_notice.view]).add_class("boxes")
        parts = [part("class_join", self.joining.view), part("class_open", opening), part("class_key", keyed)]
        for one in parts:
            one.layout.display = ""
        return widgets.VBox([self._mine, *parts])

    def _button(self, name: str, text: str) -> widgets.Widget:
        button = widgets.Button(description=text)
        button.on_click(lambda _: self._on_chosen(name))
        return button

    def _open(self) -> None:
        with self.opening_notice.trying():
            key = new_key()
            open_class(self._shelves.file(), key, self.title.value, now())
            self.title.value = ""
            self._on_key(key)

    def _use_key(self) -> None:
        with self.key_notice.trying():
            key = self.key.value.strip()
            if not _opens_class(self._shelves, key):
                self.key_notice.tell(say("class_wrong_key"))
                return
            self.key.value = ""
            self._on_key(key)


def class_name(shelf: Shelf) -> str:
    """What a class goes by in lists, with what the visitor is in it."""
    title = shelf.title or say("label_shelf_class")
    return say("label_class_teacher" if shelf.keeper else "label_class_student", title=title)


def _opens_class(shelves: Shelves, key: str) -> bool:
    try:
        shelf = look(shelves.file(), key)
    except ValueError:  # too short for a key
        return False
    except ShelfError as error:
        if error.kind == "no_key":
            return False
        raise
    return bool(shelf.code) or not shelf.keeper
