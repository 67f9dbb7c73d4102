"""Nutrient totals of a recipe: each is a variable of its own, tied to the amounts by the ranges of their composition.

With totals as variables, what is worked out of several nutrients (water by difference, added water) sees one and the
same composition in every row.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from reader.makeup.recipe import Part, Recipe, Terms
from reader.makeup.settings import sodium_source
from reader.polytope.rows import Row

COMPOSITION = "composition"
UNKNOWN = "unknown"  # the role of what was not understood, and the group of its protein, which may be that of meat
_ANIMAL_PROTEIN = frozenset(("meat", "mechanically_separated", "fat", "by_product"))
# Printed line of a panel → the nutrient it limits. Energy is a sum of others and has rows of its own.
LINES = {
    "protein_g": "protein", "fat_g": "fat", "satfat_g": "saturated", "carb_g": "carbohydrate", "sugar_g": "sugars",
    "fibre_g": "fibre", "sodium_mg": "sodium", "cholesterol_mg": "cholesterol", "calcium_mg": "calcium",
    "potassium_mg": "potassium",
}  # fmt: skip
_ALWAYS = ("protein", "fat", "carbohydrate", "ash")


@dataclass(frozen=True, slots=True)
class Total:
    """One nutrient of one group of parts. holding: the parts that hold any of it."""

    nutrient: str
    group: str  # "" where all parts count together
    column: int
    holding: tuple[Part, ...]


@dataclass(slots=True)
class Totals:
    """The totals of a recipe and the rows that tie them to its amounts."""

    totals: list[Total] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def of(self, nutrient: str, group: str | None = None) -> Terms:
        """A nutrient of the whole batch (or of one group) as a sum of variables, g per 100 g used."""
        return tuple((t.column, 1.0) for t in self.totals if t.nutrient == nutrient and group in (None, t.group))

    def knows(self, nutrient: str) -> bool:
        """Whether the nutrient is modelled."""
        return any(t.nutrient == nutrient for t in self.totals)


def totals_of(recipe: Recipe, nutrients: frozenset[str], *, by_source: bool = False) -> Totals:
    """Totals of the macronutrients and of those in `nutrients`; sodium as one total, or one for each of its sources.

    The two say the same of everything but the sources: ranges of sums are sums of ranges.
    """
    made = Totals()
    for nutrient in (*_ALWAYS, *sorted(nutrients - set(_ALWAYS))):
        by_group: dict[str, list[Part]] = {}
        for part in recipe.parts():
            by_group.setdefault(_group(nutrient, part, by_source), []).append(part)
        for group, parts in by_group.items():
            _add(made, recipe, nutrient, group, parts)
    for inner, outer in (("saturated", "fat"), ("sugars", "carbohydrate"), ("fibre", "carbohydrate")):
        if made.knows(inner):  # sugars and fibre are both carbohydrate, saturated fat is fat
            terms = (*_negative(made.of(outer)), *made.of(inner))
            made.rows.append(Row(COMPOSITION, terms, high=0.0))
    if made.knows("sugars") and made.knows("fibre"):
        terms = (*_negative(made.of("carbohydrate")), *made.of("sugars"), *made.of("fibre"))
        made.rows.append(Row(COMPOSITION, terms, high=0.0))
    return made


def _negative(terms: Terms) -> Terms:
    return tuple((column, -value) for column, value in terms)


def _group(nutrient: str, part: Part, by_source: bool) -> str:
    if nutrient == "protein":
        return "meat" if part.role in _ANIMAL_PROTEIN else UNKNOWN if part.role == UNKNOWN else "other"
    return sodium_source(part.role) if nutrient == "sodium" and by_source else ""


def _add(made: Totals, recipe: Recipe, nutrient: str, group: str, parts: list[Part]) -> None:
    there = tuple(p for p in parts if nutrient in p.content and p.content[nutrient].high > 0)
    if not there:
        return
    holding = [(p.column, p.content[nutrient]) for p in there]
    column = recipe.columns.new(f"{nutrient} {group}".strip())
    least = tuple((c, v.low / 100) for c, v in holding if v.low > 0)
    most = tuple((c, v.high / 100) for c, v in holding)
    if all(v.low == v.high for _, v in holding):
        made.rows.append(Row(COMPOSITION, (*most, (column, -1.0)), low=0.0, high=0.0))
    else:
        made.rows.append(Row(COMPOSITION, (*least, (column, -1.0)), high=0.0))
        made.rows.append(Row(COMPOSITION, (*most, (column, -1.0)), low=0.0))
    made.totals.append(Total(nutrient, group, column, there))
