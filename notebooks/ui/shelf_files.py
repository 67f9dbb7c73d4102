"""A whole shelf as a file, out and in, and the wiping of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from reader.page.parts import said
from reader.wording import say
from ui.downloads import link, stem
from ui.notice import Notice
from ui.second_press import SecondPress
from ui.shelf.clock import now
from ui.shelf.csv_form import as_csv, from_csv
from ui.shelf.json_form import as_json, from_json
from ui.shelf.keeping import wipe
from ui.shelf.keys import new_id
from ui.shelf.transfer import bring_in, take_out
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Contents
from ui.shelves import Opened, Shelves


class ShelfFiles:
    """For the keeper of the shelf that `opened` gives; hidden for others. Calls `on_changed` after every write."""

    def __init__(self, shelves: Shelves, opened: Callable[[], Opened | None], on_changed: Callable[[], None]) -> None:
        self._shelves, self._opened, self._on_changed = shelves, opened, on_changed
        self._key = ""
        self.notice = Notice()
        self.make = widgets.Button(description=say("label_shelf_files"))
        self.links = widgets.HTML()
        self.bring = widgets.FileUpload(accept=".json,.csv", multiple=False, description=say("label_bring_in"))
        self.wipe = SecondPress("wipe", self._loss, self._wipe, self.notice)
        about = widgets.HTML(f"<p>{said('files_about')}</p>")
        parts = [about, self.make, self.links, self.bring, self.wipe.view, self.notice.view]
        self.view = widgets.VBox(parts).add_class("boxes").add_class("shelf-files")
        self.make.on_click(lambda _: self._make())
        self.bring.observe(self._bring, "value")

    def refresh(self) -> None:
        """Put away what belongs to another shelf, and everything where the visitor is no keeper."""
        opened = self._opened()
        keeper = opened is not None and opened.shelf.keeper
        self.view.layout.display = "" if keeper else "none"
        key = opened.key if opened else ""
        if key != self._key:
            self._key = key
            self.forget()
            self.notice.tell("")

    def forget(self) -> None:
        """Put the files away: they may be large, and no more what the shelf holds."""
        self.links.value = ""
        self.wipe.close()

    def _contents(self) -> tuple[Opened, Contents]:
        opened = self._opened()
        if opened is None:
            raise ShelfError("no_key")
        return opened, take_out(self._shelves.file(), opened.key)

    def _make(self) -> None:
        with self.notice.trying():
            opened, contents = self._contents()
            name = stem("shelf", opened.shelf.title)
            items = link(f"{name}.json", "application/json", as_json(contents), "label_shelf_json")
            # The mark at the beginning tells spreadsheets that it is UTF-8.
            items += link(f"{name}.csv", "text/csv", "\ufeff" + as_csv(contents), "label_shelf_csv")
            there = sum(not pack.deleted for pack in contents.packs)
            told = f'<p class="quiet" role="status">{said("files_made", count=there)}</p>'
            self.links.value = f'<ul class="plain downloads">{items}</ul>{told}'

    def _bring(self, change: Any) -> None:
        if not change["new"]:
            return
        with self.notice.trying():
            opened, before = self._contents()
            write_id = new_id()
            found = _read(bytes(change["new"][0]["content"]), write_id)
            bring_in(self._shelves.file(), opened.key, write_id, found)
            there = {pack.id for pack in before.packs}
            new = sum(pack.id not in there for pack in found.packs)
            self.forget()
            self._on_changed()
            self.notice.tell(say("files_brought", count=new, whole=len(found.packs)))
        self.bring.value = ()  # so that the same file can be chosen again

    def _loss(self) -> str:
        opened, contents = self._contents()
        packs = sum(not pack.deleted for pack in contents.packs)
        if not opened.shelf.code:
            return say("wipe_own", count=packs)
        return say("wipe_class", count=packs, part=len(contents.guesses), whole=len(contents.writers))

    def _wipe(self) -> None:
        opened = self._opened()
        if opened is None or opened.key != self._key:
            return
        wipe(self._shelves.file(), opened.key, new_id())
        self.forget()
        self._on_changed()
        self.notice.tell(say("wipe_done"))


def _read(raw: bytes, write_id: str) -> Contents:
    """The contents of a file, by what it holds, whatever its name."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise ShelfError("import_unreadable") from error
    return from_json(text) if text.lstrip().startswith("{") else from_csv(text, write_id, now())
