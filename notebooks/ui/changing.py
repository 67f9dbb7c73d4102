"""Packs of a shelf corrected, hidden or taken off, and every change taken back again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields

import ipywidgets as widgets

from reader.page.parts import esc, said
from reader.wording import say
from ui.notice import Notice
from ui.pack_boxes import PackBoxes, line
from ui.pack_names import name_of, names_of
from ui.shelf.clock import now
from ui.shelf.keys import new_id
from ui.shelf.packs import correct, delete, hide, history, undo
from ui.shelf.values import Change, Pack, Texts
from ui.shelves import Opened, Shelves

_NONE = ""
_MOST = 12  # changes that are listed; the earlier ones come up as these are undone


class Changing:
    """Works on the shelf that `opened` gives, as it was when last looked at; calls `on_changed` after every write,
    whereupon the part of the app that holds it looks again and calls `refresh`. Nothing typed is lost by that.
    """

    def __init__(self, shelves: Shelves, opened: Callable[[], Opened | None], on_changed: Callable[[], None]) -> None:
        self._shelves, self._opened, self._on_changed = shelves, opened, on_changed
        self._key, self._quiet = "", False
        self._held: Pack | None = None  # the chosen pack as it was when its texts were put into the boxes
        self._rows: dict[str, widgets.Widget] = {}
        self.notice = Notice()
        self.which = widgets.Dropdown(description=say("label_change_which"))
        self.boxes, self.nickname = PackBoxes(), line("label_nickname_shown")
        self.save, self.hide, self.show, self.take_off = (
            widgets.Button(description=say(f"label_change_{act}")) for act in ("save", "hide", "show", "take_off")
        )
        self.save.add_class("main")
        buttons = widgets.HBox([self.save, self.hide, self.show, self.take_off]).add_class("below")
        self._form = widgets.VBox([self.boxes.view(self.nickname), buttons]).add_class("inputs")
        self.none, self.heading, self.more = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.done = widgets.VBox([]).add_class("done")
        parts = [self.none, self.which, self._form, self.notice.view, self.heading, self.done, self.more]
        self.view = widgets.VBox(parts).add_class("boxes").add_class("changing")
        self.which.observe(lambda _: None if self._quiet else self._choose(), "value")
        self.save.on_click(lambda _: self._save())
        self.hide.on_click(lambda _: self._set_hidden(True))
        self.show.on_click(lambda _: self._set_hidden(False))
        self.take_off.on_click(lambda _: self._take_off())
        self._lay_out()

    def refresh(self) -> None:
        """Put up what the shelf holds now. ShelfError if it cannot be had."""
        opened = self._opened()
        if opened is None or opened.key != self._key:
            self._key, self._held = opened.key if opened else "", None
            self.notice.tell("")
        self._list(opened)
        if self._held and self._held not in self._packs():
            there = any(pack.id == self._held.id for pack in self._packs())
            self.notice.tell(say("change_meanwhile" if there else "change_gone"))
        self._lay_out()
        self._list_done(history(self._shelves.file(), opened.key) if opened else ())

    # -- choosing -------------------------------------------------------------------------------------------

    def _packs(self) -> list[Pack]:
        """Those that the visitor may change."""
        opened = self._opened()
        shelf = opened.shelf if opened else None
        return [pack for pack in shelf.packs if shelf.keeper or pack.writer == shelf.writer] if shelf else []

    def _list(self, opened: Opened | None) -> None:
        names = names_of(opened.shelf) if opened else {}
        options = [(say("label_change_none"), _NONE), *((names[pack.id], pack.id) for pack in self._packs())]
        held = self._held
        if held and held.id not in names:  # taken off by somebody else: its texts stay in the boxes
            options.append((name_of(held, len(options)), held.id))
        self._quiet = True
        try:
            if list(self.which.options) != options:
                self.which.options = options
            self.which.value = held.id if held else _NONE
        finally:
            self._quiet = False

    def _choose(self) -> None:
        self.notice.tell("")
        self._held = next((pack for pack in self._packs() if pack.id == self.which.value), None)
        self._fill()
        self._lay_out()

    def _fill(self) -> None:
        if self._held:
            self.boxes.put(_texts(self._held))
            self.nickname.value = self._held.nickname

    def _lay_out(self) -> None:
        opened, held = self._opened(), self._held
        of_class = bool(opened and opened.shelf.code)
        _see(self.which, bool(len(self.which.options) > 1))
        self.none.value = "" if len(self.which.options) > 1 else f"<p>{said('change_nothing')}</p>"
        _see(self._form, held is not None)
        _see(self.nickname, of_class)
        _see(self.hide, bool(of_class and held and not held.hidden))
        _see(self.show, bool(of_class and held and held.hidden))

    # -- changing -------------------------------------------------------------------------------------------

    def _save(self) -> None:
        held, opened = self._held, self._opened()
        if held is None or opened is None:
            return
        nickname = self.nickname.value if opened.shelf.code else None
        if self.boxes.texts() == _texts(held) and nickname in (None, held.nickname):
            self.notice.tell(say("change_same"))
            return
        with self.notice.trying():
            file, texts = self._shelves.file(), self.boxes.texts()
            correct(file, opened.key, new_id(), held.id, texts, now(), nickname=nickname)
            self._settle(held.id, say("change_saved"))

    def _set_hidden(self, hidden: bool) -> None:
        held, opened = self._held, self._opened()
        if held is None or opened is None:
            return
        with self.notice.trying():
            hide(self._shelves.file(), opened.key, new_id(), held.id, now(), hidden=hidden)
            self._settle(held.id, say("change_hidden" if hidden else "change_shown"), fill=False)

    def _take_off(self) -> None:
        held, opened = self._held, self._opened()
        if held is None or opened is None:
            return
        with self.notice.trying():
            delete(self._shelves.file(), opened.key, new_id(), held.id, now())
            self._settle(_NONE, say("change_taken_off"))

    def _undo(self, change: Change) -> None:
        opened = self._opened()
        if opened is None or change.id not in self._rows:  # pressed twice in a hurry
            return
        with self.notice.trying():
            undo(self._shelves.file(), opened.key, new_id(), change.id)
            typed = self._held is not None and self.boxes.texts() != _texts(self._held)
            chosen = self._held.id if self._held and typed else change.pack
            self._settle(chosen, say("change_undone"), fill=not typed)

    def _settle(self, chosen: str, told: str, *, fill: bool = True) -> None:
        """Have everything look again after a write of our own, the boxes on the pack `chosen`."""
        key = self._key
        self._held = None
        self._on_changed()
        if key == self._key:
            self._held = next((pack for pack in self._packs() if pack.id == chosen), None)
            if fill:
                self._fill()
            self._list(self._opened())
            self._lay_out()
        self.notice.tell(told)

    # -- what was changed -----------------------------------------------------------------------------------

    def _list_done(self, changes: tuple[Change, ...]) -> None:
        shown = changes[:_MOST]
        self._rows = {change.id: self._rows.get(change.id) or self._row(change) for change in shown}
        rows = tuple(self._rows.values())
        if self.done.children != rows:
            self.done.children = rows
        self.heading.value = f"<h3>{said('label_changes')}</h3>" if shown else ""
        more = len(changes) - len(shown)
        self.more.value = f'<p class="quiet">{said("change_more", count=more)}</p>' if more else ""

    def _row(self, change: Change) -> widgets.Widget:
        name = " ".join(change.name.split()) or say("label_change_unnamed")
        text = say(f"label_changed_{change.act}", name=name)
        button = widgets.Button(description=say("label_undo"), tooltip=say("label_undo_what", text=text))
        button.on_click(lambda _: self._undo(change))
        return widgets.HBox([widgets.HTML(f"<span>{esc(text)}</span>"), button]).add_class("change")


def _texts(pack: Pack) -> Texts:
    return Texts(**{f.name: getattr(pack, f.name) for f in fields(Texts)})


def _see(widget: widgets.Widget, seen: bool) -> None:
    widget.layout.display = "" if seen else "none"
