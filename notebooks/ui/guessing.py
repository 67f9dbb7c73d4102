"""Guess first: where a pack is on the scale of each aspect, and which words led there; then guess beside reading."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import ipywidgets as widgets

from reader.aspects import ASPECTS
from reader.page.guesses import Guess, against
from reader.page.parts import esc, guess_bar, said
from reader.quantities import show
from reader.wording import say
from ui.pack_boxes import line
from ui.results import part
from ui.shelf.limits import SCALE
from ui.state import State

_STEPS = int(SCALE) * 2  # half steps: finer than anybody guesses
NO_GUESS = -1.0  # a value of its own: a box without one would stand empty


class Guessing:
    """The form; calls `on_done` when the visitor asks for the reading, with a guess or without. Its scales are made
    when it is first put up: most visitors never ask for it, and a page with fewer widgets is there sooner.
    """

    def __init__(self, on_done: Callable[[], None]) -> None:
        self.scales: dict[str, _Scale] = {}
        self.title = widgets.Label(value=say("label_guess_title"), tabbable=False).add_class("ready")
        self.done = widgets.Button(description=say("label_guess_done")).add_class("main")
        about = widgets.HTML(f"<p>{said('guess_about')}</p>")
        self._rows = widgets.VBox([])
        inside = widgets.VBox([self.title, about, self._rows, self.done]).add_class("boxes").add_class("guessing")
        self.view = part("guessing", inside)
        self.done.on_click(lambda _: None if self.closed else on_done())
        self.close()

    @property
    def closed(self) -> bool:
        """Whether the form is put away; a press that comes late then counts for nothing."""
        return bool(self.view.layout.display == "none")

    def ask(self) -> None:
        """Put up the form without a guess."""
        if not self.scales:
            self.scales = {aspect: _Scale(aspect) for aspect in ASPECTS}
            self._rows.children = tuple(scale.view for scale in self.scales.values())
        for scale in self.scales.values():
            scale.clear()
        self.view.layout.display = ""
        self.title.focus()

    def close(self) -> None:
        """Put the form away."""
        self.view.layout.display = "none"

    def guesses(self) -> dict[str, Guess]:
        """What was guessed, by aspect."""
        return {
            aspect: Guess(scale.place.value, scale.words.value)
            for aspect, scale in self.scales.items()
            if scale.place.value != NO_GUESS
        }


class _Scale:
    """One aspect: a place in half steps or none, drawn on its scale, and the words."""

    def __init__(self, aspect: str) -> None:
        self._title = say(f"aspect_{aspect}")
        steps = [(show(step / 2), step / 2) for step in range(_STEPS + 1)]
        self.place = widgets.Dropdown(
            description=say("label_guess_place", title=self._title),
            options=[(say("label_guess_none"), NO_GUESS), *steps],
        )
        self.words = line("label_guess_words", title=self._title)
        self._drawn = widgets.HTML().add_class("guess-scale")
        ends = widgets.HTML(f'<p class="quiet">{said(f"aspect_{aspect}_scale")}</p>')
        self.view = widgets.VBox([self.place, self._drawn, ends, self.words]).add_class("guess-aspect")
        self.place.observe(lambda _: self._draw(), "value")
        self._draw()

    def clear(self) -> None:
        self.place.value, self.words.value = NO_GUESS, ""

    def _draw(self) -> None:
        place = None if self.place.value == NO_GUESS else self.place.value
        told = say("label_guess_none") if place is None else say("guess_yours", value=show(place))
        ends = f'<span class="ends" aria-hidden="true"><span>0</span><span>{esc(show(SCALE))}</span></span>'
        self._drawn.value = guess_bar(f"{self._title}: {told}", place, top=SCALE) + ends


class Against:
    """Guess against reading, kept up with what `state` holds as the reading goes further."""

    def __init__(self, state: State) -> None:
        self._state = state
        self._guesses: Mapping[str, Guess] = {}
        self.view = widgets.HTML()
        state.observe(lambda change: self._draw(change["new"]), "report")

    def show(self, guesses: Mapping[str, Guess]) -> None:
        """Set these guesses beside the reading from now on; none take the part away."""
        self._guesses = dict(guesses)
        self._draw(self._state.report)

    def _draw(self, report: Any) -> None:
        there = bool(self._guesses) and report is not None
        self.view.value = against(report.aspects, self._guesses) if there else ""
