"""Rows and headings → columns: which number is per serving and which per 100 g, and why."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from reader.panel import rounding
from reader.panel.numbers import Setting, amount_of, energy_cells, energy_number, places_of, plain_number, unit_of
from reader.panel.parts import ENERGY_ROWS, Heading, Row
from reader.panel.standards import numbers
from reader.panel.text import Token
from reader.panel.values import PACK, PER_100G, SERVING, Amount, Column
from reader.quantities import Interval, show
from reader.spans import Span
from reader.wording import say

_ENOUGH = 3  # rows that must fit before arithmetic overrules or replaces a heading


class Line(NamedTuple):
    """One nutrient's numbers in order, and its percents with how many numbers stood before each."""

    nutrient: str
    cells: list[Token]
    percents: list[tuple[Token, int]]


class Layout(NamedTuple):
    """The basis of each column, in the order of the numbers, and the sentence that says why."""

    bases: tuple[str, ...]
    reason: str
    by_headings: bool = False


def lines_of(rows: list[Row], usual_energy: str, setting: Setting) -> list[Line]:
    """One line per nutrient; a row of energy may make two. A nutrient named again is a footnote: the first stays."""
    found: dict[str, Line] = {}
    for row in rows:
        if row.nutrient in ENERGY_ROWS:
            for nutrient, cells in energy_cells(row.nutrient, row.cells, usual_energy, setting).items():
                found.setdefault(nutrient, Line(nutrient, cells, row.percents))
        elif row.nutrient:
            line = Line(row.nutrient, row.cells, row.percents)
            if row.nutrient not in found or not found[row.nutrient].cells:
                found[row.nutrient] = line
    return list(found.values())


def sections(rows: list[Row], headings: list[Heading]) -> list[tuple[list[Heading], list[Row]]]:
    """Rows under the headings that stand before them: one section, or one for each list of rows."""
    found: list[tuple[list[Heading], list[Row]]] = [([], [])]
    parts: list[Row | Heading] = [*rows, *headings]
    for part in sorted(parts, key=lambda p: p.first):
        if isinstance(part, Row):
            found[-1][1].append(part)
            continue
        if found[-1][1]:
            found.append(([], []))
        found[-1][0].append(part)
    kept = [section for section in found if section[1]]
    if len(kept) == 1 and not kept[0][0]:
        return [(headings, kept[0][1])]  # the headings stand after the rows
    return kept


def layout(
    headings: list[Heading], lines: list[Line], serving_g: float | None, market: str, setting: Setting
) -> Layout:
    """Which basis each column has, from the headings, else from arithmetic, else from what the market requires."""
    bases = tuple(dict.fromkeys(heading.basis for heading in headings))
    counts = Counter(len(line.cells) for line in lines if line.cells)
    width = counts.most_common(1)[0][0] if counts else 0
    if len(bases) >= 2 or (bases and width < 2):
        return _by_headings(bases, lines, serving_g, setting)
    if width >= 2:
        return _two_columns(bases, lines, serving_g, market, setting)
    if market in ("US", "CA"):
        return Layout((SERVING,), say("basis_law_serving", market=say(f"page_market_{market}")))
    return Layout((PER_100G,), say("basis_law_100g", market=say(f"page_market_{market}")))


def reason(layouts: list[Layout]) -> str:
    """One sentence for several lists, each with its own heading; else the sentence of each."""
    told = list(dict.fromkeys(layout.reason for layout in layouts))
    if len(told) > 1 and all(layout.by_headings for layout in layouts):
        bases = dict.fromkeys(basis for layout in layouts for basis in layout.bases)
        return say("basis_headings", columns=_names(tuple(bases)))
    return " ".join(told)


def _names(bases: tuple[str, ...]) -> str:
    return ", then ".join(say(f"column_{basis}") for basis in bases)


def _by_headings(bases: tuple[str, ...], lines: list[Line], serving_g: float | None, setting: Setting) -> Layout:
    if serving_g and set(bases[:2]) == {SERVING, PER_100G}:
        turned = (bases[1], bases[0], *bases[2:])
        if _fits(turned, lines, serving_g) >= _ENOUGH and not _fits(bases, lines, serving_g):
            setting.say("panel_swapped", lines[0].cells[0])
            return Layout(turned, say("basis_swapped", serving=show(serving_g), columns=_names(turned)))
    return Layout(bases, say("basis_headings", columns=_names(bases)), by_headings=True)


