"""The thread in which the page's own events are handled. What other threads have to show is shown there, between two
events, so that nothing has to be locked and no press is half done when something changes.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable


class PageThread:
    """Made while an event of the page is handled. Where there is no page (a test, a script) things run at once."""

    def __init__(self) -> None:
        try:
            self._loop: asyncio.AbstractEventLoop | None = asyncio.get_running_loop()
        except RuntimeError:
            self._loop = None

    def run(self, what: Callable[[], None]) -> None:
        """Have something done there as soon as the page is free."""
        if self._loop is None:
            what()
        else:
            self._loop.call_soon_threadsafe(what)
