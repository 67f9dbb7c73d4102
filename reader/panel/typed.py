"""A panel from the number columns of a table.

Numbers per 100 g of a US or Canadian pack were mostly worked out from the printed panel, so we look for the printed
numbers behind them.
"""

from __future__ import annotations

from collections.abc import Mapping

from reader.panel import rounding
from reader.panel.standards import numbers
from reader.panel.values import PER_100G, SERVING, Amount, Column, Panel
from reader.quantities import Interval, decimals, show
from reader.wording import say

BASES = {"per100g": PER_100G, "100g": PER_100G, "serving": SERVING}

_LIGHTEST = 0.01  # g; a weight below this is an empty cell or an underflow, and dividing by it means nothing


def typed_panel(
    values: Mapping[str, float],
    serving_g: float | None,
    basis: str,
    market: str,
    less_than: frozenset[str] = frozenset(),
) -> Panel:
    """The Panel of these numbers, of which those named in `less_than` are upper ends; negative ones and no numbers are
    left out. Raises ValueError on an unknown basis.
    """
    if basis not in BASES:
        raise ValueError(f"basis must be one of {', '.join(BASES)}, not {basis!r}.")
    kept = {name: float(value) for name, value in values.items() if value is not None and 0 <= float(value) < 1e7}
    weight = float(serving_g) if serving_g and _LIGHTEST <= serving_g < 1e5 else None
    columns, reason = _columns(kept, weight, BASES[basis], market, less_than)
    return Panel(weight, "", None, None, columns, (), "columns" if kept else "none", market, reason, (), ())


def _columns(
    values: dict[str, float], weight: float | None, basis: str, market: str, less_than: frozenset[str]
) -> tuple[tuple[Column, ...], str]:
    if not values:
        return (), say("basis_none")
    if basis == PER_100G and market in ("US", "CA") and weight:
        printed = _led_back({n: v for n, v in values.items() if n not in less_than}, weight, market)
        counted = [name for name, value in values.items() if value > 0]
        if 2 * sum(name in printed for name in counted) > len(counted):
            fitting = sum(name in printed for name in values)
            reason = say(
                "basis_typed_back",
                serving=show(weight),
                fitting=fitting,
                all=len(values),
                market=say(f"page_market_{market}"),
            )
            return _both_columns(values, printed, weight, market, less_than), reason
    amounts = tuple(_typed(name, value, market, basis, name in less_than) for name, value in values.items())
    return (Column(basis, amounts),), say("basis_typed_serving" if basis == SERVING else "basis_typed_100g")


def _typed(nutrient: str, value: float, market: str, basis: str, less: bool = False) -> Amount:
    places = min(decimals(f"{value:g}") if "e" not in f"{value:g}" else 6, 6)
    true, rule = rounding.true_values(value, places, less, market, nutrient, basis)
    return Amount(nutrient, value, less, true, None, rule)


def _led_back(values: dict[str, float], weight: float, market: str) -> dict[str, float]:
    """The printed number per serving behind each number per 100 g, where converting back gives a printable one."""
    near = numbers()["back_conversion"]
    found: dict[str, float] = {}
    for nutrient, value in values.items():
        rule = rounding.rule_for(market, nutrient, SERVING)
        serving = value * weight / 100
        nearest = rounding.nearest_printable(rule, serving) if rule else None
        if nearest is not None and abs(nearest - serving) <= near * serving + 1e-9:
            found[nutrient] = nearest
    return found


def _both_columns(
    values: dict[str, float], printed: dict[str, float], weight: float, market: str, less_than: frozenset[str]
) -> tuple[Column, ...]:
    """The printed numbers per serving, and the given ones per 100 g with the width that rounding per serving leaves."""
    servings, hundreds = [], []
    half = numbers()["serving_half_step"]
    heavy, light = weight + half, max(weight - half, weight / 2)
    for nutrient, value in values.items():
        given = _typed(nutrient, value, market, PER_100G, nutrient in less_than)
        if nutrient in printed:
            amount = _typed(nutrient, printed[nutrient], market, SERVING)
            servings.append(amount)
            true = Interval(amount.true.low * 100 / heavy, amount.true.high * 100 / light)
            given = Amount(nutrient, value, False, true, None, amount.rule)
        hundreds.append(given)
    return Column(SERVING, tuple(servings)), Column(PER_100G, tuple(hundreds))
