"""The statement as pasted, every term marked. No letter of it is lost or moved (tests/test_page.py)."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from reader.ingredient_tree import Ingredient
from reader.page.parts import Cited, esc, said
from reader.page.terms import FAMILIES, Terms, family, role_word
from reader.report import Report
from reader.spans import Span
from reader.wording import has, say

_OPENING = re.compile(r"[(\[{“\"'*•]+$")  # stands with the term after it
_CLOSING = re.compile(r"[)\]}”\"'*†‡,.;:%]+")  # stands with the term before it


class Mark(NamedTuple):
    """A place and what is drawn there: gets the pasted words, gives HTML."""

    start: int
    end: int
    draw: Callable[[str], str]


def statement(report: Report, cited: Cited) -> str:
    """Every box that holds terms, marked; the label box if none does."""
    terms = Terms(report, cited)
    boxes = list(dict.fromkeys(i.span.text for i in terms.all)) or ["statement"]
    texts = {"statement": report.statement, "panel": report.panel_text, "name": report.name}
    found = [(box, marked(report, terms, box, texts[box])) for box in boxes if texts[box].strip()]
    if not found:
        return f"<p>{said('page_statement_none')}</p>"
    told = len(found) > 1 or found[0][0] != "statement"
    head = {box: f'<p class="quiet">{said(f"page_statement_box_{box}")}</p>' if told else "" for box, _ in found}
    shown = "".join(f'{head[box]}<div class="statement">{text}</div>' for box, text in found)
    if not terms.all:
        return f"<p>{said('page_statement_none')}</p>{shown}"
    return f'<p class="quiet screen">{said("page_statement_how")}</p>{shown}{_key(terms)}'


def _key(terms: Terms) -> str:
    """Which underline means what, only those that occur."""
    used = {family(i.role) for i in terms.all}
    items = "".join(
        f'<li><span class="word {name}">{said(f"page_family_{name}")}</span></li>' for name in FAMILIES if name in used
    )
    return f'<div class="key"><span>{said("page_key_line")}</span><ul>{items}</ul></div>'


def marked(report: Report, terms: Terms, box: str, text: str) -> str:
    """The text of one box with its terms, notes and asides marked."""
    found = (
        _term_marks(terms, box, text),
        _number_marks(terms, box),
        _note_marks(report, terms, box),
        _aside_marks(report, box),
    )
    layers = [_apart(list(marks)) for marks in found]
    flags = sorted((p.span.start, n) for n, p in enumerate(report.problems, 1) if p.span and p.span.text == box)
    return _painted(text, 0, len(text), layers, flags)


# -- painting -----------------------------------------------------------------------------------------------


def _apart(marks: list[Mark]) -> list[Mark]:
    """The marks in order; of two that overlap the one that begins first, of two that begin together the longer."""
    kept: list[Mark] = []
    for mark in sorted(marks, key=lambda m: (m.start, -m.end)):
        if mark.end > mark.start and (not kept or mark.start >= kept[-1].end):
            kept.append(mark)
    return kept


def _painted(text: str, start: int, end: int, layers: Sequence[list[Mark]], flags: list[tuple[int, int]]) -> str:
    """The text between two places: marks of the first layer whole, what lies between by the next layers."""
    if start >= end:
        return ""
    if not layers:
        return _flagged(text, start, end, flags)
    marks, out, at = layers[0], list[str](), start
    for mark in marks[bisect_left(marks, start, key=lambda m: m.end) :]:
        if mark.start >= end:
            break
        first, last = max(mark.start, start), min(mark.end, end)
        if last <= first:
            continue
        out.append(_painted(text, at, first, layers[1:], flags))
        out.append(_flags_in(first, last, flags))
        out.append(mark.draw(text[first:last]))
        at = last
    out.append(_painted(text, at, end, layers[1:], flags))
    return "".join(out)


def _flagged(text: str, start: int, end: int, flags: list[tuple[int, int]]) -> str:
    out, at = [], start
    for place, number in flags[bisect_left(flags, (start, 0)) :]:
        if place >= end:
            break
        out += [esc(text[at:place]), _flag(number)]
        at = place
    return "".join([*out, esc(text[at:end])])


def _flags_in(start: int, end: int, flags: list[tuple[int, int]]) -> str:
    return "".join(_flag(n) for _, n in flags[bisect_left(flags, (start, 0)) : bisect_left(flags, (end, 0))])


def _flag(number: int) -> str:
    label = said("page_flag", number=number)
    return f'<sup class="remark added"><a href="#remark-{number}" aria-label="{label}">!{number}</a></sup>'


# -- what is marked -----------------------------------------------------------------------------------------


def _term_marks(terms: Terms, box: str, text: str) -> Iterator[Mark]:
    """Each term with the bracket or comma that stands right at it, so that no line begins with a comma."""
    own = sorted((i for i in terms.all if i.span.text == box), key=lambda i: (i.span.start, -i.span.end))
    starts, before = [i.span.start for i in own] + [len(text)], 0
    for k, term in enumerate(own):
        if term.span.start < before:
            continue  # lies inside the term before it, which tells about it
        following = next((s for s in starts[k + 1 :] if s >= term.span.end), len(text))
        opening = _OPENING.search(text, before, term.span.start)
        closing = _CLOSING.match(text, term.span.end, following)
        start = opening.start() if opening else term.span.start
        end = closing.end() if closing else term.span.end
        yield Mark(start, end, _drawer(terms, term, term.span.start - start, end - term.span.end))
        before = end


def _drawer(terms: Terms, term: Ingredient, lead: int, tail: int) -> Callable[[str], str]:
    """How a term is drawn. Its words are underlined, the signs around it are not."""

    def draw(words: str) -> str:
        inner = words[lead : len(words) - tail]
        name = f'<span class="word {family(term.role)}">{esc(inner)}</span>'
        line = f"{esc(words[:lead])}{name}{esc(words[len(words) - tail :])}"
        role = f'<small class="role added">{esc(role_word(term.role))}</small>'
        return (
            f'<details class="term"><summary><span class="line">{line}</span>{role}</summary>'
            f'<div class="inside added">{terms.explained(term)}</div></details>'
        )

    return draw


def _aside(kind: str, place: Span, **values: object) -> Mark:
    key = f"page_aside_{kind}" if has(f"page_aside_{kind}") else "page_aside_other"
    title = esc(say(key, **values))

    def draw(words: str) -> str:
        label = f'<small class="role added">{title}</small>' if words.strip() else ""
        return f'<span class="aside {esc(kind)}" title="{title}">{esc(words)}{label}</span>'

    return Mark(place.start, place.end, draw)


def _percent(words: str) -> str:
    return f'<b class="percent" title="{said("page_aside_percent")}">{esc(words)}</b>'


def _number_marks(terms: Terms, box: str) -> Iterator[Mark]:
    for term in terms.all:
        place = term.percent_span
        if place is not None and place.text == box:
            yield Mark(place.start, place.end, _percent)
    clauses = {i.clause.span: i.clause for i in terms.all if i.clause is not None and i.clause.span.text == box}
    for span, clause in clauses.items():
        yield _aside("clause", span, percent=f"{clause.percent:g}")


def _note_marks(report: Report, terms: Terms, box: str) -> Iterator[Mark]:
    for span in report.listed.headings:
        if span.text == box:
            yield _aside("heading", span)
    for section in report.listed.sections:
        if section.span is not None and section.span.text == box:
            yield _aside("heading", section.span)
    for term in terms.all:
        for note in term.notes:
            if note.span.text == box:
                yield _aside(note.kind, note.span)


def _aside_marks(report: Report, box: str) -> Iterator[Mark]:
    for note in report.listed.asides:
        if note.span.text == box:
            yield _aside(note.kind, note.span)
    for place in report.panel.places:
        if place.text == box:
            yield _aside("panel", place)
