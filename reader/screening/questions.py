"""What is to ask of a screened product: the questions of its verdicts, or for the label where nothing was read."""

from __future__ import annotations

from reader.house.values import ASK, FAILS, Specification, Verdict
from reader.screening.values import Screened
from reader.wording import say


def verdicts_of(row: Screened, specification: Specification) -> tuple[Verdict, ...]:
    """The verdicts of a row, one for each requirement; where nothing was read, each asks for the label."""
    if row.read:
        return row.verdicts
    because, question = " ".join(row.problems), say("house_list_unread_question")
    return tuple(Verdict(requirement.kind, ASK, because, question) for requirement in specification.requirements)


def is_asked(row: Screened) -> bool:
    """Whether its supplier is asked: something is open, and no must is failed, which no answer would mend."""
    return row.tally.standing != FAILS and bool(row.tally.musts_asked or row.tally.preferences_asked)
