"""Judges of allergens: whether their source can be read, lines that name them, emphasis, and words about traces.

Nothing here ever says that an allergen is absent: a list shows what was declared, no more.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from reader import tables, wordforms
from reader.allergen_words import allergens_in
from reader.facts import allergen_words
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import BREAKS, Ruling, breaks, cannot_tell, meets
from reader.statement.tree import Note

_CERTAIN = frozenset(("exact", "number", "spelling"))  # how a name was found: others may be another food
_LINE, _TRACES = "allergen_line", "precaution"


@dataclass(frozen=True, slots=True)
class Carrier:
    """An ingredient of the list with the allergens of the market's list it comes from; `said` are those its own words
    name (brackets and notes included).
    """

    item: Ingredient
    allergens: tuple[str, ...]
    said: frozenset[str]


def sources(rule: Rule, case: Case) -> Ruling | None:
    """Whether each ingredient that comes from a listed allergen says so: by itself (`each`), or anywhere on the label.

    A name that does not is open, since the words may stand where nothing was pasted from. It looks broken only for
    kinds that come from nothing else (`sure_kinds`), if the word stands nowhere at all and the place where it could
    still stand was pasted; never for allergens listed from an amount on (`from_an_amount`).
    """
    found = carriers(rule, case)
    if not found:
        return None
    silent = [(c, [a for a in c.allergens if a not in c.said]) for c in found]
    silent = [(c, missing) for c, missing in silent if missing]
    elsewhere = _named_anywhere(case, found) if silent else frozenset()
    spans = [c.item.whole for c in found]
    if not rule.values.get("each"):
        silent = [(c, nowhere) for c, missing in silent if (nowhere := [a for a in missing if a not in elsewhere])]
    if not silent:
        return meets("allergen_sources_named", *spans, names=_told(case, (a for c in found for a in c.allergens)))
    sure = frozenset(rule.words("sure_kinds"))
    for carrier, missing in silent:
        nowhere = [a for a in missing if a not in elsewhere and a not in rule.words("from_an_amount")]
        if nowhere and carrier.item.kind in sure and _nothing_unseen(rule, case):
            return breaks(
                "allergen_source_missing", carrier.item.whole, words=carrier.item.printed, name=_told(case, nowhere)
            )
    carrier, missing = silent[0]
    key = "allergen_source_elsewhere" if elsewhere.issuperset(missing) else "allergen_source_unnamed"
    return cannot_tell(key, carrier.item.whole, words=carrier.item.printed, name=_told(case, missing))


def _nothing_unseen(rule: Rule, case: Case) -> bool:
    """Whether the other place that may name a source was pasted: the name of the food, which excuses an ingredient that
    has to tell by itself unless it says none of `excusing`; else the line that names allergens.
    """
    if BREAKS not in rule.verdicts:
        return False
    if rule.values.get("each"):
        return bool(case.name.strip()) and not case.setting.front.holds(rule.words("excusing"))
    return any(n.kind == _LINE for n in case.listed.asides)


def line(rule: Rule, case: Case) -> Ruling | None:
    """Whether a line that names allergens names all of the market's list that the ingredients show for certain. In a
    pack of several lists it may be the line of one of them, so what it lacks is left open.
    """
    lines = [n for n in case.listed.asides if n.kind == _LINE and not _in_bracket(case, n)]
    if not lines or any(_holds(case.text(n.span), rule.words("traces")) for n in lines):
        return None  # where a line speaks of traces too, which of its words name ingredients is not sure
    shown = [c for c in carriers(rule, case) if c.said or c.item.kind in rule.words("sure_kinds")]
    for note in lines:
        if shown and _holds(case.text(note.span), rule.words("none")):
            names = _told(case, (a for c in shown for a in c.allergens))
            return breaks(
                "allergen_line_denies", note.span, shown[0].item.whole, words=case.text(note.span), names=names
            )
    notes = [n for n in lines if _names(case, n) and not _holds(case.text(n.span), rule.words("none"))]
    if not notes:
        return None
    named = {a for n in notes for a in allergens_in(case.text(n.span))}
    if "wheat" in named:
        named.update(rule.words("with_wheat"))  # "gluten" on such a line counts as wheat, and means these too
    folded = "".join(wordforms.key(case.text(n.span)) for n in notes)
    for carrier in shown:
        missing = [a for a in carrier.allergens if a not in named and a not in rule.words("from_an_amount")]
        if missing and wordforms.key(carrier.item.printed) not in folded:
            told = cannot_tell if sum(bool(section.ingredients) for section in case.listed.sections) > 1 else breaks
            spans = notes[0].span, carrier.item.whole
            words, name = case.text(notes[0].span), _told(case, missing)
            return told("allergen_line_lacks", *spans, words=words, name=name, first=carrier.item.printed)
    return meets("allergen_line_whole", *(n.span for n in notes), words=case.text(notes[0].span))


def emphasis(rule: Rule, case: Case) -> Ruling | None:
    """Whether the words of allergens stand out. Pasted text shows capitals in a list of small letters, nothing else."""
    found = carriers(rule, case)
    if not found:
        return None
    spans = [c.item.whole for c in found]
    if not any(re.search(r"[a-z]{3}", i.printed) for i in case.terms):
        return cannot_tell("allergen_emphasis_unseen", *spans)
    plain = [c for c in found if not _capitals(c, case)]
    if not plain:
        return meets("allergen_emphasis_capitals", *spans, names=_told(case, (a for c in found for a in c.allergens)))
    if len(plain) < len(found):
        raised = next(c for c in found if c not in plain)
        return cannot_tell(
            "allergen_emphasis_mixed",
            *(c.item.whole for c in plain),
            first=raised.item.printed,
            last=plain[0].item.printed,
        )
    return cannot_tell("allergen_emphasis_unseen", *spans)


def traces(_rule: Rule, case: Case) -> Ruling | None:
    """What words about traces (“may contain”) can tell: never how likely they are."""
    notes = [n for n in case.listed.asides if n.kind == _TRACES and _names(case, n)]
    if not notes:
        return None
    return cannot_tell("allergen_traces", *(n.span for n in notes), words=case.text(notes[0].span))


def carriers(rule: Rule, case: Case) -> list[Carrier]:
    """The ingredients that come from an allergen of the market's list. A mixture whose parts are printed stands for
    them; where a name may be one of several foods only what all have in common counts.
    """
    listed, found = allergen_words(case.market), []
    clear = frozenset(rule.words("clear_roles"))
    for item in case.terms:
        entry = item.entry
        if entry is None or not (entry.allergens or item.named_allergens) or item.match.kind not in _CERTAIN:
            continue
        carried = () if item.parts or item.match.others else entry.allergens
        exempt = next((ids for market, ids in entry.exempt if market == case.market), ())
        kept = dict.fromkeys(a for a in (*item.named_allergens, *carried) if a in listed and a not in exempt)
        if kept:
            own = case.text(item.whole)
            said = frozenset(a for a in kept if item.role in clear or a in item.named_allergens or _says(own, a))
            found.append(Carrier(item, tuple(kept), said))
    return found


def _says(words: str, allergen: str) -> bool:
    """Whether words that come from an allergen name it, as a word or within one ("metabisulphite", "buttermilk")."""
    folded = wordforms.key(words)
    return allergen in allergens_in(words) or any(key in folded for key in _keys(allergen))


@lru_cache(maxsize=32)
def _keys(allergen: str) -> tuple[str, ...]:
    """The words that name an allergen, folded."""
    words = next(a["words"] for a in tables.load_raw()["allergens"]["allergens"] if a["id"] == allergen)
    return tuple(map(wordforms.key, words))


def _capitals(carrier: Carrier, case: Case) -> bool:
    """Whether a word in capitals names an allergen of the ingredient."""
    raised = [w for w in wordforms.words(case.text(carrier.item.whole)) if len(w) > 2 and w.isupper()]
    return any(_says(" ".join(raised), a) for a in carrier.allergens) if raised else False


def _in_bracket(case: Case, note: Note) -> bool:
    """Whether words such as "(contains gluten)" stand behind an ingredient, and are no line of the pack."""
    return note.span.text == "statement" and case.statement[: note.span.start].rstrip().endswith(("(", "["))


def _names(case: Case, note: Note) -> bool:
    return bool(allergens_in(case.text(note.span)))


def _holds(words: str, wordings: Iterable[str]) -> bool:
    folded = wordforms.key(words)
    return any(wordforms.key(w) in folded for w in wordings)


def _named_anywhere(case: Case, found: list[Carrier]) -> frozenset[str]:
    """Allergens named by any ingredient, on a line that names them, or on the front."""
    lines = [a for n in case.listed.asides if n.kind == _LINE for a in allergens_in(case.text(n.span))]
    return frozenset(a for c in found for a in c.said).union(lines, allergens_in(case.name))


def _told(case: Case, allergens: Iterable[str]) -> str:
    words = allergen_words(case.market)
    return ", ".join(dict.fromkeys(words[a] for a in allergens))


JUDGES = {
    "allergen_emphasis": emphasis,
    "allergen_line": line,
    "allergen_sources": sources,
    "allergen_traces": traces,
}
