"""A recipe drawn from a family: how much of each ingredient, what each is made of, and the truth that follows.

Composition is drawn inside the class the reader takes an ingredient to be of; everything else here is worked out
without the reader's code.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field

from reader.facts import counted, walk
from reader.ingredient_tree import Ingredient
from reader.makeup.composition import GRAMS, MILLIGRAMS, Composition, class_of, classes
from tests.estimate.families import Family, Item, Three
from tests.estimate.kinds import GROUPS, KINDS, SOURCES, worths

# How composition is scattered inside its ranges: most about the middle, evenly, or mostly at the ends with all lean
# meats at the same place of their ranges; or as the first, but the protein of lean as in cuts of meat.
TRIANGULAR, UNIFORM, HOSTILE, CUTS = "triangular", "uniform", "hostile", "cuts"
# Protein of fat-free tissue, g per 100 g: 5 and 95 % quantiles of raw separable-lean entries of USDA SR28 (beef 166,
# pork 21, chicken 17, turkey 12 entries).
_LEAN = {"BEEF": (21.6, 24.4), "PORK": (21.1, 23.4), "CHICKEN": (19.4, 23.7), "TURKEY": (19.7, 24.0)}
_MINERALS = ("sodium", "potassium", "calcium")
_MACROS = ("protein", "fat", "carbohydrate", "ash")
_LISTED_FROM = 5.0  # percent of the weight sold from which water is listed (EU 1169/2011 Annex VII A 1)
Content = dict[str, float]  # g (minerals and cholesterol mg) per 100 g


@dataclass(slots=True)
class Used:
    """An ingredient as used. grams: in 100 g of everything that went in; lean and lipid: of animal tissue."""

    item: Item
    grams: float
    inside: list[Used] = field(default_factory=list)
    clause: float = 0.0
    lipid: float = 0.0
    parts: list[tuple[float, Content]] = field(default_factory=list)

    def leaves(self) -> Iterator[Used]:
        """What is not a mixture of others in the list."""
        if self.inside:
            for used in self.inside:
                yield from used.leaves()
        else:
            yield self

    @property
    def kind(self) -> str:
        return (
            f"{self.item.kind} under a clause" if self.item.kind == "syrup solids" and self.clause else self.item.kind
        )

    def of(self, nutrient: str) -> float:
        """g of a nutrient (minerals and cholesterol mg) in 100 g of everything that went in."""
        return sum(grams * content.get(nutrient, 0.0) / 100 for grams, content in self.parts)


@dataclass(slots=True)
class Recipe:
    """What went in, in printed order; places of the list hold one ingredient, or several joined by "and/or"."""

    family: Family
    places: list[list[Used]]
    beside: list[Used]  # in the product but not in the list: a casing, a little water
    finished: float  # grams left of 100
    of_sold: bool = False  # whether declared percentages are of the weight sold; else of what went in

    def leaves(self) -> list[Used]:
        return [leaf for place in (*self.places, self.beside) for used in place for leaf in used.leaves()]

    def sold(self, nutrient: str) -> float:
        """g (minerals and cholesterol mg) per 100 g as sold."""
        return sum(leaf.of(nutrient) for leaf in self.leaves()) * 100 / self.finished

    def declared(self, used: Used) -> float:
        """The percentage of an ingredient that is printed."""
        return used.grams * 100 / self.finished if self.of_sold else used.grams

    @property
    def in_grams(self) -> list[Used]:
        """What is said in grams per 100 g as sold instead: what the family says so, and declared percentages that would
        make more than the whole (EU 1169/2011 Annex VIII 4(a)).
        """
        top = [used for place in self.places for used in place]
        over = sum(self.declared(used) for used in top if used.item.declared) > 100
        return [u for u in top if u.item.printed == self.family.ratio or (over and u.item.declared)]

    @property
    def moisture(self) -> float:
        """g of water per 100 g as sold."""
        return 100 - sum(self.sold(q) for q in _MACROS)

    @property
    def meat_protein(self) -> float:
        """g of protein from animal tissue per 100 g as sold."""
        return sum(leaf.of("protein") for leaf in self.leaves() if KINDS[leaf.kind].tissue) * 100 / self.finished

    @property
    def added_water(self) -> float:
        """Moisture less four times the protein of the meat, in percent of the product as sold."""
        return self.moisture - 4 * self.meat_protein

    def group(self, name: str) -> float:
        """Share of a group in percent of what went in (or of what the group's name says)."""
        leaves = self.leaves()
        tissue = [leaf for leaf in leaves if KINDS[leaf.kind].tissue]
        if name == "lean":
            return sum(leaf.grams - leaf.lipid for leaf in tissue if "skeletal_meat" in KINDS[leaf.kind].groups)
        if name == "meat_fat":
            return sum(leaf.lipid for leaf in tissue)
        if name == "added_water":
            return self.added_water
        if name == "clause":
            return sum(used.grams for place in self.places for used in place if used.clause)
        if name == "mechanically_separated_of_meat":
            return 100 * self.group("mechanically_separated") / (self.group("meat") or 1.0)
        return sum(leaf.grams for leaf in leaves if name in KINDS[leaf.kind].groups)

    def truth(self) -> dict[str, float]:
        """Every target by name: groups, ingredients by place, sodium by source (mg per 100 g sold), worth (0–1)."""
        found = {name: self.group(name) for name in GROUPS}
        for place, members in enumerate(self.places):
            found[f"ingredient {place}"] = sum(used.grams for used in members)
        for source in SOURCES:
            held = sum(leaf.of("sodium") for leaf in self.leaves() if KINDS[leaf.kind].sodium == source)
            found[f"sodium {source}"] = held * 100 / self.finished
        tissue = [(leaf.grams, worths()[found_]) for leaf in self.leaves() if (found_ := KINDS[leaf.kind].tissue)]
        if tissue:
            found["worth"] = sum(g * w for g, w in tissue) / sum(g for g, _ in tissue)
        return found

    def keeps_to(self, caps: tuple[tuple[str, float], ...]) -> bool:
        """Whether the lawful caps of the family hold."""
        values = {
            "fat": self.sold("fat"),
            "fat and added water": self.sold("fat") + self.added_water,
            "binders": self.group("binders"),
            "water": self.group("water"),
        }
        return all(values[quantity] <= most for quantity, most in caps)


def draw_amounts(family: Family, rng: random.Random) -> Recipe:
    """How much of each ingredient, in printed order; what they are made of is still missing."""
    finished = 100.0 - rng.uniform(*family.loss)
    beside = [Used(Item(family.casing[0], "other"), rng.uniform(0.4, 2.0))] if family.casing[0] else []
    minors, mains = [], []
    for item in family.items:
        if item.choice or rng.random() > item.chance:
            continue
        used = Used(
            item,
            _three(item.amount, rng),
            [Used(i, _three(i.amount, rng)) for i in item.inside if rng.random() <= i.chance],
        )
        if used.inside:
            used.inside.sort(key=lambda u: -u.grams)
            used.grams = sum(u.grams for u in used.inside)
        (mains if item.main else minors).append(used)
    room = 100.0 - sum(used.grams for used in (*minors, *beside))
    whole = sum(used.grams for used in mains)
    for used in mains:
        used.grams *= room / whole
    places = [[used] for used in (*mains, *minors)]
    either = bool(family.loss[1]) and any(item.declared for item in family.items)
    recipe = Recipe(family, places, beside, finished, either and rng.random() < 0.5)
    _order(recipe, rng)
    _clauses(recipe, rng)
    for item in family.items:
        if item.choice:
            _join(recipe, item, rng)
    return recipe


def _three(amount: Three, rng: random.Random) -> float:
    least, usual, most = amount
    return rng.triangular(least, most, usual)


def _order(recipe: Recipe, rng: random.Random) -> None:
    """Falling order of weight as the market's law has it."""
    europe = recipe.family.market in ("EU", "UK")
    lost = 100 - recipe.finished

    def weight(place: list[Used]) -> float:
        # Added water is listed at its weight in the finished food (EU 1169/2011 Annex VII A 1).
        return place[0].grams - (lost if europe and place[0].item.kind == "water" else 0.0)

    hidden = [
        p
        for p in recipe.places
        if europe and p[0].item.kind == "water" and weight(p) < _LISTED_FROM * recipe.finished / 100
    ]
    listed = sorted((p for p in recipe.places if p not in hidden), key=lambda place: -weight(place))
    free = [p for p in listed if _free(recipe, p[0])] if rng.random() < 0.5 else []
    rng.shuffle(free)
    recipe.places = [p for p in listed if p not in free] + free
    recipe.beside += [used for place in hidden for used in place]
    _joined(recipe)


def _free(recipe: Recipe, used: Used) -> bool:
    """Whether it may stand at the end of the list in any order."""
    if recipe.family.market in ("EU", "UK"):  # below 2 % of the finished food: EU 1169/2011 Annex VII A 6
        return used.grams < 2.0 * recipe.finished / 100
    if (
        recipe.family.market == "CA"
    ):  # additives and flavours; spices that together are not above 2 %: FDR B.01.008.2(4)
        spices = sum(p[0].grams for p in recipe.places if p[0].kind == "seasoning")
        return used.kind in ("cure", "phosphate", "preservative") or (used.kind == "seasoning" and spices <= 2.0)
    return False


def _joined(recipe: Recipe) -> None:
    """Two meats joined by "and" may stand in either order (9 CFR 317.2(f)(1)(v))."""
    for k, place in enumerate(recipe.places):
        if place[0].item.joined:
            mates = [
                m for m in (k - 1, k + 1) if 0 <= m < len(recipe.places) and recipe.places[m][0].item.kind == "muscle"
            ]
            if mates:
                first, second = sorted((k, mates[0]))
                if recipe.places[second][0] is not place[0]:  # the one with the "and" is printed second
                    recipe.places[first], recipe.places[second] = recipe.places[second], recipe.places[first]
            return


def _clauses(recipe: Recipe, rng: random.Random) -> None:
    """Put the small ones under a clause, at times in any order, at times with one or two of them left before it."""
    percent = rng.choice(recipe.family.clauses)
    for used in (u for p in recipe.places for u in p if recipe.family.inner_clause and u.inside):
        _inner(used, rng)
    if not percent:
        return
    start = next(
        (
            k
            for k in range(len(recipe.places))
            if all(p[0].grams <= percent * recipe.finished / 100 for p in recipe.places[k:])
        ),
        None,
    )
    if start is None:
        return
    start = min(start + rng.choice((0, 0, 1, 2)), len(recipe.places) - 1)
    tail = recipe.places[start:]
    if rng.random() < 0.5:
        rng.shuffle(tail)
    recipe.places[start:] = tail
    for place in tail:
        place[0].clause = percent


def _inner(used: Used, rng: random.Random) -> None:
    """A clause of its own inside a bracket, after its first ingredient or two."""
    percent = rng.choice((2.0, 1.0, 0.5))
    start = next((k for k in range(len(used.inside)) if all(u.grams <= percent for u in used.inside[k:])), None)
    if start is None or start == len(used.inside) - 1:
        return
    tail = used.inside[max(start, 1) :]
    rng.shuffle(tail)
    used.inside[max(start, 1) :] = tail
    for one in tail:
        one.clause = percent


def _join(recipe: Recipe, item: Item, rng: random.Random) -> None:
    """Beside the item before it in the family, by "and/or": either of the two, or both."""
    before = recipe.family.items[recipe.family.items.index(item) - 1]
    place = next((p for p in recipe.places if p[0].item is before), None)
    if place is None:
        return
    other = Used(item, 0.0, clause=place[0].clause)
    other.grams = place[0].grams * rng.choice((0.0, 1.0, rng.random()))
    place[0].grams -= other.grams
    place.append(other)


# -- composition --------------------------------------------------------------------------------------------------
def fill(recipe: Recipe, listed: tuple[Ingredient, ...], scatter: str, rng: random.Random) -> None:
    """Draw what every ingredient is made of. `listed` is the list as read, which must be the list as printed.

    Raises AssertionError where the reader sees another list.
    """
    shared = _quantile(HOSTILE, rng)
    top = [i for i in listed if i.role != "casing"]
    printed = [used for place in recipe.places for used in place]
    assert [i.printed for i in top] == [u.item.printed for u in printed], (
        [i.printed for i in top],
        [u.item.printed for u in printed],
    )
    for used, ingredient in zip(printed, top, strict=True):
        pairs = [(used, ingredient)]
        if used.inside:
            names = [i.printed for i in walk(ingredient.parts) if counted(i)]
            assert names == [u.item.printed for u in used.inside], (names, used.item.printed)
            pairs = list(zip(used.inside, ingredient.parts, strict=True))
        for leaf, read in pairs:
            _compose(leaf, class_of(read), scatter, shared, rng)
    for used in recipe.beside:
        made = f"{recipe.family.casing[1]}_casing" if used.item.kind == "other" else "water"
        _compose(used, classes()[made], scatter, shared, rng)


def _compose(used: Used, composition: Composition, scatter: str, shared: float, rng: random.Random) -> None:
    if composition.most is not None and used.grams > composition.most:
        raise AssertionError(
            f"{used.item.printed}: {used.grams:.2f} % is above the most of its class, {composition.most}"
        )
    if len(composition.parts) == 1:
        used.parts = [(used.grams, _content(composition, 0, scatter, None, rng))]
        return
    low, high = used.item.fat
    share = composition.parts[1].share
    assert share.low <= low <= high <= share.high, (used.item.printed, used.item.fat, share)
    used.lipid = used.grams * rng.triangular(low, high) / 100
    quantile = shared if scatter == HOSTILE else None
    protein = composition.parts[0].of("protein")
    if scatter == CUTS and used.item.printed in _LEAN:
        quantile = (rng.uniform(*_LEAN[used.item.printed]) - protein.low) / (protein.high - protein.low)
    lean, lipid = _content(composition, 0, scatter, quantile, rng), _content(composition, 1, scatter, None, rng)
    used.parts = [(used.grams - used.lipid, lean), (used.lipid, lipid)]


def _quantile(scatter: str, rng: random.Random) -> float:
    if scatter in (TRIANGULAR, CUTS):
        return rng.triangular(0.0, 1.0, 0.5)
    return rng.random() if scatter == UNIFORM else rng.betavariate(0.35, 0.35)


def _content(composition: Composition, part: int, scatter: str, protein: float | None, rng: random.Random) -> Content:
    """A composition inside the ranges of its class that could exist: no more than 100 g, no part above its whole."""
    ranges = {n: composition.parts[part].of(n) for n in (*GRAMS, *MILLIGRAMS)}
    found = {}
    for nutrient, (low, high) in ranges.items():
        quantile = protein if nutrient == "protein" and protein is not None else _quantile(scatter, rng)
        found[nutrient] = low + (high - low) * quantile
    _fit(found, ranges, _MACROS, 100.0)
    _fit(found, ranges, ("saturated",), found["fat"])
    _fit(found, ranges, ("sugars", "fibre"), found["carbohydrate"])
    _fit(found, ranges, _MINERALS, 1000 * found["ash"])
    return found


def _fit(found: Content, ranges: dict[str, tuple[float, float]], names: tuple[str, ...], most: float) -> None:
    """Scale down towards the low ends until the sum fits, as far as the ranges let."""
    over = sum(found[n] for n in names) - most
    room = sum(found[n] - ranges[n][0] for n in names)
    if over > 0 and room > 0:
        keep = max(0.0, 1 - over / room)
        for n in names:
            found[n] = ranges[n][0] + (found[n] - ranges[n][0]) * keep
