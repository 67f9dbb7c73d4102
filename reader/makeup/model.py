"""Everything known of a product as one set of rows: list, panel, composition, assumptions. A row keeps its fact.

All rows are proportional, so that one more row that fixes a whole (the weight used, the weight sold or the meat, each
at 100) turns every target into a plain percentage of that whole.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from reader import wordforms
from reader.facts import ANIMAL, Facts
from reader.ingredient_tree import IngredientList
from reader.makeup import settings
from reader.makeup.assumptions import CAP, LOSS, UNLISTED_WATER, Assumed
from reader.makeup.composition import Composition, Usual, class_of, classes
from reader.makeup.nutrients import COMPOSITION, Totals, totals_of
from reader.makeup.panel_lines import PanelLines, Usually, wanted
from reader.makeup.printed import Printed, plus
from reader.makeup.recipe import FINISHED, USED, Node, Recipe, Terms, places_of, pure_limits, recipe_of
from reader.makeup.targets import OF_ANY_MEAT, OF_DRY, OF_MEAT, OF_USED, meat, members, rule_target, unknown
from reader.makeup.values import Reason
from reader.panel.reading import Panel
from reader.polytope.rows import Polytope, Row
from reader.product import SAUSAGE, Product
from reader.quantities import Interval, show

WHOLE = "whole"
SERVING = "serving weight"
_DOSE = "dose "  # before the path of an ingredient
_GIVE_CAP, _GIVE_LOSS = 1.0, 2.0  # points per unit of letting go
_GIVE_DOSE = 0.25  # of the dose, per unit
_ALWAYS = {COMPOSITION: Reason(COMPOSITION, "composition", "why_composition", source="usda_sr28")}


@dataclass(frozen=True, slots=True)
class Model:
    """A recipe with its rows, and the reason for each fact that can decide a bound."""

    recipe: Recipe
    totals: Totals
    rows: tuple[Row, ...]
    reasons: Mapping[str, Reason]
    panel_used: bool
    readings: tuple[tuple[Row, ...], ...]  # what each way to read declared percentages says more; () for one way
    usually: tuple[Usually, ...]  # how near the panel's lines are to the truth
    usual_doses: bool  # whether the product is one of which usual doses are known
    usual_water: Mapping[str, Usual]  # as `Assumed` has them
    usual_by_class: Mapping[str, Usual]

    def taken_for_granted(self) -> frozenset[str]:
        """The facts that are lawful caps or usual doses."""
        return frozenset(row.fact for row in self.rows if row.fact.startswith((CAP, _DOSE)))

    def without(self, facts: Collection[str]) -> Model:
        """The same without some facts."""
        return replace(self, rows=tuple(row for row in self.rows if row.fact not in facts)) if facts else self

    def polytope(self, of: str = OF_USED, rows: Sequence[Row] | None = None) -> Polytope:
        """The polytope where a whole is 100: the weight used, the weight sold, the meat (or all that may be meat), or
        all but water.
        """
        fixed = Row(WHOLE, self._whole(of), low=100.0, high=100.0)
        return Polytope(len(self.recipe.columns.names), (*(self.rows if rows is None else rows), fixed))

    def _whole(self, of: str) -> Terms:
        if of in (OF_MEAT, OF_ANY_MEAT):
            return (*meat(self.recipe), *(unknown(self.recipe) if of == OF_ANY_MEAT else ()))
        if of == OF_DRY:
            water = members(settings.quantities()["water"], self.recipe)
            return plus(((USED, 1.0),), tuple((column, -value) for column, value in water))
        return ((USED if of == OF_USED else FINISHED, 1.0),)


def models_of(
    product: Product,
    listed: IngredientList,
    facts: Facts,
    panel: Panel | None,
    market: str,
    assumed: Assumed,
    text: str,
) -> tuple[Model, Model | None]:
    """The model of a product, and the same with sodium told apart by source; None where the panel does not state it.
    `panel` is None where the panel is not about this list; `text` is the statement.
    """
    recipe = recipe_of(places_of(product.printed), _unlisted(facts, assumed))
    contents = _contents(recipe)
    printed = Printed(recipe, market)
    _ratios(printed, recipe, listed, text)
    assumptions, why = _assumed(recipe, assumed)
    nutrients = wanted(panel, market)
    ways = [tuple(printed.readings[way]) for way in assumed.declared]
    chosen, readings = (ways[0], ()) if len(ways) == 1 else ((), tuple(filter(None, ways)))

    def with_totals(*, by_source: bool) -> Model:
        own = replace(recipe, columns=recipe.columns.copy())
        totals = totals_of(own, nutrients, by_source=by_source)
        caps = _caps(own, totals, assumed)
        lines = PanelLines(panel, totals, market, assumed.tolerance) if panel is not None else None
        return Model(
            recipe=own,
            totals=totals,
            rows=(
                *_wholes(own, totals), *contents, *totals.rows, *printed.rows, *chosen, *assumptions, *caps,
                *(lines.rows if lines else ()),
            ),
            reasons={**_ALWAYS, **printed.reasons, **why, **(lines.reasons if lines else {})},
            panel_used=panel is not None,
            readings=readings,
            usually=tuple(lines.usually) if lines else (),
            usual_doses=product.food == SAUSAGE,
            usual_water=assumed.usual_water,
            usual_by_class=assumed.usual_by_class,
        )  # fmt: skip

    stated = panel is not None and panel.per_100g("sodium_mg") is not None
    return with_totals(by_source=False), with_totals(by_source=True) if stated else None


def _unlisted(facts: Facts, assumed: Assumed) -> list[tuple[str, str, Composition]]:
    found: list[tuple[str, str, Composition]] = []
    casing = settings.raw()["casings"].get(facts.casing.material)
    if casing is not None:
        found.append(("casing", "casing", classes()[casing]))
    if assumed.unlisted_water:
        found.append((UNLISTED_WATER, "water", classes()["water"]))
    return found


def _wholes(recipe: Recipe, totals: Totals) -> list[Row]:
    """The weight used is the sum of what went in; the weight sold is not more, nor next to nothing; its water is not
    negative.
    """
    dry: dict[int, float] = {FINISHED: 1.0}
    for nutrient in ("protein", "fat", "carbohydrate", "ash"):
        for column, value in totals.of(nutrient):
            dry[column] = -value
    return [
        Row(WHOLE, (*recipe.whole, (USED, -1.0)), low=0.0, high=0.0),
        Row(WHOLE, ((FINISHED, 1.0), (USED, -1.0)), high=0.0),
        Row(WHOLE, ((FINISHED, 1.0), (USED, -1.0 + float(settings.raw()["loss"]["never_beyond"]) / 100)), low=0.0),
        Row(COMPOSITION, tuple(dry.items()), low=0.0),
    ]


def _contents(recipe: Recipe) -> list[Row]:
    """How much of an ingredient each of its amounts can be: fat of tissue, macronutrients of a food that varies."""
    rows = []
    for node in recipe.nodes:
        made = node.composition
        if made is not None and made.group:
            lean, lipid = (part.column for part in node.parts)
            low, high = made.parts[1].share
            rows.append(Row(COMPOSITION, ((lipid, 1 - low / 100), (lean, -low / 100)), low=0.0))
            rows.append(Row(COMPOSITION, ((lipid, 1 - high / 100), (lean, -high / 100)), high=0.0))
        whole = [part.column for part in node.parts]
        for column, share in pure_limits(node):
            others = [(c, 1.0) for c in whole if c != column]
            if share.low > 0:
                terms = ((column, 1 - share.low / 100), *((c, -share.low / 100) for c, _ in others))
                rows.append(Row(COMPOSITION, terms, low=0.0))
            if share.high < 100:
                terms = ((column, 1 - share.high / 100), *((c, -share.high / 100) for c, _ in others))
                rows.append(Row(COMPOSITION, terms, high=0.0))
        if node.lost is not None:
            before = tuple(term for place in node.children for child in place for term in child.mass)
            most = max(float(v) for k, v in settings.raw()["loss"]["choices"].items() if k != "__line__") / 100
            rows.append(Row(COMPOSITION, ((node.lost, 1.0), *((c, -most * v) for c, v in before)), high=0.0))
    return rows


def _assumed(recipe: Recipe, assumed: Assumed) -> tuple[list[Row], dict[str, Reason]]:
    """What is assumed of the amounts themselves, and the reasons for all that is assumed."""
    rows = [Row(LOSS, ((FINISHED, -1.0), (USED, 1 - assumed.loss / 100)), high=0.0, give=_GIVE_LOSS)]
    reasons = {LOSS: assumed.reason(LOSS)}
    for found in recipe.unlisted:
        if found.id == UNLISTED_WATER:
            # At its weight in the finished product: less what was lost on the way.
            terms: Terms = ((found.part.column, 1.0), (FINISHED, 1 - assumed.unlisted_water / 100), (USED, -1.0))
            rows.append(Row(UNLISTED_WATER, terms, high=0.0, give=_GIVE_CAP))
            reasons[UNLISTED_WATER] = assumed.reason(UNLISTED_WATER)
        elif found.composition.most is not None:
            rows.append(Row(COMPOSITION, ((found.part.column, 1.0), (USED, -found.composition.most / 100)), high=0.0))
    if assumed.usual_doses:
        for node in recipe.nodes:
            most = _most(node)
            if most is not None:
                fact = f"{_DOSE}{node.path}"
                terms = plus(node.mass, ((USED, -most / 100),))
                rows.append(Row(fact, terms, high=0.0, give=_GIVE_DOSE * most))
                reasons[fact] = _dose_reason(fact, node)
    return rows, reasons | {cap.fact: assumed.reason(cap.fact) for cap in assumed.caps}


def _caps(recipe: Recipe, totals: Totals, assumed: Assumed) -> list[Row]:
    rows = []
    for cap in assumed.caps:
        of = rule_target(cap.quantity, recipe, totals)
        rows.append(Row(cap.fact, plus(of.least, (_share(of.of, cap.most),)), high=0.0, give=_GIVE_CAP))
    return rows


def _most(node: Node) -> float | None:
    """The largest use of an ingredient of its kind, in percent of what went in; None where there is no such limit."""
    composition = node.composition or class_of(node.ingredient)
    return composition.most


def _dose_reason(fact: str, node: Node) -> Reason:
    composition = node.composition or class_of(node.ingredient)
    printed = " ".join(node.ingredient.printed.split()).lower()
    values = (("name", printed), ("percent", show(_most(node) or 0.0, 3)))
    return Reason(fact, "house", "why_dose", values, node.ingredient.span, composition.source)


def _share(of: str, percent: float) -> tuple[int, float]:
    return (USED if of == OF_USED else FINISHED, -percent / 100)


def _ratios(printed: Printed, recipe: Recipe, listed: IngredientList, text: str) -> None:
    """ "Made with 120 g pork per 100 g" for the ingredient of that name, or all meat where it says meat."""
    for note in listed.asides:
        if note.kind != "declared_ratio" or note.words is None or not note.value:
            continue
        words = note.words.of(text)
        key = wordforms.key(words)
        named = [n for n in recipe.nodes if key in (wordforms.key(n.ingredient.printed), _entry_key(n))]
        terms = tuple(term for n in named[:1] for term in n.mass)
        if not named and key == wordforms.key("meat"):
            terms = tuple((p.column, 1.0) for p in recipe.parts() if p.role in ANIMAL)
        if terms:
            half = 0.5 if note.value == round(note.value) else 0.05
            grams = Interval(note.value - half, note.value + half)
            printed.ratio(terms, " ".join(words.split()).lower(), grams, note.span)


def _entry_key(node: Node) -> str:
    return wordforms.key(node.ingredient.entry.name) if node.ingredient.entry is not None else ""
