"""Comparisons with published composition lines that need nothing but the panel.

Water is taken by difference, so every number here is an interval. A comparison is no verdict: the Austrian line is
law in Austria only (lexicon/standards/at_composition.yaml).
"""

from __future__ import annotations

from dataclasses import dataclass

from reader import tables
from reader.aspects import Said, said
from reader.law.rules import by_id
from reader.panel.reading import Panel
from reader.quantities import Interval, show

RATIOS = ("water_to_protein", "fat_to_protein", "water_and_fat_to_protein")
_LINE = "at_frankfurter"  # the rule whose limit is told


@dataclass(frozen=True, slots=True)
class Ratios:
    """Water in percent, and the three ratios to protein; all ranges."""

    water: Interval
    water_to_protein: Interval
    fat_to_protein: Interval
    water_and_fat_to_protein: Interval


def ratios(protein: Interval, fat: Interval, carbohydrate: Interval, salt: Interval) -> Ratios | None:
    """The ratios from per-100-g ranges in grams; None if there may be no protein."""
    if protein.low <= 0:
        return None
    low, high = (float(x) for x in tables.load_raw()["standards/at_frankfurter"]["ash_beyond_salt"])
    ash = salt.plus(Interval(low, high))
    solids = [protein, fat, carbohydrate, ash]
    water = Interval(100 - sum(s.high for s in solids), 100 - sum(s.low for s in solids)).within(0, 100)
    # water + fat = 100 − protein − carbohydrate − ash: the fat itself cancels out
    rest = Interval(100 - protein.high - carbohydrate.high - ash.high, 100 - protein.low - carbohydrate.low - ash.low)
    return Ratios(water, _over(water, protein), _over(fat, protein), _over(rest, protein))


def _over(part: Interval, protein: Interval) -> Interval:
    return Interval(part.low / protein.high, part.high / protein.low)


def measured(panel: Panel) -> Ratios | None:
    """The ratios of a panel; None if a number is missing."""
    found = [panel.per_100g(n) for n in ("protein_g", "fat_g", "carb_g", "salt_g")]
    if any(f is None for f in found):
        return None
    return ratios(*(f for f in found if f is not None))


def compare(panel: Panel) -> tuple[Said, ...]:
    """How the panel lies to the Austrian line for frankfurters; empty if a number is missing."""
    told = measured(panel)
    if told is None:
        return ()
    line = by_id()[_LINE]
    limit, value = line.number("water_and_fat_to_protein"), told.water_and_fat_to_protein
    where = "above" if value.low > limit else "inside" if value.high <= limit else "open"
    return (
        said("yardstick_water", low=show(told.water.low, 0), high=show(told.water.high, 0)),
        said(
            f"yardstick_austria_{where}",
            source=line.source,
            low=show(value.low),
            high=show(value.high),
            limit=show(limit),
        ),
    )
