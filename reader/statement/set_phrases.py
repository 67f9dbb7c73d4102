"""The set phrases of a statement where they may begin: headings, casings, clauses, asides, notes, leads."""

from __future__ import annotations

import re

from rapidfuzz.fuzz import ratio

from reader.allergen_words import is_allergen_list
from reader.phrases import Phrase, percent_of
from reader.spans import Span
from reader.statement.items import Open
from reader.statement.state import Reading
from reader.statement.tokens import CLOSE, COLON, MARK, NUMBER, OPEN, WORD
from reader.statement.tree import Clause, Note

_NEAR = 80.0  # house: how alike a word beside a clause must be to "contains" or "following" to be taken for it
_GOES_ON = (":", "of", "following", "ingredients")  # behind the limit in fractions of a percent: a list follows


class PhraseReading(Reading):
    """Tries the phrases of lexicon/phrases.yaml at a token."""

    def phrase(self, i: int) -> int:
        """Try the set phrases that may begin at token `i`; the token after the one that fits, or 0."""
        token = self.tokens[i]
        lower = "#" if token.kind == NUMBER else self.lower[token.start : token.end]
        books = self.book
        first = lower if lower.isalpha() or lower == "#" else lower.split("-")[0]
        if first not in books.begin:
            return 0
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
            bracketed = self.bracket_label(self.after(found.end(), i))
            if ":" not in found.group() and not (self.sentence and now.empty) and not bracketed:
                continue
            self.headings.append(span)
            after = self.after(found.end(), i)
            self.set_title_aside()
            named = self.bracket_label(after)
            if named:
                self.finish(".")
                self.set_label(named[0], True)
                after = named[1]
            elif now.words and not now.parts:
                self.set_label(Span(now.words[0].start, now.words[-1].end, self.box), True)
            else:
                self.finish(".")
                self.frame.clause = None
            self.sentence = True
            return after
        return 0

    def bracket_label(self, i: int) -> tuple[Span, int] | None:
        """ "Ingredients (sauce):": what the list is about, and the token behind the colon."""
        if i >= len(self.tokens) or self.tokens[i].kind != OPEN:
            return None
        close = self.partner[i]
        if not i + 1 < close < i + 7 or close + 1 >= len(self.tokens) or self.tokens[close + 1].kind != COLON:
            return None
        return self.place(i + 1, close), close + 2

    def set_title_aside(self) -> None:
        """A sentence before the first heading is the name of the food, no ingredient; a casing in it stays."""
        items = self.frame.items
        plain = 0 < len(items) < 3 and not any(item.parts for item in items)
        if len(self.headings) == 1 and plain and items[-1].joiner in ("", ".", "missing") and self.frame.now.empty:
            self.asides += [Note("title", item.span) for item in items if not item.casing]
            items[:] = [item for item in items if item.casing]

    def opens_part(self, i: int) -> bool:
        """Whether a new line that begins at token `i` begins something else than the rest of an item."""
        if i >= len(self.tokens) or self.tokens[i].kind not in (WORD, NUMBER) or self.frame.now.bare:
            return False
        start, first = self.tokens[i].start, self.word_at(i)
        if first in self.book.headings or first in self.book.foreign_headings or self.is_clause(i):
            return True
        if first in ("contains", "contain"):
            return is_allergen_list(self.lower[self.tokens[i].end : self.tokens[self.end(i + 1, "sentence") - 1].end])
        for phrase in self.book.asides.get(first.split("-")[0], ()):
            found = phrase.regex.match(self.lower, start)
            if found and (not phrase.alone or self.ends_item(self.behind(found, i))):
                return True
        line = next((k for k in range(i, min(i + 7, len(self.tokens))) if self.tokens[k].kind not in (WORD, NUMBER)), 0)
        return bool(line) and self.tokens[line].kind == COLON

    def is_clause(self, i: int) -> bool:
        """Whether a clause begins at token `i`."""
        if i >= len(self.tokens):
            return False
        first = "#" if self.tokens[i].kind == NUMBER else self.word_at(i)
        return any(p.regex.match(self.lower, self.tokens[i].start) for p in self.book.clauses.get(first, ()))

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
                self.drop_lead_in()
                self.finish(",")
                self.clause_end = after
                limit = Clause(percent_of(found), self.place(i, after))
                if "/" in found["n"] and not found.group().rstrip().endswith(_GOES_ON):
                    self.frame.now.own_clause = limit  # "less than 1/10 of 1 % sodium benzoate": what follows is free
                else:
                    self.frame.clause = limit
                self.links.append(limit.span)
                self.sentence = False
                return after
        return 0

    def drop_lead_in(self) -> None:
        """Words that only lead up to a clause: "the following ingredients are", a misspelt "contains"."""
        now = self.frame.now
        if now.words and not now.parts and self.leads_up(now):
            self.links.append(Span(now.words[0].start, now.words[-1].end, self.box))
            now.words.clear()

    def leads_up(self, now: Open) -> bool:
        """Whether the words of an item only belong to a clause."""
        words = [self.lower[t.start : t.end] for t in now.words]
        lead_ins, near = self.book.clause_lead_ins, ("contains", "following", "ingredients")
        return all(w in lead_ins or any(ratio(w, lead) >= _NEAR for lead in near) for w in words)

    def lead(self, i: int, first: str) -> int:
        start = self.tokens[i].start
        for phrase in self.book.leads[first]:
            found = phrase.regex.match(self.lower, start)
            if found:
                self.sentence = self.sentence and ":" in found.group()
                after = self.after(found.end(), i)
                self.links.append(self.place(i, after))
                return after
        return 0

    def note(self, i: int, first: str) -> int:
        frame, start = self.frame, self.tokens[i].start
        for phrase in self.book.notes[first]:
            if phrase.at == "item" and not frame.now.bare:
                continue
            found = phrase.regex.match(self.lower, start)
            if found is None:
                continue
            after = self.end(self.behind(found, i), phrase.until)
            if phrase.bracket and not (frame.fresh and after < len(self.tokens) and self.tokens[after].kind == CLOSE):
                continue
            if phrase.alone and not (frame.now.bare and self.ends_item(after)):
                continue
            self.take_note(phrase, self.place(i, after), found.groupdict().get("n") is not None and percent_of(found))
            return after
        return 0

    def behind(self, found: re.Match[str], i: int) -> int:
        """The token behind a phrase that begins at token `i`; a line break behind it is no part of it."""
        return self.after(found.start() + len(found.group().rstrip()), i)

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
            after = self.end(self.behind(found, i), phrase.until)
            if phrase.alone and not (frame.now.bare and self.stands_alone(after)):
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

    def stands_alone(self, after: int) -> bool:
        """Whether an item ends at a token, or a casing phrase or footnote mark stands there."""
        if self.ends_item(after) or self.tokens[after].kind == MARK:
            return True
        return self.has_casing and bool(self.book.casing.match(self.lower, self.tokens[after].start))

    def may_begin(self, at: str, i: int) -> bool:
        if at == "anywhere":
            return True
        if at == "item":
            return self.frame.now.bare
        return self.sentence and i > 0
