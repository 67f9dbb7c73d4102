"""Labels with one fault put in on purpose, and who is named for it."""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median

from reader import read_label
from reader.makeup.values import MakeUp
from tests.estimate.families import FAMILIES, Family
from tests.estimate.labels import Label, label, statement_of
from tests.estimate.recipes import TRIANGULAR

SERVING = "serving weight"


@dataclass(frozen=True, slots=True)
class Fault:
    """A kind of fault: puts one in and tells the facts that are wrong then; () where the label offers no place for it.

    note: infeasible share and share with the culprit first in the measurements the estimate was designed by.
    """

    id: str
    put: Callable[[Label, random.Random], tuple[str, ...]]
    infeasible: float
    first: float | None


def _line(line: str, factor: float) -> Callable[[Label, random.Random], tuple[str, ...]]:
    def put(one: Label, rng: random.Random) -> tuple[str, ...]:
        if line not in one.panel.lines:
            return ()
        one.panel.wrong = {line: factor}
        return (f"panel {line}",)

    return put


def _serving(one: Label, rng: random.Random) -> tuple[str, ...]:
    one.panel.serving_factor = 1.5
    return (SERVING,)


def _swapped(one: Label, rng: random.Random) -> tuple[str, ...]:
    """Two neighbours of which the first is clearly heavier change places."""
    places = one.recipe.places
    able = [
        k
        for k, (a, b) in enumerate(zip(places, places[1:], strict=False))
        if not a[0].clause
        and not b[0].clause
        and a[0].grams > 1.3 * b[0].grams
        and not b[0].item.joined
        and not a[0].item.joined
    ]
    if not able:
        return ()
    k = rng.choice(able)
    places[k], places[k + 1] = places[k + 1], places[k]
    return (f"order {k + 1}",)


def _under_the_clause(one: Label, rng: random.Random) -> tuple[str, ...]:
    """The last item before the clause, clearly above it, is printed under it."""
    places = one.recipe.places
    start = next((k for k, place in enumerate(places) if place[0].clause), 0)
    if not start or places[start - 1][0].grams < 1.25 * places[start][0].clause or places[start - 1][0].inside:
        return ()
    places[start - 1][0].clause = places[start][0].clause
    return (f"clause {start - 1}",)


def _declared(one: Label, rng: random.Random) -> tuple[str, ...]:
    """A declared percentage is off by 22 points."""
    able = [(k, place[0]) for k, place in enumerate(one.recipe.places) if place[0].item.declared]
    if not able:
        return ()
    k, used = able[0]
    share = one.recipe.declared(used)
    percent = f"({share:.{one.family.decimals}f}%)"
    by = 22 if share < 70 and rng.random() < 0.5 else -22
    one.statement = one.statement.replace(percent, f"({share + by:.{one.family.decimals}f}%)", 1)
    return (f"declared {k}",)


# Infeasible share and culprit named first (drop-one) as the design note measured them on 130 labels a fault.
FAULTS = (
    Fault("protein × 1.6", _line("protein_g", 1.6), 0.43, 0.79),
    Fault("protein × 0.6", _line("protein_g", 0.6), 0.96, 0.95),
    Fault("fat × 1.5", _line("fat_g", 1.5), 0.92, 0.83),
    Fault("fat × 0.6", _line("fat_g", 0.6), 0.94, 0.75),
    Fault("sodium × 2", _line("sodium_mg", 2.0), 0.48, 0.46),
    Fault("sodium × 0.4", _line("sodium_mg", 0.4), 0.01, None),
    Fault("carbohydrate × 4", _line("carb_g", 4.0), 0.64, 0.96),
    Fault("sugars × 4", _line("sugar_g", 4.0), 0.48, 0.84),
    Fault("energy × 1.4", _line("energy_kcal", 1.4), 0.99, 1.00),
    Fault("calcium × 5", _line("calcium_mg", 5.0), 0.35, 1.00),
    Fault("cholesterol × 2.5", _line("cholesterol_mg", 2.5), 0.98, 1.00),
    Fault("two items swapped", _swapped, 0.18, 0.26),
    Fault("item wrongly under the clause", _under_the_clause, 0.13, 0.10),
    Fault("declared % off by 22", _declared, 0.45, 0.22),
    Fault("serving weight × 1.5", _serving, 0.57, 0.66),
)


@dataclass(frozen=True, slots=True)
class Found:
    """How faults of one kind were met. first, listed: among the labels that were found contradictory."""

    fault: Fault
    labels: int
    infeasible: float
    first: float
    listed: float
    suspects: float


def faulty(fault: Fault, count: int, seed: int = 21) -> list[tuple[Label, tuple[str, ...]]]:
    """So many labels with the fault, families in turn, and the facts that are wrong."""
    found: list[tuple[Label, tuple[str, ...]]] = []
    families = _able(fault)
    k = 0
    while len(found) < count:
        rng = random.Random(f"{seed} {k} {fault.id}")
        one = copy.deepcopy(label(families[k % len(families)], rng, TRIANGULAR))
        before = one.statement
        culprits = fault.put(one, rng)
        k += 1
        if not culprits:
            continue
        if one.statement == before:
            one.statement = statement_of(one.recipe)
        found.append((one, culprits))
    return found


def _able(fault: Fault) -> tuple[Family, ...]:
    """The families of the design note's markets: US labels, but where percentages are declared the others."""
    if fault.put is _declared:
        return tuple(f for f in FAMILIES if any(item.declared for item in f.items))
    return tuple(f for f in FAMILIES if f.market == "US" and f.id != "plant-based links")


def met(fault: Fault, count: int, tolerance: str = "strict") -> Found:
    """Put the fault into so many labels and see who is named. The note's table was made with exact numbers."""
    clashes: list[tuple[tuple[str, ...], MakeUp]] = []
    for one, culprits in faulty(fault, count):
        makeup = read_label(
            one.statement, one.panel.text(), name=one.family.name, market=one.family.market, depth="possible",
            choices={"tolerance": tolerance},
        ).makeup  # fmt: skip
        if makeup.clash is not None or makeup.depth == "order":
            clashes.append((culprits, makeup))
    named = [(culprits, [r.id for r in m.clash.suspects] if m.clash else []) for culprits, m in clashes]
    many = max(1, len(named))
    return Found(
        fault,
        count,
        len(named) / count,
        sum(bool(suspects) and suspects[0] in culprits for culprits, suspects in named) / many,
        sum(any(c in suspects for c in culprits) for culprits, suspects in named) / many,
        median([len(suspects) for _, suspects in named] or [0]),
    )
