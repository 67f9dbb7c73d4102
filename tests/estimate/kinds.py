"""What an ingredient is, in our own words: which groups it counts to, and where its sodium is counted.

Written down independently of the reader's code, after lexicon/estimate.yaml's definitions of the groups.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import yaml

_SCORING = Path(__file__).parents[2] / "lexicon" / "scoring.yaml"


@dataclass(frozen=True, slots=True)
class Kind:
    """groups: what the whole ingredient counts to. tissue: role and kind under which lexicon/scoring.yaml has it."""

    groups: tuple[str, ...]
    sodium: str
    tissue: tuple[str, str] | None = None


def _tissue(role: str, kind: str, *groups: str) -> Kind:
    return Kind(("meat", *groups), "meat", (role, kind))


KINDS = {
    "muscle": _tissue("meat", "muscle", "skeletal_meat"),
    "cut": _tissue("meat", "cut", "skeletal_meat"),
    "trimmings": _tissue("meat", "trimmings", "skeletal_meat"),
    "fat tissue": _tissue("fat", "fat"),
    "organ": _tissue("by_product", "organ", "by_products"),
    "skin": _tissue("by_product", "skin", "by_products"),
    "separated poultry": _tissue("mechanically_separated", "poultry", "mechanically_separated"),
    "separated livestock": _tissue("mechanically_separated", "livestock", "mechanically_separated"),
    "water": Kind(("water",), "others"),
    "broth": Kind(("water",), "meat"),
    "salt": Kind(("salt",), "salt"),
    "salt replacer": Kind((), "salt"),
    "cure": Kind((), "cure"),
    "phosphate": Kind((), "phosphate"),
    "preservative": Kind((), "preservatives"),
    "starchy binder": Kind(("binders", "binders_carbohydrate"), "others"),
    "protein binder": Kind(("binders", "binders_protein"), "others"),
    "sweetener": Kind(("sweeteners",), "others"),
    "seasoning": Kind(("seasoning",), "flavourings"),
    "mixture": Kind((), "flavourings"),
    "other": Kind((), "others"),
    # Syrup solids bulk up a product where they stand in the list, and sweeten it where they stand under a clause.
    "syrup solids": Kind(("binders", "binders_carbohydrate"), "others"),
    "syrup solids under a clause": Kind(("sweeteners",), "others"),
}  # fmt: skip
GROUPS = (
    "meat", "skeletal_meat", "lean", "meat_fat", "mechanically_separated", "mechanically_separated_of_meat", "by_products",
    "water", "added_water", "binders", "binders_carbohydrate", "binders_protein", "sweeteners", "salt", "seasoning", "clause",
)  # fmt: skip
SOURCES = ("salt", "cure", "phosphate", "preservatives", "flavourings", "meat", "others")


@lru_cache(maxsize=1)
def worths() -> dict[tuple[str, str], float]:
    """How far a tissue is named muscle meat, 0–1: the rows of lexicon/scoring.yaml as they stand there."""
    rows = yaml.safe_load(_SCORING.read_text(encoding="utf-8"))["meat_source"]["tissue"]
    return {(row["role"], row["kind"]): float(row["worth"]) for row in rows}
