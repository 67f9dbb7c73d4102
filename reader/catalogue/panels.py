"""The panel of an entry whose numbers stand in columns."""

from __future__ import annotations

from reader.catalogue.column_names import SERVING_SIZE
from reader.catalogue.values import Entry
from reader.panel.reading import Panel, panel_from_columns


def typed_panel_of(entry: Entry, market: str) -> Panel | None:
    """The panel of the number columns, None if they are empty or a free-text panel is given, which says more.

    Raises ValueError on an unknown market.
    """
    if entry.panel.strip():
        return None
    numbers = dict(entry.typed)
    serving = numbers.pop(SERVING_SIZE, "")
    if not numbers:
        return None
    return panel_from_columns(
        {role: float(text.lstrip("<")) for role, text in numbers.items()},
        serving_g=float(serving.lstrip("<")) or None if serving else None,
        basis=entry.basis,
        market=market,
        less_than=frozenset(role for role, text in numbers.items() if text.startswith("<")),
    )
