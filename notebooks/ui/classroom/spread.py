"""How far the guesses of a class lie apart: of one pack, aspect by aspect, and of one aspect, pack by pack."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from threading import Thread

import ipywidgets as widgets

from reader.aspects import ASPECTS, Aspect
from reader.page.guess_charts import ASPECT, PACK, Guessed, guess_picture
from reader.page.parts import said
from reader.wording import say
from ui.pack_names import names_of
from ui.page_thread import PageThread
from ui.results import Slot
from ui.shelf.values import Pack, Shelf, Spread
from ui.shelves import Readings

log = logging.getLogger(__name__)
MOST = 40  # packs drawn together, as many as a comparison takes; a class that brings more has seen the first ones


class Spreads:
    """Two charts, drawn anew only when what they show has changed. Readings are found when the tick asks for them, in
    a thread of their own, the chosen pack first.
    """

    def __init__(self, readings: Readings) -> None:
        self._readings = readings
        self._shelf: Shelf | None = None
        self._places: dict[tuple[str, str], tuple[float, ...]] = {}
        self._drawn: dict[str, object] = {}
        self._read: dict[Pack, tuple[Aspect, ...]] = {}
        self._reading, self._quiet = False, False
        self.pack = widgets.Dropdown(description=say("label_spread_pack"))
        titles = [(say(f"aspect_{aspect}"), aspect) for aspect in ASPECTS]
        self.aspect = widgets.Dropdown(description=say("label_spread_aspect"), options=titles)
        self.show_reading = widgets.Checkbox(description=say("label_spread_reading"), indent=False)
        self.progress = widgets.HTML()
        self.last = widgets.HTML()
        self.slots = {PACK: Slot(), ASPECT: Slot()}
        ticks = widgets.VBox([self.show_reading, self.progress]).add_class("ticks").add_class("alone")
        columns = [
            widgets.VBox([self.pack, self.slots[PACK].view]),
            widgets.VBox([self.aspect, self.last, self.slots[ASPECT].view]),
        ]
        two = widgets.HBox(columns).add_class("two")
        self.none = widgets.HTML(f"<p>{said('spread_none')}</p>")
        self.inside = widgets.VBox([ticks, two])
        self.view = widgets.VBox([self.none, self.inside]).add_class("boxes").add_class("spreads")
        for box in (self.pack, self.aspect, self.show_reading):
            box.observe(lambda _: None if self._quiet else self._draw(), "value")

    def refresh(self, shelf: Shelf, spreads: Sequence[Spread]) -> None:
        """Draw what the class has guessed until now."""
        self._shelf = shelf
        self._places = {(spread.pack, spread.aspect): spread.places for spread in spreads}
        names = names_of(shelf)
        options = [(names[pack.id], pack.id) for pack in self._packs()]
        self._quiet = True
        try:
            if list(self.pack.options) != options:
                held = self.pack.value
                self.pack.options = options
                there = [pack_id for _, pack_id in options]
                self.pack.value = held if held in there else there[-1] if there else None
        finally:
            self._quiet = False
        self.none.layout.display, self.inside.layout.display = ("none", "") if options else ("", "none")
        self._draw()

    def _packs(self) -> list[Pack]:
        """Those that the class sees."""
        return [pack for pack in self._shelf.packs if not pack.hidden] if self._shelf else []

    def _draw(self) -> None:
        shelf, packs = self._shelf, self._packs()
        if shelf is None or not packs:
            return
        names = names_of(shelf)
        chosen = next((pack for pack in packs if pack.id == self.pack.value), packs[-1])
        of_pack = [self._row(chosen, aspect, say(f"aspect_{aspect}")) for aspect in ASPECTS]
        self._put(PACK, names[chosen.id], of_pack)
        aspect = self.aspect.value
        drawn = packs[-MOST:]
        of_aspect = [self._row(pack, aspect, names[pack.id]) for pack in drawn]
        self._put(ASPECT, say(f"aspect_{aspect}"), of_aspect)
        note = f'<p class="quiet">{said("spread_last", most=MOST, count=len(packs))}</p>' if len(packs) > MOST else ""
        if self.last.value != note:
            self.last.value = note
        if self.show_reading.value:
            self._find([chosen, *drawn])

    def _row(self, pack: Pack, aspect: str, name: str) -> Guessed:
        read = self._read.get(pack, ()) if self.show_reading.value else ()
        found = next((one for one in read if one.id == aspect), None)
        return Guessed(name, self._places.get((pack.id, aspect), ()), found)

    def _put(self, kind: str, title: str, rows: list[Guessed]) -> None:
        shown = (title, rows)
        if self._drawn.get(kind) != shown:
            self._drawn[kind] = shown
            self.slots[kind].show(guess_picture(kind, title, rows))

    # -- readings -------------------------------------------------------------------------------------------

    def _find(self, packs: Sequence[Pack]) -> None:
        """Read what was not read yet, and draw again when that is done."""
        wanted = [pack for pack in dict.fromkeys(packs) if pack not in self._read]
        if wanted and not self._reading:
            self._reading = True
            self.progress.value = f'<p class="quiet">{said("spread_reading")}</p>'
            Thread(target=self._go, args=(wanted, PageThread()), daemon=True).start()

    def _go(self, packs: Sequence[Pack], page: PageThread) -> None:
        for number, pack in enumerate(packs):
            try:
                aspects = self._readings.report(pack).aspects
            except Exception:
                log.exception("A pack could not be read.")
                aspects = ()
            self._read[pack] = aspects
            if number == 0:  # the chosen one
                page.run(self._draw)
        page.run(self._end)

    def _end(self) -> None:
        self._reading, self.progress.value = False, ""
        self._draw()
