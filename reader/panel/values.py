"""The panel as a value: amounts with the true values they can stand for, per serving and per 100 g."""

from __future__ import annotations

from dataclasses import dataclass

from reader.panel.standards import numbers
from reader.problems import Problem
from reader.quantities import Interval
from reader.spans import Span

SERVING, PER_100G, PACK = "serving", "100g", "pack"


@dataclass(frozen=True, slots=True)
class Amount:
    """One printed number of a panel, in the unit at the end of the nutrient's id."""

    nutrient: str
    printed: float
    less_than: bool
    true: Interval
    span: Span | None
    rule: str


@dataclass(frozen=True, slots=True)
class Column:
    """The amounts of one column; `basis` is "serving", "100g" or "pack"."""

    basis: str
    amounts: tuple[Amount, ...]

    def get(self, nutrient: str) -> Amount | None:
        """The amount of a nutrient, or None when the column does not state it."""
        for amount in self.amounts:
            if amount.nutrient == nutrient:
                return amount
        return None


@dataclass(frozen=True, slots=True)
class Panel:
    """A nutrition panel as read. "Not stated" is None, never 0.

    `places`: what belongs to the panel. `left`: words and numbers in or beside it that went into no row, no heading
    and no footnote; the page shows them as not understood.
    """

    serving_g: float | None
    serving_text: str
    serving_span: Span | None
    servings_per_pack: float | None
    columns: tuple[Column, ...]
    daily_percents: tuple[tuple[str, float, Span], ...]
    form: str
    market: str
    basis_reason: str
    problems: tuple[Problem, ...]
    places: tuple[Span, ...]
    left: tuple[Span, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether no amount was read."""
        return not any(column.amounts for column in self.columns)

    def column(self, basis: str) -> Column | None:
        """The column of that basis, or None."""
        for column in self.columns:
            if column.basis == basis:
                return column
        return None

    def serving_weight(self) -> Interval | None:
        """The true grams of a serving: the printed weight is rounded to whole grams."""
        if not self.serving_g:
            return None
        half = numbers()["serving_half_step"]
        return Interval(max(self.serving_g - half, self.serving_g / 2), self.serving_g + half)

    def per_serving(self, nutrient: str) -> Interval | None:
        """True values in one serving, from the column per serving or else the one per 100 g; None when not stated."""
        own = self._true(SERVING, nutrient)
        weight = self.serving_weight()
        if own is not None or weight is None:
            return own
        other = self._true(PER_100G, nutrient)
        return Interval(other.low * weight.low / 100, other.high * weight.high / 100) if other else None

    def per_100g(self, nutrient: str) -> Interval | None:
        """True values in 100 g, from the column per 100 g or else the one per serving; None when not stated."""
        own = self._true(PER_100G, nutrient)
        weight = self.serving_weight()
        if own is not None or weight is None:
            return own
        other = self._true(SERVING, nutrient)
        return Interval(other.low * 100 / weight.high, other.high * 100 / weight.low) if other else None

    def stated_per_serving(self, nutrient: str) -> float | None:
        """The printed number per serving, or the one per 100 g simply converted."""
        own, other = self._stated(SERVING, nutrient), self._stated(PER_100G, nutrient)
        if own is not None or other is None or not self.serving_g:
            return own
        return other * self.serving_g / 100

    def stated_per_100g(self, nutrient: str) -> float | None:
        """The printed number per 100 g, or the one per serving simply converted."""
        own, other = self._stated(PER_100G, nutrient), self._stated(SERVING, nutrient)
        if own is not None or other is None or not self.serving_g:
            return own
        return other * 100 / self.serving_g

    def _true(self, basis: str, nutrient: str) -> Interval | None:
        """True values of one column; sodium from salt, salt from sodium, kcal from kJ and the other way round."""
        column = self.column(basis)
        if column is None:
            return None
        amount = column.get(nutrient)
        if amount is not None:
            return amount.true
        source, low, high, _ = _other_way(nutrient)
        amount = column.get(source) if source else None
        return Interval(amount.true.low * low, amount.true.high * high) if amount else None

    def _stated(self, basis: str, nutrient: str) -> float | None:
        column = self.column(basis)
        if column is None:
            return None
        amount = column.get(nutrient)
        if amount is not None:
            return amount.printed
        source, _, _, usual = _other_way(nutrient)
        amount = column.get(source) if source else None
        return amount.printed * usual if amount else None


def _other_way(nutrient: str) -> tuple[str, float, float, float]:
    """The nutrient another one can be worked out from, with the least, most and usual factor; "" when none."""
    known = numbers()
    salt = known["salt_per_sodium"]
    if nutrient == "sodium_mg":
        return "salt_g", 1000 / salt, 1000 / salt, 1000 / salt
    if nutrient == "salt_g":
        return "sodium_mg", salt / 1000, salt / 1000, salt / 1000
    least, most, usual = known["kj_per_kcal_least"], known["kj_per_kcal_most"], known["kj_per_kcal"]
    if nutrient == "energy_kcal":
        return "energy_kj", 1 / most, 1 / least, 1 / usual
    if nutrient == "energy_kj":
        return "energy_kcal", least, most, usual
    return "", 0.0, 0.0, 0.0
