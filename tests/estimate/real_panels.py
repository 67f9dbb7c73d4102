"""How many real panels fit a generic list of their kind: `python -m tests.estimate panels FILE`.

FILE is a table with the columns kind, energy_kcal, fat_g, satfat_g, carb_g, sugar_g, fibre_g, protein_g, sodium_mg per
100 g and serving_size_g, for which they were printed. True lists are not known, so the share is a lower bound.
"""

from __future__ import annotations

import csv
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from reader import read_label

_MORE = "SALT, SPICES, DEXTROSE, CORN SYRUP, SUGAR, FLAVORINGS, SODIUM PHOSPHATES, SODIUM LACTATE, SODIUM ERYTHORBATE, SODIUM NITRITE"
_DRY = "SALT, SPICES, DEXTROSE, SUGAR, GARLIC POWDER, PAPRIKA, LACTIC ACID STARTER CULTURE, SODIUM NITRITE"
# A list of usual ingredients for each kind (common practice), and the name on the front.
LISTS = {
    "bologna": ("Bologna", f"PORK AND/OR BEEF AND/OR CHICKEN, WATER, {_MORE}"),
    "bratwurst": ("Bratwurst", f"PORK, WATER, {_MORE}"),
    "breakfast": ("Breakfast Sausage", f"PORK AND/OR TURKEY, WATER, {_MORE}"),
    "chorizo": ("Chorizo", f"PORK AND/OR BEEF, WATER, VINEGAR, PAPRIKA, {_MORE}"),
    "frankfurter": ("Frankfurters", f"PORK AND/OR BEEF AND/OR TURKEY, WATER, {_MORE}"),
    "italian fresh": ("Italian Sausage", f"PORK AND/OR TURKEY, WATER, {_MORE}"),
    "kielbasa/smoked": ("Smoked Sausage", f"PORK AND/OR BEEF AND/OR TURKEY, WATER, {_MORE}"),
    "liver sausage": ("Liverwurst", f"PORK AND/OR PORK LIVER, PORK FAT, WATER, {_MORE}"),
    "pepperoni": ("Pepperoni", f"PORK AND/OR BEEF AND/OR TURKEY, {_DRY}"),
    "plant-based": ("Plant-Based Sausage", "WATER, TEXTURED SOY PROTEIN, VITAL WHEAT GLUTEN, CANOLA OIL, EGG WHITES, CORN SYRUP, SALT, SPICES, FLAVORINGS"),
    "salami": ("Salami", f"PORK AND/OR BEEF, {_DRY}"),
}  # fmt: skip
_LINES = (
    ("energy_kcal", "Calories {}"), ("fat_g", "Total Fat {}g"), ("satfat_g", "Saturated Fat {}g"), ("sodium_mg", "Sodium {}mg"),
    ("carb_g", "Total Carbohydrate {}g"), ("fibre_g", "Dietary Fiber {}g"), ("sugar_g", "Total Sugars {}g"), ("protein_g", "Protein {}g"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fit:
    """Panels of one kind: how many, how many fit, and the first suspects of those that do not."""

    kind: str
    panels: int
    fit: int
    suspects: tuple[tuple[str, int], ...]


def fits(path: Path, tolerance: str) -> Iterator[Fit]:
    """How many panels of the file fit, by kind."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    by_kind = defaultdict(list)
    for row in rows:
        by_kind[row["kind"]].append(row)
    for kind, of_kind in by_kind.items():
        name, statement = LISTS[kind]
        first: Counter[str] = Counter()
        fit = 0
        for row in of_kind:
            makeup = read_label(
                statement, _panel(row), name=name, depth="possible", choices={"tolerance": tolerance}
            ).makeup
            if makeup.clash is None and makeup.depth == "possible":
                fit += 1
            else:
                first[makeup.clash.suspects[0].id if makeup.clash and makeup.clash.suspects else "several"] += 1
        yield Fit(kind, len(of_kind), fit, tuple(first.most_common(3)))


def _panel(row: dict[str, str]) -> str:
    """The panel as it was printed for one serving."""
    serving = float(row["serving_size_g"])
    lines = [
        words.format(
            f"{float(row[line]) * serving / 100:.3g}"
            if line.endswith("_g")
            else f"{float(row[line]) * serving / 100:.0f}"
        )
        for line, words in _LINES
        if row[line]
    ]
    return "\n".join(("Nutrition Facts", f"Serving size {serving:g}g", *lines))
