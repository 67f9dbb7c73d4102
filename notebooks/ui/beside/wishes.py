"""What a visitor wants of a comparison, and the comparison as wanted. No widget here."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from reader.compare.measures import WORDS, measure
from reader.compare.pack import Pack
from reader.compare.ranking import LIKELY, Ranking, rank
from reader.compare.table import Comparison, compare, filtered, ordered

AS_THEY_CAME, BY_RANK = "", "rank"
ANY = ""


@dataclass(frozen=True, slots=True)
class Wishes:
    """weights, by: as in `rank`; no weight above 0, no ranking. order: AS_THEY_CAME, BY_RANK or a measure; falling: the
    highest first. only: the measure that packs are let through by, ANY for all; least, most, word: as in `filtered`.
    """

    weights: Mapping[str, float] = field(default_factory=dict)
    by: str = LIKELY
    order: str = AS_THEY_CAME
    falling: bool = True
    only: str = ANY
    least: float = -math.inf
    most: float = math.inf
    word: str = ""


def worked_out(packs: Sequence[Pack], wishes: Wishes) -> tuple[Comparison, Ranking | None]:
    """The comparison of 2 to 40 packs as wished, with the ranking of those let through. ValueError as in `compare`."""
    found = compare(packs)
    if _narrows(wishes):
        found = filtered(found, wishes.only, least=wishes.least, most=wishes.most, word=wishes.word)
    ranking = None
    if any(wishes.weights.values()) and found.lines:
        ranking = rank(found, wishes.weights, by=wishes.by)
    if wishes.order == BY_RANK:
        if ranking is not None:
            found = replace(found, lines=tuple(ranked.line for ranked in ranking.ranked))
    elif wishes.order != AS_THEY_CAME:
        found = ordered(found, wishes.order, falling=wishes.falling)
    return found, ranking


def _narrows(wishes: Wishes) -> bool:
    if wishes.only == ANY:
        return False
    if measure(wishes.only).kind == WORDS:
        return bool(wishes.word)
    return math.isfinite(wishes.least) or math.isfinite(wishes.most)
