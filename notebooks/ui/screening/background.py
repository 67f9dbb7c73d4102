"""Work away from the page's own thread, whose answer is shown on it."""

from __future__ import annotations

import logging
from collections.abc import Callable
from threading import Thread
from typing import TypeVar

from reader.wording import say
from ui.notice import Notice
from ui.page_thread import PageThread

log = logging.getLogger(__name__)

THREAD = "in the background"  # the name of every such thread

_Found = TypeVar("_Found")


class Background:
    """One piece of work that counts: a newer one makes an older one's answer worthless. Faults go to the notice."""

    def __init__(self, notice: Notice) -> None:
        self._notice, self._turn = notice, 0

    def start(self, work: Callable[[], _Found], then: Callable[[_Found], None]) -> None:
        """Do `work` in a thread, and `then` with what it found on the page's thread, unless something newer began."""
        self._turn += 1
        args = (self._turn, work, then, PageThread())
        Thread(target=self._go, args=args, name=THREAD, daemon=True).start()

    def drop(self) -> None:
        """Let the answer that is awaited go."""
        self._turn += 1

    def _go(self, turn: int, work: Callable[[], _Found], then: Callable[[_Found], None], page: PageThread) -> None:
        try:
            found = work()
        except Exception:
            log.exception("Something in the background went wrong.")
            page.run(lambda: self._notice.tell(say("shelf_page_fault")) if turn == self._turn else None)
            return
        page.run(lambda: self._show(turn, found, then))

    def _show(self, turn: int, found: _Found, then: Callable[[_Found], None]) -> None:
        if turn == self._turn:
            with self._notice.trying(keep=True):
                then(found)