def _two_columns(
    bases: tuple[str, ...], lines: list[Line], serving_g: float | None, market: str, setting: Setting
) -> Layout:
    """Two numbers a row, at most one heading."""
    both = ((SERVING, PER_100G), (PER_100G, SERVING))
    fitting = [order for order in both if serving_g and _fits(order, lines, serving_g) >= _ENOUGH]
    if len(fitting) == 1 and (not bases or bases[0] in (SERVING, PER_100G)):
        return Layout(fitting[0], say("basis_arithmetic", serving=show(serving_g or 0), columns=_names(fitting[0])))
    if bases:
        return Layout(bases, say("basis_headings", columns=_names(bases)))
    if market in ("US", "CA"):
        return Layout((SERVING,), say("basis_law_serving", market=say(f"page_market_{market}")))
    order = both[0] if market == "AU" else both[1]
    setting.say("panel_guessed", next(line.cells[0] for line in lines if line.cells), first=say(f"column_{order[0]}"))
    return Layout(order, say("basis_guess", market=say(f"page_market_{market}"), columns=_names(order)))


def _fits(bases: tuple[str, ...], lines: list[Line], serving_g: float) -> int:
    """How many rows go with the serving weight when the first two columns have these bases; 0 when half do not."""
    one, other = bases.index(SERVING), bases.index(PER_100G)
    good = bad = 0
    for line in lines:
        if len(line.cells) < 2:
            continue
        serving, hundred = _printed(line.cells[one]), _printed(line.cells[other])
        if hundred.low <= 0 or serving.low <= 0:
            continue
        if serving.meets(hundred.times(serving_g / 100)):
            good += 1
        else:
            bad += 1
    return good if good > bad else 0


def _printed(token: Token) -> Interval:
    """The range of a number at its own last place, with the slack of two columns rounded apart."""
    value, slack = energy_number(token), numbers()["columns_slack"]
    own = rounding.last_place(value, places_of(token.value, value), token.less)
    return Interval(own.low * (1 - slack), own.high)


def columns_of(found: Layout, lines: list[Line], setting: Setting) -> tuple[Column, ...]:
    """The columns with their amounts."""
    amounts: dict[str, list[Amount]] = {basis: [] for basis in found.bases}
    width, told = len(found.bases), False
    for line in lines:
        if line.nutrient in ("vitamin_a", "vitamin_c"):
            continue  # only their percentage is printed
        if len(line.cells) > width and not told:
            setting.say("panel_extra_numbers", line.cells[width])
            told = True
        elif 0 < len(line.cells) < width:
            setting.say("panel_short_row", line.cells[0])
        percent = plain_number(line.percents[0][0]) if line.percents else None
        for basis, cell in zip(found.bases, line.cells, strict=False):
            amount = amount_of(line.nutrient, cell, basis, setting, percent)
            if amount is not None:
                amounts[basis].append(amount)
    return tuple(Column(basis, tuple(of)) for basis, of in amounts.items())


def merged(parts: list[tuple[Column, ...]]) -> tuple[Column, ...]:
    """Columns of several sections as one each; the first number of a nutrient stays."""
    found: dict[str, dict[str, Amount]] = {}
    for column in (c for part in parts for c in part):
        own = found.setdefault(column.basis, {})
        for amount in column.amounts:
            own.setdefault(amount.nutrient, amount)
    order = sorted(found, key=(SERVING, PER_100G, PACK).index)
    return tuple(Column(basis, tuple(found[basis].values())) for basis in order)


def percents_of(found: Layout, lines: list[Line], setting: Setting) -> list[tuple[str, float, Span]]:
    """The percent of a day of each row: the one beside the number per serving, or the only one."""
    column = found.bases.index(SERVING) + 1 if SERVING in found.bases else 1
    result = []
    for line in lines:
        percents = [(token, after) for token, after in line.percents if not token.less]  # "<1 %" is no number
        if not percents or line.nutrient == "transfat_g":
            continue  # no day has a trans fat reference; Canada prints saturated and trans together there
        if line.nutrient == "energy_kj" and any(n.nutrient == "energy_kcal" for n in lines):
            continue
        token = next((token for token, after in percents if after == column), percents[0][0])
        if token.fixed:
            setting.say("panel_letters_for_digits", token, taken=f"{show(plain_number(token))} %")
        result.append((line.nutrient, plain_number(token), setting.span(token)))
    return result


def units_printed(lines: list[Line]) -> bool:
    """Whether most rows in g show their unit."""
    cells = [cell for line in lines if unit_of(line.nutrient) == "g" for cell in line.cells]
    return len(cells) >= _ENOUGH and 2 * sum(bool(cell.unit) for cell in cells) >= len(cells)
