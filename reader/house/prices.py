"""Judge of prices: what a kilogram, its protein or its meat costs at most. Nothing is converted between currencies."""

from __future__ import annotations

import math

from reader.house.evidence import Evidence
from reader.house.kinds import Kind
from reader.house.values import ASK, FAILS, MEETS, PRICE, Requirement, Verdict
from reader.law.values import TINY
from reader.price import per_100g_protein, per_kg_of
from reader.quantities import Interval, show
from reader.wording import say

_MONEY = 2  # decimals shown
_OF_MEAT, _OF_PROTEIN = "meat", "protein"


def at_most(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """What money buys of `of_part` costs at most the limit, in its currency. Of meat the likely share may meet it,
    which is said; it fails only if all that is possible costs more.
    """
    price, currency = seen.price, requirement.words[0]
    question = kind.asks.format(words=currency)
    if price.per_kg is None:
        return Verdict(kind.id, ASK, say("house_price_none"), question, PRICE)
    paid = f"{show(price.per_kg, _MONEY)} {price.currency}".strip()
    if price.currency != currency:
        key = "house_price_currency" if price.currency else "house_price_no_currency"
        because = say(key, value=paid, first=price.currency, last=currency, reason=kind.open)
        return Verdict(kind.id, ASK, because, question, PRICE)
    found, likely = _costs(kind, seen, price.per_kg)
    if found is None:
        return Verdict(kind.id, ASK, say("house_price_part", value=paid, reason=kind.open), question, PRICE)
    limit = requirement.limit
    assert limit is not None  # a kind that takes a price has one (specification.checked)
    told = {"unit": kind.unit, "limit": f"{show(limit, _MONEY)} {currency}", "reason": kind.open}
    told |= {"value": _shown(found, currency), "range": _shown(likely, currency) if likely else ""}
    if found.high <= limit + TINY:
        return Verdict(kind.id, MEETS, say("house_price_meets", **told), source=PRICE)
    if likely is not None and likely.high <= limit + TINY:
        return Verdict(kind.id, MEETS, say("house_price_likely", **told), source=PRICE)
    if found.low > limit + TINY:
        return Verdict(kind.id, FAILS, say("house_price_fails", **told), source=PRICE)
    return Verdict(kind.id, ASK, say("house_price_open", **told), question, PRICE)


def _costs(kind: Kind, seen: Evidence, per_kg: float) -> tuple[Interval | None, Interval | None]:
    """What is possible and what is likely, None where it is not known."""
    part, report = kind.values["of_part"], seen.report
    if part == _OF_PROTEIN:
        return per_100g_protein(seen.price, report.panel.per_100g("protein_g")), None
    if part == _OF_MEAT:
        share = report.makeup.group("meat") if report.product.ingredients and report.makeup.clash is None else None
        if share is None:
            return None, None
        return per_kg_of(seen.price, share.possible), per_kg_of(seen.price, share.likely)
    return Interval(per_kg, per_kg), None


def _shown(found: Interval, currency: str) -> str:
    """A price or a range of prices for people."""
    low, high = show(found.low, _MONEY), show(found.high, _MONEY)
    if math.isinf(found.high):
        return say("house_price_from", low=low, unit=currency)
    if low == high:
        return say("house_price_one", value=low, unit=currency)
    return say("house_price_range", low=low, high=high, unit=currency)


JUDGES = {"price_at_most": at_most}
