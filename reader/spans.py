"""Places in a text: `(start, end)` as pasted. The bottom of everything."""

from __future__ import annotations

from typing import NamedTuple


class Span(NamedTuple):
    """Half-open range of character positions in the text **as pasted**, and which text it is in."""

    start: int
    end: int
    text: str = "statement"  # the box: "statement", "panel" or "name"

    def of(self, pasted: str) -> str:
        """The pasted words at this place."""
        return pasted[self.start : self.end]
