"""Judges of claims about amounts ("low sodium", "lean", "25 % less fat", "only 200 mg sodium"): words and the panel.

A claim is broken only where the printed amount, with everything rounding leaves open, lies beyond its limit at the
smallest amount of food the rule ever works on.
"""

from __future__ import annotations

import re

from reader.law.case import Case
from reader.law.claimed import claims, text_before
from reader.law.printed_panel import amount_told, place_of_row
from reader.law.rules import Rule
from reader.law.values import MEETS, TINY, Ruling, breaks, cannot_tell, meets
from reader.quantities import Interval, show
from reader.wording import say

_HUNDRED = 100  # g; what a claim is judged on where the rule names no smaller amount
_NUMBER_BEFORE = re.compile(r"(\d[\d.,]*\s?m?g)(?: of)?$")  # "only 200 mg of" before "sodium"


def level(rule: Rule, case: Case) -> Ruling | None:
    """A claim (`words`, `not_words`, `not_before`, `not_after`) that asks for at most so much of each of the
    `nutrients`; the limits stand under their names (`sodium_mg`, `fat_g`, `satfat_g`, `cholesterol_mg`).

    `least_g`: the smallest amount of food it is judged on; without it, it is judged on 100 g. `percent`: a percentage
    has to stand before the words. `asks_more`: more is asked for than a panel shows, so that it is never met.
    """
    with_percent = bool(rule.values.get("percent"))
    claim = next((c for c in claims(rule, case) if (c.percent is not None) == with_percent), None)
    if claim is None:
        return None
    words, limits = case.text(claim.span), {nutrient: rule.number(nutrient) for nutrient in rule.words("nutrients")}
    printed = {nutrient: found for nutrient in limits if (found := _amounts(rule, case, nutrient)) is not None}
    places = [place_of_row(case.panel, nutrient) for nutrient in printed]
    for nutrient, (small, _) in printed.items():
        if small.low > limits[nutrient] + TINY and not case.panel.problems:
            return breaks(
                "level_breaks",
                claim.span,
                place_of_row(case.panel, nutrient),
                found=small,
                words=words,
                grams=show(float(rule.values.get("least_g", _HUNDRED))),
                low=amount_told(nutrient, small.low, 1),
                name=say(f"nutrient_{nutrient}"),
                limit=amount_told(nutrient, limits[nutrient], 2),
            )
    unknown = ", ".join(say(f"nutrient_{nutrient}") for nutrient in limits if nutrient not in printed)
    if unknown:
        return cannot_tell("level_not_printed", claim.span, words=words, names=unknown)
    if rule.values.get("asks_more"):
        return cannot_tell("level_asks_more", claim.span, *places, words=words)
    if all(large.high <= limits[nutrient] + TINY for nutrient, (_, large) in printed.items()):
        return meets("level_meets", claim.span, *places, words=words)
    return cannot_tell("level_open", claim.span, *places, words=words)


def compared(rule: Rule, case: Case) -> Ruling | None:
    """A claim (`words`, `not_words`, `not_before`, `not_after`) of less than another product holds: `least` percent
    less, the percentage and the product named (with one of the words of `reference`).
    """
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
    """An amount put forward as small ("only 200 mg sodium": one of `small_words` beside `words`, `not_words`,
    `not_before`, `not_after`): either it is low in the first of the `nutrients`, at most the limit under its name
    (`sodium_mg`) in so much food (`least_g`), or `note_words` stand somewhere.
    """
    claim = next(claims(rule, case), None)
    if claim is None or not set(rule.words("small_words")) & set(claim.around):
        return None
    place = claim.span
    number = _NUMBER_BEFORE.search(text_before(case, place))
    if number is None:
        return None
    note = case.words.first(rule.words("note_words"))
    if note is not None:
        return meets("quantity_note", place, note, amount=number[1])
    nutrient = rule.words("nutrients")[0]
    amounts = _amounts(rule, case, nutrient)
    if amounts is not None and amounts[1].high <= rule.number(nutrient) + TINY:
        return meets("quantity_low", place, place_of_row(case.panel, nutrient), amount=number[1])
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


JUDGES = {"claim_compared": compared, "claim_level": level, "claim_quantity": quantity}
