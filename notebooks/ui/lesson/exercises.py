"""Questions, answers and what is said to them. No widget, no food: what is right a question asks the reader."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from reader.quantities import NUMBER, number
from reader.wording import say

RIGHT, NOT_YET, NOT_ANSWERED, NOT_UNDERSTOOD = "right", "not yet", "not answered", "not understood"
YES, NO = "yes", "no"


@dataclass(frozen=True, slots=True)
class Remark:
    """What is said to one answer: RIGHT, NOT_YET, NOT_ANSWERED or NOT_UNDERSTOOD, and why in words."""

    verdict: str
    says: str


Judge = Callable[[str], Remark]


@dataclass(frozen=True, slots=True)
class Question:
    """One question. options: the answers to choose from, () where one is written; judge: gets a written or chosen
    answer that is not empty.
    """

    id: str
    asks: str
    judge: Judge
    options: tuple[str, ...] = ()

    def remark(self, answer: object) -> Remark:
        """What is said to an answer; None and blanks are no answer yet."""
        given = " ".join(str("" if answer is None else answer).split())
        if not given:
            return Remark(NOT_ANSWERED, say("lesson_not_answered"))
        if not self.options:
            return self.judge(given)
        chosen = next((o for o in self.options if o.casefold() == given.casefold()), None)
        if chosen is None:
            return Remark(NOT_UNDERSTOOD, say("lesson_no_choice", words=given, names=", ".join(self.options)))
        return self.judge(chosen)


@dataclass(frozen=True, slots=True)
class Exercise:
    """Questions that are answered and checked together."""

    questions: tuple[Question, ...]

    def check(self, answers: Mapping[str, object]) -> dict[str, Remark]:
        """A remark for each question, by its id. Raises ValueError if an answer belongs to no question."""
        known = [q.id for q in self.questions]
        lost = [a for a in answers if a not in known]
        if lost:
            raise ValueError(f"There is no question {', '.join(lost)} here; there are {', '.join(known)}.")
        return {q.id: q.remark(answers.get(q.id)) for q in self.questions}


def overall(remarks: Mapping[str, Remark]) -> str:
    """How far one is, in a sentence or two."""
    verdicts = [remark.verdict for remark in remarks.values()]
    told = say("lesson_overall", count=verdicts.count(RIGHT), all=len(verdicts))
    still_open = verdicts.count(NOT_ANSWERED)
    return f"{told} {say('lesson_overall_open', count=still_open)}" if still_open else told


def right(key: str, **values: object) -> Remark:
    """The answer is right; `key` names the sentence that says why."""
    return Remark(RIGHT, say(f"lesson_{key}", **values))


def not_yet(key: str, **values: object) -> Remark:
    """The answer is not right yet; `key` names the sentence that says why."""
    return Remark(NOT_YET, say(f"lesson_{key}", **values))


def numeric(judge: Callable[[float], Remark], unit: str) -> Judge:
    """A judge of a number that may have its unit behind it."""
    form = re.compile(rf"({NUMBER})\s*(?:{re.escape(unit)})?", re.I)

    def judged(given: str) -> Remark:
        found = form.fullmatch(given)
        if found is None:
            return Remark(NOT_UNDERSTOOD, say("lesson_no_number", words=given, unit=unit))
        return judge(number(found[1]))

    return judged
