"""The run: how far labels are read, how far it is, stopping it and going on."""

from __future__ import annotations

import logging
import os
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

import ipywidgets as widgets

from reader.catalogue.reading import Catalogue
from reader.catalogue.trouble import TableError
from reader.house.values import Specification
from reader.makeup.values import LIKELY, ORDER, POSSIBLE
from reader.page.parts import esc, said
from reader.pipeline import MARKETS
from reader.screening.run import screen
from reader.screening.values import Progress, Screening
from reader.wording import say
from ui.notice import Notice
from ui.page_thread import PageThread
from ui.screening.folder import Folder
from ui.screening.pace import Pace, rate_told, time_told
from ui.spoken import Spoken

log = logging.getLogger(__name__)

_FEW = 32  # house: rows that take a few seconds, as long as processes take to begin
_SHOWN_EVERY = 0.5  # seconds
_HEARD_EVERY = 20.0  # seconds


@dataclass(frozen=True, slots=True)
class Order:
    """What is screened, against what, and how. journal: where what is done is kept, so that it can go on."""

    catalogue: Catalogue
    specification: Specification
    depth: str
    market: str
    journal: Path


class Running:
    """Runs one order at a time in a thread of its own; calls `on_done` with what came of it, whole or stopped.

    `wanted` gives what is to be screened, or a sentence that says what is missing.
    """

    def __init__(
        self,
        folder: Folder,
        spoken: Spoken,
        wanted: Callable[[], tuple[Catalogue, Specification] | str],
        on_done: Callable[[Screening], None],
    ) -> None:
        self._folder, self._spoken, self._wanted, self._on_done = folder, spoken, wanted, on_done
        self._order: Order | None = None  # the last one
        self._kept: tuple[Path, Screening] | None = None  # the journal that holds what came of it
        self._stop: threading.Event | None = None  # of the run that is under way
        self._pace, self._shown, self._heard = Pace(), 0.0, 0.0
        depths = [(say(f"label_depth_{depth}"), depth) for depth in (LIKELY, POSSIBLE, ORDER)]
        self.depth = widgets.Dropdown(description=say("label_depth"), options=depths)
        markets = [(say(f"page_market_{market}"), market) for market in MARKETS]
        self.market = widgets.Dropdown(description=say("label_market_else"), options=markets)
        self.start = widgets.Button(description=say("label_screen")).add_class("main")
        self.stop = widgets.Button(description=say("label_stop"))
        self.go_on = widgets.Button(description=say("label_go_on"))
        self.bar, self.words, self.notice = widgets.HTML(), widgets.HTML(), Notice()
        buttons = widgets.HBox([self.start, self.stop, self.go_on])
        choices = widgets.HBox([self.depth, self.market]).add_class("two")
        self.view = widgets.VBox([choices, buttons, self.bar, self.words, self.notice.view]).add_class("boxes")
        self.start.on_click(lambda _: self._begin())
        self.stop.on_click(lambda _: self.halt())
        self.go_on.on_click(lambda _: self._go_on())
        self._fit(stopped=False)

    @property
    def running(self) -> bool:
        """Whether a run is under way."""
        return self._stop is not None

    def halt(self) -> None:
        """Stop as soon as the rows that are being read are done."""
        if self._stop is not None:
            self._stop.set()
            self.words.value = f'<p role="status">{said("suppliers_stopping")}</p>'

    def _begin(self) -> None:
        wanted = self._wanted()
        if isinstance(wanted, str):
            self.notice.tell(wanted)
            return
        catalogue, specification = wanted
        path = self._folder.new()
        self._run(Order(catalogue, specification, self.depth.value, self.market.value, path))

    def _go_on(self) -> None:
        if self._order is not None:
            self._run(self._order)

    def _run(self, order: Order) -> None:
        if self.running:
            return
        self.notice.tell("")
        self._order, self._stop = order, threading.Event()
        self._pace, self._shown, self._heard = Pace(), 0.0, time.monotonic()
        self._fit(stopped=False)
        self.stop.focus()  # it stands where the button was that is pressed and gone
        self.words.value = f'<p role="status">{said("suppliers_starting")}</p>'
        self._spoken.say(say("suppliers_starting"))
        page = PageThread()
        threading.Thread(target=self._screen, args=(order, self._stop, page), daemon=True).start()

    def _screen(self, order: Order, stop: threading.Event, page: PageThread) -> None:
        try:
            found = screen(
                order.catalogue,
                order.specification,
                depth=order.depth,
                market=order.market,
                on=None,
                workers=_workers(order.catalogue),
                journal=order.journal,
                stop=stop,
                tell=lambda progress: self._told(progress, page),
            )
        except TableError as error:
            page.run(lambda told=str(error): self._failed(told))  # type: ignore[misc]
        except Exception:
            log.exception("A list could not be screened.")
            page.run(lambda: self._failed(say("suppliers_fault")))
        else:
            page.run(lambda: self._done(order, found, stopped=stop.is_set()))

    def _told(self, progress: Progress, page: PageThread) -> None:
        """Called in the run's own thread after each piece of it: shown twice a second at most."""
        self._pace.at(progress.done)
        now = time.monotonic()
        if now - self._shown >= _SHOWN_EVERY:
            self._shown = now
            page.run(lambda: self._show(progress))

    def _show(self, progress: Progress) -> None:
        if self._stop is None or self._stop.is_set():
            return
        told = self._in_words(progress)
        self.bar.value = _bar(progress)
        self.words.value = f"<p>{esc(told)}</p>"
        if time.monotonic() - self._heard >= _HEARD_EVERY:
            self._heard = time.monotonic()
            self._spoken.say(told)

    def _in_words(self, progress: Progress) -> str:
        done, whole = f"{progress.done:,}", progress.whole
        parts = [
            say("suppliers_done_of", count=done, whole=f"{whole:,}") if whole else say("suppliers_done", count=done)
        ]
        rate, left = self._pace.rate, self._pace.left(whole)
        if rate is not None:
            parts.append(say("suppliers_rate", value=rate_told(rate)))
        if left:
            parts.append(say("suppliers_left", amount=time_told(left)))
        return " ".join(parts)

    def _done(self, order: Order, found: Screening, *, stopped: bool) -> None:
        self._stop = None
        before, self._kept = self._kept, (order.journal, found)
        self._fit(stopped=stopped)
        told = say("suppliers_stopped" if stopped else "suppliers_finished", count=f"{found.count:,}")
        if found.failed:
            told += " " + say("suppliers_failed_one" if found.failed == 1 else "suppliers_failed", count=found.failed)
        self.bar.value, self.words.value = "", f'<p role="status">{esc(told)}</p>'
        self._spoken.say(told)
        with self.notice.trying(keep=True):
            self._on_done(found)
        if before is not None and before[0] != order.journal:
            before[1].journal.remove()  # what it held is shown no more

    def _failed(self, told: str) -> None:
        self._stop = None
        self._fit(stopped=True)
        self.bar.value = self.words.value = ""
        self.notice.tell(told)

    def _fit(self, *, stopped: bool) -> None:
        self.start.layout.display = "none" if self.running else ""
        self.stop.layout.display = "" if self.running else "none"
        self.go_on.layout.display = "" if stopped and not self.running else "none"


def _workers(catalogue: Catalogue) -> int:
    """One process for each core this one may use; none beside this one for a list that is done before they are up."""
    if sum(1 for _ in islice(catalogue.entries(), _FEW + 1)) <= _FEW:
        return 0
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _bar(progress: Progress) -> str:
    """How far it is as the browser draws it; without an end where the end is not known."""
    name = esc(say("suppliers_progress"))
    if not progress.whole:
        return f'<progress aria-label="{name}"></progress>'
    return f'<progress aria-label="{name}" max="{progress.whole}" value="{progress.done}"></progress>'
