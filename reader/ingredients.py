"""Statement items + lexicon → ingredients: what each printed term is, in which section, with its place and reason.

Here meaning meets grammar: missing commas are repaired by known names, stray ones healed, class words
("preservative:") become labels, and a label that names a food opens a section.
"""

from __future__ import annotations

from dataclasses import replace

from reader import wordforms
from reader.allergen_words import allergens_in
from reader.ingredient_tree import Ingredient, IngredientList, Section
from reader.naming.lookup import known, near, unknown
from reader.naming.names import names
from reader.naming.words import Match, Piece
from reader.phrases import book
from reader.problems import Problem, problem
from reader.spans import Span
from reader.statement.tree import Item, Statement

SEARCHES = 60  # house: near-spelling searches a label may cost; what lies beyond is shown as not searched
_ROMAN = frozenset(("i", "ii", "iii", "iv", "v", "vi", "vii"))
_TISSUE = frozenset(("meat", "mechanically_separated", "fat", "by_product"))
_WRAPS = frozenset(("group", "spice", "flavouring"))


def understand(statement: Statement, clean: str) -> IngredientList:
    """What the statement's items are. `clean` is the text the statement was read from."""
    return _Understanding(clean).run(statement)


class _Understanding:
    def __init__(self, clean: str) -> None:
        self.clean = clean
        self.searches = 0
        self.unsearched: Span | None = None
        self.problems: list[Problem] = []
        self.links: list[Span] = []

    def run(self, statement: Statement) -> IngredientList:
        sections: list[Section] = []
        label, span, members = "", None, list[Ingredient]()
        started = 0
        for item in self.healed(self.carried(statement.items)):
            opened = self.section_label(item)
            if opened is not None:
                before, name, place = opened
                members += before
                if members or label:
                    sections.append(self.section(label, span, members))
                label, span, members, started = name, place, [], place.start
                item = replace(item, label=None)
            if item.clause is not None and item.clause.span.start < started:
                item = replace(item, clause=None)  # the clause belonged to the section before
            members += self.ingredients(item, False)
        if members or label:
            sections.append(self.section(label, span, members))
        if self.unsearched is not None:
            self.problems.append(problem("not_searched", self.unsearched, limit=SEARCHES))
        return IngredientList(
            tuple(sections),
            statement.asides,
            statement.headings,
            (*statement.links, *self.links),
            (*statement.problems, *self.problems),
        )

    # -- sections and labels ------------------------------------------------------------------------------
    def section(self, label: str, span: Span | None, members: list[Ingredient]) -> Section:
        kinds = book().section_kinds
        words = [wordforms.word_key(w) for w in wordforms.words(label)]
        runs = ["".join(words[i:j]) for i in range(len(words)) for j in range(i + 1, min(len(words), i + 2) + 1)]
        kind = next((kinds[r] for r in reversed(runs) if r in kinds), "main")
        if kind == "casing" and span is not None:  # "casing ingredients: beef collagen, water"
            whole = Span(span.start, members[-1].whole.end if members else span.end, span.text)
            skin = Ingredient(label, span, whole, Match("casing", wording=label), "casing", tuple(members))
            return Section(label, span, kind, (skin,))
        return Section(label, span, kind, tuple(members))

    def section_label(self, item: Item) -> tuple[list[Ingredient], str, Span] | None:
        """(ingredients before it, label, its place) if the item's label opens a new section."""
        if item.label is None or self.class_label(item.label) or self.wrapping(item) is not None:
            return None
        text, before = item.label.of(self.clean), list[Ingredient]()
        span = item.label
        pieces = known(text) if item.joiner == "," else ()
        if len(pieces) > 1:  # "… starter cultures WHITE CHEDDAR CHEESE INGREDIENTS: …": a comma was missing
            last = pieces[-1]
            alone = replace(item, parts=(), notes=(), label=None)
            before = [self.made(p, item.label, alone) for p in pieces[:-1]]
            span = Span(item.label.start + last.start, item.label.end, item.label.text)
        return before, span.of(self.clean), span

    def class_label(self, label: Span) -> str:
        """The words if they name classes of additives and nothing else: "antioxidant and acidity regulator"."""
        text = label.of(self.clean)
        words = text.replace("&", " and ").replace("/", " and ").split()
        sides = " ".join("," if w.lower() in ("and", "or") else w for w in words).split(",")
        return text if all(wordforms.key(side) in book().class_words for side in sides) else ""

    def wrapping(self, item: Item) -> Piece | None:
        """The mixture a label names in mid-list ("spices and flavoring: garlic powder"), if it names one."""
        if item.label is None or item.starts_sentence:
            return None
        text = item.label.of(self.clean)
        for lead in ("containing", "contains", "contain", "consisting of", "including"):
            text = text[: -len(lead)].rstrip() if text.lower().endswith(" " + lead) else text
        pieces = known(text)
        fits = pieces and all(p.match.entry and p.match.entry.role in _WRAPS for p in pieces)
        return pieces[0] if fits else None

    # -- items --------------------------------------------------------------------------------------------
    def healed(self, items: tuple[Item, ...]) -> list[Item]:
        """The items with names put together again that a stray comma tore: "food starch, modified"."""
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
            else:
                out.append(item)
        return out

    def torn(self, before: Item, item: Item) -> bool:
        if (
            item.joiner != ","
            or before.name is None
            or item.name is None
            or before.parts
            or item.label
            or before.casing
        ):
            return False
        tail = item.name.of(self.clean)
        tailed = wordforms.key(tail) in book().tails
        together = before.name.of(self.clean) + " " + tail
        if not tailed and (" and " not in tail.lower() or len(together.split()) < 4):
            return False
        pieces = known(together)
        return len(pieces) == 1 and pieces[0].match.kind in ("exact", "spelling")

    def carried(self, items: tuple[Item, ...]) -> tuple[Item, ...]:
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
            label = item.label if item.label is not None and self.class_label(item.label) else None
            out.append(item)
        return tuple(out)

    def bare_class(self, item: Item) -> bool:
        return item.name is not None and not item.parts and item.label is None and bool(self.class_label(item.name))

    def is_number(self, item: Item) -> bool:
        pieces = known(item.name.of(self.clean), True) if item.name is not None else ()
        return bool(pieces) and all(p.match.kind == "number" for p in pieces)

    def parts(self, items: tuple[Item, ...], in_class: bool) -> tuple[Ingredient, ...]:
        told = self.healed(self.carried(items))
        self.links += [item.span for item in told if self.origin(item)]
        return tuple(found for item in told if not self.origin(item) for found in self.ingredients(item, in_class))

    def origin(self, item: Item) -> bool:
        """Whether a part only tells a country or how it was raised: "pork (British)"."""
        if item.name is None or item.parts:
            return False
        words = wordforms.words(item.name.of(self.clean))
        handled = {wordforms.key(" ".join(words[:k])) for k in range(1, len(words) + 1)} & book().qualifiers
        only_handled = wordforms.key(" ".join(words)) in handled  # "beef (grass fed)"
        return only_handled or wordforms.key(" ".join(words)) in book().origin_words

    def ingredients(self, item: Item, in_class: bool) -> list[Ingredient]:
        """The ingredients an item turns out to be; a nameless bracket stands for its parts."""
        if item.casing and item.name is not None:
            printed = item.name.of(self.clean)
            return [
                self.build(Match("casing", wording=printed), "casing", item.name, item, self.parts(item.parts, False))
            ]
        class_word = self.class_label(item.label) if item.label else ""
        wrap = self.wrapping(item) if item.label else None
        if item.name is None:
            self.links += [note.span for note in item.notes]
            return list(self.parts(item.parts, in_class))
        if self.lifts_clause(item):
            return [*self.ingredients(replace(item, parts=()), in_class), *self.parts(item.parts, in_class)]
        text = item.name.of(self.clean)
        if not class_word and self.class_label(item.name) and (item.parts or not known(text)):
            inner = tuple(replace(p, class_word=text) for p in self.parts(item.parts, True))
            return [self.build(Match("class", wording=text), "class", item.name, item, inner)]
        joined, text, meant = self.joined_name(item, text)
        stripped, offset, own_class = self.without_class_word(meant) if joined is item else (meant, 0, "")
        pieces = self.pieces(stripped, in_class or bool(class_word or own_class), item)
        if joined is not item:
            item, pieces = joined, (replace(pieces[0], start=0, end=len(text), joiner="", inner=()),)
        assert item.name is not None
        name = item.name._replace(start=item.name.start + offset)
        made = [self.made(p, name, self.bare(item, p, pieces)) for p in pieces]
        if own_class and item.name is not None:
            self.links.append(item.name)
        if class_word or own_class:
            made = [replace(m, class_word=class_word or own_class) for m in made]
        if wrap is not None and item.label is not None:
            role = wrap.match.entry.role if wrap.match.entry else "group"
            return [self.build(wrap.match, role, item.label, item, tuple(made))]
        return made

    def lifts_clause(self, item: Item) -> bool:
        """Whether a bracket that opens with a clause goes on with the list: "water (contains 2 % or less of: salt)"."""
        first = item.parts[0] if item.parts else None
        if first is None or first.clause is None or item.name is None or first.clause.span.start < item.name.end:
            return False
        pieces = known(item.name.of(self.clean))
        entry = pieces[-1].match.entry if pieces else None
        return entry is not None and (entry.role in ("water", "salt") or (entry.role, entry.kind) == ("meat", "muscle"))

    def bare(self, item: Item, piece: Piece, pieces: tuple[Piece, ...]) -> Item:
        """The item as one of its pieces has it: brackets and percentages belong to the last one."""
        if piece is pieces[-1]:
            return item if len(pieces) == 1 else replace(item, joiner=piece.joiner)
        joiner = item.joiner if piece is pieces[0] else piece.joiner
        return replace(item, parts=(), percent=None, percent_span=None, notes=(), marks="", joiner=joiner)

    def joined_name(self, item: Item, text: str) -> tuple[Item, str, str]:
        """A bracket that belongs to the name: "E 450 (i)", "chicken meat (mechanically separated)".

        Returns the item, its name as printed and the name to look up.
        """
        if len(item.parts) != 1 or item.parts[0].name is None or item.name is None or item.parts[0].parts:
            return item, text, text
        inner = item.parts[0].name.of(self.clean)
        if inner.lower() in _ROMAN and text[-1:].isdigit():
            name = Span(item.name.start, item.span.end, item.name.text)
            return replace(item, parts=(), name=name), name.of(self.clean), name.of(self.clean)
        for meant in (f"{inner} {text}", f"{text} {inner}"):
            found = known(meant)
            single = found[0].match if len(found) == 1 and found[0].match.kind in ("exact", "spelling") else None
            if single and single.entry and (single.entry.role in _TISSUE or not known(inner)):
                name = Span(item.name.start, item.span.end, item.name.text)
                return replace(item, parts=(), name=name), name.of(self.clean), meant
        return item, text, text

    def without_class_word(self, text: str) -> tuple[str, int, str]:
        """ "Preservative sodium nitrite" → ("sodium nitrite", 13, "Preservative"); unchanged if it names no class."""
        if known(text):
            return text, 0, ""
        words = text.split()
        for count in (3, 2, 1):
            head, rest = " ".join(words[:count]), " ".join(words[count:])
            if rest and wordforms.key(head) in book().class_words and known(rest, True):
                return text[text.index(words[count], len(head)) :], text.index(words[count], len(head)), head
            tail, front = " ".join(words[-count:]), " ".join(words[:-count])
            if front and wordforms.key(tail) in book().class_words and known(front, True):
                return text[: text.rindex(words[-count])].rstrip(), 0, tail
        return text, 0, ""

    def pieces(self, text: str, in_class: bool, item: Item) -> tuple[Piece, ...]:
        found = self.slashed(text) or known(text, in_class)
        if found:
            return found
        if self.searches >= SEARCHES:
            self.unsearched = self.unsearched or item.name
            return unknown(text)
        self.searches += 1
        return near(text) or unknown(text)

    def slashed(self, text: str) -> tuple[Piece, ...]:
        """ "Pork / Porc, Water / Eau": the English side of a bilingual list; "pork / salt / spices": all of them."""
        if " / " not in text and "/ " not in text:
            return ()
        pieces: list[Piece] = []
        at = 0
        for side in text.split("/"):
            for piece in known(side):
                pieces.append(replace(piece, start=piece.start + at, end=piece.end + at, joiner="/" if pieces else ""))
            if not known(side) and names().foreign(wordforms.key(side)) is None:
                return ()
            at += len(side) + 1
        return tuple(pieces)

    def made(self, piece: Piece, name: Span, item: Item) -> Ingredient:
        span = Span(name.start + piece.start, name.start + piece.end, name.text)
        entry = piece.match.entry
        role = "unknown" if entry is None else entry.in_clause if item.clause and entry.in_clause else entry.role
        inner = tuple(self.made(p, name, replace(item, parts=(), percent=None, notes=())) for p in piece.inner)
        numbered = entry is not None and bool(entry.e)
        return self.build(piece.match, role, span, item, (*inner, *self.parts(item.parts, numbered)), piece.joiner)

    def build(
        self, match: Match, role: str, span: Span, item: Item, parts: tuple[Ingredient, ...], joiner: str = ""
    ) -> Ingredient:
        if role == "sweetener":  # "sugars (dextrose, glucose solids)": there the solids are a sugar
            parts = tuple(replace(p, role=p.entry.in_clause) if p.entry and p.entry.in_clause else p for p in parts)
        named = {a: None for n in item.notes if n.kind == "origin" for a in allergens_in(n.span.of(self.clean))}
        return Ingredient(
            printed=" ".join(span.of(self.clean).replace("\u00ad", "").split()),
            span=span,
            whole=_reach(span, item, bool(joiner)),
            match=match,
            role=role,
            parts=parts,
            joiner=joiner or item.joiner,
            percent=item.percent,
            percent_span=item.percent_span,
            clause=item.clause,
            notes=item.notes,
            marks=item.marks,
            named_allergens=tuple(named),
        )


def _reach(span: Span, item: Item, later_piece: bool) -> Span:
    """The place of a term with what belongs to it: brackets, notes and marks behind it, and what stands before it."""
    start = span.start if later_piece else min(span.start, item.span.start)
    end = max(span.end, item.span.end) if item.parts or item.notes or item.marks else span.end
    return Span(start, end, span.text)
