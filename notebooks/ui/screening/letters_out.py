"""The letters to suppliers on the page: one at a time, to be read, copied or saved."""

from __future__ import annotations

from collections.abc import Sequence

import ipywidgets as widgets

from reader.house.letters import Letter, addressed, as_text
from reader.page.letter import letter_page
from reader.page.parts import said
from reader.screening.letters_file import letters_of
from reader.screening.values import Screening
from reader.wording import say
from ui.downloads import link, stem
from ui.notice import Notice
from ui.screening.background import Background


class LettersOut:
    """A letter for each supplier there is something to ask."""

    def __init__(self) -> None:
        self._letters: tuple[Letter, ...] = ()
        self.notice = Notice()
        self._background = Background(self.notice)
        self.none = widgets.HTML()
        self.which = widgets.Dropdown(description=say("label_letter_to"), options=[])
        self.text = widgets.Textarea(description=say("label_letter_text"), rows=18)
        self.links = widgets.HTML()
        parts = [self.none, self.which, self.text, self.links, self.notice.view]
        self.view = widgets.VBox(parts).add_class("boxes").add_class("letters").add_class("as-written")
        self.which.observe(lambda _: self._show(), "value")

    def show(self, screening: Screening) -> None:
        """Write the letters that a run leaves to be written."""
        self._background.start(lambda: tuple(letters_of(screening)), self._take)

    def _take(self, found: tuple[Letter, ...]) -> None:
        self._letters = found
        self.none.value = "" if found else f"<p>{said('suppliers_no_letters')}</p>"
        self.which.options = [(_title(found, k), k) for k in range(len(found))]
        self.which.value = 0 if found else None
        for one in (self.which, self.text):
            one.layout.display = "" if found else "none"
        self._show()

    def _show(self) -> None:
        place = self.which.value
        if place is None or place >= len(self._letters):
            self.text.value = self.links.value = ""
            return
        letter = self._letters[place]
        self.text.value = as_text(letter)
        name = stem("letter", addressed(letter))
        files = link(f"{name}.txt", "text/plain", self.text.value, "label_letter_plain")
        files += link(f"{name}.html", "text/html", letter_page(letter), "label_letter_page")
        self.links.value = f'<ul class="plain downloads">{files}</ul>'


def _title(found: Sequence[Letter], place: int) -> str:
    """To whom a letter goes; with its number where several go to one supplier."""
    name = addressed(found[place])
    same = [k for k, letter in enumerate(found) if addressed(letter) == name]
    return name if len(same) == 1 else say("suppliers_letter_of", name=name, number=same.index(place) + 1)
