"""A label with its truth: statement and panel as text, as the market prints them."""

from __future__ import annotations

import random
from dataclasses import dataclass

from reader import read_label
from reader.report import Report
from tests.estimate.families import FAMILIES, Family
from tests.estimate.panels import FULL, SHORT, Panel, panel_of
from tests.estimate.recipes import TRIANGULAR, Recipe, Used, draw_amounts, fill
from tests.estimate.unknown_words import rename, renaming

_TRIES = 400


@dataclass(slots=True)
class Label:
    """A printed label and the recipe behind it. renamed: the sort of ingredient printed as a word nobody knows."""

    family: Family
    statement: str
    panel: Panel
    recipe: Recipe
    renamed: str = ""

    def read(self, depth: str = "possible", **choices: str) -> Report:
        """The label through the reader, as text. choices: assumptions changed, by id."""
        return read_label(
            self.statement,
            self.panel.text(),
            name=self.family.name,
            market=self.family.market,
            depth=depth,
            choices=choices,
        )


def labels(
    count: int,
    seed: int,
    scatter: str = TRIANGULAR,
    families: tuple[Family, ...] = FAMILIES,
    renamed: tuple[str, ...] = (),
) -> list[Label]:
    """So many labels, the families in turn; the same seed gives the same labels. `renamed` as for `label`, of which each
    time one is taken.
    """
    made = []
    for k in range(count):
        rng = random.Random(f"{seed} {k} {scatter}")
        made.append(label(families[k % len(families)], rng, scatter, renamed))
    return made


def label(family: Family, rng: random.Random, scatter: str = TRIANGULAR, renamed: tuple[str, ...] = ()) -> Label:
    """One label of a family whose recipe keeps to the caps of the family. renamed: sorts of `RENAMED`, of which one
    ingredient is printed as a word that nobody knows, at whatever the recipe holds of it.
    """
    family, sort = renaming(family, renamed, rng) if renamed else (family, "")
    for _ in range(_TRIES):
        recipe = draw_amounts(family, rng)
        statement = statement_of(recipe)
        read = read_label(statement, name=family.name, market=family.market, depth="order")
        fill(recipe, read.product.printed, scatter, rng)
        if recipe.moisture >= 0 and recipe.keeps_to(family.caps):
            if sort:
                if not rename(recipe, sort, rng):
                    continue
                statement = statement_of(recipe)
            lines = FULL if rng.random() < 0.7 else SHORT
            panel = panel_of(recipe, family.market, rng.choice(family.serving), rng, lines)
            return Label(family, statement, panel, recipe, sort)
    raise AssertionError(f"no recipe of {family.id} keeps to {family.caps}")


def statement_of(recipe: Recipe) -> str:
    """The ingredient statement: order, "and", "and/or", clause, brackets, declared percentages, ratio, casing."""
    text, clause = "", 0.0
    before: Used | None = None
    for place in recipe.places:
        joined = place[0].item.joined and before is not None and before.item.kind == "muscle"
        for nth, used in enumerate(place):
            joint = " AND/OR " if nth else " AND " if joined else ", "
            lead = recipe.family.lead.format(f"{used.clause:g}%") if used.clause and not clause else ""
            clause = used.clause
            text += (joint if text else "") + lead + _printed(recipe, used)
        before = place[0]
    ratio = _ratio(recipe)
    casing = f" {recipe.family.casing[0]}." if recipe.family.casing[0] else ""
    return f"INGREDIENTS: {text}.{ratio}{casing}"


def _printed(recipe: Recipe, used: Used) -> str:
    item = used.item
    text = f"{item.before}{item.printed}"
    if item.declared and used not in recipe.in_grams:
        text += f" ({recipe.declared(used):.{recipe.family.decimals}f}%)"
    if item.bracket:
        text += f" ({item.bracket})"
    if used.inside:
        parts, clause = [], 0.0
        for one in used.inside:
            lead = f"CONTAINS {one.clause:g}% OR LESS OF: " if one.clause and not clause else ""
            clause = one.clause
            parts.append(lead + one.item.printed)
        text += f" ({', '.join(parts)})"
    return text


def _ratio(recipe: Recipe) -> str:
    """How many grams of a meat made 100 g, as dried sausages of the EU say it, and others that lost weight."""
    grams = ((meat.grams * 100 / recipe.finished, meat.item.printed.lower()) for meat in recipe.in_grams)
    return "".join(f" Made with {sold:.0f} g of {name} per 100 g of finished product." for sold, name in grams)
