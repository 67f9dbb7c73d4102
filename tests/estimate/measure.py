"""Labels read back and compared with their truth."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from reader.makeup.values import MakeUp, Share
from tests.estimate.labels import Label

_ARITHMETIC = 1e-4  # percent or mg; shares are told to six places and solved to 1e-6 of their size


@dataclass(frozen=True, slots=True)
class Reading:
    """One target of one label: what is true, and what was read."""

    label: Label
    target: str
    truth: float
    share: Share

    @property
    def possible(self) -> bool:
        """Whether the truth is inside what is possible."""
        low, high = self.share.possible
        slack = _ARITHMETIC * max(1.0, abs(self.truth) / 100)
        return low - slack <= self.truth <= high + slack

    @property
    def likely(self) -> bool:
        assert self.share.likely is not None
        return self.share.likely.low - 1e-9 <= self.truth <= self.share.likely.high + 1e-9

    @property
    def kind(self) -> str:
        """The target, with all ingredients taken together."""
        return "every ingredient" if self.target.startswith("ingredient ") else self.target


def shares(makeup: MakeUp) -> dict[str, Share]:
    """Every share by the name its truth has."""
    found = dict(makeup.groups)
    found |= {f"ingredient {k}": share for k, share in enumerate(makeup.ingredients)}
    found |= {f"sodium {source}": share for source, share in makeup.sodium}
    if makeup.worth is not None:
        found["worth"] = makeup.worth
    return found


def readings(label: Label, makeup: MakeUp) -> list[Reading]:
    """Every target of a label. Raises AssertionError where a target that is there is not told of (order alone tells of
    a few only).
    """
    truth, found = label.recipe.truth(), shares(makeup)
    missing = [t for t, value in truth.items() if t not in found and value > 1e-9]
    assert not missing or makeup.depth == "order", (missing, label.statement)
    return [Reading(label, t, truth[t], share) for t, share in found.items() if t in truth]


def told(label: Label, makeup: MakeUp) -> list[Reading]:
    """The targets that are there at all: a group nothing of which is on the list says nothing of the estimate."""
    return [r for r in readings(label, makeup) if any(r.share.possible) or r.truth > 0]


def share_of(found: Iterable[bool]) -> float:
    """The share that is true."""
    every = list(found)
    return sum(every) / len(every) if every else float("nan")
