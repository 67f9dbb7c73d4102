"""One sentence for the top of a reading, made of the plainest facts."""

from __future__ import annotations

from reader.aspects import Said, said
from reader.facts import NOT_STATED, Facts
from reader.panel.reading import Panel
from reader.product import DISH, PLANT, SAUSAGE, UNREADABLE, Product
from reader.quantities import show
from reader.wording import say

_LONGEST = 4  # names in the headline; the rest stands below


def headline(product: Product, facts: Facts, panel: Panel) -> Said:
    """What it is, what it is stretched with, how it is cured, what the skin is, how much sodium."""
    if product.food == UNREADABLE:
        return said("headline_unreadable") if panel.empty else said("headline_panel_only", sodium=_sodium(panel))
    if product.food != SAUSAGE:
        key = {PLANT: "headline_plant", DISH: "headline_dish"}.get(product.food, "headline_other")
        return said(key, first=facts.first_ingredient)
    return said(
        "headline_sausage",
        meats=_names(facts.meat_sources),
        fillers=say("headline_fillers", names=_names(facts.binders)) if facts.binders else say("headline_no_fillers"),
        cure=_cure(facts),
        casing=say("headline_casing_silent")
        if facts.casing.value == NOT_STATED
        else say("headline_casing", casing=_skin(facts)),
        sodium=_sodium(panel),
    )


def _cure(facts: Facts) -> str:
    return say("headline_cured", names=_names(facts.cures)) if facts.cures else say("headline_no_cure")


def _skin(facts: Facts) -> str:
    material, species = facts.casing.material or "unnamed", " or ".join(facts.casing.species)
    return f"{material} ({species})" if species else material


def _sodium(panel: Panel) -> str:
    serving = panel.stated_per_serving("sodium_mg")
    if serving is not None and panel.serving_g:
        return say("headline_sodium", sodium=show(serving, 0), weight=show(panel.serving_g))
    if serving is not None:
        return say("headline_sodium_no_weight", sodium=show(serving, 0))
    hundred = panel.stated_per_100g("sodium_mg")
    return say("headline_sodium_hundred", sodium=show(hundred, 0)) if hundred is not None else say("headline_no_sodium")


def _names(names: tuple[str, ...]) -> str:
    shown = names[:_LONGEST]
    more = len(names) - len(shown)
    if more:
        return ", ".join(shown) + f" and {more} more"
    return ", ".join(shown[:-1]) + " and " + shown[-1] if len(shown) > 1 else "".join(shown)
