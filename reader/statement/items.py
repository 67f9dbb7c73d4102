"""Items while they are being read: the open item and the open bracket of the statement grammar."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from reader.quantities import Interval
from reader.spans import Span
from reader.statement.tokens import Token
from reader.statement.tree import Clause, Item, Note


@dataclass(slots=True)
class Open:
    """An item that is still being read."""

    words: list[Token] = field(default_factory=list)
    parts: list[Item] = field(default_factory=list)
    start: int = -1
    end: int = -1
    joiner: str = ""
    percent: Interval | None = None
    percent_span: Span | None = None
    own_clause: Clause | None = None
    label: Span | None = None
    label_words: list[Token] = field(default_factory=list)
    starts_sentence: bool = False
    marks: str = ""
    notes: list[Note] = field(default_factory=list)
    casing: bool = False
    closed: bool = False  # a bracket has closed behind the words: what follows is another item

    @property
    def empty(self) -> bool:
        """Whether nothing of an item stands here yet; a lone percentage or note is no item."""
        return not (self.words or self.parts)

    @property
    def bare(self) -> bool:
        """Whether an item may still begin here."""
        return not (self.words or self.parts or self.notes)

    def touch(self, start: int, end: int) -> None:
        """Let the item reach over a place."""
        if self.start < 0 or start < self.start:
            self.start = start
        if end > self.end:
            self.end = end

    def add(self, token: Token) -> None:
        """One more word of the name."""
        self.words.append(token)
        self.touch(token.start, token.end)

    def take(self, inner: Frame, end: int) -> None:
        """A bracket has closed behind the words: its items, or its lone percentage, limit and notes."""
        self.parts.extend(inner.items)
        self.notes.extend(inner.notes)
        if inner.percent is not None and self.percent is None:
            self.percent, self.percent_span = inner.percent, inner.percent_span
        if inner.clause is not None and not inner.items:
            self.own_clause = inner.clause
        self.closed = bool(self.words)
        self.touch(end, end)

    def frozen(self, clause: Clause | None, box: str) -> Item:
        """The finished item."""
        name = Span(self.words[0].start, self.words[-1].end, box) if self.words else None
        return Item(
            span=Span(self.start, self.end, box),
            name=name,
            parts=tuple(self.parts),
            joiner=self.joiner,
            percent=self.percent,
            percent_span=self.percent_span,
            clause=self.own_clause or clause,
            label=self.label,
            starts_sentence=self.starts_sentence,
            marks=self.marks,
            notes=tuple(self.notes),
            casing=self.casing,
        )


@dataclass(slots=True)
class Frame:
    """One open bracket (its token index), or the statement itself (-1)."""

    opener: int
    items: list[Item] = field(default_factory=list)
    now: Open = field(default_factory=Open)
    clause: Clause | None = None
    notes: list[Note] = field(default_factory=list)
    percent: Interval | None = None  # a lone percentage, for the item before the bracket
    percent_span: Span | None = None

    @property
    def fresh(self) -> bool:
        """Whether nothing was read since the bracket opened."""
        return self.opener >= 0 and not self.items and self.now.bare

    def amend_last(self, notes: list[Note], percent: Interval | None, percent_span: Span | None) -> None:
        """Give notes and a percentage that a comma set off to the item before them."""
        last = self.items[-1]
        if percent is None or last.percent is not None:
            percent, percent_span = last.percent, last.percent_span
        end = max([last.span.end, *(n.span.end for n in notes), percent_span.end if percent_span else 0])
        self.items[-1] = replace(
            last,
            span=last.span._replace(end=end),
            notes=(*last.notes, *notes),
            percent=percent,
            percent_span=percent_span,
        )
