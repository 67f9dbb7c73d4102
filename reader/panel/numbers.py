"""One printed number of a panel → an Amount: its unit, what OCR or a slip did to it, and the true values behind it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from reader.panel import rounding
from reader.panel.parts import ENERGY
from reader.panel.standards import day_references, numbers
from reader.panel.text import Token
from reader.panel.values import Amount
from reader.problems import Problem, problem
from reader.quantities import decimals, number, show
from reader.spans import Span

_TO_MG = {"g": 1000.0, "mg": 1.0, "mcg": 0.001}
_UNIT_WORDS = {"kj": "kJ", "kcal": "kcal"}


@dataclass(slots=True)
class Setting:
    """What all numbers of one panel share."""

    text: str
    box: str
    market: str
    units_printed: bool = False  # most rows in g show their unit
    problems: list[Problem] = field(default_factory=list)

    def span(self, token: Token) -> Span:
        """The place of a token in the pasted text."""
        return Span(token.start, token.end, self.box)

    def say(self, kind: str, token: Token, **values: object) -> None:
        """Keeps a problem at the place of a token."""
        span = self.span(token)
        self.problems.append(problem(kind, span, printed=span.of(self.text).strip(), **values))


def unit_of(nutrient: str) -> str:
    """The unit of a nutrient: g, mg, mcg, kcal, kj."""
    return nutrient.rsplit("_", 1)[-1]


def amount_of(nutrient: str, token: Token, basis: str, setting: Setting, percent: float | None = None) -> Amount | None:
    """The Amount behind a number, or None when its unit cannot belong to the nutrient."""
    own = unit_of(nutrient)
    token = _nine_for_g(nutrient, token, setting, percent) if not token.unit and own == "g" else token
    value, unit = _value(token, own), token.unit or own
    if not token.unit:
        unit = _unit_missing(nutrient, token, value, setting)
    elif unit != own and not (unit in _TO_MG and own in _TO_MG):
        return None
    unit = _slip(nutrient, token, value, unit, setting)
    if token.fixed:
        setting.say("panel_letters_for_digits", token, taken=_words(value, unit))
    places = places_of(token.value, value)
    if unit == own:
        true, rule = rounding.true_values(value, places, token.less, setting.market, nutrient, basis)
        return Amount(nutrient, value, token.less, true, setting.span(token), rule)
    scale = _TO_MG[unit] / _TO_MG[own]
    true = rounding.last_place(value, places, token.less).times(scale)
    return Amount(nutrient, round(value * scale, 6), token.less, true, setting.span(token), "")


def _value(token: Token, own: str) -> float:
    """The number. Rows in g have no thousands; energy may have a full stop for them (1.198 kJ)."""
    return _read(token.value, own in ("kj", "kcal"), own != "g" and token.unit != "g")


@lru_cache(maxsize=8192)
def _read(printed: str, energy: bool, grouped: bool) -> float:
    if printed.isdigit():
        return float(printed)
    printed = printed.replace(" ", "")
    if energy and printed[1:2] == "." and len(printed) == 5:
        printed = printed.replace(".", "")
    return number(printed, grouped=grouped)


def energy_number(token: Token) -> float:
    """The number of a token whose comma, blank or full stop may be that of thousands."""
    return _read(token.value, token.unit in ("kj", "kcal"), True)


def plain_number(token: Token) -> float:
    """The number of a token that has no thousands: percents, weights."""
    return _read(token.value, False, False)


@lru_cache(maxsize=8192)
def places_of(printed: str, value: float) -> int:
    """How many decimals a number shows; one of 1,000 or more shows none (its mark is that of the thousands)."""
    return 0 if value >= 1000 or printed.isdigit() else decimals(printed)


def _words(value: float, unit: str) -> str:
    return f"{show(value, 3)} {_UNIT_WORDS.get(unit, unit)}"


def _nine_for_g(nutrient: str, token: Token, setting: Setting, percent: float | None) -> Token:
    """ "119" for "11g", "09" for "0g": a row in g without unit that ends in 9, where the other rows show theirs."""
    digits = token.value
    if len(digits) < 2 or digits[-1] != "9" or not digits.isdigit():
        return token
    if digits[0] != "0" and not _nine_fits(nutrient, digits, setting, percent):
        return token
    setting.say("panel_nine_for_g", token, taken=_words(float(digits[:-1]), "g"))
    return token._replace(value=digits[:-1], unit="g")


def _nine_fits(nutrient: str, digits: str, setting: Setting, percent: float | None) -> bool:
    """Whether the percent of a day speaks for the number without its 9; without one, whether other rows show a g."""
    days = [day.values[nutrient] for day in day_references(setting.market) if nutrient in day.values]
    if percent is None or not days:
        return setting.units_printed
    as_printed = min(abs(float(digits) / day * 100 - percent) for day in days)
    return min(abs(float(digits[:-1]) / day * 100 - percent) for day in days) < as_printed


def _unit_missing(nutrient: str, token: Token, value: float, setting: Setting) -> str:
    """The usual unit; said where another one is just as usual."""
    unit = unit_of(nutrient)
    if nutrient == "sodium_mg" and "." in token.value and value < numbers()["sodium_grams_most"]:
        unit = "g"
    elif nutrient == "salt_g" and value > numbers()["sodium_grams_most"] * numbers()["salt_per_sodium"]:
        unit = "mg"
    if value and (nutrient == "sodium_mg" or unit != unit_of(nutrient)):
        setting.say("panel_no_unit", token, taken=_words(value, unit))
    return unit


def _slip(nutrient: str, token: Token, value: float, unit: str, setting: Setting) -> str:
    """The unit that must have been meant, where the printed one cannot be: sodium 480 g, sodium 0.48 mg, fat 11 mg."""
    meant = "mg" if unit == "g" else "g"
    if unit not in ("g", "mg") or not _impossible(nutrient, value, unit):
        return unit
    setting.say("panel_unit_slip", token, taken=_words(value, meant))
    return meant


def _impossible(nutrient: str, value: float, unit: str) -> bool:
    """Whether no panel prints this nutrient with such a number in this unit."""
    known = numbers()
    if nutrient == "sodium_mg" and unit == "g":
        return value > known["sodium_grams_most"]
    if nutrient == "sodium_mg":
        return 0 < value < known["sodium_milligrams_least"] and value % 1 != 0
    in_grams = unit_of(nutrient) == "g" and nutrient != "salt_g"
    return in_grams and unit == "mg" and 0 < value <= known["milligram_slip_most"]


def energy_cells(row_nutrient: str, cells: list[Token], usual: str, setting: Setting) -> dict[str, list[Token]]:
    """Numbers of an energy row by kJ and kcal; those without unit as the row or the market has it."""
    found: dict[str, list[Token]] = {}
    bare = [cell for cell in cells if not cell.unit]
    if row_nutrient == ENERGY and len(bare) == 2 == len(cells) and _is_kj_kcal(bare):
        return {"energy_kj": bare[:1], "energy_kcal": bare[1:]}
    for cell in cells:
        nutrient = f"energy_{cell.unit}" if cell.unit in ("kj", "kcal") else row_nutrient
        if nutrient == ENERGY:
            nutrient = usual
            if not cell.unit:
                setting.say("panel_no_unit", cell, taken=_words(_value(cell, "kj"), unit_of(usual)))
        found.setdefault(nutrient, []).append(cell)
    return found


def _is_kj_kcal(cells: list[Token]) -> bool:
    """Whether the second of two numbers is the first one's energy in kcal."""
    kj, kcal = (_value(cell, "kj") for cell in cells)
    known = numbers()
    return kcal > 0 and known["kj_per_kcal_least"] - 0.05 <= kj / kcal <= known["kj_per_kcal_most"] + 0.05
