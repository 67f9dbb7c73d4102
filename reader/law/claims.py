"""Judges of claims about amounts ("low sodium", "lean", "25 % less fat", "only 200 mg sodium"): words and the panel.

A claim is broken only where the printed amount, with everything rounding leaves open, lies beyond its limit at the
smallest amount of food the rule ever works on.
"""

from __future__ import annotations

import re

from reader.law.case import Case
from reader.law.claimed import claims
from reader.law.rules import Rule
from reader.law.values import MEETS, Ruling, breaks, cannot_tell, meets
from reader.panel.values import Amount
from reader.quantities import Interval, show
from reader.spans import Span
from reader.wording import say

_TINY = 1e-6
_HUNDRED = 100  # g; what a claim is judged on where the rule names no smaller amount
_NUMBER_BEFORE = re.compile(r"(\d[\d.,]*\s?m?g)(?: of)?$")  # "only 200 mg of" before "sodium"
_REACH = 20  # characters such a number may take


def level(rule: Rule, case: Case) -> Ruling | None:
    """A claim that asks for at most so much of each of the `nutrients`; the limits stand under their names.

    `least_g`: the smallest amount of food it is judged on; without it, it is judged on 100 g. `percent`: a percentage
    has to stand before the words. `asks_more`: more is asked for than a panel shows, so that it is never met.
    """
    with_percent = bool(rule.values.get("percent"))
    claim = next((c for c in claims(rule, case) if (c.percent is not None) == with_percent), None)
    if claim is None:
        return None
    words, unknown = case.text(claim.span), []
    found: list[tuple[str, Interval, Interval]] = []
    for nutrient in rule.words("nutrients"):
        amounts = _amounts(rule, case, nutrient)
        if amounts is None:
            unknown.append(say(f"nutrient_{nutrient}"))
        else:
            found.append((nutrient, *amounts))
    for nutrient, small, _ in found:
        limit = rule.number(nutrient)
        if small.low > limit + _TINY and not case.panel.problems:
            return breaks(
                "level_breaks",
                claim.span,
                _span(case, nutrient),
                found=small,
                words=words,
                grams=show(float(rule.values.get("least_g", _HUNDRED))),
                low=_told(nutrient, small.low, 1),
                name=say(f"nutrient_{nutrient}"),
                limit=_told(nutrient, limit, 2),
            )
    if unknown:
        return cannot_tell("level_not_printed", claim.span, words=words, names=", ".join(unknown))
    spans = [_span(case, nutrient) for nutrient, _, _ in found]
    if rule.values.get("asks_more"):
        return cannot_tell("level_asks_more", claim.span, *spans, words=words)
    if all(large.high <= rule.number(nutrient) + _TINY for nutrient, _, large in found):
        return meets("level_meets", claim.span, *spans, words=words)
    return cannot_tell("level_open", claim.span, *spans, words=words)


def compared(rule: Rule, case: Case) -> Ruling | None:
    """A claim of less than another product holds: `least` percent less, the percentage and the product named."""
    said = list(claims(rule, case))
    if not said:
        return None
    claim = next((c for c in said if c.percent is not None), said[0])
    words, least = case.text(claim.span), rule.number("least")
    if claim.percent is None or MEETS not in rule.verdicts:
        return cannot_tell("compared_open", claim.span, words=words, least=show(least))
    if claim.percent < least:
        ruled, key = breaks, "compared_breaks"
    elif set(rule.words("reference")) & set(claim.around):
        ruled, key = meets, "compared_meets"
    else:
        ruled, key = cannot_tell, "compared_no_reference"
    return ruled(key, claim.span, words=words, least=show(least), percent=show(claim.percent))


def quantity(rule: Rule, case: Case) -> Ruling | None:
    """An amount put forward as small ("only 200 mg sodium"): either it is low, or `note_words` stand somewhere."""
    claim = next(claims(rule, case), None)
    if claim is None or not set(rule.words("small_words")) & set(claim.around):
        return None
    place = claim.span
    number = _NUMBER_BEFORE.search(case.text(place._replace(start=max(0, place.start - _REACH), end=place.start)))
    if number is None:
        return None
    note = case.words.first(rule.words("note_words"))
    if note is not None:
        return meets("quantity_note", place, note, amount=number[1])
    nutrient = rule.words("nutrients")[0]
    amounts = _amounts(rule, case, nutrient)
    if amounts is not None and amounts[1].high <= rule.number(nutrient) + _TINY:
        return meets("quantity_low", place, _span(case, nutrient), amount=number[1])
    return cannot_tell("quantity_open", place, amount=number[1])


def _amounts(rule: Rule, case: Case, nutrient: str) -> tuple[Interval, Interval] | None:
    """The nutrient in the least and the largest amount of food a claim is judged on; None where nothing is printed."""
    hundred, serving = case.panel.per_100g(nutrient), case.panel.per_serving(nutrient)
    if "least_g" not in rule.values:
        return (hundred, hundred) if hundred is not None else None
    least = rule.number("least_g")
    if hundred is None:
        return (Interval(0.0, serving.high), serving) if serving is not None else None
    small = hundred.times(least / 100)
    if serving is not None and (case.panel.serving_g or 0) >= least:
        return small, serving
    return small, small if case.panel.serving_g else hundred


def _told(nutrient: str, value: float, places: int) -> str:
    return f"{show(value, places)} {nutrient.rsplit('_', 1)[-1]}"


def _span(case: Case, nutrient: str) -> Span | None:
    amounts: list[Amount] = [a for c in case.panel.columns if (a := c.get(nutrient))]
    return amounts[0].span if amounts else None


JUDGES = {"claim_compared": compared, "claim_level": level, "claim_quantity": quantity}
