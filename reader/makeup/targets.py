"""What is asked of the recipe: each target is a sum of variables, of the weight used, the weight sold or the meat."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from reader.facts import ANIMAL
from reader.makeup import settings
from reader.makeup.nutrients import UNKNOWN, Totals
from reader.makeup.printed import plus
from reader.makeup.recipe import FINISHED, Node, Part, Recipe, Terms
from reader.makeup.settings import Group

OF_USED, OF_FINISHED, OF_MEAT, OF_DRY = "used", "finished", "meat", "all but water"
OF_ANY_MEAT = "meat and what was not understood"
SODIUM = "sodium from "
MILLIGRAMS = 1000.0


@dataclass(frozen=True, slots=True)
class Target:
    """A share to be found. `of` is the whole it is a share of; `present` is false where nothing can count; `open` are
    amounts that count or not, as the label leaves a choice: `least` and `most` are the sum where they do so as to make
    it small, or large.
    """

    name: str
    terms: Terms
    of: str
    present: bool
    open: Terms = ()

    @property
    def least(self) -> Terms:
        return plus(self.terms, tuple((column, value) for column, value in self.open if value < 0))

    @property
    def most(self) -> Terms:
        return plus(self.terms, tuple((column, value) for column, value in self.open if value > 0))


def group_targets(recipe: Recipe, totals: Totals) -> tuple[Target, ...]:
    """One target per group of lexicon/estimate.yaml, in its order."""
    return tuple(_target_of(group, recipe, totals) for group in settings.groups())


def rule_target(name: str, recipe: Recipe, totals: Totals) -> Target:
    """The target of a quantity rules speak of (lexicon/estimate.yaml), where an ingredient that was not understood may
    count as well, or as other meat: no rule is to be broken, met or taken for granted by a guess about it.
    """
    group = settings.quantities()[name]
    target = _target_of(group, recipe, totals)
    of = OF_ANY_MEAT if target.of == OF_MEAT and unknown(recipe) else target.of
    return replace(target, of=of, open=plus(target.open, _not_understood(group, recipe, totals)))


def _not_understood(group: Group, recipe: Recipe, totals: Totals) -> Terms:
    """What an ingredient that was not understood would add to a quantity if it were of that kind."""
    if group.sum:
        parts = ((_not_understood(settings.quantities()[name], recipe, totals), factor) for name, factor in group.sum)
        return plus(*(tuple((column, factor * v) for column, v in part) for part, factor in parts))
    protein = totals.of("protein", UNKNOWN)
    if group.formula == "added_water":
        return tuple((column, -_protein_factor() * v) for column, v in protein)
    if group.formula:
        return protein if group.formula == "meat_protein" else ()
    return unknown(recipe)


def _target_of(group: Group, recipe: Recipe, totals: Totals) -> Target:
    """The target of a group or of another quantity of lexicon/estimate.yaml."""
    if group.formula == "added_water":
        return Target(group.id, added_water(totals), OF_FINISHED, True)
    if group.formula in ("fat", "protein"):
        return Target(group.id, totals.of(group.formula), OF_FINISHED, True)
    if group.formula == "meat_protein":
        return Target(group.id, totals.of("protein", "meat"), OF_FINISHED, True)
    if group.sum:
        added = [(_target_of(settings.quantities()[name], recipe, totals), factor) for name, factor in group.sum]
        terms = plus(*(tuple((column, factor * v) for column, v in part.terms) for part, factor in added))
        return Target(group.id, terms, group.of, True)
    if group.formula == "clause":
        terms = tuple(
            term for place in recipe.places if place[0].ingredient.clause is not None for n in place for term in n.mass
        )
    else:
        terms = members(group, recipe)
    left_open = _left_open(group, recipe)
    return Target(group.id, terms, group.of or OF_USED, bool(terms or left_open), left_open)


def members(group: Group, recipe: Recipe) -> Terms:
    """The amounts that count to a group for certain."""
    nodes = _concerned(group, recipe)
    found = [(part.column, 1.0) for node in nodes for part in node.parts if all(_counts(group, node, part))]
    found += [(u.part.column, 1.0) for u in recipe.unlisted if group.holds(u.part.role, "")]
    return tuple(found)


def _left_open(group: Group, recipe: Recipe) -> Terms:
    """The amounts that count if one choice was taken and do not if another was: "corn syrup or starch"; and those of
    which the group itself leaves it open.
    """
    nodes = _concerned(group, recipe)
    every = [(part, list(_counts(group, node, part))) for node in nodes for part in node.parts]
    chosen = tuple((part.column, 1.0) for part, counted in every if any(counted) and not all(counted))
    either = (part for part, counted in every if part.role in group.or_roles and not any(counted))
    return (*chosen, *((part.column, 1.0) for part in either if group.tissue in ("", part.kind)))


def _concerned(group: Group, recipe: Recipe) -> list[Node]:
    """The ingredients of which any choice the label leaves has a role of the group: all that can count."""
    roles = group.roles | group.or_roles
    return [
        node
        for node in recipe.nodes
        if node.ingredient.role in roles or any(other.role in roles for other in node.ingredient.match.others)
    ]


def _counts(group: Group, node: Node, part: Part) -> Iterator[bool]:
    """For what the label names there, and each other choice it leaves: whether it counts."""
    if group.formula:
        return
    yield group.holds(node.ingredient.role, part.kind, node.ingredient.entry)
    for other in node.ingredient.match.others:
        yield group.holds(other.role, part.kind, other)


def added_water(totals: Totals) -> Terms:
    """Moisture less so many times the protein of the meat (lexicon/estimate.yaml): water beyond what lean meat holds.

    Moisture is what protein, fat, carbohydrate and ash leave of the weight sold.
    """
    terms: dict[int, float] = {FINISHED: 1.0}
    for nutrient in ("protein", "fat", "carbohydrate", "ash"):
        for column, value in totals.of(nutrient):
            terms[column] = terms.get(column, 0.0) - value
    for column, value in totals.of("protein", "meat"):
        terms[column] -= _protein_factor() * value
    return tuple(terms.items())


def _protein_factor() -> float:
    return float(settings.raw()["added_water"]["protein_factor"])


def meat(recipe: Recipe) -> Terms:
    """All animal tissue."""
    return tuple((part.column, 1.0) for part in recipe.parts() if part.role in ANIMAL)


def unknown(recipe: Recipe) -> Terms:
    """All that was not understood."""
    return tuple((part.column, 1.0) for part in recipe.parts() if part.role == UNKNOWN)


def worth(recipe: Recipe) -> Target:
    """How far the animal tissue is named muscle meat, in percent of the tissue (weights of lexicon/scoring.yaml)."""
    worths = settings.tissue_worths()
    terms = tuple(
        (part.column, worths.get((node.ingredient.role, node.ingredient.kind), 0.0))
        for node in recipe.nodes
        for part in node.parts
        if part.role in ANIMAL
    )
    return Target("worth", terms, OF_MEAT, bool(terms))


def sodium_targets(totals: Totals) -> tuple[Target, ...]:
    """Milligrams of sodium per 100 g as sold, by source, from totals that tell the sources apart."""
    found = []
    for source in settings.sodium_sources():
        terms = tuple((column, value * MILLIGRAMS) for column, value in totals.of("sodium", source))
        if terms:
            found.append(Target(source, terms, OF_FINISHED, True))
    return tuple(found)
