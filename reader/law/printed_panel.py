"""The printed panel as judges look at it: whether one was pasted, its lines, their places, numbers in words.

Numbers typed into a table say nothing of how a pack prints them, so judges of what is printed look at panels pasted as
text only.
"""

from __future__ import annotations

from reader.law.case import Case
from reader.panel.values import PER_100G, Amount, Column, Panel
from reader.quantities import show
from reader.spans import Span

ENERGY = "energy"  # in a list of lines: kJ, kcal or both
_UNITS = {"kj": "kJ"}  # units written otherwise than at the end of a nutrient's id


def printed_panel(case: Case) -> Panel | None:
    """The panel, if it was pasted as text and has the layout of the market whose rules are asked; else None."""
    panel = case.panel
    if panel.form in ("columns", "none") or panel.empty or panel.market != case.market:
        return None
    return panel


def line_of(nutrient: str) -> str:
    """The line of a panel a nutrient stands on: itself, or ENERGY for kJ and kcal."""
    return ENERGY if nutrient.startswith(ENERGY) else nutrient


def amount_of(column: Column, line: str) -> Amount | None:
    """The amount of a line; "energy" is kJ or kcal."""
    return next((a for a in column.amounts if line_of(a.nutrient) == line), None)


def place_of_row(panel: Panel, nutrient: str) -> Span | None:
    """Where the amount of a nutrient stands, that per 100 g first."""
    columns = sorted(panel.columns, key=lambda column: column.basis != PER_100G)
    return next((amount.span for column in columns if (amount := column.get(nutrient)) and amount.span), None)


def whole(panel: Panel) -> tuple[Span, ...]:
    """From the first number of the panel to the last, as one place; () where no place is known."""
    places = [amount.span for column in panel.columns for amount in column.amounts if amount.span is not None]
    return (Span(min(s.start for s in places), max(s.end for s in places), places[0].text),) if places else ()


def amount_told(nutrient: str, number: float, places: int = 3) -> str:
    """A number with the unit of a nutrient, at most so many decimals: "1,120 kJ", "8.5 g"."""
    unit = nutrient.rsplit("_", 1)[-1]
    return f"{show(number, places)} {_UNITS.get(unit, unit)}"
