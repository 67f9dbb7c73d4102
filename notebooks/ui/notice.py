"""What came of the last press, told where it was pressed."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager

import ipywidgets as widgets

from reader.page.parts import esc
from reader.wording import say
from ui.shelf.trouble import ShelfError

log = logging.getLogger(__name__)


class Notice:
    """A place for one sentence, which a screen reader reads out when it changes."""

    def __init__(self) -> None:
        self.text = ""
        self.view = widgets.HTML()

    def tell(self, text: str) -> None:
        """Show a sentence; "" for none."""
        self.text = text
        self.view.value = ""  # so that the same sentence again is a change
        if text:
            self.view.value = f'<p class="message" role="alert">{esc(text)}</p>'

    @contextmanager
    def trying(self, *, keep: bool = False) -> Iterator[None]:
        """Tell what goes wrong inside instead of raising it; what was told before is taken away, unless it is kept."""
        if not keep:
            self.tell("")
        try:
            yield
        except ShelfError as error:
            self.tell(str(error))
        except Exception:
            log.exception("Something on the page went wrong.")
            self.tell(say("shelf_page_fault"))
