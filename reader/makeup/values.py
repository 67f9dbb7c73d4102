"""The make-up of a sausage as shares: what is possible and, where known, what is likely.

This is the seam between what a label says and everything that reasons about shares: scores, report and charts see
only these values. `shares` fills them from order, clause and declared percentages by interval arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass

from reader.quantities import Interval
from reader.spans import Span

GROUPS = ("meat", "binders", "added_water", "sweeteners", "salt")


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a bound is what it is: a sentence key of lexicon/wording/ with its values, the place, the source."""

    key: str
    values: tuple[tuple[str, str], ...] = ()
    span: Span | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """A share of the whole in percent. `possible` always holds the truth if the label is consistent."""

    possible: Interval
    likely: Interval | None = None
    middle: float | None = None
    because: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class MakeUp:
    """Shares by group and by place in the list.

    groups: meat (all animal tissue), binders (what `scoring.yaml` counts as filler), added_water, sweeteners, salt.
    ingredients: one share per top-level ingredient of the sausage's own list, in printed order.
    worth: how far the animal tissue is named muscle meat, 0–1; None without animal tissue.
    """

    groups: tuple[tuple[str, Share], ...]
    ingredients: tuple[Share, ...]
    worth: Interval | None = None

    def group(self, name: str) -> Share | None:
        """The share of a group, None if the label names nothing of it."""
        return dict(self.groups).get(name)
