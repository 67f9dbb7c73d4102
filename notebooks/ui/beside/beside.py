"""The part "Side by side". Open this file first: choosing, reading, wishes and showing meet here."""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from threading import Thread

import ipywidgets as widgets

from reader.compare.pack import Pack as Compared
from reader.compare.table import LEAST, MOST
from reader.page.parts import said
from reader.wording import say
from ui.beside.chosen import Chosen
from ui.beside.compared import Charts, Differing, Ranked, Tables
from ui.beside.controls import Sieve, Weights
from ui.beside.papers import Papers, Shown
from ui.beside.wishes import worked_out
from ui.changing import Changing
from ui.notice import Notice
from ui.pack_names import plain_names
from ui.page_thread import PageThread
from ui.results import part
from ui.shelf.values import Pack
from ui.shelf_files import ShelfFiles
from ui.shelves import Readings, Shelves
from ui.spoken import Spoken

log = logging.getLogger(__name__)
_TOLD_EVERY = 5  # packs


class Beside:
    """Packs side by side; read in the background the first time, as more than a few take a moment."""

    def __init__(self, shelves: Shelves, readings: Readings, spoken: Spoken) -> None:
        self._readings, self._spoken = readings, spoken
        self._read: tuple[Compared, ...] = ()
        self._drawn: object = None  # what the tables and charts show
        self._turn = 0  # a newer choice makes an older one's answer worthless
        self.chosen = Chosen(shelves, self._look, self._start)
        self.weights, self.sieve = Weights(self._show), Sieve(self._show)
        self.ranked, self.tables, self.charts, self.differing = Ranked(), Tables(), Charts(), Differing()
        self.papers = Papers(self._as_shown)
        self.changing = Changing(shelves, lambda: self.chosen.opened, self._look)
        self.files = ShelfFiles(shelves, lambda: self.chosen.opened, self._look)
        self.message, self.progress = Notice(), widgets.HTML()

    def view(self) -> widgets.Widget:
        """The parts in the order in which they are used."""
        packs = widgets.VBox([self.chosen.view, self.message.view, self.progress])
        self._rank_part = part("compare_rank", widgets.VBox([self.weights.view, self.ranked.view]))
        self._sieve_part = part("beside_sieve", widgets.VBox([self.sieve.view, self.tables.count]))
        self._paper_part = part("beside_papers", self.papers.view)
        first = part("beside_packs", packs)
        first.layout.display = ""
        shown = [self._rank_part, self._sieve_part, self.charts.view, self.tables.view, self.differing.view]
        self._own_parts = part("beside_change", self.changing.view), part("beside_shelf", self.files.view)
        return widgets.VBox([first, *shown, self._paper_part, *self._own_parts]).add_class("comparison")

    def enter(self) -> None:
        """Look at the shelf again: packs may have been kept meanwhile."""
        self._look()

    def leave(self) -> None:
        """Let a reading that is under way go: its answer would be shown to nobody."""
        self._turn += 1

    # -- reading --------------------------------------------------------------------------------------------

    def _look(self) -> None:
        with self.message.trying():
            self.chosen.look()
        self._took_shelf()

    def _took_shelf(self) -> None:
        """Another shelf is chosen, or the same one was looked at again."""
        opened = self.chosen.opened
        for one, there in zip(self._own_parts, (opened, opened and opened.shelf.keeper), strict=True):
            one.layout.display = "" if there else "none"
        with self.message.trying(keep=True):
            self.changing.refresh()
            self.files.refresh()
        self._start()

    def _start(self) -> None:
        """Read the packs that are ticked, then show them."""
        self._turn += 1
        packs = self.chosen.packs
        if LEAST <= len(packs) <= MOST:
            Thread(
                target=self._go, args=(self._turn, packs, plain_names(self.chosen.all), PageThread()), daemon=True
            ).start()
            return
        self._read, self._drawn = (), None
        key = "beside_too_few" if len(packs) < LEAST else "beside_too_many"
        self.progress.value = f"<p>{said(key, count=len(packs), least=LEAST, most=MOST)}</p>"
        self._show()

    def _go(self, turn: int, packs: Sequence[Pack], names: Mapping[str, str], page: PageThread) -> None:
        try:
            done: list[Compared] = []
            for found in self._readings.read(packs, names):
                if turn != self._turn:
                    return
                done.append(found)
                if len(done) % _TOLD_EVERY == 0 and len(done) < len(packs):
                    self.progress.value = f"<p>{said('beside_reading', count=len(done), whole=len(packs))}</p>"
            page.run(lambda: self._take(turn, done))
        except Exception:
            log.exception("The packs could not be compared.")
            self.progress.value = f"<p>{said('beside_fault')}</p>"

    def _take(self, turn: int, packs: Sequence[Compared]) -> None:
        if turn != self._turn:
            return
        self.progress.value = ""
        self._read, self._drawn = tuple(packs), None
        self._show()
        self._spoken.say(say("compare_counts", count=len(packs)))

    # -- showing --------------------------------------------------------------------------------------------

    def _as_shown(self) -> Shown | None:
        if len(self._read) < LEAST:
            return None
        shown = worked_out(self._read, self.sieve.wishes(self.weights))
        return shown if shown[0].lines else None

    def _show(self) -> None:
        self.papers.outdated()
        shown = self._as_shown()
        there = len(self._read) >= LEAST
        for one in (self._rank_part, self._sieve_part, self._paper_part):
            one.layout.display = "" if there else "none"
        found, ranking = shown or (None, None)
        self.ranked.show(ranking)
        drawn = found and ([id(line.pack) for line in found.lines], found.unsorted, found.left_out)
        if drawn and drawn == self._drawn:
            return  # other weights, the same packs in the same order
        self._drawn = drawn
        self.tables.show(found)
        if there and found is None:
            self.tables.count.value = f"<p>{said('beside_none_left')}</p>"
        self.differing.show([line.pack for line in found.lines] if found else [])
        self.charts.show(found)
