"""A share of the make-up against a limit of a rule. It is beyond it only where the whole possible range lies there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reader.law.case import Case
from reader.law.values import TINY, Ruling, breaks, cannot_tell, meets
from reader.makeup.values import Share
from reader.quantities import Interval, show


def up_to(key: str, share: Share, limit: Interval, told: Mapping[str, Any]) -> Ruling:
    """What a share comes to that may be at most a limit, which may be a range itself; `told` goes into the sentences of
    the key.
    """
    found = share.possible
    if found.high <= limit.low + TINY:
        return meets(f"{key}_meets", *(r.span for r in share.high_because), found=found, **told)
    if found.low > limit.high + TINY:
        return breaks(f"{key}_breaks", *(r.span for r in share.low_because), found=found, **told)
    return cannot_tell(f"{key}_open", found=found, **told)


def reaching(share: Share, least: float, *, may_meet: bool = True) -> Ruling:
    """What a share comes to that must be at least so many percent."""
    found, told = share.possible, range_told(share.possible, least)
    if found.high < least - TINY:
        return breaks("at_least_breaks", *(r.span for r in share.high_because), found=found, **told)
    if may_meet and found.low >= least - TINY:
        return meets("at_least_meets", *(r.span for r in share.low_because), found=found, **told)
    return cannot_tell("at_least_open", found=found, **told)


def unworked(case: Case) -> Ruling:
    """What is left where nothing is known of a quantity."""
    return cannot_tell("contradiction" if case.makeup.clash else "not_worked_out")


def range_told(possible: Interval, limit: float) -> dict[str, Any]:
    """A range and its limit, in percent, for a sentence."""
    least = max(0.0, possible.low)  # lean meat holds less water than the formula of added water grants it
    return {"low": show(least), "high": show(possible.high), "limit": show(limit, 2)}
