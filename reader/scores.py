"""The four aspects with their scores. Every threshold stands in lexicon/scoring.yaml with its source.

Scores are intervals: the curve of the aspect taken at both ends of what is possible. Curves only rise or only
fall, so a score moves only the way its ground says; tests/properties/test_scores.py holds that as a law.
"""

from __future__ import annotations

import itertools
import math
from functools import lru_cache
from typing import Any

from reader import makeup_words, tables
from reader.aspects import CASING, FILLER_LOAD, MEAT_SOURCE, SODIUM, Aspect, Said, said
from reader.facts import ANIMAL, NOT_STATED, Facts, closed
from reader.ingredient_tree import Ingredient
from reader.makeup.values import MakeUp, Share
from reader.panel.reading import Panel
from reader.panel.standards import sodium_days_of
from reader.product import PLANT, SAUSAGE, UNREADABLE, Product
from reader.quantities import Interval, show
from reader.spans import Span


def score(product: Product, facts: Facts, makeup: MakeUp, panel: Panel, market: str) -> tuple[Aspect, ...]:
    """Meat source, filler load, casing and sodium, in this order."""
    return (
        meat_source(product, facts, makeup),
        filler_load(product, facts, makeup),
        casing(product, facts, market),
        sodium(panel, market),
    )


# -- curves -------------------------------------------------------------------------------------------------


@lru_cache(maxsize=1)
def _scoring() -> dict[str, Any]:
    scoring: dict[str, Any] = tables.load_raw()["scoring"]
    return scoring


@lru_cache(maxsize=8)
def curve_points(aspect: str, name: str) -> tuple[tuple[float, float], ...]:
    """The points of a curve of lexicon/scoring.yaml."""
    return tuple((float(x), float(y)) for x, y in _scoring()[aspect][name])


def along(points: tuple[tuple[float, float], ...], x: float) -> float:
    """The height of a curve at x: straight lines between its points, level outside them."""
    if x <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]


def _outward(low: float, high: float) -> Interval:
    """Rounded to one decimal so that the range never shrinks."""
    return Interval(max(0.0, math.floor(low * 10 + 1e-6) / 10), min(10.0, math.ceil(high * 10 - 1e-6) / 10))


# -- meat source --------------------------------------------------------------------------------------------


def meat_source(product: Product, facts: Facts, makeup: MakeUp) -> Aspect:
    """Which animal tissue, in which order and share. No score without a sausage."""
    if product.food == UNREADABLE:
        return Aspect(MEAT_SOURCE, NOT_STATED, None, said("meat_unreadable"))
    if product.food != SAUSAGE or makeup.worth is None:
        return Aspect(MEAT_SOURCE, "does not apply", None, said(product.reason))
    meat, worth = makeup.group("meat"), makeup.worth
    assert meat is not None
    tissues = [i for i in product.ingredients if i.role in ANIMAL or (i.parts and not closed(i))]
    first = next((i for i in tissues if i.role in ANIMAL), None)
    reading = said("meat_reading", first.span if first else None, meats=_list(facts.meat_sources))
    grounds = [_first_ground(first)] if first else []
    grounds += [*_tissue_grounds(tissues), *_share_grounds("meat", meat)]
    narrows = [said("narrow_percent")] if meat.possible.high - meat.possible.low > 10 else []
    return Aspect(
        MEAT_SOURCE, "scored", _meat_score(worth.possible, meat.possible), reading, tuple(grounds), tuple(narrows),
        likely=_meat_score(worth.likely, meat.likely) if worth.likely and meat.likely else None,
        middle=_meat_point(worth.middle, meat.middle) if worth.middle is not None and meat.middle is not None else None,
    )  # fmt: skip


def _meat_point(worth: float, share: float) -> float:
    return 10 * worth * along(curve_points(MEAT_SOURCE, "share"), share)


def _meat_score(worth: Interval, share: Interval) -> Interval:
    """Both may be at either end, each for itself."""
    return _outward(_meat_point(worth.low, share.low), _meat_point(worth.high, share.high))


