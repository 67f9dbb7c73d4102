"""What of a panel went into no row, no heading and no footnote: nothing pasted may vanish without a word."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from itertools import pairwise

from reader.panel.numbers import Setting
from reader.panel.parts import Parts, Row
from reader.panel.text import Token, small_words
from reader.panel.values import Column
from reader.spans import Span

# Words that say what a panel is about; alone they are no row.
_SPEAKING = frozenset(("heading", "note", "day_table", "other_part", "filler", "includes", "per", "portion", "pack"))
_MOST_TOLD = 20  # problems of this kind; a text with more is no panel, and the page shows all that is left anyway
_VITAMINS = ("vitamin_a", "vitamin_c")  # only their percentage is printed


def left_over(parts: Parts, rows: list[Row], columns: tuple[Column, ...], box: str) -> tuple[Span, ...]:
    """The places nothing was made of, in order; neighbours are one place."""
    used = _used(parts, rows, columns)
    found: list[tuple[int, int]] = []
    for i, token in enumerate(parts.tokens):
        if i in used or token.kind in _SPEAKING:
            continue
        if found and found[-1][1] == i - 1:
            found[-1] = (found[-1][0], i)
        else:
            found.append((i, i))
    runs = (parts.tokens[a : b + 1] for a, b in found)
    return tuple(Span(run[0].start, run[-1].end, box) for run in runs if not all(map(_small, run)))


def _small(token: Token) -> bool:
    return token.kind == "less" or (token.kind == "word" and token.value in small_words())


def tell(parts: Parts, stretch: tuple[int, int], left: tuple[Span, ...], setting: Setting) -> None:
    """A problem for each place inside the panel that could have been a row: it holds a number or a nutrient's name.

    So has the place right behind the panel if it begins with such a name: a last row that could not be read.
    """
    told = {problem.span.start for problem in setting.problems if problem.span}
    inside = parts.tokens[stretch[0] : stretch[1] + 1]
    starts = [token.start for token in inside]
    behind = parts.tokens[stretch[1] + 1 : stretch[1] + 2]
    odd = []
    for span in left:
        here = inside[bisect_left(starts, span.start) : bisect_left(starts, span.end)]
        may_be_row = any(t.kind in ("number", "name") or _mixed(t) for t in here) and not told & {t.start for t in here}
        last_row = behind and behind[0].kind == "name" and span.start == behind[0].start
        if may_be_row or last_row:
            odd.append(span)
    for span in odd[:_MOST_TOLD]:
        setting.say("panel_not_understood", Token("word", span.start, span.end))


def _mixed(token: Token) -> bool:
    return token.kind == "word" and any(c.isdigit() for c in token.value)


def _used(parts: Parts, rows: list[Row], columns: tuple[Column, ...]) -> set[int]:
    """The tokens that went somewhere, by index."""
    used = set(parts.noted)
    used.update(i for i, claim in enumerate(parts.claims) if claim and parts.tokens[i].kind != "number")
    used.update(i for i, (one, next_one) in enumerate(pairwise(parts.tokens)) if _said_twice(one, next_one))
    for heading in parts.headings:
        used.update(range(heading.first, heading.last + 1))
    if parts.serving:
        used.update(range(parts.serving.first, parts.serving.last + 1))
    places = {token.start: i for i, token in enumerate(parts.tokens)}
    starts = set(_starts(parts, rows, columns))
    used.update(places[start] for start in starts if start in places)
    _rows_again(rows, starts, used)
    return used


def _rows_again(rows: list[Row], starts: set[int], used: set[int]) -> None:
    """A row of which no number was read: used if it only repeats one that was, as in another language; else left."""
    read: dict[str, list[tuple[str, str]]] = {}
    for row in rows:
        numbers = [(cell.value, cell.unit) for cell in row.cells]
        tokens = range(row.first, row.last + 1)
        if any(cell.start in starts for cell in row.cells):
            read.setdefault(row.nutrient, numbers)
        elif numbers and numbers == read.get(row.nutrient):
            used.update(tokens)
        elif numbers:
            used.difference_update(tokens)


def _said_twice(name: Token, following: Token) -> bool:
    """ "Fat / Lipides 15 g": the row has the second name."""
    return name.kind == following.kind == "name" and name.value == following.value


def _starts(parts: Parts, rows: list[Row], columns: tuple[Column, ...]) -> Iterator[int]:
    """Where the numbers stand that were read."""
    yield from (a.span.start for column in columns for a in column.amounts if a.span)
    if parts.servings:
        yield parts.servings.start
    for row in rows:
        yield from (token.start for token, _ in row.percents)
        if not row.nutrient or row.nutrient in _VITAMINS:
            yield from (cell.start for cell in row.cells)  # known, and left aside on purpose
