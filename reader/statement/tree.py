"""What a read statement is made of: items in a tree, notes and asides beside them. Plain frozen values."""

from __future__ import annotations

from dataclasses import dataclass

from reader.problems import Problem
from reader.quantities import Interval
from reader.spans import Span


@dataclass(frozen=True, slots=True)
class Clause:
    """ "Contains 2 % or less of": every item under it is at most `percent` of the whole."""

    percent: float
    span: Span


@dataclass(frozen=True, slots=True)
class Note:
    """Words beside an item or the list that are no ingredient; `kind` as in lexicon/phrases.yaml.

    `value` and `words` hold the number and the ingredient of "made with 120 g pork per 100 g"; `smoke` what a
    process note says about smoking.
    """

    kind: str
    span: Span
    value: float = 0.0
    words: Span | None = None
    smoke: str = ""


@dataclass(frozen=True, slots=True)
class Item:
    """What stands between two separators. `name` is None for a bracket without a name."""

    span: Span
    name: Span | None
    parts: tuple[Item, ...] = ()
    joiner: str = ""  # how it follows the item before: "," "." "and" "or" "and/or", "missing" if nothing stood there
    percent: Interval | None = None  # declared share of the whole, in percent
    percent_span: Span | None = None
    clause: Clause | None = None
    label: Span | None = None  # the words before a colon that opened this item
    starts_sentence: bool = False
    marks: str = ""  # footnote marks as printed
    notes: tuple[Note, ...] = ()
    casing: bool = False


@dataclass(frozen=True, slots=True)
class Statement:
    """A whole pasted statement: items in order, what stands beside them, what was odd."""

    items: tuple[Item, ...]
    asides: tuple[Note, ...]
    headings: tuple[Span, ...]
    links: tuple[Span, ...]  # words that only connect: "and", "contains", clauses, lone percentages
    problems: tuple[Problem, ...]
