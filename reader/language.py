"""Is this an English ingredient statement at all? If not, what is it: the answer is a sentence, never a guess."""

from __future__ import annotations

from dataclasses import dataclass

from reader import wordforms
from reader.facts import walk
from reader.ingredient_tree import IngredientList
from reader.naming.names import names
from reader.phrases import book
from reader.problems import Problem, problem
from reader.spans import Span

_ENOUGH = 0.34  # house: share of understood terms below which a text is not taken for a statement we can read
_TERMS = {"fr": "French", "es": "Spanish", "de": "German"}


@dataclass(frozen=True, slots=True)
class Readable:
    """Whether the statement can be read, and if not the sentence that says why."""

    ok: bool
    problem: Problem | None = None


def readable(listed: IngredientList, clean: str) -> Readable:
    """Judge an understood statement by how much of it was understood and whose words the rest are."""
    terms = [i for s in listed.sections for i in walk(s.ingredients) if i.role != "casing"]
    other = [note for note in listed.asides if note.kind == "other_language"]
    if not terms and not other:
        return Readable(False, problem("no_statement" if clean.strip() else "empty", _whole(clean)))
    sure = sum(
        i.role != "unknown" and i.match.kind in ("exact", "spelling", "number", "class", "choice") for i in terms
    )
    understood = sum(i.role != "unknown" for i in terms)
    language = _language(clean) if not terms or sure < 0.5 * len(terms) else None  # most are English beyond doubt
    if not terms or language:
        name = _TERMS.get(language or "", "another language")
        return Readable(False, problem("language", _whole(clean), language=name, words=_recognised(clean)))
    if understood < _ENOUGH * len(terms):
        return Readable(False, problem("no_statement", _whole(clean)))
    return Readable(True)


def _whole(clean: str) -> Span:
    return Span(0, len(clean.rstrip()))


def _language(clean: str) -> str | None:
    """The other language whose small words and ingredient names outnumber the English ones, if any."""
    words = [wordforms.plain(w) for w in wordforms.words(clean[:4000])]
    tables, english = book().languages, sum(w in book().languages["english"] for w in words)
    foreign = _foreign_names(clean)
    counts = {
        code: sum(w in table for w in words) + 2 * foreign.count(code)
        for code, table in tables.items()
        if code != "english"
    }
    best = max(counts, key=lambda code: counts[code])
    return best if counts[best] > max(1, english) else None


def _foreign_names(clean: str) -> list[str]:
    """Codes of the languages of the foreign names between separators."""
    found = (names().foreign(wordforms.key(run)) for run in _runs(clean))
    return [language for _, language in filter(None, found)]


def _recognised(clean: str) -> str:
    """A few foreign names with their English ones, as a help: "sel = salt"."""
    found: dict[str, str] = {}
    for run in _runs(clean):
        named = names().foreign(wordforms.key(run))
        if named:
            found.setdefault(wordforms.plain(run.strip()), named[0].name)
    return ", ".join(f"{a} = {b}" for a, b in list(found.items())[:6]) or "none of the words we know"


def _runs(clean: str) -> list[str]:
    text = clean[:4000]
    for sign in "()[]{}.;:\n•/%0123456789*":
        text = text.replace(sign, ",")
    return [run for run in text.split(",") if run.strip()]
