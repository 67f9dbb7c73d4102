"""Where the reading of a statement stands: tokens, open brackets, the item being read, and how far a phrase runs."""

from __future__ import annotations

import re

from reader import wordforms
from reader.phrases import book
from reader.problems import Problem
from reader.spans import Span
from reader.statement.brackets import pair
from reader.statement.items import Frame, Open
from reader.statement.tokens import CLOSE, COLON, NEWLINE, OPEN, SEPARATOR, STOP, WORD, tokenize
from reader.statement.tree import Note

_NUMBERED = re.compile(r"(?:^|\s)(\d{1,2})[.)]\s+(?=[^\W\d_])")  # "1. Pork 2. Water 3. Salt"
_ITEM_ENDS = frozenset((SEPARATOR, STOP, CLOSE, OPEN))


def lowered(clean: str) -> str:
    """Lower case of the same length, so that places stay true."""
    lower = clean.lower()
    return lower if len(lower) == len(clean) else "".join(c.lower() if len(c.lower()) == 1 else c for c in clean)


class Reading:
    """A statement while it is read. `statement` moves it on, `statement_phrases` knows the set phrases."""

    def __init__(self, clean: str, box: str) -> None:
        self.clean = clean
        self.lower = lowered(clean)
        self.box = box
        self.tokens = tokenize(clean)
        self.partner, found = pair(self.tokens)
        self.problems: list[Problem] = list(found)
        self.asides: list[Note] = []
        self.headings: list[Span] = []
        self.links: list[Span] = []
        self.stack = [Frame(-1)]
        self.sentence = True  # nothing but blanks since a full stop, a line break or the start
        self.book = book()
        self.has_casing = self.book.casing.may_stand_in(self.lower)
        self.at = 0  # the token being read
        self.since = 0  # the token behind the last item: where the item being read began
        self.numbered = [int(n) for n in _NUMBERED.findall(clean)][:3] == [1, 2, 3]
        self.clause_end = -1  # the token behind the last clause: a bracket there holds what the clause limits
        kinds = {t.kind for t in self.tokens}
        self.by_line = NEWLINE in kinds and SEPARATOR not in kinds

    def place(self, first: int, after: int) -> Span:
        """The place from token `first` up to, without, token `after`."""
        return Span(self.tokens[first].start, self.tokens[after - 1].end, self.box)

    def after(self, position: int, i: int) -> int:
        """The first token at or behind a character position, searched from token `i` on."""
        while i < len(self.tokens) and self.tokens[i].start < position:
            i += 1
        return i

    @property
    def frame(self) -> Frame:
        return self.stack[-1]

    def finish(self, joiner: str) -> None:
        """Close the item being read, if there is one; the next one will follow by `joiner`."""
        frame = self.frame
        if frame.now.empty:
            now, lone = frame.now, frame.now.percent is not None and frame.now.label is None
            if lone and (not frame.items or frame.opener >= 0):  # "(80 %)", "(British, 80 %)": the bracket's owner's
                frame.percent, frame.percent_span, lone = now.percent, now.percent_span, False
            lone = lone and now.joiner == ","
            if frame.items and (now.notes or lone):  # set off by a comma they belong to the item before it
                frame.amend_last(now.notes, now.percent if lone else None, now.percent_span if lone else None)
            elif frame.now.notes:
                frame.notes.extend(frame.now.notes)
            if frame.now.label is not None:  # "Pork: 60 %,": what looked like a label is the item
                frame.now.words, frame.now.label = frame.now.label_words, None
                self.finish(joiner)
                return
            frame.now = Open(joiner=joiner or frame.now.joiner)
            return
        frame.items.append(frame.now.frozen(frame.clause, self.box))
        frame.now = Open(joiner=joiner)
        self.since = self.at + 1

    def end(self, i: int, until: str) -> int:
        """The token after the last one of a phrase that runs on from token `i` as `until` says."""
        if until == "phrase":
            return i
        while i < len(self.tokens):
            kind = self.tokens[i].kind
            if until == "item":
                stops = kind in _ITEM_ENDS or kind == COLON or (kind == NEWLINE and self.by_line)
            elif until == "note":
                stops = kind in (OPEN, CLOSE, STOP) or (
                    kind == SEPARATOR and not self.followed_by(i, ("except", "other", "or"))
                )
            elif until == "text":
                stops = kind == WORD and self.word_at(i) in ("ingredients", "contains")
            elif kind == OPEN and self.partner[i] > i:
                i = self.partner[i]
                stops = False
            else:
                stops = self.ends_sentence(i, kind) or (
                    until == "sentence_or_bracket" and self.frame.opener < 0 and kind == SEPARATOR
                )
            if stops:
                return i
            i += 1
        return i

    def word_at(self, i: int) -> str:
        """A token in lower case."""
        return self.lower[self.tokens[i].start : self.tokens[i].end]

    def ends_item(self, i: int) -> bool:
        return i >= len(self.tokens) or self.tokens[i].kind in (SEPARATOR, STOP, CLOSE, NEWLINE)

    def ends_sentence(self, i: int, kind: str) -> bool:
        if kind == NEWLINE:
            return (
                self.tokens[i - 1].kind != SEPARATOR
                and not self.clean[self.tokens[i].end : self.tokens[i].end + 1].islower()
            )
        return kind == STOP or (kind == CLOSE and self.partner[i] == self.frame.opener)

    def followed_by(self, i: int, words: tuple[str, ...]) -> bool:
        return i + 1 < len(self.tokens) and self.tokens[i + 1].text.lower() in words

    def set_label(self, span: Span, starts_sentence: bool) -> None:
        frame = self.frame
        if frame.now.label is not None:
            frame.notes.append(Note("remark", frame.now.label))
        frame.notes.extend(frame.now.notes)
        words = list(frame.now.words)
        key = wordforms.key(self.lower[span.start : span.end])
        if starts_sentence and key not in self.book.class_words and key not in self.book.collectives:
            frame.clause = None  # a new section begins
        frame.now = Open(joiner=frame.now.joiner, label=span, label_words=words, starts_sentence=starts_sentence)
        frame.now.touch(span.start, span.end)
