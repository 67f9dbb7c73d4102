"""The list of ingredients as a recipe: which unknown amounts there are, and which of them make up each ingredient.

Animal tissue is two amounts, fat-free tissue and lipid; a compound ingredient is the sum of what its bracket lists;
a food that may be anything is split into protein, fat, carbohydrate, ash and water. Everything else is one amount.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from reader import wordforms
from reader.facts import ANIMAL, closed, walk
from reader.ingredient_tree import Ingredient
from reader.makeup import composition
from reader.makeup.composition import Composition, Usual, class_of
from reader.makeup.settings import made_before
from reader.quantities import Interval

Terms = tuple[tuple[int, float], ...]

USED, FINISHED = 0, 1  # columns of the weight used and of the weight sold
MACROS = ("protein", "fat", "carbohydrate", "ash")
_WIDE = 105.0  # macronutrients whose upper ends add up to more than this need an amount each …
_MINOR = 20.0  # … unless the food is never more than this much of the whole, where the difference drowns
_WHOLE = Interval(100.0, 100.0)
_NAMED_IN_PART = ("spice", "flavouring", "meat", "by_product", "fat", "mechanically_separated")


@dataclass(frozen=True, slots=True)
class Part:
    """One unknown amount, in percent of the weight used, and what 100 g of it hold, in grams; usual: what they usually
    hold, where that is not the middle.
    """

    column: int
    role: str
    content: Mapping[str, Interval]
    kind: str = composition.WHOLE  # or LEAN, LIPID of animal tissue
    usual: Mapping[str, Usual] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Node:
    """An ingredient in the recipe. children: what its bracket lists, by place; lost: the column of its drying loss."""

    ingredient: Ingredient
    path: str  # place in the list, "3" or "3.1"
    parts: tuple[Part, ...]
    children: tuple[tuple[Node, ...], ...] = ()
    composition: Composition | None = None
    lost: int | None = None

    @property
    def mass(self) -> Terms:
        """Its weight as a sum of amounts."""
        own = tuple((part.column, 1.0) for part in self.parts)
        below = tuple(term for place in self.children for node in place for term in node.mass)
        return (*own, *below, *(((self.lost, -1.0),) if self.lost is not None else ()))

    def walk(self) -> list[Node]:
        """The node and everything inside it."""
        return [self, *(n for place in self.children for node in place for n in node.walk())]


Place = tuple[Node, ...]  # one place in an order: one ingredient, or several joined by "or"


@dataclass(slots=True)
class Columns:
    """Hands out variables; the first two are the weight used and the weight sold."""

    names: list[str] = field(default_factory=lambda: ["used", "finished"])

    def new(self, name: str) -> int:
        """A fresh column."""
        self.names.append(name)
        return len(self.names) - 1

    def copy(self) -> Columns:
        """The same so far, which goes on by itself."""
        return Columns(list(self.names))


@dataclass(frozen=True, slots=True)
class Unlisted:
    """What may be in the product without standing in the list: a stated casing, water below the limit of listing."""

    id: str
    composition: Composition
    part: Part


@dataclass(frozen=True, slots=True)
class Recipe:
    """All places of the list in printed order, and what stands beside them."""

    places: tuple[Place, ...]
    unlisted: tuple[Unlisted, ...]
    columns: Columns
    nodes: tuple[Node, ...] = field(init=False, repr=False, compare=False)  # at any depth; asked for time and again

    def __post_init__(self) -> None:
        every = (n for place in self.places for node in place for n in node.walk())
        object.__setattr__(self, "nodes", tuple(every))

    def parts(self) -> list[Part]:
        """Every amount."""
        return [*(part for node in self.nodes for part in node.parts), *(u.part for u in self.unlisted)]

    @property
    def whole(self) -> Terms:
        """Everything that went in, as a sum of amounts."""
        listed = (term for place in self.places for node in place for term in node.mass)
        return (*listed, *((u.part.column, 1.0) for u in self.unlisted))


def recipe_of(places: Sequence[Sequence[Ingredient]], unlisted: Sequence[tuple[str, str, Composition]] = ()) -> Recipe:
    """The recipe of a list whose places hold one ingredient each, or several joined by "or".

    unlisted: (id, role, composition) of what may be there without standing in the list.
    """
    columns = Columns()
    listed = tuple(
        tuple(_node(item, _path(k, j), columns) for j, item in enumerate(place)) for k, place in enumerate(places)
    )
    beside = tuple(
        Unlisted(name, made, Part(columns.new(f"unlisted {name}"), role, content_of(made.parts[0])))
        for name, role, made in unlisted
    )
    return Recipe(listed, beside, columns)


def places_of(ingredients: Sequence[Ingredient]) -> list[list[Ingredient]]:
    """Ingredients by place: what "or" and "and/or" join shares one."""
    places: list[list[Ingredient]] = []
    for item in ingredients:
        if item.role == "casing" or (item.role == "class" and not item.parts):
            continue
        if item.joiner not in ("or", "and/or"):
            places.append([item])
        elif places:
            places[-1].append(item)
    return places


def _path(place: int, among: int) -> str:
    return f"{place}" if not among else f"{place}/{among}"


def _node(item: Ingredient, path: str, columns: Columns) -> Node:
    if not _listed_inside(item):
        return _leaf(item, path, columns)
    children = tuple(
        tuple(_node(child, f"{path}.{_path(k, j)}", columns) for j, child in enumerate(place))
        for k, place in enumerate(places_of(item.parts))
    )
    if not children:
        return _leaf(item, path, columns)
    if item.role in _NAMED_IN_PART and not _tissue_inside(item):
        return replace(_leaf(item, path, columns), children=children)  # "spices (mustard)": there may be others
    lost = columns.new(f"{path} lost") if _made_before(item) else None
    return Node(item, path, (), children, lost=lost)


def _listed_inside(item: Ingredient) -> bool:
    """Whether the bracket says what the ingredient is made of, rather than where it comes from."""
    return bool(item.parts) and not closed(item)


def _made_before(item: Ingredient) -> bool:
    kinds, words = made_before()
    beside = {wordforms.word_key(w) for dropped in item.match.dropped for w in wordforms.words(dropped)}
    return item.role in ANIMAL and (item.kind in kinds or bool(words & beside))


def _tissue_inside(item: Ingredient) -> bool:
    return item.role in ANIMAL and any(i.role in ANIMAL for i in walk(item.parts))


def _leaf(item: Ingredient, path: str, columns: Columns) -> Node:
    made = class_of(item)
    if _is_wide(made):
        parts = tuple(_pure(columns.new(f"{path} {q}"), item.role, q, made) for q in (*MACROS, "water"))
    else:
        parts = tuple(
            Part(columns.new(f"{path} {part.kind}"), item.role, content_of(part), part.kind, usual_of(part))
            for part in made.parts
        )
    return Node(item, path, parts, (), made)


def content_of(part: composition.Part) -> dict[str, Interval]:
    """What 100 g of a part hold, all in grams; nutrients it never holds left out."""
    found = {}
    for nutrient in composition.NUTRIENTS:
        held = part.of(nutrient)
        if held.high > 0:
            found[nutrient] = held.times(0.001) if nutrient in composition.MILLIGRAMS else held
    return found


def usual_of(part: composition.Part) -> dict[str, Usual]:
    """What 100 g of a part usually hold, all in grams, where that is known better than by the middle of a range."""
    return {
        nutrient: Usual(held.mean * 0.001, held.spread * 0.001) if nutrient in composition.MILLIGRAMS else held
        for nutrient, held in part.usual.items()
    }


def _is_wide(made: Composition) -> bool:
    if len(made.parts) > 1:
        return False
    highest = sum(made.per_100g(q).high for q in MACROS)
    return highest > _WIDE and (made.most is None or made.most > _MINOR)


def _pure(column: int, role: str, macro: str, made: Composition) -> Part:
    """The share of a wide food that is one macronutrient, or its water; minerals may sit in any of them."""
    content = content_of(made.parts[0])
    kept = {q: v for q, v in content.items() if q in composition.MILLIGRAMS}
    if macro != "water":
        kept[macro] = _WHOLE
    for inside, of in (("sugars", "carbohydrate"), ("fibre", "carbohydrate"), ("saturated", "fat")):
        if macro == of and inside in content:
            kept[inside] = Interval(0.0, 100.0)
    usual = {q: v for q, v in usual_of(made.parts[0]).items() if q in composition.MILLIGRAMS}
    return Part(column, role, kept, usual=usual)


def pure_limits(node: Node) -> list[tuple[int, Interval]]:
    """For a food split by macronutrients: each column with its least and most per 100 g of the food."""
    if node.composition is None or not _is_wide(node.composition):
        return []
    made = node.composition
    return [(part.column, made.per_100g(q)) for part, q in zip(node.parts, MACROS, strict=False)]