def _share_grounds(group: str, share: Share) -> list[Said]:
    """The ranges of a group, and what decides them, at its places."""
    ends = zip(makeup_words.bounds_told(group, share), (share.low_because, share.high_because), strict=True)
    return [
        said("share_range", text=makeup_words.range_told(group, share)),
        *(said("share_end", *(r.span for r in because), sentence=told) for told, because in ends),
    ]


def _first_ground(first: Ingredient) -> Said:
    kind = first.role if first.role != "meat" else "unnamed" if first.kind == "unnamed" else "muscle"
    return said(f"meat_first_{kind}", first.span, source=_source(first), name=first.printed.lower())


def _source(ingredient: Ingredient) -> str:
    return ingredient.entry.source if ingredient.entry else ""


def _tissue_grounds(tissues: list[Ingredient]) -> list[Said]:
    found = []
    for role in ("mechanically_separated", "by_product", "fat"):
        named = [i for i in tissues if i.role == role]
        if named:
            names = _list(tuple(i.printed.lower() for i in named))
            found.append(said(f"meat_has_{role}", *(i.span for i in named), source=_source(named[0]), names=names))
    return found


# -- filler load --------------------------------------------------------------------------------------------


def filler_load(product: Product, facts: Facts, makeup: MakeUp) -> Aspect:
    """How much starch, flour, protein powder and fibre. Sweeteners and gums are counted apart."""
    if product.food == UNREADABLE:
        return Aspect(FILLER_LOAD, NOT_STATED, None, said("filler_unreadable"))
    if product.food != SAUSAGE:
        key = "filler_plant" if product.food == PLANT else "filler_other"
        return Aspect(FILLER_LOAD, "does not apply", None, said(key))
    share = makeup.group("binders")
    assert share is not None
    possible = share.possible
    value = _filler_score(possible)
    fillers = _fillers(product.ingredients)
    grounds = [
        said("filler_one", f.span, source=_source(f), name=f.printed.lower(), why=f.entry.why if f.entry else "")
        for f in fillers
    ]
    if facts.sweeteners:
        grounds.append(said("filler_sweeteners", names=_list(facts.sweeteners)))
    if facts.hydrocolloids:
        grounds.append(said("filler_gums", names=_list(facts.hydrocolloids)))
    if not fillers:
        return Aspect(FILLER_LOAD, "scored", value, said("filler_none"), tuple(grounds))
    reading = said("filler_reading", names=_list(tuple(dict.fromkeys(f.printed.lower() for f in fillers))),
                   low=show(possible.low), high=show(possible.high))  # fmt: skip
    grounds += _share_grounds("binders", share)
    narrows = [said("narrow_filler")] if possible.high - possible.low > 2 else []
    return Aspect(
        FILLER_LOAD, "scored", value, reading, tuple(grounds), tuple(narrows),
        likely=_filler_score(share.likely) if share.likely else None,
        middle=along(curve_points(FILLER_LOAD, "share"), share.middle) if share.middle is not None else None,
    )  # fmt: skip


def _filler_score(share: Interval) -> Interval:
    """More filler, lower score."""
    curve = curve_points(FILLER_LOAD, "share")
    return _outward(along(curve, share.high), along(curve, share.low))


def _fillers(ingredients: tuple[Ingredient, ...]) -> list[Ingredient]:
    roles = {c["role"] for c in _scoring()[FILLER_LOAD]["counts"]}
    found: list[Ingredient] = []
    for ingredient in ingredients:
        if ingredient.role in roles:
            found.append(ingredient)
        elif ingredient.parts and not closed(ingredient):
            found += _fillers(ingredient.parts)
    return found


# -- casing -------------------------------------------------------------------------------------------------


