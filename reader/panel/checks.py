"""Arithmetic checks of a panel: what its numbers cannot all be at once, with the widths rounding leaves.

Each check takes a column or the panel and yields Problems with their place. The limits and factors are
lexicon/standards/*_panel.yaml; a check without the rows it needs says nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from reader.panel.form import fitting_days
from reader.panel.standards import EnergyFactors, day_references, energy_factors, numbers, percent_checked
from reader.panel.values import PACK, PER_100G, SERVING, Amount, Column, Panel
from reader.problems import Problem, problem
from reader.quantities import Interval, show

_UNIT_WORDS = {"energy_kj": "kJ", "energy_kcal": "kcal"}
_TINY = 1e-6


def check_panel(panel: Panel) -> tuple[Problem, ...]:
    """Everything in the panel that cannot be; () when all of it fits together."""
    found: list[Problem] = []
    for column in _independent(panel):
        found += _energy(column, panel.market)
        found += _parts_and_wholes(column, panel.market)
        found += _sum(column, panel)
        found += _salt_and_sodium(column)
    found += _sodium_level(panel)
    found += _serving_weight(panel)
    found += _columns_agree(panel)
    found += _percents(panel)
    return tuple(found)


def _independent(panel: Panel) -> tuple[Column, ...]:
    """The columns to check. Typed numbers per 100 g with the printed ones worked out from them are one and the same."""
    if panel.form == "columns" and len(panel.columns) > 1:
        return (panel.column(PER_100G) or panel.columns[0],)
    return panel.columns


def _energy(column: Column, market: str) -> Iterator[Problem]:
    for factors in energy_factors(market):
        printed = column.get(factors.energy)
        made = _made(column, factors)
        if printed is not None and made is not None:
            yield from _compared(printed, made, factors)
    yield from _kj_kcal(column)


def _made(column: Column, factors: EnergyFactors) -> Interval | None:
    """The energy the nutrients make, in the unit of the factors; None when fat, carbohydrate or protein is missing."""
    low = high = 0.0
    for nutrient, factor in factors.values.items():
        amount = column.get(nutrient)
        if amount is None and nutrient != "fibre_g":
            return None
        if amount is not None:
            low, high = low + factor * amount.true.low, high + factor * amount.true.high
    fibre = column.get("fibre_g")
    if factors.fibre_may_be_left_out and fibre is not None:
        low -= factors.values["carb_g"] * fibre.true.high
    return Interval(max(0.0, low), high)


def _compared(printed: Amount, made: Interval, factors: EnergyFactors) -> Iterator[Problem]:
    known = numbers()
    unit = _UNIT_WORDS[factors.energy]
    least = known["energy_slack_kcal"] * (known["kj_per_kcal"] if unit == "kJ" else 1)
    low = made.low - max(least, known["energy_slack"] * made.low)
    high = made.high + max(least, known["energy_slack"] * made.high)
    if printed.true.high < low:
        yield problem("panel_energy_low", printed.span, printed=show(printed.printed), low=show(made.low, 0), unit=unit)
    elif printed.true.low > high:
        yield problem(
            "panel_energy_high", printed.span, printed=show(printed.printed), high=show(made.high, 0), unit=unit
        )


def _kj_kcal(column: Column) -> Iterator[Problem]:
    kj, kcal = column.get("energy_kj"), column.get("energy_kcal")
    if kj is None or kcal is None:
        return
    known = numbers()
    possible = Interval(kcal.true.low * known["kj_per_kcal_least"], kcal.true.high * known["kj_per_kcal_most"])
    if not possible.meets(kj.true):
        yield problem("panel_kj_kcal", kj.span, kj=show(kj.printed), kcal=show(kcal.printed))


def _parts_and_wholes(column: Column, market: str) -> Iterator[Problem]:
    fatty_acids = ("satfat_g", "transfat_g", "monofat_g", "polyfat_g")
    yield from _part(column, "panel_saturates", fatty_acids, "fat_g")
    yield from _part(column, "panel_sugars", ("sugar_g",), "carb_g")
    yield from _part(column, "panel_added_sugars", ("added_sugar_g",), "sugar_g")
    if market in ("US", "CA"):  # elsewhere carbohydrate is printed without fibre
        yield from _part(column, "panel_fibre", ("fibre_g",), "carb_g")


def _part(column: Column, kind: str, parts: tuple[str, ...], whole: str) -> Iterator[Problem]:
    found = [amount for name in parts if (amount := column.get(name))]
    of = column.get(whole)
    if found and of and sum(a.true.low for a in found) > of.true.high + _TINY:
        part = sum(a.printed for a in found)
        yield problem(kind, found[0].span, part=show(part, 2), whole=show(of.printed, 2))


def _sum(column: Column, panel: Panel) -> Iterator[Problem]:
    """Fat + carbohydrate + protein (+ fibre where it is apart, + salt) against the grams they are in."""
    weight = Interval(100.0, 100.0) if column.basis == PER_100G else panel.serving_weight()
    if weight is None or column.basis == PACK:
        return
    names = ["fat_g", "carb_g", "protein_g", "salt_g", *(() if panel.market in ("US", "CA") else ("fibre_g",))]
    found = [amount for name in names if (amount := column.get(name))]
    if sum(a.true.low for a in found) > weight.high + _TINY:
        largest = max(found, key=lambda a: a.printed)
        total = sum(a.printed for a in found)
        printed = 100.0 if column.basis == PER_100G else panel.serving_g or 0.0
        yield problem("panel_sum", largest.span, total=show(total), weight=show(printed))


def _salt_and_sodium(column: Column) -> Iterator[Problem]:
    salt, sodium = column.get("salt_g"), column.get("sodium_mg")
    if salt is None or sodium is None:
        return
    factor = numbers()["salt_per_sodium"] / 1000
    if not sodium.true.times(factor).meets(salt.true):
        expected = show(sodium.printed * factor, 2)
        printed = {"salt": show(salt.printed, 2), "sodium": show(sodium.printed)}
        yield problem("panel_salt_sodium", salt.span, expected=expected, **printed)


def _sodium_level(panel: Panel) -> Iterator[Problem]:
    """Sodium per 100 g outside what a sausage can hold, a lost or added digit most of the time."""
    true, stated = panel.per_100g("sodium_mg"), panel.stated_per_100g("sodium_mg")
    if true is None or stated is None:
        return
    known = numbers()
    amounts = (column.get(name) for column in panel.columns for name in ("sodium_mg", "salt_g"))
    span = next((amount.span for amount in amounts if amount), None)
    if true.low > known["sodium_most"]:
        yield problem("panel_sodium_high", span, sodium=show(stated, 0))
    elif true.high < known["sodium_least"]:
        yield problem("panel_sodium_low", span, sodium=show(stated, 0))


def _serving_weight(panel: Panel) -> Iterator[Problem]:
    known = numbers()
    least, most = known["serving_least"], known["serving_most"]
    if panel.serving_g is not None and not least <= panel.serving_g <= most:
        grams = {"serving": show(panel.serving_g), "least": show(least), "most": show(most)}
        yield problem("panel_serving_weight", panel.serving_span, **grams)


def _columns_agree(panel: Panel) -> Iterator[Problem]:
    """Per serving and per 100 g against the serving weight: one row off, or the weight."""
    serving, hundred, weight = panel.column(SERVING), panel.column(PER_100G), panel.serving_weight()
    if serving is None or hundred is None or weight is None or panel.form == "columns":
        return
    pairs = [(a, b) for a in serving.amounts if (b := hundred.get(a.nutrient)) and a.true.low > 0 and b.true.low > 0]
    off = [pair for pair in pairs if not _agree(*pair, weight)]
    if len(off) >= 3 and 2 * len(off) > len(pairs):
        implied = sorted(100 * a.printed / b.printed for a, b in off)[len(off) // 2]
        span = panel.serving_span or off[0][0].span
        yield problem("panel_columns", span, implied=show(implied, 0), serving=show(panel.serving_g or 0))
        return
    for one, other in off:
        yield _row_off(one, other, panel.serving_g or 1.0)


def _agree(one: Amount, other: Amount, weight: Interval) -> bool:
    slack = numbers()["columns_slack"]
    expected = Interval(
        other.true.low * weight.low / 100 * (1 - slack), other.true.high * weight.high / 100 * (1 + slack)
    )
    return expected.meets(one.true)


def _row_off(one: Amount, other: Amount, serving_g: float) -> Problem:
    words = {"serving_value": show(one.printed, 2), "value": show(other.printed, 2), "serving": show(serving_g)}
    return problem("panel_column_row", one.span, implied=show(one.printed * 100 / serving_g, 2), **words)


def _percents(panel: Panel) -> Iterator[Problem]:
    """Each percent of a day against every day it may be of; and whether all of them can be of one day."""
    checked = percent_checked(panel.market)
    percents = tuple(p for p in panel.daily_percents if p[0] in checked)
    forms = set()
    for amount, percent, span, fitting in fitting_days(panel.columns, percents, panel.market):
        if not fitting:
            yield problem("panel_percent", span, percent=show(percent), **_expected(panel.market, amount))
        elif len(fitting) == 1:
            forms.add((fitting[0].id, span))
    if len({form for form, _ in forms}) > 1:
        yield problem("panel_percent_mixed", min(span for _, span in forms))


def _expected(market: str, amount: Amount) -> dict[str, str]:
    """The amount in words, and what it would be of each day known."""
    unit = amount.nutrient.rsplit("_", 1)[-1]
    days = [day.values[amount.nutrient] for day in day_references(market) if amount.nutrient in day.values]
    said = [f"{show(100 * amount.printed / day, 0)} % of {show(day)} {unit}" for day in dict.fromkeys(days)]
    return {"amount": f"{show(amount.printed, 2)} {unit}", "expected": " or ".join(said)}
