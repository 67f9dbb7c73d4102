"""Coverage, width and error of likely ranges on generated labels."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from math import inf
from statistics import mean, median

from scipy.stats import binom

from reader.makeup import settings
from reader.makeup.values import MakeUp
from tests.estimate.crew import Choices, on_all_cores
from tests.estimate.labels import Label
from tests.estimate.measure import Reading, told

_CERTAIN = 1e-6  # points of the possible range


@contextmanager
def every_middle() -> Iterator[tuple[float, float]]:
    """Middles printed for every label meanwhile; gives the widths beyond which none would be."""
    beyond = settings.raw()["no_middle_beyond"]
    kept = dict(beyond)
    beyond.update(possible=inf, likely=inf)
    try:
        yield float(kept["possible"]), float(kept["likely"])
    finally:
        beyond.update(kept)


@dataclass(frozen=True, slots=True)
class Estimates:
    """Readings with likely ranges and middles, and which of the middles a user would see."""

    every: tuple[Reading, ...]
    beyond: tuple[float, float]

    def of(self, kind: str) -> Estimates:
        """Those of one target ("every ingredient" for all of them)."""
        return Estimates(tuple(r for r in self.every if r.kind == kind), self.beyond)

    @property
    def kinds(self) -> list[str]:
        return list(dict.fromkeys(r.kind for r in self.every))

    @property
    def held(self) -> int:
        return sum(r.likely for r in self.every)

    @property
    def coverage(self) -> float:
        return self.held / len(self.every) if self.every else float("nan")

    @property
    def width(self) -> float:
        return mean(_width(r.share.likely) for r in self.every)

    @property
    def possible_width(self) -> float:
        return mean(_width(r.share.possible) for r in self.every)

    def error(self, printed_only: bool = False) -> float:
        """Median absolute error of the middle, in points."""
        return median(
            [abs(r.share.middle - r.truth) for r in self.every if not printed_only or self._printed(r)]
            or [float("nan")]
        )  # type: ignore[operator]

    def bias(self) -> float:
        """Mean of middle less truth, in points."""
        return mean(r.share.middle - r.truth for r in self.every)  # type: ignore[operator]

    def printed(self) -> int:
        """For how many a middle would be printed."""
        return sum(map(self._printed, self.every))

    def _printed(self, r: Reading) -> bool:
        return not (_width(r.share.possible) > self.beyond[0] and _width(r.share.likely) > self.beyond[1])


def _width(interval: object) -> float:
    low, high = interval  # type: ignore[misc]
    return float(high - low)


def estimates(labels: list[Label], **choices: str) -> Estimates:
    """The labels read to the end, on all cores; those that clash are left out (there are none where the code is right)."""
    read = on_all_cores(_to_the_end, labels, choices)
    every = tuple(
        r for label, makeup in zip(labels, read, strict=True) if not makeup.clash for r in told(label, makeup)
    )
    with every_middle() as beyond:
        return Estimates(tuple(filter(_estimated, every)), beyond)


def _to_the_end(label: Label, choices: Choices) -> MakeUp:
    with every_middle():
        return label.read("likely", **choices).makeup


def _estimated(r: Reading) -> bool:
    """Traces are not estimated; what is certain ("all meat is beef") needs no estimate, and would raise every coverage."""
    return r.share.likely is not None and _width(r.share.possible) > _CERTAIN


def pooled(several: Sequence[Estimates]) -> Estimates:
    """Estimates of several samples as one."""
    return Estimates(tuple(r for one in several for r in one.every), several[0].beyond)


def too_rare(held: int, of: int, least: float) -> float:
    """How probable so few hits or fewer are if each has the probability `least` (exact binomial)."""
    return float(binom.cdf(held, of, least))


def too_often(held: int, of: int, most: float) -> float:
    """How probable so many hits or more are if each has the probability `most`."""
    return float(binom.sf(held - 1, of, most))
