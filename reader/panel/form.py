"""Which layout a panel follows: United States newer or older, Canada, European Union, Australia.

Told by its words, then by which day its percentages are of.
"""

from __future__ import annotations

from collections import Counter

from reader.panel.parts import Parts
from reader.panel.standards import DayReference, day_references
from reader.panel.text import vocabulary
from reader.panel.values import Amount, Column
from reader.quantities import Interval
from reader.spans import Span

MARKET_OF = {"us": "US", "canada": "CA", "eu": "EU", "australia": "AU"}
_FAMILY_OF = {"US": "us", "CA": "canada", "EU": "eu", "UK": "eu", "AU": "australia"}
_NEWER, _OLDER = "us 2016", "us 1990s"


def votes(parts: Parts, stretch: tuple[int, int]) -> Counter[str]:
    """How many wordings of the panel speak for each layout; rows of kJ, salt and sodium speak too."""
    forms = vocabulary().forms
    found: Counter[str] = Counter()
    for token in parts.tokens[stretch[0] : stretch[1] + 1]:
        if token.wording:
            for form in forms.get(token.wording, ()):
                found[form] += 1
    rows = {row.nutrient for row in parts.rows}
    kilojoules = any(cell.unit == "kj" for row in parts.rows for cell in row.cells)
    if kilojoules:
        found["eu" if "salt_g" in rows else "australia"] += 1 + ("sodium_mg" in rows or "salt_g" in rows)
    return found


def family(found: Counter[str], market: str) -> str:
    """us, canada, eu or australia: the one with most votes; the market given decides a tie."""
    own = _FAMILY_OF[market]
    most = max((found[name] for name in MARKET_OF), default=0)
    if found[own] == most or not most:
        return own
    return next(name for name in MARKET_OF if found[name] == most)


def market_of(name: str, market: str) -> str:
    """The market whose rules a panel of this family follows; the UK has the layout of the European Union."""
    return market if _FAMILY_OF[market] == name else MARKET_OF[name]


def us_form(found: Counter[str], columns: tuple[Column, ...], percents: list[tuple[str, float, Span]]) -> str:
    """ "us 2016" or "us 1990s": by rows only one of them has, then by which day the percentages are of."""
    newer, older = found[_NEWER], found[_OLDER]
    if newer == older:
        for _, _, _, fitting in fitting_days(columns, percents, "US"):
            if len(fitting) == 1:
                newer += fitting[0].form == _NEWER
                older += fitting[0].form == _OLDER
    return _OLDER if older > newer else _NEWER


def fitting_days(
    columns: tuple[Column, ...],
    percents: list[tuple[str, float, Span]] | tuple[tuple[str, float, Span], ...],
    market: str,
) -> list[tuple[Amount, float, Span, tuple[DayReference, ...]]]:
    """For each percent with an amount beside it: the amount, the percent, its place, and the days it can be of."""
    days = day_references(market)
    result = []
    for nutrient, percent, span in percents:
        known = tuple(day for day in days if nutrient in day.values)
        amounts = [amount for column in columns if (amount := column.get(nutrient))]
        if known and amounts:
            fitting = tuple(d for d in known if any(fits_day(a.true, percent, d.values[nutrient]) for a in amounts))
            result.append((amounts[0], percent, span, fitting))
    return result


def fits_day(true: Interval, percent: float, day: float) -> bool:
    """Whether a percentage, printed in whole percent, can be that of the true amount."""
    return Interval(max(0.0, percent - 0.5), percent + 0.5).meets(true.times(100 / day))
