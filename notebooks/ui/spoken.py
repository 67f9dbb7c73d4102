"""What a screen reader hears. One for the whole page: frame.js copies its words into the page's live region."""

from __future__ import annotations

import ipywidgets as widgets

from reader.page.parts import esc


class Spoken:
    """Words that are heard and not seen."""

    def __init__(self) -> None:
        self.view = widgets.HTML().add_class("spoken")

    def say(self, text: str) -> None:
        """Have the text read out, also if it is the one that was read out last."""
        self.view.value = ""  # so that the same words again are a change
        self.view.value = esc(text)
