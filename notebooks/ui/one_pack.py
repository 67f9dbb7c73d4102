"""The part "One pack": a label is pasted, read, and kept if wanted."""

from __future__ import annotations

import logging
from dataclasses import replace

import ipywidgets as widgets

from reader.page.parts import said
from reader.wording import say
from ui.guessing import Against, Guessing
from ui.inputs import Inputs
from ui.reading import ReadingView
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Texts
from ui.shelves import Shelves
from ui.spoken import Spoken
from ui.state import State

log = logging.getLogger(__name__)


class OnePack:
    """One label in boxes, its reading below."""

    def __init__(self, state: State, shelves: Shelves, spoken: Spoken) -> None:
        self.state, self._shelves = state, shelves
        self.inputs = Inputs(state, self.read, self.keep)
        self.guessing, self.against = Guessing(self._guessed), Against(state)
        self.reading = ReadingView(state, spoken)
        self.reading.results.before.children = (self.against.view,)
        self._read_part = widgets.VBox([self.reading.view()])
        self._asked: Texts | None = None  # the texts that a guess was asked about, so that it is asked once

    def view(self) -> widgets.Widget:
        title = widgets.HTML(f"<h2>{said('app_part_label')}</h2>").add_class("part-title")
        asked = widgets.VBox([title, self.inputs.view().add_class("part-body")]).add_class("desk-part")
        return widgets.VBox([asked, self.guessing.view, self._read_part])

    def enter(self) -> None:
        """Nothing is watched."""

    def leave(self) -> None:
        """Nothing is watched."""

    def read(self) -> None:
        """Read what is typed; if a guess is wanted first, the reading waits for it."""
        texts = replace(self.state.texts(), price="")
        if texts != self._asked:
            self._begin(texts)
        elif self.guessing.closed:
            self.reading.read()
        else:
            self.guessing.title.focus()

    def _begin(self, texts: Texts) -> None:
        """Another label: no guess about the one before belongs to it."""
        self.against.show({})
        wanted = self.inputs.guess_first.value and not self.state.empty
        self._asked = texts if wanted else None
        self._read_part.layout.display = "none" if wanted else ""
        if wanted:
            self.state.message = ""
            self.guessing.ask()
        else:
            self.guessing.close()
            self.reading.read()

    def _guessed(self) -> None:
        """Show the reading that waited, and the guess beside it."""
        self.guessing.close()
        self._read_part.layout.display = ""  # first: a chart takes its width from its place
        self.state.report = None  # so that the guess waits for the reading that comes
        self.against.show(self.guessing.guesses())
        self.reading.read()

    def keep(self) -> None:
        """Put what is typed on the visitor's own shelf. Never raises."""
        try:
            shelf = self._shelves.keep(self.state.texts())
        except ShelfError as error:
            self.state.message = str(error)
            return
        except Exception:
            log.exception("A pack could not be kept.")
            self.state.message = say("app_fault_keep")
            return
        lasting = "" if self._shelves.keyring.lasting else " " + say("app_kept_for_now")
        key = "app_kept_one" if len(shelf.packs) == 1 else "app_kept"
        self.state.message = say(key, count=len(shelf.packs), name=say("label_place_beside")) + lasting
