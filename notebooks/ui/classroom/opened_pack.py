"""One pack of the class as a student sees it: its words, a guess, and then the reading with the guess beside it."""

from __future__ import annotations

import ipywidgets as widgets

from reader.page.guesses import Guess
from reader.page.parts import esc, said
from reader.wording import say
from ui.guessing import Against, Guessing
from ui.notice import Notice
from ui.pack_names import names_of
from ui.reading import ReadingView
from ui.results import part
from ui.shelf.clock import now
from ui.shelf.guesses import guess, own_guesses, own_seen, reading_shown
from ui.shelf.keys import new_id
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Pack, Shelf
from ui.shelves import Shelves
from ui.spoken import Spoken
from ui.state import State


class OpenedPack:
    """Empty until `open` is called. A reading is noted as shown before it is shown: no guess is taken after it."""

    def __init__(self, shelves: Shelves, key: str, spoken: Spoken) -> None:
        self._shelves, self._key = shelves, key
        self.pack: Pack | None = None
        self._name = ""
        self.state, self.notice = State(), Notice()
        self.guessing, self.against = Guessing(self._guessed), Against(self.state)
        self.reading = ReadingView(self.state, spoken)
        self.words = widgets.HTML()
        self._words = part("class_pack", widgets.VBox([self.words, self.notice.view]))
        self.reading.results.before.children = (self.against.view,)
        self._read = widgets.VBox([self.reading.view()])
        self.view = widgets.VBox([self._words, self.guessing.view, self._read])
        self.state.observe(lambda change: self.notice.tell(change["new"]), "message")
        self.close()

    def close(self) -> None:
        """Show no pack."""
        self.pack = None
        self._words.layout.display = self._read.layout.display = "none"
        self.guessing.close()

    def open(self, shelf: Shelf, pack: Pack) -> None:
        """Show a pack: its reading if that was shown before, else the form for a guess. ShelfError if it is not to be
        had.
        """
        seen = pack.id in own_seen(self._shelves.file(), self._key)
        self.close()
        self.notice.tell("")
        self.pack, self._name = pack, names_of(shelf).get(pack.id, pack.name)
        self.words.value = _words(self._name, pack)
        self._words.layout.display = ""
        if seen:
            self._show()
        else:
            self.guessing.ask()

    def refresh(self, shelf: Shelf) -> None:
        """Say so if the pack that is open has changed or gone; what was guessed stays."""
        if self.pack is None:
            return
        found = next((pack for pack in shelf.packs if pack.id == self.pack.id), None)
        if found is None:
            self.notice.tell(say("class_pack_gone"))
        elif found != self.pack:
            texts_changed = (found.statement, found.panel) != (self.pack.statement, self.pack.panel)
            self.pack, self._name = found, names_of(shelf)[found.id]
            self.words.value = _words(self._name, None if self.guessing.closed else found)
            if texts_changed:
                self.notice.tell(say("class_pack_changed"))

    def _guessed(self) -> None:
        pack = self.pack
        if pack is None:
            return
        with self.notice.trying():
            late = self._keep(pack, self.guessing.guesses())
            self._show()
            if late:
                self.notice.tell(late)

    def _keep(self, pack: Pack, guesses: dict[str, Guess]) -> str:
        """Keep the guesses; what is to be told if they come after the reading, as from a second page of a student."""
        if not guesses:
            return ""
        places = {aspect: (found.place, found.words) for aspect, found in guesses.items()}
        try:
            guess(self._shelves.file(), self._key, new_id(), pack.id, places, now())
        except ShelfError as error:
            if error.kind != "guess_late":
                raise
            return str(error)
        return ""

    def _show(self) -> None:
        pack = self.pack
        assert pack is not None
        file = self._shelves.file()
        reading_shown(file, self._key, new_id(), pack.id, now())
        kept = {g.aspect: Guess(g.place, g.words) for g in own_guesses(file, self._key) if g.pack == pack.id}
        self.guessing.close()
        self.words.value = _words(self._name, None)  # they stand in the reading from now on
        self.state.report = None  # so that the guess waits for the reading that comes
        self.against.show(kept)
        self._read.layout.display = ""  # first: a chart takes its width from its place
        self.state.put({f: getattr(pack, f) for f in ("statement", "panel", "name", "price", "market")})
        if not self.reading.read():  # what stands there is of another pack
            self._read.layout.display = "none"


def _words(name: str, pack: Pack | None) -> str:
    if pack is None:
        return f"<h3>{esc(name)}</h3>"
    typed = "".join(
        f'<p class="typed">{esc(text.strip())}</p>' for text in (pack.statement, pack.panel) if text.strip()
    )
    return f"<h3>{esc(name)}</h3><p>{said('class_pack_words')}</p>{typed}"
