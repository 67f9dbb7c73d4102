"""The make-up of a product from everything printed. Open this file first of the package.

Stages: assumptions → model (recipe, totals, rows) → what is possible, by linear programming → what is likely, by
sampling. Where printed facts clash, the clash is told and the least of them let go.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf

from reader.facts import Facts
from reader.ingredient_tree import IngredientList
from reader.makeup import settings
from reader.makeup.assumptions import LOSS, assume
from reader.makeup.by_order import by_order
from reader.makeup.likely import Likely, how_unusual, likely, with_likely
from reader.makeup.model import SERVING, Model, model_of
from reader.makeup.recipe import FINISHED, USED
from reader.makeup.targets import (
    OF_USED,
    SODIUM,
    Target,
    group_targets,
    sodium_targets,
    worth,
)
from reader.makeup.values import DEPTHS, LIKELY, ORDER, Clash, MakeUp, Reason, Share, Unusual
from reader.panel.reading import Panel
from reader.panel.values import PER_100G
from reader.polytope.conflict import conflict
from reader.polytope.rows import Polytope, Row
from reader.polytope.solver import End, Point, Solver, SolverError
from reader.product import UNREADABLE, Product
from reader.quantities import Interval

_NOUGHT = 1e-6  # percent; smaller shares are arithmetic
_TOLD = 4  # facts told for one end
_ROOM = 0.02  # how much further than needed a fact is let go, so that what is left has some width
_COUNTS = 0.1  # of the strongest fact: what a fact has to move an end by to be told


def make_up(
    product: Product,
    listed: IngredientList,
    facts: Facts,
    panel: Panel,
    *,
    name: str = "",
    market: str = "US",
    text: str = "",
    depth: str = LIKELY,
    choices: Mapping[str, str] | None = None,
) -> MakeUp:
    """Shares of every top-level ingredient and of each group, in percent of the weight used (added water: of the
    weight sold; mechanically separated material also of the meat), and sodium by source in mg per 100 g.

    depth: "order", "possible" or "likely" (see `MakeUp`). choices: assumptions changed by the user, id → choice.
    text: the statement the places point into; the same text gives the same answer. Raises ValueError on an unknown
    depth or choice; a label never raises.
    """
    if depth not in DEPTHS:
        raise ValueError(f"depth {depth!r} is not known; it must be one of {', '.join(DEPTHS)}.")
    if product.food == UNREADABLE or not product.ingredients:
        return by_order(product, market, "makeup_no_list")
    assumed = assume(product, listed, facts, name, text, market, choices or {})

    def rough(note: str = "") -> MakeUp:
        return by_order(product, market, note, loss=assumed.loss, unlisted_water=assumed.unlisted_water)

    if depth == ORDER:
        return rough()
    longest = settings.raw()["longest"]
    if len(product.ingredients) > int(longest["places"]):
        return rough("makeup_too_long")
    used = None if panel.empty or not product.whole_pack else panel
    stated = used is not None and used.per_100g("sodium_mg") is not None
    model, by_source = (
        model_of(product, listed, facts, used, market, assumed, text, sodium_by_source=split)
        if split <= stated
        else None
        for split in (False, True)
    )
    assert model is not None
    if len(model.recipe.columns.names) > int(longest["amounts"]):
        return rough("makeup_too_long")
    try:
        found = _Estimate(model, by_source, panel).run(depth, text)
    except SolverError:
        found = None
    if found is None:
        return replace(rough("makeup_impossible"), assumptions=assumed.assumptions)
    note = "" if panel.empty or product.whole_pack else "makeup_panel_of_more"
    return replace(found, assumptions=assumed.assumptions, note=note)


@dataclass(slots=True)
class _Estimate:
    model: Model
    by_source: Model | None  # the same with sodium told apart by source; None where the panel does not state it
    panel: Panel
    points: list[Point] = field(default_factory=list)

    def run(self, depth: str, text: str) -> MakeUp | None:
        """The estimate; None if even composition alone contradicts itself."""
        settled = self.settle()
        if settled is None:
            return None
        least, clash = settled
        polytopes = _Polytopes(self.model, least)
        groups = group_targets(self.model.recipe, self.model.totals)
        ingredients = tuple(
            Target(f"ingredient {k}", tuple(term for node in place for term in node.mass), OF_USED, True)
            for k, place in enumerate(self.model.recipe.places)
        )
        worths = worth(self.model.recipe)
        every = [t for t in (*groups, *ingredients, worths) if t.present]
        shares = {t.name: self.share(polytopes, t) for t in every}
        sodium = self.sodium(least)
        settled_down, unusual = True, None
        if depth == LIKELY:
            drawn = likely(self.model, polytopes.solver(OF_USED), self.points, every, text)
            shares = {name: with_likely(share, name, drawn) for name, share in shares.items()}
            sodium = {name: with_likely(share, f"{SODIUM}{name}", drawn) for name, share in sodium.items()}
            settled_down, unusual = drawn.agreed, None if clash else _unusual(drawn)
        nothing = Share(Interval(0.0, 0.0))
        return MakeUp(
            groups=tuple((t.name, shares.get(t.name, nothing)) for t in groups),
            ingredients=tuple(shares[t.name] for t in ingredients),
            sodium=tuple(sodium.items()),
            worth=_hundredth(shares[worths.name]) if worths.present else None,
            depth=depth,
            clash=clash,
            unusual=unusual,
            panel_used=self.model.panel_used,
            settled=settled_down,
        )

    def sodium(self, least: Mapping[str, float]) -> dict[str, Share]:
        """Sodium by source, in the order it is shown."""
        if self.by_source is None:
            return {}
        polytopes = _Polytopes(self.by_source, least)
        return {t.name: self.share(polytopes, t) for t in sodium_targets(self.by_source.totals)}

    # -- what is possible ---------------------------------------------------------------------------------
    def share(self, polytopes: _Polytopes, target: Target) -> Share:
        """The possible range of a target with the facts that set its ends."""
        solver = polytopes.solver(target.of)
        least = solver.end(target.terms)
        most = solver.end((*target.terms, *target.open), largest=True)
        if target.of == OF_USED:
            self.points += (least.point, most.point)
        low, high = _clean(least.value), _clean(most.value)
        possible = Interval(min(low, high), max(low, high))
        return Share(possible, low_because=self.reasons(least), high_because=self.reasons(most))

    def reasons(self, end: End) -> tuple[Reason, ...]:
        """The facts that count at an end, the strongest first; composition last, since it always plays a part."""
        enough = _COUNTS * max(end.strengths, default=0.0)
        told = [
            self.model.reasons[fact]
            for fact, strength in zip(end.facts, end.strengths, strict=True)
            if fact in self.model.reasons and strength >= enough
        ]
        told.sort(key=lambda reason: reason.kind == "composition")
        return tuple(told[:_TOLD])

    # -- printed facts that clash --------------------------------------------------------------------------
    def settle(self) -> tuple[Mapping[str, float], Clash | None] | None:
        """By how many units facts have to be let go so that the rest fits; None if nothing can be let go."""
        polytope = self.model.polytope()
        if Solver(polytope).feasible:
            return {}, None
        found = conflict(polytope)
        if found.structural:
            return None
        units = {s.fact: s.units for s in found.suspects}
        suspects = self.ranked(polytope, units)
        # One fact let go alone explains more than several let go a little.
        first = next((fact for fact in suspects if fact in units), "")
        least = {first: units[first]} if first else found.least
        return least, Clash(*(self.told(facts) for facts in (found.smallest, suspects, tuple(least))))

    def ranked(self, polytope: Polytope, units: Mapping[str, float]) -> tuple[str, ...]:
        """Facts that, let go alone, make the rest fit; first the one without which the rest is the most usual, a little
        the less so the further it would have to be off. The serving weight is one of them where the panel rests on it.
        """
        weight = settings.raw()["suspects"]
        rests = {fact: polytope.without([fact]) for fact in units}
        if self.model.panel_used and not self.panel.column(PER_100G):
            rests[SERVING] = self.other_serving(polytope)
        usual_off = float(weight["serving_units"])
        odd = {
            fact: how_unusual(self.model, rest) + float(weight["per_unit"]) * units.get(fact, usual_off)
            for fact, rest in rests.items()
        }
        return tuple(sorted((fact for fact in odd if odd[fact] < inf), key=lambda fact: odd[fact]))

    def told(self, facts: Sequence[str]) -> tuple[Reason, ...]:
        serving = Reason(SERVING, "panel", "why_serving_weight", (), self.panel.serving_span, "panel")
        reasons = {**self.model.reasons, SERVING: serving}
        return tuple(reasons[f] for f in facts if f in reasons)

    def other_serving(self, polytope: Polytope) -> Polytope:
        """The same with the panel's numbers standing for some other weight than the printed one."""
        other = polytope.size
        rows = (
            replace(row, terms=tuple((other if c == FINISHED else c, v) for c, v in row.terms))
            if row.fact.startswith("panel ")
            else row
            for row in polytope.rows
        )
        return Polytope(polytope.size + 1, tuple(rows))


