"""The statement understood: ingredients in a tree, by section. Plain frozen values."""

from __future__ import annotations

from dataclasses import dataclass

from reader.naming.words import Match
from reader.problems import Problem
from reader.quantities import Interval
from reader.spans import Span
from reader.statement.tree import Clause, Note
from reader.tables import Entry


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One term of the list as we understand it. `span` is the printed name, `whole` its bracket and notes too."""

    printed: str
    span: Span
    whole: Span
    match: Match
    role: str  # a role of lexicon/roles.yaml; "unknown" if the words are not understood; "class" for a bare class word
    parts: tuple[Ingredient, ...] = ()
    joiner: str = ""
    percent: Interval | None = None
    percent_span: Span | None = None
    clause: Clause | None = None
    class_word: str = ""
    notes: tuple[Note, ...] = ()
    marks: str = ""
    named_allergens: tuple[str, ...] = ()  # named in a note beside it: "whey (from milk)"

    @property
    def entry(self) -> Entry | None:
        """The lexicon entry, if the words are understood."""
        return self.match.entry

    @property
    def kind(self) -> str:
        """The entry's kind within its role, "" if it has none."""
        return self.match.entry.kind if self.match.entry else ""


@dataclass(frozen=True, slots=True)
class Section:
    """The list of one food of the pack. `label` is its heading as printed, "" if there is none."""

    label: str
    span: Span | None
    kind: str  # "main", or a kind of lexicon/phrases.yaml section_kinds
    ingredients: tuple[Ingredient, ...]


@dataclass(frozen=True, slots=True)
class IngredientList:
    """The statement understood: sections in printed order, what stands beside them, what was odd."""

    sections: tuple[Section, ...]
    asides: tuple[Note, ...]
    headings: tuple[Span, ...]
    links: tuple[Span, ...]  # words that only connect: "and", "contains", clauses
    problems: tuple[Problem, ...]
