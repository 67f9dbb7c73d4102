"""The one place of the shelf that reads the clock. Everything else takes the time as an argument."""

from __future__ import annotations

import time


def now() -> int:
    """Whole seconds since 1970-01-01 00:00 UTC."""
    return int(time.time())
