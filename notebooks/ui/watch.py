"""Looks once in a while whether a shelf has changed, and tells the page. Never raises; ends with the page."""

from __future__ import annotations

import logging
from collections.abc import Callable
from threading import Event, Thread

from ui.page_thread import PageThread
from ui.shelf.trouble import ShelfError

log = logging.getLogger(__name__)
_FAULT = "fault"


class Watch:
    """Asks `count` every `every_s` seconds and calls `on_change` when the answer, or the trouble in getting one, is
    another than before. Asking is done in a thread of its own, so that nobody who types waits for it.
    """

    def __init__(self, count: Callable[[], int], on_change: Callable[[], None], every_s: float) -> None:
        self._count, self._on_change, self._every_s = count, on_change, every_s
        self._ended = Event()
        self._ended.set()

    @property
    def running(self) -> bool:
        """Whether it looks."""
        return not self._ended.is_set()

    def start(self) -> None:
        """Begin to look; what is found first is told too, as it may be newer than what is shown."""
        if not self.running:
            self._ended = Event()
            Thread(target=self._go, args=(self._ended, PageThread()), daemon=True).start()

    def stop(self) -> None:
        """Look no more."""
        self._ended.set()

    def _go(self, ended: Event, page: PageThread) -> None:
        before: int | str | None = None
        waiting = Event()  # set while a change is told, so that a busy page is not told of each one

        def tell() -> None:
            waiting.clear()
            if not ended.is_set():
                self._tell()

        while not ended.wait(self._every_s):
            found = self._ask()
            if found != before and not waiting.is_set():
                before = found
                waiting.set()
                page.run(tell)

    def _ask(self) -> int | str:
        try:
            return self._count()
        except ShelfError as error:
            return error.kind
        except Exception:
            log.exception("The shelf could not be looked at.")
            return _FAULT

    def _tell(self) -> None:
        try:
            self._on_change()
        except Exception:
            log.exception("What changed on the shelf could not be shown.")
