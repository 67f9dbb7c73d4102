"""Statement items + lexicon → ingredients: what each printed term is, in which section, with its place and reason.

Here meaning meets grammar: items are put right (`repairs`), class words ("preservative:") become labels, a label
that names a food opens a section, and a sentence that names nothing becomes a remark beside the list.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from reader import pastes, wordforms
from reader.allergen_words import allergens_in
from reader.ingredient_tree import Ingredient, IngredientList, Section
from reader.labels import TISSUE, is_class, is_torn_heading, section_kind, without_class_word, wrapping
from reader.naming.lookup import for_market, known, near, unknown
from reader.naming.names import names
from reader.naming.words import Match, Piece
from reader.phrases import book
from reader.problems import problem
from reader.repairs import Repairs, between
from reader.spans import Span
from reader.statement.tree import Item, Note, Statement

SEARCHES = 60  # house: near-spelling searches a label may cost; what lies beyond is shown as not searched
_ROMAN = frozenset(("i", "ii", "iii", "iv", "v", "vi", "vii"))


def understand(statement: Statement, clean: str, market: str = "US") -> IngredientList:
    """What the statement's items are. `clean` is the text the statement was read from; a few words mean different
    things in different markets.
    """
    return _Understanding(clean, market).run(statement)


class _Understanding:
    def __init__(self, clean: str, market: str) -> None:
        self.clean = clean
        self.market = market
        self.searches = 0
        self.unsearched: Span | None = None
        self.repairs = Repairs(clean)
        self.links: list[Span] = []
        self.remarks: list[Note] = []

    def run(self, statement: Statement) -> IngredientList:
        sections: list[Section] = []
        label, span, members = "", None, list[Ingredient]()
        started = 0
        for item in self.repairs.mend(statement.items):
            opened = self.section_label(item)
            if opened is not None:
                started, item = opened[2].start, replace(item, label=None)
            if item.clause is not None and item.clause.span.start < started:
                item = replace(item, clause=None)  # the clause belonged to the section before
            made = self.ingredients(item, False)
            if opened is not None:
                before, name, place = opened
                members += before
                if not label and item.joiner == "," and is_torn_heading(members, made):
                    place, members = Span(members[0].span.start, place.end, place.text), []
                    name = place.of(self.clean)
                if members or label:
                    sections.append(self.section(label, span, members))
                label, span, members = name, place, []
            members += made
        if members or label:
            sections.append(self.section(label, span, members))
        problems = [*statement.problems, *self.repairs.problems]
        if self.unsearched is not None:
            problems.append(problem("not_searched", self.unsearched, limit=SEARCHES))
        return IngredientList(
            tuple(sections),
            tuple(sorted((*statement.asides, *self.remarks), key=lambda note: note.span.start)),
            statement.headings,
            (*statement.links, *self.links, *self.repairs.links),
            tuple(problems),
        )

    # -- sections and labels ------------------------------------------------------------------------------
    def section(self, label: str, span: Span | None, members: list[Ingredient]) -> Section:
        kind = section_kind(label)
        if kind == "casing" and span is not None:  # "casing ingredients: beef collagen, water"
            whole = Span(span.start, members[-1].whole.end if members else span.end, span.text)
            skin = Ingredient(label, span, whole, Match("casing", wording=label), "casing", tuple(members))
            return Section(label, span, kind, (skin,))
        return Section(label, span, kind, tuple(members))

    def section_label(self, item: Item) -> tuple[list[Ingredient], str, Span] | None:
        """(ingredients before it, label, its place) if the item's label opens a new section."""
        if item.label is None or is_class(item.label.of(self.clean)) or wrapping(item, self.clean) is not None:
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

    # -- items --------------------------------------------------------------------------------------------
    def parts(self, items: tuple[Item, ...], in_class: bool) -> tuple[Ingredient, ...]:
        if not items:  # nearly every ingredient
            return ()
        found: list[Ingredient] = []
        for item in self.repairs.mend(items):
            if self.origin(item):
                self.links.append(item.span)
            else:
                found += self.ingredients(item, in_class)
        return tuple(found)

    def origin(self, item: Item) -> bool:
        """Whether a part only tells a country or how it was raised: "pork (British)"."""
        return item.name is not None and not item.parts and _tells_origin(item.name.of(self.clean))

    def ingredients(self, item: Item, in_class: bool) -> list[Ingredient]:
        """The ingredients an item turns out to be; a nameless bracket stands for its parts."""
        if item.casing and item.name is not None:
            printed = item.name.of(self.clean)
            return [
                self.build(Match("casing", wording=printed), "casing", item.name, item, self.parts(item.parts, False))
            ]
        if item.name is None and item.label is not None:  # "spice blend: (salt, pepper)": the colon says nothing
            item = replace(item, name=item.label, label=None)
        class_word = item.label.of(self.clean) if item.label and is_class(item.label.of(self.clean)) else ""
        if item.name is None:
            self.links += [note.span for note in item.notes]
            return list(self.parts(item.parts, in_class))
        if self.lifts_clause(item):
            return [*self.ingredients(replace(item, parts=()), in_class), *self.parts(item.parts, in_class)]
        text = item.name.of(self.clean)
        if not class_word and is_class(text) and (item.parts or not known(text)):
            inner = tuple(replace(p, class_word=text) for p in self.parts(item.parts, True))
            return [self.build(Match("class", wording=text), "class", item.name, item, inner)]
        joined, text, meant = self.joined_name(item, text)
        stripped, offset, own_class = without_class_word(meant) if meant == text else (meant, 0, "")
        pieces = self.pieces(stripped, in_class or bool(class_word or own_class), item)
        if meant != text:
            pieces, stripped = (replace(pieces[0], start=0, end=len(text), joiner="", inner=()),), text
        item = joined
        if self.is_remark(item, pieces, text):
            self.remarks.append(Note("remark", item.span))
            return []
        assert item.name is not None
        name = item.name._replace(start=item.name.start + offset) if offset else item.name
        self.links += self.connecting(name, len(stripped), pieces)
        pieces = _including(pastes.beside(pieces, stripped))
        made = [self.made(p, name, self.bare(item, p, pieces)) for p in pieces]
        if own_class:
            self.links.append(item.name)
        if class_word or own_class:
            made = [replace(m, class_word=class_word or own_class) for m in made]
        wrap = wrapping(item, self.clean)
        if wrap is not None and item.label is not None:
            role = wrap.match.entry.role if wrap.match.entry else "group"
            return [self.build(wrap.match, role, item.label, item, tuple(made))]
        return made

    def connecting(self, name: Span, length: int, pieces: tuple[Piece, ...]) -> list[Span]:
        """The words of a name that belong to none of its pieces: "and", the other language of a pair."""
        if len(pieces) == 1 and pieces[0].start == 0 and pieces[0].end == length:
            return []  # nearly every name
        ends, starts = (0, *(p.end for p in pieces)), (*(p.start for p in pieces), length)
        gaps = zip(ends, starts, strict=True)
        return [span for a, b in gaps for span in between(self.clean, name.start + a, name.start + b, name.text)]

    def is_remark(self, item: Item, pieces: tuple[Piece, ...], text: str) -> bool:
        """Whether an item is a sentence about the food: behind a full stop, naming nothing known, in words of prose."""
        begins = item.joiner == "." and item.starts_sentence and not item.label
        if not begins or item.parts or any(p.match.entry for p in pieces):
            return False
        return any(wordforms.word_key(w) in book().sentence_words for w in wordforms.words(text))

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
        """A name that means more, less or other than what is printed before the bracket.

        Such as "E 450 (i)", "chicken meat (mechanically separated)", "corn" in "hydrolyzed soy, corn protein".
        Returns the item, its name as printed and the name to look up.
        """
        if item.name in self.repairs.meant:
            return item, text, self.repairs.meant[item.name]
        if len(item.parts) != 1 or item.parts[0].name is None or item.name is None or item.parts[0].parts:
            return item, text, pastes.turned(text)
        inner = item.parts[0].name.of(self.clean)
        if inner.lower() in _ROMAN and text[-1:].isdigit():
            name = Span(item.name.start, item.span.end, item.name.text)
            return replace(item, parts=(), name=name), name.of(self.clean), name.of(self.clean)
        for meant in (f"{inner} {text}", f"{text} {inner}"):
            found = known(meant)
            single = found[0].match if len(found) == 1 and found[0].match.kind in ("exact", "spelling") else None
            if single and single.entry and (single.entry.role in TISSUE or not known(inner)):
                name = Span(item.name.start, item.span.end, item.name.text)
                return replace(item, parts=(), name=name), name.of(self.clean), meant
        return item, text, text

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
        piece = for_market(piece, self.market)
        span = Span(name.start + piece.start, name.start + piece.end, name.text)
        entry = piece.match.entry
        role = "unknown" if entry is None else entry.in_clause if item.clause and entry.in_clause else entry.role
        inner = tuple(self.made(p, name, replace(item, parts=(), percent=None, notes=())) for p in piece.inner)
        numbered = entry is not None and bool(entry.e)
        parts = self.parts(item.parts, numbered)
        if pastes.is_general(piece.match):
            parts = tuple(_separated(part) for part in parts)
        return self.build(piece.match, role, span, item, (*inner, *parts), piece.joiner)

    def build(
        self, match: Match, role: str, span: Span, item: Item, parts: tuple[Ingredient, ...], joiner: str = ""
    ) -> Ingredient:
        if role == "sweetener":  # "sugars (dextrose, glucose solids)": there the solids are a sugar
            parts = tuple(replace(p, role=p.entry.in_clause) if p.entry and p.entry.in_clause else p for p in parts)
        named = {a: None for n in item.notes if n.kind == "origin" for a in allergens_in(n.span.of(self.clean))}
        return Ingredient(
            printed=" ".join(span.of(self.clean).replace("\u00ad", "").split()),
            span=span,
            whole=_reach(span, item, parts, bool(joiner)),
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


def _reach(span: Span, item: Item, parts: tuple[Ingredient, ...], later_piece: bool) -> Span:
    """The place of a term with what belongs to it: brackets, notes and marks behind it, and what stands before it."""
    start = span.start if later_piece else min(span.start, item.span.start)
    end = max(span.end, *(part.whole.end for part in parts)) if parts else span.end
    end = max(end, item.span.end) if item.parts or item.notes or item.marks else end
    return Span(start, end, span.text)


@lru_cache(maxsize=16384)
def _tells_origin(name: str) -> bool:
    words = wordforms.words(name)
    handled = {wordforms.key(" ".join(words[:k])) for k in range(1, len(words) + 1)} & book().qualifiers
    only_handled = wordforms.key(" ".join(words)) in handled  # "beef (grass fed)"
    return only_handled or wordforms.key(" ".join(words)) in book().origin_words


def _separated(part: Ingredient) -> Ingredient:
    match = pastes.inside(part.match)
    return replace(part, match=match, role=match.entry.role) if match.entry and match is not part.match else part


def _including(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """ "Spices including paprika": one ingredient, the collective word, made of the others."""
    first = pieces[0].match
    if len(pieces) < 2 or pieces[1].joiner != "with" or wordforms.key(first.wording) not in book().collectives:
        return pieces
    return (replace(pieces[0], inner=pieces[1:]),)
