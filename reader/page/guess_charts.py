"""What a class guessed → Altair charts: a row for each aspect of a pack, or for each pack of an aspect.

Altair is loaded by the first chart, not by this module.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING, Any

from reader.aspects import Aspect
from reader.page.guesses import range_words
from reader.page.parts import table
from reader.page.range_rows import Picture, Row, broken_lines, finished, over, places, range_lines, range_row
from reader.quantities import show
from reader.wording import say

if TYPE_CHECKING:
    import altair as alt

PACK, ASPECT = "pack", "aspect"  # what the rows belong to
_TOP = 10.0
_DOT = 55  # area of the dot of one guess, in square pixels; more at one place have as much more


@dataclass(frozen=True, slots=True)
class Guessed:
    """A row: its name, the places that were guessed, and the aspect as read; None while the reading is kept back."""

    name: str
    places: tuple[float, ...]
    aspect: Aspect | None = None


def guess_picture(kind: str, title: str, rows: Sequence[Guessed]) -> Picture:
    """The chart of some rows with the same as a table; `kind` is PACK (a row for each aspect) or ASPECT (for each
    pack), `title` the pack's or the aspect's name.
    """
    shown = any(row.aspect for row in rows)
    note = say("figure_guesses_note") + (f" {say('figure_guesses_reading_note')}" if shown else "")
    return Picture(f"guesses_{kind}", title, note, guesses(kind, rows), _table(kind, title, rows, shown))


def guesses(kind: str, rows: Sequence[Guessed]) -> alt.LayerChart:
    """A dot for each place that was guessed, as large as guesses are there; a tick at the median."""
    lines = [_line(number, row) for number, row in enumerate(rows)]
    # A row whose reading is kept back must not look like one without a score.
    unscored = [
        x if row.aspect and row.aspect.score is None else {**x, "low": 0.0} for x, row in zip(lines, rows, strict=True)
    ]
    layers = [*range_lines(lines, say("figure_guesses_axis"), _TOP), *broken_lines(unscored, _TOP)]
    dots: list[Row] = [
        {"row": line["row"], "place": place, "area": _DOT * count, "text": _times(place, count)}
        for line, row in zip(lines, rows, strict=True)
        for place, count in sorted(Counter(row.places).items())
    ]
    if dots:
        layers += [_dots(dots, lines), _medians(lines, rows)]
    words = "; ".join(f"{line['name']}: {line['text']}" for line in lines)
    return finished(layers, f"guesses_{kind}", words)


def _line(number: int, row: Guessed) -> Row:
    read = row.aspect
    line = range_row(row.name, read.score if read else None, read.likely if read else None, None)
    return {**line, "row": f"{number} {row.name}", "text": _summary(row)}


def _summary(row: Guessed) -> str:
    if not row.places:
        return say("figure_guesses_none")
    key = "figure_guesses_one" if len(row.places) == 1 else "figure_guesses_some"
    return say(key, count=len(row.places), middle=show(median(row.places)))


def _times(place: float, count: int) -> str:
    return show(place) if count == 1 else say("figure_guesses_times", count=count, value=show(place))


def _dots(dots: list[Row], lines: list[Row]) -> alt.Chart:
    import altair as alt

    drawn: alt.Chart = (
        over(dots)
        .mark_point(color="currentColor", strokeWidth=1.5, filled=False)
        .encode(
            y=places(lines),
            x="place:Q",
            size=alt.Size("area:Q", scale=None, legend=None),
            tooltip=[alt.Tooltip("text:N", title=say("figure_guesses_axis"))],
        )
    )
    return drawn


def _medians(lines: list[Row], rows: Sequence[Guessed]) -> alt.Chart:
    found: list[dict[str, Any]] = [
        {"row": line["row"], "middle": median(row.places)} for line, row in zip(lines, rows, strict=True) if row.places
    ]
    drawn: alt.Chart = (
        over(found).mark_tick(size=13, thickness=3, color="currentColor").encode(y=places(lines), x="middle:Q")
    )
    return drawn


def _table(kind: str, title: str, rows: Sequence[Guessed], shown: bool) -> str:
    columns = ["what", "count", "middle", "places", *(["reading", "likely"] if shown else [])]
    head = [say(f"figure_guesses_column_{kind if c == 'what' else c}") for c in columns]
    return table(head, [_cells(row, shown) for row in rows], caption=title, numbers=(1, 2))


def _cells(row: Guessed, shown: bool) -> list[str]:
    listed = ", ".join(_times(place, count) for place, count in sorted(Counter(row.places).items()))
    middle = show(median(row.places)) if row.places else ""
    cells = [row.name, str(len(row.places)), middle, listed]
    if not shown:
        return cells
    aspect = row.aspect
    if aspect is None:
        return [*cells, "", ""]
    if aspect.score is None:
        return [*cells, say("page_no_score_" + aspect.state.replace(" ", "_")), ""]
    return [*cells, range_words(aspect.score), range_words(aspect.likely) if aspect.likely else ""]
