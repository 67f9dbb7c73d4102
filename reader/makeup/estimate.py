"""The make-up of a product from everything printed. Open this file first of the package.

Stages: assumptions → model (recipe, totals, rows) → what is possible, by linear programming → what is likely, by
sampling. Where printed facts clash, the clash is told and the least of them let go.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from reader.facts import Facts
from reader.ingredient_tree import IngredientList
from reader.law.setting import Setting
from reader.makeup import settings
from reader.makeup.assumptions import Assumed, assume
from reader.makeup.by_order import by_order
from reader.makeup.clashes import let_go, settle
from reader.makeup.likely import Likely, likely, with_likely
from reader.makeup.model import Model, models_of
from reader.makeup.targets import (
    OF_FINISHED,
    OF_USED,
    SODIUM,
    Target,
    added_water,
    group_targets,
    rule_target,
    sodium_targets,
    worth,
)
from reader.makeup.values import DEPTHS, LIKELY, ORDER, MakeUp, Reason, Share, Unusual
from reader.panel.reading import Panel
from reader.polytope.solver import End, InfeasibleError, Point, Solver, SolverError
from reader.product import UNREADABLE, Product
from reader.quantities import Interval

_NOUGHT = 1e-6  # percent; smaller shares are arithmetic
_TOLD = 4  # facts told for one end
_NONE = Share(Interval(0.0, 0.0))
_COUNTS = 0.1  # of the strongest fact: what a fact has to move an end by to be told


def make_up(
    product: Product,
    listed: IngredientList,
    facts: Facts,
    panel: Panel,
    setting: Setting,
    *,
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
    market = setting.market
    if depth not in DEPTHS:
        raise ValueError(f"depth {depth!r} is not known; it must be one of {', '.join(DEPTHS)}.")
    if product.food == UNREADABLE or not product.ingredients:
        return by_order(product, market, "makeup_no_list")
    assumed = assume(product, facts, setting, choices or {})

    def rough(note: str = "") -> MakeUp:
        return by_order(product, market, note, loss=assumed.loss, unlisted_water=assumed.unlisted_water)

    if depth == ORDER:
        return rough()
    longest = settings.raw()["longest"]
    if len(product.ingredients) > int(longest["places"]):
        return rough("makeup_too_long")
    used = None if panel.empty or not product.whole_pack else panel
    model, by_source = models_of(product, listed, facts, used, market, assumed, text)
    if len(model.recipe.columns.names) > int(longest["amounts"]):
        return rough("makeup_too_long")
    try:
        asked = uncapped(model, setting)
        broken = _broken(asked, assumed, choices or {})
        by_source = by_source.without(broken) if by_source else None
        found = _Estimate(model.without(broken), by_source, panel).run(depth, text)
    except (SolverError, InfeasibleError):  # nothing here that a solver can hold on to
        asked, broken, found = {}, frozenset(), None
    assumptions = assumed.without(broken).assumptions
    if found is None:
        return replace(rough("makeup_impossible"), assumptions=assumptions)
    note = "" if panel.empty or product.whole_pack else "makeup_panel_of_more"
    return replace(found, assumptions=assumptions, note=note, quantities=tuple(asked.items()))


def uncapped(model: Model, setting: Setting) -> dict[str, Share]:
    """The quantities rules for such a product speak of, as they are without any lawful cap or usual dose: a rule is
    judged by the label, never by itself or by habit. Empty where printed facts contradict each other.
    """
    named = dict.fromkeys(str(rule.values["quantity"]) for rule in setting.rules() if "quantity" in rule.values)
    targets = [rule_target(name, model.recipe, model.totals) for name in named]
    if not any(t.present for t in targets):
        return {t.name: _NONE for t in targets}
    free = model.without(model.taken_for_granted())
    whole = Solver(free.polytope())
    if not whole.feasible:
        return {}
    polytopes = _Polytopes(free, {}, {OF_USED: whole})
    return {t.name: polytopes.share(t) if t.present else _NONE for t in targets}


def _broken(asked: Mapping[str, Share], assumed: Assumed, choices: Mapping[str, str]) -> frozenset[str]:
    """The caps that the label breaks whatever is in it: they are not taken for granted unless the user says so."""
    return frozenset(
        cap.fact
        for cap in assumed.caps
        if cap.fact not in choices and cap.quantity in asked and asked[cap.quantity].possible.low > cap.most
    )


@dataclass(slots=True)
class _Estimate:
    model: Model
    by_source: Model | None  # the same with sodium told apart by source; None where the panel does not state it
    panel: Panel

    def run(self, depth: str, text: str) -> MakeUp | None:
        """The estimate; None if even composition alone contradicts itself."""
        whole = Solver(self.model.polytope())
        settled = settle(self.model, self.panel, whole)
        if settled is None:
            return None
        least, clash = settled
        polytopes = _Polytopes(self.model, least, {} if least else {OF_USED: whole})
        groups = group_targets(self.model.recipe, self.model.totals)
        ingredients = tuple(
            Target(f"ingredient {k}", tuple(term for node in place for term in node.mass), OF_USED, True)
            for k, place in enumerate(self.model.recipe.places)
        )
        worths = worth(self.model.recipe)
        every = [t for t in (*groups, *ingredients, worths) if t.present]
        # Both models say the same of the weight sold; one polytope of it serves for its water and its sodium.
        sold = self.by_source or self.model
        of_sold = _Polytopes(sold, least)
        shares = {
            t.name: of_sold.share(replace(t, terms=added_water(sold.totals)))
            if t.of == OF_FINISHED
            else polytopes.share(t)
            for t in every
        }
        sodium = self.sodium(of_sold)
        settled_down, unusual = True, None
        if depth == LIKELY:
            drawn = likely(self.model, polytopes.solver(OF_USED), polytopes.points, every, text)
            shares = {name: with_likely(share, name, drawn) for name, share in shares.items()}
            sodium = {name: with_likely(share, f"{SODIUM}{name}", drawn) for name, share in sodium.items()}
            settled_down, unusual = drawn.agreed, None if clash else _unusual(drawn)
        return MakeUp(
            groups=tuple((t.name, shares.get(t.name, _NONE)) for t in groups),
            ingredients=tuple(shares[t.name] for t in ingredients),
            sodium=tuple(sodium.items()),
            worth=_hundredth(shares[worths.name]) if worths.present else None,
            depth=depth,
            clash=clash,
            unusual=unusual,
            panel_used=self.model.panel_used,
            settled=settled_down,
        )

    def sodium(self, polytopes: _Polytopes) -> dict[str, Share]:
        """Sodium by source, in the order it is shown, from polytopes of the model that tells them apart."""
        if self.by_source is None:
            return {}
        return {t.name: polytopes.share(t) for t in sodium_targets(self.by_source.totals)}


@dataclass(slots=True)
class _Polytopes:
    """A model's polytope for each whole, made when it is first asked for, with facts let go by so many units, and the
    corners met on the way.
    """

    model: Model
    least: Mapping[str, float]
    made: dict[str, Solver] = field(default_factory=dict)
    points: list[Point] = field(default_factory=list)

    def solver(self, whole: str) -> Solver:
        if whole not in self.made:
            rows = (let_go(row, self.least.get(row.fact, 0.0)) for row in self.model.rows)
            self.made[whole] = Solver(self.model.polytope(whole, [row for row in rows if row is not None]))
        return self.made[whole]

    def share(self, target: Target) -> Share:
        """The possible range of a target with the facts that set its ends."""
        solver = self.solver(target.of)
        least = solver.end(target.least)
        most = solver.end(target.most, largest=True)
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
