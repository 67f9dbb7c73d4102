"""Ingredient statement → items with places. Knows grammar, not meaning: it asks no lexicon what a word is.

Grammar (blanks free; a case file row for each line stands in tests/cases/statement.yaml):

    statement  = part*
    part       = heading | label ":" | item | aside | separator
    item       = lead* words? marks? group* percent? note*        at least one of words, group
    group      = open (part)* close                               any bracket shape; see `brackets`
    percent    = number "%"                                       before or after the words, or alone in a group
    separator  = "," | ";" | "." | "•" | "|" | " - " | line break in a list without commas
    joiner     = "and" | "or" | "and/or" | "&"                    after a group; inside words it is left to `naming`
    label      = words ":"                                        names a section, a class ("preservative:") or a mixture
    clause     = "contains 2 % or less of" and its like           holds to the end of its bracket or section
    casing     = "in a natural pork casing" and its like          an item of its own, wherever it stands
    note       = "to preserve freshness", "made from sugar"       ends with the item
    aside      = allergen line, "may contain", address, storage, cooking, process, claim, footnote

What it cannot place is an item like any other; nothing is dropped.
"""

from __future__ import annotations

from reader import wordforms
from reader.allergen_words import is_allergen_list
from reader.brackets import STRAY, pair
from reader.phrases import Phrase, book, percent_of
from reader.problems import Problem, problem
from reader.quantities import Interval, as_printed
from reader.spans import Span
from reader.statement_items import Frame, Open
from reader.statement_tree import Clause, Note, Statement
from reader.tokens import CLOSE, COLON, MARK, NEWLINE, NUMBER, OPEN, PERCENT, SEPARATOR, STOP, WORD, Token, tokenize

JOINERS = frozenset(("and", "or", "and/or", "or/and", "&", "/"))
_AT_LEAST = frozenset(("min", "minimum", "least", "at", "from"))
_AT_MOST = frozenset(("max", "maximum", "most", "up", "to"))
_ITEM_ENDS = frozenset((SEPARATOR, STOP, CLOSE, OPEN))


def read_statement(clean: str, box: str = "statement") -> Statement:
    """The statement in a clean text (see `pasted`). Any text is read; what was odd is in `problems`."""
    return _Parser(clean, box).run()


def lowered(clean: str) -> str:
    """Lower case of the same length, so that places stay true."""
    lower = clean.lower()
    return lower if len(lower) == len(clean) else "".join(c.lower() if len(c.lower()) == 1 else c for c in clean)


