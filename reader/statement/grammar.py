"""Ingredient statement → items with places. Knows grammar, not meaning: it asks no lexicon what a word is.

Grammar (blanks free; a case file row for each line stands in tests/cases/statement.yaml):

    statement  = part*
    part       = heading | label ":" | item | aside | separator
    item       = lead* words? marks? group* percent? note*        at least one of words, group
    group      = open (part)* close                               any bracket shape; see `brackets`
    percent    = number "%"                                       before or after the words, or alone in a group
    separator  = "," | ";" | "." | "•" | "|" | " - " | line break in a list without commas
    joiner     = "and" | "or" | "and/or" | "&"                    after a group; inside words it is left to `naming`;
                                                                  "of" or "or" right behind a clause is nothing
    label      = words ":"                                        names a section, a class or a mixture
    clause     = "contains 2 % or less of" and its like           holds to the end of its bracket or section
    casing     = "in a natural pork casing" and its like          an item of its own, wherever it stands
    note       = "to preserve freshness", "made from sugar"       ends with the item
    aside      = allergen line, "may contain", address, storage, cooking, process, claim, footnote

What it cannot place is an item like any other; nothing is dropped.
"""

from __future__ import annotations

from reader import wordforms
from reader.phrases import percent_of
from reader.problems import problem
from reader.quantities import Interval, as_printed
from reader.spans import Span
from reader.statement.brackets import STRAY
from reader.statement.items import Frame, Open
from reader.statement.set_phrases import PhraseReading
from reader.statement.tokens import CLOSE, COLON, MARK, NEWLINE, NUMBER, OPEN, PERCENT, SEPARATOR, STOP, WORD
from reader.statement.tree import Clause, Note, Statement

JOINERS = frozenset(("and", "or", "and/or", "or/and", "&", "/"))
_BEHIND_CLAUSE = frozenset(("of", "or"))  # "2 % or less or salt": all that a slip left of the clause
_FOOTNOTE_MARKS = frozenset("*†‡^§¹²³")
_LONGEST_CLAUSE = 16  # tokens of a clause before its colon
_AT_LEAST = frozenset(("min", "minimum", "least", "at", "from"))
_AT_MOST = frozenset(("max", "maximum", "most", "up", "to"))


def read_statement(clean: str, box: str = "statement") -> Statement:
    """The statement in a clean text (see `pasted`). Any text is read; what was odd is in `problems`."""
    return _Parser(clean, box).run()


