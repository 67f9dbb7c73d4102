"""Judges of the printed serving: its size against the reference amount, its share of a day against a threshold."""

from __future__ import annotations

import re
from collections.abc import Iterator

from reader.law.case import Case
from reader.law.front_words import concerned
from reader.law.printed_panel import printed_panel
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import words_in
from reader.panel.standards import day_references
from reader.panel.values import SERVING, Panel
from reader.quantities import Interval, show
from reader.spans import Span
from reader.wording import say

_UNITS = re.compile(r"\D{0,12}?(\d{1,2})\s+([^\W\d_]+(?:\s+[^\W\d_]+){0,2})")  # "1 frank", "2 smoked links"
_NEAREST = 0.5  # units; a whole number this close is the nearest


def size(rule: Rule, case: Case) -> Ruling | None:
    """Whether a serving of so many `units` is the number the reference `amounts` ask for.

    From `large` to `whole` percent of the amount one unit is a serving; above `half`, one or two; below, the number
    that comes nearest. Where `names` are given, one of them stands on the front. Several amounts stand for states the
    label does not tell, such as raw and ready to eat. A pack for one may be one serving whatever is in it.
    """
    panel = printed_panel(case)
    if panel is None or panel.serving_span is None or not panel.serving_g:
        return None
    found = _UNITS.match(panel.serving_text)
    if found is None or words_in(found[2]).isdisjoint(words_in(" ".join(rule.words("units")))):
        return None
    if not concerned(rule, case):
        return None
    weight, count = panel.serving_weight(), int(found[1])
    if weight is None or not count:
        return None
    amounts = [float(amount) for amount in rule.words("amounts")]
    allowed = {_allowed(rule, amount, count, weight.times(1 / count)) for amount in amounts}
    several = (panel.servings_per_pack or 0) > 1 and not panel.problems
    if allowed == {True}:
        ruled, way = meets, "serving_meets"
    elif allowed == {False} and several:
        ruled, way = breaks, "serving_breaks"
    else:
        ruled, way = cannot_tell, "serving_open"
    asked = " / ".join(f"{show(amount)} g" for amount in amounts)
    return ruled(way, panel.serving_span, count=count, grams=show(panel.serving_g), amount=asked)


def _allowed(rule: Rule, amount: float, count: int, unit: Interval) -> bool | None:
    """Whether so many units are a serving; None where the rounding of the weight decides, or the way of eating."""
    light, heavy = (_allowed_of(rule, 100 * weight / amount, count) for weight in unit)
    return light if light == heavy else None


def _allowed_of(rule: Rule, percent: float, count: int) -> bool | None:
    """The same for one unit of so many percent of the amount."""
    if percent >= rule.number("whole"):
        return None
    if percent >= rule.number("large"):
        return count == 1
    if percent > rule.number("half"):
        return count in (1, 2)
    return True if abs(count - 100 / percent) <= _NEAREST else None


def threshold(rule: Rule, case: Case) -> Ruling | None:
    """Whether a printed serving reaches `percent` of a day of one of the `nutrients`. The amount the rule works on may
    be larger than the serving, and what stands on the front is not in the panel, so it stays open either way.
    """
    panel = printed_panel(case)
    if panel is None:
        return None
    shares = [share for nutrient in rule.words("nutrients") for share in _shares(panel, nutrient)]
    if not shares:
        return None
    percent, nutrient, span = max(shares, key=lambda share: share[0])
    limit = rule.number("percent")
    return cannot_tell(
        "threshold_reached" if percent >= limit else "threshold_open",
        span,
        found=Interval(percent, percent),
        name=say(f"nutrient_{nutrient}"),
        percent=show(percent, 0),
        limit=show(limit),
    )


def _shares(panel: Panel, nutrient: str) -> Iterator[tuple[float, str, Span | None]]:
    """Percent of a day in a serving: as printed, else worked out for the days that were seen somewhere."""
    printed = [(percent, nutrient, span) for name, percent, span in panel.daily_percents if name == nutrient]
    yield from printed
    serving = panel.column(SERVING)
    amount = serving.get(nutrient) if serving is not None else None
    if printed or amount is None:
        return
    for day in day_references(panel.market):
        if nutrient in day.values and day.status != "not verified":
            yield 100 * amount.printed / day.values[nutrient], nutrient, amount.span


JUDGES = {"front_threshold": threshold, "serving_size": size}