class _Parser:
    def __init__(self, clean: str, box: str) -> None:
        self.lower = lowered(clean)
        self.box = box
        self.tokens = tokenize(clean)
        self.partner, found = pair(self.tokens)
        self.problems: list[Problem] = list(found)
        self.asides: list[Note] = []
        self.headings: list[Span] = []
        self.stack = [Frame(-1)]
        self.sentence = True  # nothing but blanks since a full stop, a line break or the start
        self.book = book()
        self.has_casing = "casing" in self.lower or "skin" in self.lower
        kinds = {t.kind for t in self.tokens}
        self.by_line = NEWLINE in kinds and SEPARATOR not in kinds

    # -- places -------------------------------------------------------------------------------------------
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

    # -- the main loop ------------------------------------------------------------------------------------
    def run(self) -> Statement:
        i = 0
        while i < len(self.tokens):
            i = self.step(i)
        while len(self.stack) > 1:
            self.close_frame(len(self.tokens) - 1)
        self.finish("")
        return Statement(tuple(self.frame.items), tuple(self.asides), tuple(self.headings), tuple(self.problems))

    def step(self, i: int) -> int:
        token = self.tokens[i]
        kind = token.kind
        if kind == WORD or kind == NUMBER:
            return self.phrase(i) or self.word(i)
        if kind == SEPARATOR:
            self.finish(",")
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
            if self.by_line or token.text.count("\n") > 1:
                self.finish(".")
            self.sentence = True
        elif token.text in JOINERS:
            return self.word(i)
        return i + 1

    def finish(self, joiner: str) -> None:
        """Close the item being read, if there is one; the next one will follow by `joiner`."""
        frame = self.frame
        if frame.now.empty:
            if frame.now.percent is not None and not frame.items:  # "(80 %)": the bracket's owner takes it
                frame.percent, frame.percent_span = frame.now.percent, frame.now.percent_span
            if frame.now.notes and frame.items:  # a note set off by a comma belongs to the item before it
                frame.amend_last(frame.now.notes)
            elif frame.now.notes:
                frame.notes.extend(frame.now.notes)
            if frame.now.label is not None and joiner:
                return  # "INGREDIENTS: , pork": the label waits for its first item
            if frame.now.label is not None:
                frame.notes.append(Note("remark", frame.now.label))
            frame.now = Open(joiner=joiner or frame.now.joiner)
            return
        frame.items.append(frame.now.frozen(frame.clause, self.box))
        frame.now = Open(joiner=joiner)

    # -- words, numbers, percentages ----------------------------------------------------------------------
    def word(self, i: int) -> int:
        token, now = self.tokens[i], self.frame.now
        lower = self.lower[token.start : token.end]
        if token.kind == NUMBER and i + 1 < len(self.tokens) and self.tokens[i + 1].kind == PERCENT:
            return self.percentage(i)
        if lower in JOINERS and (now.empty or now.parts or now.casing):
            if not now.empty:
                self.finish(lower)
            elif self.frame.items:
                now.joiner = lower
            self.sentence = False
            return i + 1
        if now.parts or now.casing:
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
            hints.add(self.lower[last.start : last.end])
        if after < len(self.tokens) and self.tokens[after].text.lower() in ("min", "minimum", "max", "maximum"):
            hints.add(self.tokens[after].text.lower())
            after += 1
        if hints & {"min", "minimum", "least"}:
            true = Interval(true.low, 100.0)
        elif hints:
            true = Interval(0.0, true.high)
        span = self.place(i, after)
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
        if (not self.sentence and not in_bracket) or follows_item or self.colon_near(i):
            return i + 1
        if in_bracket:
            return i + 1  # "[*no nitrates added …]": the words after the mark say what it is
        end = self.end(i + 1, "sentence")
        self.asides.append(Note("footnote", self.place(i, end)))
        return end

    def colon_near(self, i: int) -> bool:
        return any(t.kind == COLON for t in self.tokens[i + 1 : i + 7])

    # -- brackets -----------------------------------------------------------------------------------------
    def open(self, i: int) -> None:
        frame = self.frame
        if self.partner[i] == STRAY:
            self.finish(",")
            return
        stray_comma = frame.now.bare and frame.items and frame.now.joiner == "," and not frame.items[-1].parts
        if stray_comma and self.tokens[i - 1].kind == SEPARATOR:
            frame.reopen_last()
            self.problems.append(problem("stray_comma", Span(self.tokens[i - 1].start, self.tokens[i].end, self.box)))
        frame.now.touch(self.tokens[i].start, self.tokens[i].end)
        self.stack.append(Frame(i))
        self.sentence = False

    def close(self, i: int) -> None:
        opener = self.partner[i]
        if opener == STRAY or all(f.opener != opener for f in self.stack[1:]):
            self.finish(",")
            return
        while self.frame.opener != opener:
            self.close_frame(i)
        self.close_frame(i)
        self.sentence = False

    def close_frame(self, i: int) -> None:
        self.finish("")
        inner = self.stack.pop()
        self.frame.now.take(inner, self.tokens[i].end)

    # -- labels and headings ------------------------------------------------------------------------------
    def label(self, i: int) -> None:
        frame = self.frame
        now = frame.now
        if not now.words or now.casing:
            return
        first = now.words[0].start
        if self.lower[now.words[-1].start : now.words[-1].end] == "added":  # "TURKEY FRANK, SMOKE FLAVOR ADDED:"
            while frame.items and not now.starts_sentence and not frame.items[-1].parts:
                before = frame.items.pop()
                first, now.starts_sentence = before.span.start, before.starts_sentence
        self.set_label(Span(first, now.words[-1].end, self.box), now.starts_sentence)

    def set_label(self, span: Span, starts_sentence: bool) -> None:
        frame = self.frame
        if frame.now.label is not None:
            frame.notes.append(Note("remark", frame.now.label))
        key = wordforms.key(self.lower[span.start : span.end])
        if starts_sentence and key not in self.book.class_words and key not in self.book.collectives:
            frame.clause = None  # a new section begins
        frame.now = Open(joiner=frame.now.joiner, label=span, starts_sentence=starts_sentence)
        frame.now.touch(span.start, span.end)

    # -- set phrases --------------------------------------------------------------------------------------
    def phrase(self, i: int) -> int:
        """Try the set phrases that may begin at token `i`; the token after the one that fits, or 0."""
        token = self.tokens[i]
        lower = "#" if token.kind == NUMBER else self.lower[token.start : token.end]
        books = self.book
        first = lower if lower.isalpha() or lower == "#" else lower.split("-")[0]
        if first in books.headings and (found := self.heading(i, first)):
            return found
        if first in books.foreign_headings and (found := self.foreign_heading(i, first)):
            return found
        if self.has_casing and first in books.casing.first and (found := self.casing(i)):
            return found
        if first in books.clauses and (found := self.clause(i, first)):
            return found
        if first in books.asides and (found := self.aside(i, first)):
            return found
        if first in books.notes and (found := self.note(i, first)):
            return found
        if first in books.leads and self.frame.now.bare:
            return self.lead(i, first)
        return 0

    def heading(self, i: int, first: str) -> int:
        start, now = self.tokens[i].start, self.frame.now
        for phrase in self.book.headings[first]:
            found = phrase.regex.match(self.lower, start)
            if found is None:
                continue
            span = Span(start, start + len(found.group().rstrip()), self.box)
            if ":" not in found.group() and not (self.sentence and now.empty):
                continue
            self.headings.append(span)
            after = self.after(found.end(), i)
            if now.words and not now.parts:
                self.set_label(Span(now.words[0].start, now.words[-1].end, self.box), True)
            else:
                self.finish(".")
                self.frame.clause = None
            self.sentence = True
            return after
        return 0

    def foreign_heading(self, i: int, first: str) -> int:
        """A list in another language runs to the next English heading or to the end; it is set aside whole."""
        found = self.book.foreign_headings[first][0].regex.match(self.lower, self.tokens[i].start)
        if found is None or ":" not in found.group() or not self.frame.now.bare:
            return 0
        end = self.end(i + 1, "text")
        return self.take_aside(Note("other_language", self.place(i, end)), end)

    def casing(self, i: int) -> int:
        start = self.tokens[i].start
        end = self.book.casing.match(self.lower, start)
        if not end:
            return 0
        if not self.frame.now.empty:
            self.finish("missing")
        after = self.after(end, i)
        now = self.frame.now
        now.casing = True
        for token in self.tokens[i:after]:
            if token.kind in (WORD, NUMBER):
                now.add(token)
        self.sentence = False
        return after

    def clause(self, i: int, first: str) -> int:
        start = self.tokens[i].start
        if i and self.tokens[i - 1].text.lower() in ("with", "without") and not self.frame.now.bare:
            return 0  # "isolated soy protein with less than 2 % lecithin" limits the lecithin, not what follows
        for phrase in self.book.clauses[first]:
            found = phrase.regex.match(self.lower, start)
            if found and not self.lower.startswith("fat", found.end()):
                after = self.after(found.end(), i)
                self.finish(",")
                self.frame.clause = Clause(percent_of(found), self.place(i, after))
                self.sentence = False
                return after
        return 0

    def lead(self, i: int, first: str) -> int:
        start = self.tokens[i].start
        for phrase in self.book.leads[first]:
            found = phrase.regex.match(self.lower, start)
            if found:
                self.sentence = self.sentence and ":" in found.group()
                return self.after(found.end(), i)
        return 0

    def note(self, i: int, first: str) -> int:
        frame, start = self.frame, self.tokens[i].start
        for phrase in self.book.notes[first]:
            if phrase.at == "item" and not frame.now.bare:
                continue
            found = phrase.regex.match(self.lower, start)
            if found is None:
                continue
            after = self.end(self.after(found.end(), i), phrase.until)
            if phrase.bracket and not (frame.fresh and after < len(self.tokens) and self.tokens[after].kind == CLOSE):
                continue
            self.take_note(phrase, self.place(i, after), found.groupdict().get("n") is not None and percent_of(found))
            return after
        return 0

    def take_note(self, phrase: Phrase, span: Span, number: float | bool) -> None:
        self.frame.now.notes.append(Note(phrase.kind, span, float(number)))
        self.frame.now.touch(span.start, span.end)
        self.sentence = False

    def aside(self, i: int, first: str) -> int:
        frame, start = self.frame, self.tokens[i].start
        if first in ("contains", "contain") and frame.now.bare:
            end = self.end(i + 1, "sentence")
            if is_allergen_list(self.lower[self.tokens[i].end : self.tokens[end - 1].end]):
                return self.take_aside(Note("allergen_line", self.place(i, end)), end)
        for phrase in self.book.asides[first]:
            if not self.may_begin(phrase.at, i):
                continue
            found = phrase.regex.match(self.lower, start)
            if found is None:
                continue
            after = self.end(self.after(found.end(), i), phrase.until)
            if phrase.alone and not (frame.now.bare and self.ends_item(after)):
                continue
            groups = found.groupdict()
            words = Span(found.start("x"), found.end("x"), self.box) if groups.get("x") else None
            value = percent_of(found) if groups.get("n") else 0.0
            return self.take_aside(Note(phrase.kind, self.place(i, after), value, words, phrase.smoke), after)
        return 0

    def take_aside(self, note: Note, after: int) -> int:
        self.finish(",")
        self.asides.append(note)
        return after

    def may_begin(self, at: str, i: int) -> bool:
        if at == "anywhere":
            return True
        if at == "item":
            return self.frame.now.bare
        return self.sentence and i > 0

    def ends_item(self, i: int) -> bool:
        return i >= len(self.tokens) or self.tokens[i].kind in (SEPARATOR, STOP, CLOSE, NEWLINE)

    def end(self, i: int, until: str) -> int:
        """The token after the last one of a phrase that runs on from token `i` as `until` says."""
        if until == "phrase":
            return i
        while i < len(self.tokens):
            kind = self.tokens[i].kind
            if until == "item":
                stops = kind in _ITEM_ENDS or (kind == NEWLINE and self.by_line)
            elif until == "note":
                stops = kind in (OPEN, CLOSE, STOP) or (kind == SEPARATOR and not self.followed_by(i, ("except", "other", "or")))
            elif until == "text":
                stops = kind == WORD and self.lower[self.tokens[i].start : self.tokens[i].end] == "ingredients"
            elif kind == OPEN and self.partner[i] > i:
                i = self.partner[i]
                stops = False
            else:
                stops = self.ends_sentence(i, kind) or (until == "sentence_or_bracket" and self.frame.opener < 0 and kind == SEPARATOR)
            if stops:
                return i
            i += 1
        return i

    def ends_sentence(self, i: int, kind: str) -> bool:
        if kind == NEWLINE:
            return self.tokens[i - 1].kind != SEPARATOR and not self.lower[self.tokens[i].end : self.tokens[i].end + 1].islower()
        return kind == STOP or (kind == CLOSE and self.partner[i] == self.frame.opener)

    def followed_by(self, i: int, words: tuple[str, ...]) -> bool:
        return i + 1 < len(self.tokens) and self.tokens[i + 1].text.lower() in words