class _Parser(PhraseReading):
    """The grammar: moves through the tokens and builds the items."""

    def run(self) -> Statement:
        i = 0
        while i < len(self.tokens):
            self.at = i
            i = self.step(i)
        while len(self.stack) > 1:
            self.close_frame(len(self.tokens) - 1)
        self.finish("")
        asides = (*self.asides, *self.frame.notes)
        return Statement(tuple(self.frame.items), asides, tuple(self.headings), tuple(self.links), tuple(self.problems))

    def step(self, i: int) -> int:
        token = self.tokens[i]
        kind = token.kind
        if kind in (WORD, NUMBER):
            return self.listed(i) or self.phrase(i) or self.word(i)
        if kind == SEPARATOR:
            self.finish(token.text)
        elif kind == STOP:
            self.finish(".")
            self.sentence = True
        elif kind == OPEN:
            self.open(i)
        elif kind == CLOSE:
            self.close(i)
        elif kind == COLON:
            self.label(i)
        elif kind == MARK:
            return self.mark(i)
        elif kind == NEWLINE:
            if self.by_line or token.text.count("\n") > 1 or self.opens_part(i + 1):
                self.finish(".")
            self.sentence = True
        elif token.text in JOINERS:
            return self.word(i)
        elif token.text == "<":
            return self.clause(i, "<") or i + 1
        return i + 1

    def word(self, i: int) -> int:
        token, now = self.tokens[i], self.frame.now
        lower = self.lower[token.start : token.end]
        if i == self.clause_end and lower in _BEHIND_CLAUSE:
            self.links.append(self.place(i, i + 1))
            self.clause_end += 1
            return i + 1
        if token.kind == NUMBER and i + 1 < len(self.tokens) and self.tokens[i + 1].kind == PERCENT:
            return self.percentage(i)
        if lower in JOINERS and (now.empty or now.closed or now.casing):
            if not now.empty:
                self.finish(lower)
            elif self.frame.items:
                now.joiner = lower
            self.links.append(self.place(i, i + 1))
            self.sentence = False
            return i + 1
        if now.closed or now.parts or now.casing:
            self.finish("missing")
            now = self.frame.now
        if not now.words:
            now.starts_sentence = now.starts_sentence or self.sentence
        now.add(token)
        self.sentence = False
        return i + 1

    def percentage(self, i: int) -> int:
        now, printed = self.frame.now, self.tokens[i].text
        after = i + 2
        true = as_printed(printed)
        hints = set()
        while now.words and self.lower[now.words[-1].start : now.words[-1].end] in _AT_LEAST | _AT_MOST:
            last = now.words.pop()
            self.links.append(Span(last.start, last.end, self.box))
            hints.add(self.lower[last.start : last.end])
        if after < len(self.tokens) and self.tokens[after].text.lower() in ("min", "minimum", "max", "maximum"):
            hints.add(self.tokens[after].text.lower())
            after += 1
        if i and self.tokens[i - 1].text == ">":
            hints.add("least")
        if hints & {"min", "minimum", "least"}:
            true = Interval(true.low, 100.0)
        elif hints:
            true = Interval(0.0, true.high)
        span = self.place(i, after)
        self.links.append(span)
        self.sentence = False
        if printed == "100" and now.empty:
            now.notes.append(Note("claim", span))
        elif now.percent is None:
            now.percent, now.percent_span = true, span
        now.touch(span.start, span.end)
        return after

    def mark(self, i: int) -> int:
        token, now = self.tokens[i], self.frame.now
        if not now.empty:
            now.marks += token.text
            now.touch(token.start, token.end)
            return i + 1
        follows_item = self.frame.items and self.frame.items[-1].span.end == token.start
        in_bracket = self.frame.opener >= 0 and not self.frame.items
        opens_note = token.text[0] in _FOOTNOTE_MARKS and self.sentence and not (in_bracket or follows_item)
        if not opens_note or self.colon_near(i):  # "#1 mustard seed"; "[*no nitrates added …]" tells itself what it is
            self.links.append(self.place(i, i + 1))
            return i + 1
        end = self.end(i + 1, "sentence")
        self.asides.append(Note("footnote", self.place(i, end)))
        return end

    def colon_near(self, i: int) -> bool:
        return any(t.kind == COLON for t in self.tokens[i + 1 : i + 7])

    def open(self, i: int) -> None:
        frame = self.frame
        if self.partner[i] == STRAY:
            self.finish(",")
            return
        frame.now.touch(self.tokens[i].start, self.tokens[i].end)
        limit = frame.clause if i == self.clause_end else None  # "less than 2 % (salt, spices)"
        self.stack.append(Frame(i, clause=limit))
        self.sentence = False

    def close(self, i: int) -> None:
        opener = self.partner[i]
        if opener == STRAY or all(f.opener != opener for f in self.stack[1:]):
            self.finish(",")
            return
        while self.frame.opener != opener:
            self.close_frame(i)
        self.close_frame(i)
        if self.frame.items and self.frame.now.empty and self.tokens[opener - 1].kind == SEPARATOR:
            told = self.frame.now.notes or self.frame.now.percent is not None
            if told:  # "spices, (to preserve freshness)" tells about the item before
                comma = Span(self.tokens[opener - 1].start, self.tokens[opener].end, self.box)
                self.problems.append(problem("stray_comma", comma))
        self.sentence = False

    def close_frame(self, i: int) -> None:
        self.finish("")
        inner = self.stack.pop()
        self.frame.now.take(inner, self.tokens[i].end)

    def label(self, i: int) -> None:
        frame, now = self.frame, self.frame.now
        if self.clause_label(i) or not now.words or now.casing or now.parts:
            return
        first = now.words[0].start
        if self.lower[now.words[-1].start : now.words[-1].end] == "added":  # "TURKEY FRANK, SMOKE FLAVOR ADDED:"
            while frame.items and not now.starts_sentence and not frame.items[-1].parts:
                before = frame.items.pop()
                first, now.starts_sentence = before.span.start, before.starts_sentence
        span = Span(first, now.words[-1].end, self.box)
        self.set_label(span, now.starts_sentence or (now.joiner == ";" and self.names_section(span)))

    def clause_label(self, i: int) -> bool:
        """Whether the words before a colon are a clause in a wording of their own, or the rest of one."""
        now, start = self.frame.now, self.tokens[self.began(i)].start
        found = self.book.clause_words.match(self.lower[start : self.tokens[i].start])
        behind = bool(now.words) and self.clause_end >= 0 and self.tokens[self.clause_end].start == now.words[0].start
        if behind and wordforms.word_key(self.lower[now.words[-1].start : now.words[-1].end]) in self.book.collectives:
            return False  # "contains 2 % or less of seasoning: salt, pepper"
        if found is None:  # "contains 2 % or less of the folowing:"
            if not behind or not self.leads_up(now):
                return False
            start = now.words[0].start
        while self.frame.items and self.frame.items[-1].span.start >= start:
            self.frame.items.pop()  # "two percent (2 %) or less of:" was taken for items
        now.words = [word for word in now.words if word.start < start]
        if now.words:
            self.finish(",")
        self.frame.notes += self.frame.now.notes
        self.links.append(Span(start, self.tokens[i].end, self.box))
        self.frame.now = Open(joiner=",")
        if found is not None:
            self.frame.clause = Clause(percent_of(found), Span(start, self.tokens[i].end, self.box))
        self.clause_end = i + 1
        return True

    def began(self, i: int) -> int:
        """The token behind the last separator before token `i`, in the same bracket and not far off."""
        first = i
        while first > 0 and i - first < _LONGEST_CLAUSE:
            before = self.tokens[first - 1]
            if before.kind in (SEPARATOR, STOP, COLON) or (before.kind == OPEN and self.partner[first - 1] > i):
                break
            first -= 1
        return first

    def names_section(self, span: Span) -> bool:
        """Whether a label names a food of the pack, such as a sauce or batter."""
        words = self.lower[span.start : span.end].split()
        return any(wordforms.word_key(w) in self.book.section_kinds for w in words)

    def listed(self, i: int) -> int:
        """ "2." in a numbered list is a separator."""
        after = self.tokens[i + 1] if i + 1 < len(self.tokens) else None
        if not self.numbered or after is None or self.tokens[i].kind != NUMBER:
            return 0
        if after.kind != STOP and after.text != ")":
            return 0
        self.finish(",")
        self.links.append(self.place(i, i + 2))
        return i + 2
