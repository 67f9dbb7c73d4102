"""How a screened list came about, in words: what was asked, how it was read, what verdicts mean, what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from reader import tables
from reader.house.values import ASK, FAILS, VERDICTS
from reader.screening.fields import QUESTION, Field
from reader.screening.told import asked_told, verdict_told
from reader.screening.values import Screening
from reader.wording import say

ASKED, RUN, VERDICTS_TOLD, MARKS, COLUMNS, CAUTIONS, SOURCES = (
    "asked", "run", "verdicts", "marks", "columns", "cautions", "sources",
)  # fmt: skip
_FILES = 20  # house: named in one sentence
_FOR_ANY_SAUSAGE = ("always", "sausage")  # conditions of lexicon/advice.yaml that hold without looking at a label


class Note(NamedTuple):
    """Something said of the whole list. topic: one of those above. what: of what. says: in whole sentences."""

    topic: str
    what: str
    says: str


def topic_told(topic: str) -> str:
    """The heading of a topic."""
    return say(f"screened_topic_{topic}")


def about(screening: Screening) -> tuple[Note, ...]:
    """What concerns every file made of the list, topic by topic, without the sources."""
    return (*_asked(screening), *_run(screening), *_verdicts(), *_cautions(screening.terms.market))


def _asked(screening: Screening) -> Iterator[Note]:
    yield Note(ASKED, say("screened_what_title"), screening.specification.title)
    for requirement, counts in zip(screening.specification.requirements, screening.counts, strict=True):
        meets, asked, fails = (counts.get(verdict, 0) for verdict in VERDICTS)
        says = say("screened_what_counts", meets=meets, count=asked, breaks=fails)
        yield Note(ASKED, asked_told(requirement), says)


def _run(screening: Screening) -> Iterator[Note]:
    terms = screening.terms
    rows = [say("screened_rows", count=f"{screening.count:,}", all=f"{screening.whole:,}")]
    rows += [say("screened_rows_unread", number=f"{screening.failed:,}")] if screening.failed else []
    rows += [] if screening.finished else [say("screened_rows_open")]
    yield Note(RUN, say("screened_what_files"), say("screened_files", names=_files(screening)))
    yield Note(RUN, say("screened_what_rows"), " ".join(rows))
    market = say("screened_market", market=say(f"page_market_{terms.market}"))
    yield Note(RUN, say("screened_what_market"), market)
    yield Note(RUN, say("screened_what_depth"), say(f"screened_depth_{terms.depth}"))
    day = say("screened_day_none") if terms.on is None else say("screened_day", date=terms.on.isoformat())
    yield Note(RUN, say("screened_what_day"), day)
    yield Note(RUN, say("screened_what_shares"), say("screened_shares"))


def _files(screening: Screening) -> str:
    """The files the rows came from, the first of many."""
    names = list(
        dict.fromkeys(sheet.file or say("catalogue_pasted") for sheet in screening.sheets if not sheet.left_out)
    )
    listed = ", ".join(names[:_FILES])
    return listed if len(names) <= _FILES else say("screened_files_more", names=listed, count=len(names) - _FILES)


def _verdicts() -> Iterator[Note]:
    for verdict in VERDICTS:
        yield Note(VERDICTS_TOLD, verdict_told(verdict), say(f"screened_verdicts_{verdict}"))
    yield Note(VERDICTS_TOLD, say("screened_what_places"), say("screened_places"))


def _cautions(market: str) -> Iterator[Note]:
    yield Note(CAUTIONS, say("screened_what_allergens"), say("screened_allergens"))
    yield Note(CAUTIONS, say("screened_what_rules"), say("finding_not_advice"))
    for caution in tables.load_raw()["advice"]["cautions"]:
        if caution["when"] in _FOR_ANY_SAUSAGE and caution.get("market", market) == market:
            yield Note(CAUTIONS, say("screened_what_caution"), caution["says"])


def about_sheets(fields: Sequence[Field], own: str) -> Iterator[Note]:
    """What concerns the workbook only: marks, limits, columns; `own` is the heading of the suppliers' columns."""
    marks = say("screened_marks", first=verdict_told(FAILS), last=verdict_told(ASK))
    yield Note(MARKS, say("screened_what_marks"), marks)
    yield Note(MARKS, say("screened_what_standing"), say("screened_marks_standing"))
    yield Note(MARKS, say("screened_what_questions"), say("screened_questions_say"))
    yield Note(MARKS, say("screened_what_full"), say("screened_limits"))
    for field in fields:
        if field.part != QUESTION:
            yield Note(COLUMNS, field.heading, field.meaning)
    yield Note(COLUMNS, own, say("screened_mean_own", name=own))


def sources() -> Iterator[Note]:
    """Every document the readings may rest on, with what is known of it and whether it was read."""
    for source in tables.load_raw()["sources"]:
        where = "; ".join(source[key] for key in ("publisher", "version") if source[key] != "none")
        status = say(f"page_source_{source['status'].replace(' ', '_')}")
        yield Note(SOURCES, source["title"], say("screened_source", names=where, status=status))