@dataclass(slots=True)
class _Polytopes:
    """A model's polytope for each whole, made when it is first asked for, with facts let go by so many units."""

    model: Model
    least: Mapping[str, float]
    made: dict[str, Solver] = field(default_factory=dict)

    def solver(self, whole: str) -> Solver:
        if whole not in self.made:
            rows = (_let_go(row, self.least.get(row.fact, 0.0)) for row in self.model.rows)
            self.made[whole] = Solver(self.model.polytope(whole, [row for row in rows if row is not None]))
        return self.made[whole]


def _let_go(row: Row, units: float) -> Row | None:
    """A row whose fact is let go by so many units, or is gone: what is wrong by some amount tells nothing of the rest.
    Only the loss gives way no further than it must, for without a limit a product could be dried to nothing; the row
    stays proportional, what it gives is a share of what went in.
    """
    if not (row.give and units):
        return row
    if row.fact != LOSS:
        return None
    return replace(row, terms=(*row.terms, (USED, -row.give * (units * (1 + _ROOM) + _ROOM) / 100)))


def _unusual(drawn: Likely) -> Unusual | None:
    levels = settings.raw()["unusual"]
    for level in ("check", "note"):
        if drawn.unusual > float(levels[level]):
            return Unusual(round(drawn.unusual, 1), level, drawn.oddest)
    return None


def _clean(value: float) -> float:
    return 0.0 if abs(value) < _NOUGHT else round(value, 6)


def _hundredth(share: Share) -> Share:
    """A share in percent as a part of one."""
    likely_part = share.likely.times(0.01) if share.likely else None
    middle = share.middle / 100 if share.middle is not None else None
    return replace(share, possible=share.possible.times(0.01).within(0, 1), likely=likely_part, middle=middle)
