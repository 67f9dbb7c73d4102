"""What a pack is compared by: each measure with how it is taken from a reading. Nothing is computed anew here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from reader.aspects import ASPECTS
from reader.compare.pack import Pack
from reader.facts import NOT_STATED
from reader.law.values import BREAKS
from reader.makeup import settings
from reader.price import per_100g_protein, per_kg_of
from reader.quantities import Interval

RANGE, NUMBER, WORDS = "range", "number", "words"
DOES_NOT_APPLY = "does not apply"
PRICES = ("price_kg", "price_protein", "price_meat")


@dataclass(frozen=True, slots=True)
class Cell:
    """What one pack has of one measure.

    possible: every value the label leaves open; likely: where it most probably lies; middle: one number in it, as
    printed where it is printed. words: of measures that are no number, and the titles behind a count.
    state: "" if there is something, else why there is not: "not stated" or "does not apply".
    currency: of a price, an ISO 4217 code or "".
    """

    possible: Interval | None = None
    likely: Interval | None = None
    middle: float | None = None
    words: tuple[str, ...] = ()
    state: str = ""
    currency: str = ""


@dataclass(frozen=True, slots=True)
class Measure:
    """A measure: `kind` is RANGE, NUMBER (exact) or WORDS; `unit` is "score", "%", "mg", "g", "money" or ""."""

    id: str
    kind: str
    unit: str
    take: Callable[[Pack], Cell]


MISSING = Cell(state=NOT_STATED)


@lru_cache(maxsize=1)
def measures() -> tuple[Measure, ...]:
    """All measures in the order they are shown."""
    return (
        *(Measure(aspect, RANGE, "score", _aspect(aspect)) for aspect in ASPECTS),
        *(Measure(f"share_{g.id}", RANGE, "%", _share(g.id)) for g in settings.groups()),
        Measure("sodium_serving", RANGE, "mg", _sodium_serving),
        Measure("serving_weight", NUMBER, "g", lambda p: _number(p.report.panel.serving_g)),
        Measure("sodium_100g", RANGE, "mg", _per_100g("sodium_mg")),
        Measure("protein_100g", RANGE, "g", _per_100g("protein_g")),
        Measure("fat_100g", RANGE, "g", _per_100g("fat_g")),
        Measure("cure", WORDS, "", _of_list(lambda p: p.report.facts.cures)),
        Measure("casing_stated", WORDS, "", _casing),
        Measure("fillers", WORDS, "", _of_list(lambda p: p.report.facts.binders)),
        Measure("ingredients", NUMBER, "", lambda p: _number(p.report.facts.ingredient_count or None)),
        Measure("breaks", NUMBER, "", _breaks),
        Measure("price_kg", RANGE, "money", _price_kg),
        Measure("price_protein", RANGE, "money", _price_protein),
        Measure("price_meat", RANGE, "money", _price_meat),
    )


@lru_cache(maxsize=64)
def measure(name: str) -> Measure:
    """A measure by its id. Raises ValueError if there is none."""
    found = next((m for m in measures() if m.id == name), None)
    if found is None:
        raise ValueError(f"{name!r} is no measure; there are {', '.join(m.id for m in measures())}")
    return found


def _aspect(name: str) -> Callable[[Pack], Cell]:
    def take(pack: Pack) -> Cell:
        aspect = pack.report.aspect(name)
        if aspect.score is None:
            return Cell(state=aspect.state)
        return Cell(aspect.score, aspect.likely, aspect.middle)

    return take


def _share(group: str) -> Callable[[Pack], Cell]:
    def take(pack: Pack) -> Cell:
        share = pack.report.makeup.group(group) if pack.report.product.ingredients else None
        return MISSING if share is None else Cell(share.possible, share.likely, share.middle)

    return take


def _sodium_serving(pack: Pack) -> Cell:
    panel = pack.report.panel
    return _range(panel.per_serving("sodium_mg"), middle=panel.stated_per_serving("sodium_mg"))


def _per_100g(nutrient: str) -> Callable[[Pack], Cell]:
    def take(pack: Pack) -> Cell:
        panel = pack.report.panel
        return _range(panel.per_100g(nutrient), middle=panel.stated_per_100g(nutrient))

    return take


def _of_list(take_words: Callable[[Pack], tuple[str, ...]]) -> Callable[[Pack], Cell]:
    """Words of the list: an empty tuple says that a list was read and names none of them."""

    def take(pack: Pack) -> Cell:
        return Cell(words=take_words(pack)) if pack.report.facts.ingredient_count else MISSING

    return take


def _casing(pack: Pack) -> Cell:
    casing = pack.report.facts.casing.value
    return MISSING if casing == NOT_STATED else Cell(words=(casing,))


def _breaks(pack: Pack) -> Cell:
    if not pack.report.facts.ingredient_count and pack.report.panel.empty:
        return MISSING
    titles = tuple(finding.rule.title for finding in pack.report.found(BREAKS))
    count = float(len(titles))
    return Cell(Interval(count, count), middle=count, words=titles)


def _price_kg(pack: Pack) -> Cell:
    money = pack.price.per_kg
    return MISSING if money is None else Cell(Interval(money, money), middle=money, currency=pack.price.currency)


def _price_protein(pack: Pack) -> Cell:
    found = per_100g_protein(pack.price, pack.report.panel.per_100g("protein_g"))
    return _range(found, currency=pack.price.currency)


def _price_meat(pack: Pack) -> Cell:
    """Of the likely range where there is one; the possible range stands behind it."""
    share = pack.report.makeup.group("meat") if pack.report.product.ingredients else None
    if share is None:
        return MISSING
    likely = per_kg_of(pack.price, share.likely)
    return _range(per_kg_of(pack.price, share.possible), likely, currency=pack.price.currency)


def _range(
    possible: Interval | None, likely: Interval | None = None, middle: float | None = None, currency: str = ""
) -> Cell:
    return MISSING if possible is None else Cell(possible, likely, middle, currency=currency)


def _number(value: float | None) -> Cell:
    return MISSING if value is None else Cell(Interval(value, value), middle=value)
