"""What a pass over panel tokens finds: rows, column headings, the serving line, which tokens belong to the panel."""

from __future__ import annotations

from dataclasses import dataclass, field

from reader.panel.text import Token

ENERGY = "energy"  # a row that may hold kJ and kcal
ENERGY_ROWS = (ENERGY, "energy_kcal", "energy_kj")
CLAIMED, WALL = 1, 2


@dataclass(slots=True)
class Row:
    """One row: the nutrient, its numbers in order, and (percent, how many numbers stood before it)."""

    nutrient: str
    first: int
    last: int
    cells: list[Token] = field(default_factory=list)
    percents: list[tuple[Token, int]] = field(default_factory=list)
    units: list[str] = field(default_factory=list)  # units that stand with the name: "Fat (g)", "Energy (kJ/kcal)"
    units_from: int = 0  # how many numbers stood before those units


@dataclass(slots=True)
class Heading:
    """A column heading: basis "serving", "100g" or "pack", and the grams it names."""

    basis: str
    first: int
    last: int
    weight: Token | None = None
    counted: int = 0  # numbers without unit: 1 in "per 1 link", 2 in "per 1/2 pack"


@dataclass(slots=True)
class Serving:
    """The serving line. `weight` is the number in g, else in oz, else None."""

    first: int
    last: int
    weight: Token | None = None


@dataclass(slots=True)
class Parts:
    """All that was found, in order. `claims[i]`: 1 belongs to a panel, 2 another part of the label begins.

    `noted`: numbers inside footnotes and tables of the day, which are read over on purpose.
    """

    text: str
    tokens: list[Token]
    claims: bytearray
    rows: list[Row] = field(default_factory=list)
    headings: list[Heading] = field(default_factory=list)
    titles: list[int] = field(default_factory=list)
    serving: Serving | None = None
    servings: Token | None = None
    names_apart: bool = False
    noted: set[int] = field(default_factory=set)
