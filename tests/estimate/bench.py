"""How long the estimate takes, in CPU time of one process and as ratios to scipy's linprog in the same run."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from statistics import median

from reader import read_label
from tests.estimate.labels import Label
from tests.estimate.programs import Asked, bounds_seen, end_of

_LONG = (
    "PORK", "WATER", "BEEF", "CORN SYRUP", "SALT", "MODIFIED FOOD STARCH", "DEXTROSE", "SPICES", "PAPRIKA", "GARLIC POWDER",
    "ONION POWDER", "SODIUM PHOSPHATES", "POTASSIUM LACTATE", "SODIUM DIACETATE", "SODIUM ERYTHORBATE", "SODIUM NITRITE",
    "FLAVORINGS", "SMOKE FLAVORING", "SUGAR", "HONEY", "BROWN SUGAR", "VINEGAR", "YEAST EXTRACT", "HYDROLYZED CORN PROTEIN",
    "SOY PROTEIN CONCENTRATE", "NONFAT DRY MILK", "WHEAT FLOUR", "RICE FLOUR", "POTATO STARCH", "OAT FIBER", "CHEDDAR CHEESE",
    "TURKEY", "CHICKEN", "PORK FAT", "BEEF HEARTS", "PORK LIVER", "CARRAGEENAN", "MALTODEXTRIN", "CORN SYRUP SOLIDS", "SEA SALT",
    "POTASSIUM CHLORIDE", "CITRIC ACID", "MUSTARD", "BLACK PEPPER", "RED PEPPER", "CORIANDER", "NUTMEG", "SAGE", "CHERRY POWDER",
    "CULTURED CELERY POWDER", "SOY SAUCE", "TOMATO PASTE", "EGG WHITE POWDER", "SODIUM CASEINATE", "VITAL WHEAT GLUTEN", "VEAL",
    "LAMB", "PORK SKIN", "TRIPE", "GARLIC",
)  # fmt: skip
_PANEL = (
    "Nutrition Facts\nServing size 50g\nCalories 150\nTotal Fat 12g\nSaturated Fat 4.5g\nCholesterol 30mg\nSodium 500mg\n"
    "Total Carbohydrate 4g\nTotal Sugars 1g\nProtein 7g"
)


def cpu(work: Callable[[], object]) -> float:
    """Milliseconds of CPU time; other processes of the machine do not count."""
    start = time.process_time()
    work()
    return (time.process_time() - start) * 1e3


def p95(values: list[float]) -> float:
    return sorted(values)[min(len(values) - 1, int(0.95 * len(values)))]


def of_labels(labels: list[Label], depth: str) -> list[float]:
    """CPU ms of each label, read for the second time so that names are known."""
    for label in labels:
        label.read("order")
    return [cpu(lambda label=label: label.read(depth)) for label in labels]  # type: ignore[misc]


def per_bound(label: Label, rng: random.Random) -> tuple[float, float]:
    """(CPU ms of one bound by scipy's linprog, built anew each time; how many bounds the estimate asked for)."""
    with bounds_seen() as seen:
        label.read("possible")
    some: list[Asked] = rng.sample(seen, 4)
    return median(cpu(lambda one=one: end_of(one)) for one in some), len(seen)  # type: ignore[misc]


def growth(depth: str) -> list[tuple[int, float, bool]]:
    """(ingredients, CPU ms, whether the estimate was made at all): lists of 10 to 60 ingredients, best of two."""
    found = []
    for count in (10, 20, 40, 60):
        text = ", ".join(_LONG[:3]) + ", CONTAINS 2% OR LESS OF: " + ", ".join(_LONG[3:count])
        read = read_label(text, _PANEL, depth=depth)
        assert read.facts.ingredient_count == count
        taken = min(cpu(lambda t=text: read_label(t, _PANEL, depth=depth)) for _ in range(2))  # type: ignore[misc]
        found.append((count, taken, read.makeup.depth == depth))
    return found
