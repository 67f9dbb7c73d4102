"""Printed facts that cannot all hold: which, what would mend it, and what is let go to give an estimate anyway."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import inf

from reader.makeup import settings
from reader.makeup.assumptions import LOSS
from reader.makeup.likely import how_unusual
from reader.makeup.model import SERVING, Model
from reader.makeup.recipe import FINISHED, USED
from reader.makeup.values import Clash, Reason
from reader.panel.reading import Panel
from reader.panel.values import PER_100G
from reader.polytope.conflict import conflict
from reader.polytope.rows import Polytope, Row
from reader.polytope.solver import Solver
from reader.quantities import show

_FURTHEST = 1e4  # percent of what went in that a panel may be thought to speak of: a hundred times as much
_ROOM = 0.02  # how much further than needed a loss is let go, so that what is left has some width


def settle(model: Model, panel: Panel, solver: Solver) -> tuple[Mapping[str, float], Clash | None] | None:
    """By how many units facts have to be let go so that the rest fits; None if nothing can be let go. `solver` is that
    of the model's polytope.
    """
    if solver.feasible:
        return {}, None
    polytope = solver.polytope
    found = conflict(polytope)
    if found.structural:
        return None
    units = {s.fact: s.units for s in found.suspects}
    suspects = _ranked(model, panel, polytope, units)
    # One fact let go alone explains more than several let go a little.
    first = next((fact for fact in suspects if fact in units), "")
    least = {first: units[first]} if first else found.least
    return least, Clash(*(_told(model, panel, facts) for facts in (found.smallest, suspects, tuple(least))))


def _ranked(model: Model, panel: Panel, polytope: Polytope, units: Mapping[str, float]) -> tuple[str, ...]:
    """Facts that, let go alone, make the rest fit; first the one without which the rest is the most usual, a little
    the less so the further it would have to be off. The serving weight is one of them where the panel rests on it.
    """
    weight = settings.raw()["suspects"]
    rests = {fact: polytope.without([fact]) for fact in units}
    if model.panel_used and not panel.column(PER_100G):
        rests[SERVING] = _other_serving(polytope)
    usual_off = float(weight["serving_units"])
    odd = {
        fact: how_unusual(model, rest) + float(weight["per_unit"]) * units.get(fact, usual_off)
        for fact, rest in rests.items()
    }
    return tuple(sorted((fact for fact in odd if odd[fact] < inf), key=lambda fact: odd[fact]))


def _told(model: Model, panel: Panel, facts: Sequence[str]) -> tuple[Reason, ...]:
    weight = (("printed", show(panel.serving_g, 2)), ("stated", "serving_g")) if panel.serving_g else ()
    serving = Reason(SERVING, "panel", "why_serving_weight", weight, panel.serving_span, "panel")
    reasons = {**model.reasons, SERVING: serving}
    return tuple(reasons[f] for f in facts if f in reasons)


def _other_serving(polytope: Polytope) -> Polytope:
    """The same with the panel's numbers standing for some other weight than the printed one."""
    other = polytope.size
    rows = (
        replace(row, terms=tuple((other if c == FINISHED else c, v) for c, v in row.terms))
        if row.fact.startswith("panel ")
        else row
        for row in polytope.rows
    )
    return Polytope(polytope.size + 1, tuple(rows), (*(inf,) * polytope.size, _FURTHEST))


def let_go(row: Row, units: float) -> Row | None:
    """A row whose fact is let go by so many units, or is gone: what is wrong by some amount tells nothing of the rest.
    Only the loss gives way no further than it must, for without a limit a product could be dried to nothing; the row
    stays proportional, what it gives is a share of what went in.
    """
    if not (row.give and units):
        return row
    if row.fact != LOSS:
        return None
    return replace(row, terms=(*row.terms, (USED, -row.give * (units * (1 + _ROOM) + _ROOM) / 100)))