def casing(product: Product, facts: Facts, market: str) -> Aspect:
    """What the skin is; silence is answered with the options it leaves, never with one of them."""
    stated = facts.casing
    if product.food == UNREADABLE:
        return Aspect(CASING, NOT_STATED, None, said("casing_unreadable"))
    if stated.value == NOT_STATED and product.food != SAUSAGE:
        return Aspect(CASING, NOT_STATED, None, said("casing_not_a_sausage"))
    if stated.value == NOT_STATED and "patty" in product.words:
        return Aspect(CASING, "does not apply", None, said("casing_patty"))
    if stated.value == NOT_STATED and {"skinless", "peeled"} & product.words:
        material, reading, grounds = "cellulose", said("casing_skinless"), [said("casing_bite_cellulose")]
    elif stated.value == NOT_STATED:
        material, reading = NOT_STATED, said("casing_silent")
        key = f"casing_silence_{market.lower()}"
        grounds = [
            said(key, source=_casing_value(NOT_STATED)["source"]),
            said("casing_usual", source="common_practice"),
        ]
    else:
        material = stated.material or "unspecified"
        species = _list(stated.species) if stated.species else ""
        key = "casing_stated_species" if species else "casing_stated"
        reading = said(key, stated.span, material=material, species=species)
        grounds = [said(f"casing_bite_{material}", stated.span, source=_casing_value(material)["source"])]
    value = _casing_value(material)
    narrows = [said("narrow_casing")] if material in (NOT_STATED, "unspecified") else []
    score_range = Interval(float(value["low"]), float(value["high"]))
    return Aspect(CASING, "scored", score_range, reading, tuple(grounds), tuple(narrows))


def _casing_value(material: str) -> dict[str, str]:
    return next(v for v in _scoring()[CASING]["values"] if v["value"] == material)


# -- sodium -------------------------------------------------------------------------------------------------


def sodium(panel: Panel, market: str) -> Aspect:
    """Sodium in a serving with its weight, per 100 g, as a share of a day. Needs a panel."""
    serving, hundred = panel.per_serving("sodium_mg"), panel.per_100g("sodium_mg")
    if serving is None and hundred is None:
        return Aspect(SODIUM, NOT_STATED, None, said("sodium_not_stated"), (), (said("narrow_panel"),))
    readings = []
    if serving is not None:
        readings.append((serving, curve_points(SODIUM, "serving")))
    if hundred is not None:
        readings.append((hundred, curve_points(SODIUM, "per_100g")))
    low = min(along(points, amount.high) for amount, points in readings)
    high = min(along(points, amount.low) for amount, points in readings)
    return Aspect(SODIUM, "scored", _outward(low, high), _sodium_reading(panel), tuple(_sodium_grounds(panel, market)))


def _sodium_reading(panel: Panel) -> Said:
    serving, hundred = panel.stated_per_serving("sodium_mg"), panel.stated_per_100g("sodium_mg")
    if serving is not None and hundred is not None and panel.serving_g:
        return said("sodium_reading_both", _sodium_span(panel), serving=show(serving, 0), weight=show(panel.serving_g),
                    hundred=show(hundred, 0))  # fmt: skip
    if serving is not None:
        return said("sodium_reading_serving", _sodium_span(panel), serving=show(serving, 0))
    return said("sodium_reading_hundred", _sodium_span(panel), hundred=show(hundred or 0.0, 0))


def _sodium_span(panel: Panel) -> Span | None:
    for column in panel.columns:
        amount = column.get("sodium_mg") or column.get("salt_g")
        if amount is not None and amount.span is not None:
            return amount.span
    return None


def _sodium_grounds(panel: Panel, market: str) -> list[Said]:
    serving, hundred = panel.stated_per_serving("sodium_mg"), panel.stated_per_100g("sodium_mg")
    found = []
    if serving is not None:
        for day in sodium_days_of(market):
            share, mg = show(100.0 * serving / day.value, 0), show(day.value, 0)
            found.append(said("sodium_of_day", source=day.source, share=share, value=mg, name=day.name, who=day.who))
        found.append(_of_a_childs_day(serving))
    if hundred is not None:
        band = next(b for b in tables.load_raw()["sodium"]["bands"] if hundred <= float(b["up_to"]))
        found.append(
            said("sodium_among_surveyed", source="sodium_surveys", hundred=show(hundred, 0), band=band["says"])
        )
    return found


def _of_a_childs_day(serving: float) -> Said:
    """A serving beside what children of each age are advised to stay under."""
    children = tables.load_raw()["sodium"]["children"]
    shares = [f"{show(100 * serving / float(most), 0)} % ({ages})" for ages, most in children["values"][:-1]]
    return said("sodium_of_child", source=children["source"], shares=_list(tuple(shares)))


def _list(names: tuple[str, ...]) -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]
