"""A screened product in words, alike in every file: where it stands, its place, its verdicts, where its row stood."""

from __future__ import annotations

from reader.house.kinds import LIMIT, MONEY, kinds
from reader.house.standing import Placed
from reader.house.told import number, requirement_told
from reader.house.values import ASK, FAILS, VERDICTS, Requirement, Specification
from reader.screening.values import Screened
from reader.wording import say

NOT_READ = "unread"
_HEADING = 40  # characters of what a requirement takes in a heading
STANDINGS = (*VERDICTS, NOT_READ)


def standing_of(row: Screened) -> str:
    """One of STANDINGS: what its musts come to, or that nothing could be read."""
    return row.tally.standing if row.read else NOT_READ


def standing_told(standing: str) -> str:
    """A standing in a few words: "meets every must"."""
    return say(f"screened_standing_{standing}")


def verdict_told(verdict: str) -> str:
    """A verdict in one word; what stands in a sheet, and what a buyer may write instead."""
    return say(f"screened_verdict_{verdict}")


def asked_told(requirement: Requirement) -> str:
    """A requirement with how it counts: "must: sodium at most 900 mg in 100 g"."""
    return say("screened_must" if requirement.must else "screened_prefer", fact=requirement_told(requirement))


def heading_of(requirement: Requirement) -> str:
    """A requirement as the heading of a narrow column: "must: Binders and fillers (6 %)"."""
    kind = kinds()[requirement.kind]
    takes = " ".join((number(requirement.limit), kind.unit)) if kind.takes == LIMIT else ""
    if kind.takes == MONEY:
        takes = number(requirement.limit)
    takes = " ".join(filter(None, (takes, ", ".join(requirement.words))))
    if len(takes) > _HEADING:
        takes = takes[:_HEADING].rsplit(None, 1)[0] + " …"
    return say("screened_must" if requirement.must else "screened_prefer", fact=f"{kind.title} ({takes})")


def place_told(placed: Placed) -> str:
    """The places a product can have among those of its standing: "1" or "1–3"."""
    best, worst = f"{placed.best:,}", f"{placed.worst:,}"
    return best if best == worst else say("compare_between", low=best, high=worst)


def name_told(row: Screened) -> str:
    """What a product is called; rows without a name by where they stood."""
    return " ".join(row.name.split()) or " ".join(row.code.split()) or say("letter_unnamed", number=row.number)


def where_told(row: Screened) -> str:
    """Where its row stood."""
    key = "screened_where_sheet" if row.sheet else "screened_where"
    return say(key, file=row.file or say("catalogue_pasted"), sheet=row.sheet, row=row.row)


def in_short(row: Screened, specification: Specification) -> str:
    """Which requirements it fails and which it leaves open, by their titles; the musts first."""
    if not row.read:
        return ""
    parts = []
    for must in (True, False):
        for verdict in (FAILS, ASK):
            names = [
                kinds()[r.kind].title
                for r, v in zip(specification.requirements, row.verdicts, strict=True)
                if r.must is must and v.verdict == verdict
            ]
            if names:
                how = "must" if must else "prefer"
                parts.append(say(f"screened_short_{verdict}_{how}", names="; ".join(names)))
    return " ".join(parts) or say("screened_short_meets")
