"""Items put right before they are understood, by names the lexicon knows.

Commas that tore a name or stand before a bracket are healed, class words handed on, and the words that several
names share ("hydrolyzed soy, wheat and milk protein") given to each of them.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from reader import wordforms
from reader.labels import is_class
from reader.naming.lookup import known
from reader.naming.words import Match
from reader.phrases import book
from reader.problems import Problem, problem
from reader.spans import Span
from reader.statement.tree import Item

_SAME = ("exact", "spelling")
_LONGEST_SHARED = 6  # items in a row that may share their first and last word


class Repairs:
    """Mends lists of items. What was odd is in `problems`, words that only connect in `links`.

    `meant` holds the whole name of an item whose printed words are only a part of it.
    """

    def __init__(self, clean: str) -> None:
        self.clean = clean
        self.problems: list[Problem] = []
        self.links: list[Span] = []
        self.meant: dict[Span, str] = {}

    def mend(self, items: tuple[Item, ...]) -> list[Item]:
        """The items of one list or bracket, put right; linear in their number."""
        return self.healed(self.shared(self.carried(items)))

    def text(self, item: Item) -> str:
        """The printed name of an item, "" if it has none."""
        return item.name.of(self.clean) if item.name is not None else ""

    # -- class words handed on ----------------------------------------------------------------------------
    def carried(self, items: tuple[Item, ...]) -> list[Item]:
        """The items with a class word handed on: "preservatives: 250, 251", "preservative - sodium nitrite"."""
        out: list[Item] = []
        label: Span | None = None
        for item in items:
            before = out[-1] if out else None
            if before is not None and item.joiner == "-" and item.label is None and self.bare_class(before):
                out.pop()
                item = replace(
                    item, label=before.name, joiner=before.joiner, span=item.span._replace(start=before.span.start)
                )
            elif item.label is None and label is not None and item.joiner in (",", "and", "&") and self.is_number(item):
                item = replace(item, label=label)
            label = item.label if item.label is not None and is_class(item.label.of(self.clean)) else None
            out.append(item)
        return out

    def bare_class(self, item: Item) -> bool:
        return item.name is not None and not item.parts and item.label is None and is_class(self.text(item))

    def is_number(self, item: Item) -> bool:
        pieces = known(self.text(item), True) if item.name is not None else ()
        return bool(pieces) and all(p.match.kind == "number" for p in pieces)

    # -- stray commas -------------------------------------------------------------------------------------
    def healed(self, items: list[Item]) -> list[Item]:
        """The items with a name or bracket put together again that a stray comma tore: "food starch, modified"."""
        out: list[Item] = []
        for item in items:
            before = out[-1] if out else None
            if before is not None and self.torn(before, item):
                assert before.name is not None and item.name is not None
                name = Span(before.name.start, item.name.end, item.name.text)
                self.problems.append(problem("stray_comma_name", name, name=" ".join(name.of(self.clean).split())))
                out[-1] = replace(
                    item, span=Span(before.span.start, item.span.end, item.span.text), name=name,
                    joiner=before.joiner, clause=before.clause, label=before.label,
                    starts_sentence=before.starts_sentence,
                )  # fmt: skip
            elif before is not None and self.tells_parts(before, item):
                self.problems.append(problem("stray_comma", Span(before.span.end, item.span.start + 1, item.span.text)))
                out[-1] = replace(
                    before,
                    span=Span(before.span.start, item.span.end, item.span.text),
                    parts=item.parts,
                    notes=(*before.notes, *item.notes),
                )
            else:
                out.append(item)
        return out

    def torn(self, before: Item, item: Item) -> bool:
        if item.joiner != "," or item.label or before.name is None or before.parts or before.casing:
            return False
        tail = self.text(item)
        tailed = wordforms.key(tail) in book().tails
        together = f"{self.text(before)} {tail}"
        if not tail or (not tailed and (" and " not in tail.lower() or len(together.split()) < 4)):
            return False
        pieces = known(together)
        return len(pieces) == 1 and pieces[0].match.kind in _SAME

    def tells_parts(self, before: Item, item: Item) -> bool:
        """Whether a bracket behind a comma or full stop tells what the item before it is made of."""
        if item.name is not None or item.joiner not in (",", ".") or before.name is None or before.parts:
            return False
        first = item.parts[0].clause
        if first is not None and first.span.start > item.span.start:
            return False  # it opens with a limit of its own: it goes on with the list
        return before.casing or self.may_have_parts(self.text(before))

    def may_have_parts(self, name: str) -> bool:
        """Whether a name may stand for a mixture; unknown words may, salt, water or plain meat may not."""
        pieces = known(name)
        entry = pieces[-1].match.entry if pieces else None
        if entry is None or is_class(name) or wordforms.key(name) in book().collectives:
            return True
        single = book().single
        if entry.id in single["not_entries"] or entry.kind in single["not_kinds"]:
            return True
        return entry.role not in single["roles"]

    # -- words that several names share -------------------------------------------------------------------
    def shared(self, items: list[Item]) -> list[Item]:
        """The items with a first and last word given to each name that shares them."""
        out: list[Item] = []
        k = 0
        while k < len(items):
            words = self.text(items[k]).split()
            run: list[Item] = []
            if words and wordforms.key(words[0]) in book().shared_heads:
                run, after = self.in_bracket(items, k) if len(words) == 1 else self.in_row(items, k)
            if run:
                out += run
                k = after
            else:
                out.append(items[k])
                k += 1
        return out

    def in_bracket(self, items: list[Item], k: int) -> tuple[list[Item], int]:
        """ "Hydrolyzed (soy, corn) protein": its three items and the place behind them, or nothing."""
        first, last = items[k], items[k + 1] if k + 1 < len(items) else None
        tail = self.text(last) if last is not None and last.joiner == "missing" else ""
        if last is None or not first.parts or wordforms.key(tail) not in book().shared_tails:
            return [], k
        if any(part.name is None or part.parts for part in first.parts):
            return [], k
        names = [f"{self.text(first)} {self.text(part)} {tail}" for part in first.parts]
        if not all(map(_single, names)):
            return [], k
        assert first.name is not None and last.name is not None
        self.links += [first.name, last.name]
        self.meant.update((part.name, name) for part, name in zip(first.parts, names, strict=True) if part.name)
        joiners = (first.joiner, *(part.joiner for part in first.parts[1:]))
        return [
            replace(part, clause=first.clause, joiner=joiner) for part, joiner in zip(first.parts, joiners, strict=True)
        ], k + 2

    def in_row(self, items: list[Item], k: int) -> tuple[list[Item], int]:
        """ "Hydrolyzed soy, wheat, and milk protein": its items and the place behind them, or nothing."""
        run: list[Item] = []
        for item in items[k : k + _LONGEST_SHARED]:
            if item.name is None or item.parts or item.label or (run and item.joiner not in (",", "and", "&")):
                return [], k
            run += self.sides(item)
            words = self.text(item).split()
            if wordforms.key(words[-1]) in book().shared_tails:
                break
        head, tail = self.text(run[0]).split()[0], self.text(run[-1]).split()[-1]
        after = k + len({item.span for item in run})
        if after < k + 2 or wordforms.key(tail) not in book().shared_tails:
            return [], k
        first, last = run[0], run[-1]
        assert first.name is not None and last.name is not None
        whole = first.name._replace(end=last.name.end)
        if _single(whole.of(self.clean)):  # the lexicon knows the mixture as one ingredient
            span = first.span._replace(end=last.span.end)
            return [replace(first, name=whole, span=span, notes=last.notes, marks=last.marks)], after
        names = [self.text(run[0]), *(f"{head} {self.text(item)}" for item in run[1:])]
        names = [name if name.endswith(tail) else f"{name} {tail}" for name in names]
        if not all(map(_single, names)):
            return [], k
        self.meant.update((item.name, name) for item, name in zip(run, names, strict=True) if item.name)
        for before, item in pairwise(run):
            if before.span == item.span and before.name and item.name:  # one item until now, its sides joined by "and"
                self.links += between(self.clean, before.name.end, item.name.start, item.name.text)
        return run, after

    def sides(self, item: Item) -> list[Item]:
        """An item whose name holds "and" as two items."""
        name = item.name
        assert name is not None
        text = self.text(item)
        at = text.lower().find(" and ")
        if at < 0:
            return [item]
        front = name._replace(end=name.start + len(text[:at].rstrip()))
        back = name._replace(start=name.start + at + 5)
        return [replace(item, name=front, notes=(), marks=""), replace(item, name=back, joiner="and")]


def between(clean: str, start: int, end: int, box: str) -> tuple[Span, ...]:
    """The words between two places as one span without the blanks around them; none if there are none."""
    words = clean[start:end]
    first = start + len(words) - len(words.lstrip())
    return (Span(first, first + len(words.strip()), box),) if words.strip() else ()


def _single(name: str) -> Match | None:
    """The match of a name that is one known wording, spelt in whatever way."""
    pieces = known(name)
    return pieces[0].match if len(pieces) == 1 and pieces[0].match.kind in _SAME else None
