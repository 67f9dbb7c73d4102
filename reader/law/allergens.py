"""Judges of allergens: whether their source can be read, lines that name them, emphasis, and words about traces.

Nothing here ever says that an allergen is absent: a list shows what was declared, no more.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from reader import tables, wordforms
from reader.allergen_words import allergens_in
from reader.facts import allergen_words
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.terms import let_off, outright, wholes
from reader.law.values import BREAKS, Ruling, breaks, cannot_tell, meets
from reader.law.words import holds, pasted_words, quoted
from reader.statement.tree import Note

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
    Names of `clear_roles` always do.

    A name that does not is open, since the words may stand where nothing was pasted from. It looks broken only for
    kinds that come from nothing else (`sure_kinds`), if the word stands nowhere at all and the place where it could
    still stand was pasted (a name that says one of `excusing` need not say more); never for allergens listed from an
    amount on (`from_an_amount`).
    """
    found = carriers(rule, case)
    if not found:
        return None
    silent = [(c, missing) for c in found if (missing := [a for a in c.allergens if a not in c.said])]
    elsewhere = _named_anywhere(case, found) if silent else frozenset()
    if not rule.values.get("each"):
        silent = [(c, nowhere) for c, missing in silent if (nowhere := [a for a in missing if a not in elsewhere])]
    if not silent:
        places = wholes(c.item for c in found)
        return meets("allergen_sources_named", *places, names=_told(case, (a for c in found for a in c.allergens)))
    for carrier, missing in silent:
        nowhere = [a for a in missing if a not in elsewhere and a not in rule.words("from_an_amount")]
        if nowhere and carrier.item.kind in rule.words("sure_kinds") and _nothing_unseen(rule, case):
            place, words = carrier.item.whole, carrier.item.printed
            return breaks("allergen_source_missing", place, words=words, name=_told(case, nowhere))
    unnamed = [(c.item, nowhere) for c, missing in silent if (nowhere := [a for a in missing if a not in elsewhere])]
    if unnamed:
        names = ", ".join(f"“{item.printed}” ({_told(case, nowhere)})" for item, nowhere in unnamed)
        return cannot_tell("allergen_source_unnamed", *wholes(item for item, _ in unnamed), names=names)
    carrier, missing = silent[0]
    place, words = carrier.item.whole, carrier.item.printed
    return cannot_tell("allergen_source_elsewhere", place, words=words, name=_told(case, missing))


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
    """Whether a line that names allergens names all of the market's list that the ingredients show for certain: in
    their words (`clear_roles` always do) or as `sure_kinds`. `none`: words of a line that says there are no allergens;
    `traces`: such as speak of traces too; `with_wheat`: what a line that names wheat names with it; `from_an_amount`:
    allergens listed from an amount on. In a pack of several lists the line may be that of one of them, so what it lacks
    is left open.
    """
    lines = [n for n in case.listed.asides if n.kind == _LINE and not _in_bracket(case, n)]
    if not lines or any(holds(case.text(n.span), rule.words("traces")) for n in lines):
        return None  # where a line speaks of traces too, which of its words name ingredients is not sure
    shown = [c for c in carriers(rule, case) if c.said or c.item.kind in rule.words("sure_kinds")]
    denying = [n for n in lines if holds(case.text(n.span), rule.words("none"))]
    if shown and denying:
        place, names = denying[0].span, _told(case, (a for c in shown for a in c.allergens))
        return breaks("allergen_line_denies", place, shown[0].item.whole, words=case.text(place), names=names)
    naming = [n.span for n in lines if n not in denying and _names(case, n)]
    if not naming:
        return None
    words = case.text(naming[0])
    for carrier, missing in _lacking(rule, shown, [case.text(place) for place in naming]):
        ruled = cannot_tell if sum(bool(section.ingredients) for section in case.listed.sections) > 1 else breaks
        item, name = carrier.item, _told(case, missing)
        return ruled("allergen_line_lacks", naming[0], item.whole, words=words, name=name, first=item.printed)
    return meets("allergen_line_whole", *naming, words=words)


def _lacking(rule: Rule, shown: list[Carrier], lines: list[str]) -> Iterator[tuple[Carrier, list[str]]]:
    """Ingredients of which lines name neither the allergens nor the ingredient itself, with those allergens."""
    named = {*rule.words("from_an_amount"), *(a for text in lines for a in allergens_in(text))}
    if "wheat" in named:
        named.update(rule.words("with_wheat"))  # "gluten" on such a line counts as wheat, and means these too
    folded = "".join(map(wordforms.key, lines))
    for carrier in shown:
        missing = [a for a in carrier.allergens if a not in named]
        if missing and wordforms.key(carrier.item.printed) not in folded:
            yield carrier, missing


def emphasis(rule: Rule, case: Case) -> Ruling | None:
    """Whether the words of allergens stand out (names of `clear_roles` are such words). Pasted text shows capitals in a
    list of small letters, nothing else.
    """
    found = carriers(rule, case)
    if not found:
        return None
    items, small_letters = [c.item for c in found], any(re.search(r"[a-z]{3}", i.printed) for i in case.terms)
    raised = [c.item for c in found if _capitals(c, case)] if small_letters else []
    if not raised:
        return cannot_tell("allergen_emphasis_unseen", *wholes(items), names=quoted(case, items))
    plain = [item for item in items if item not in raised]
    if plain:
        first, last = raised[0].printed, plain[0].printed
        return cannot_tell("allergen_emphasis_mixed", *wholes(plain), first=first, last=last)
    names = _told(case, (a for c in found for a in c.allergens))
    return meets("allergen_emphasis_capitals", *wholes(items), names=names)


def traces(_rule: Rule, case: Case) -> Ruling | None:
    """What words about traces (“may contain”) can tell: never how likely they are."""
    notes = [n for n in case.listed.asides if n.kind == _TRACES and _names(case, n)]
    if not notes:
        return None
    places = [n.span for n in notes]
    return cannot_tell("allergen_traces", *places, words=pasted_words(case, places))


def carriers(rule: Rule, case: Case) -> list[Carrier]:
    """The ingredients that come from an allergen of the market's list. A mixture whose parts are printed stands for
    them; where a name may be one of several foods only what all have in common counts.
    """
    listed, found = allergen_words(case.market), []
    clear = frozenset(rule.words("clear_roles"))
    for item in case.terms:
        entry = item.entry
        if entry is None or not (entry.allergens or item.named_allergens) or not outright(item):
            continue
        carried = () if item.parts or item.match.others else entry.allergens
        exempt = let_off(entry, case.market)
        kept = dict.fromkeys(a for a in (*item.named_allergens, *carried) if a in listed and a not in exempt)
        if kept:
            own = case.text(item.whole)
            said = frozenset(a for a in kept if item.role in clear or a in item.named_allergens or _says(own, a))
            found.append(Carrier(item, tuple(kept), said))
    return found


def _says(words: str, allergen: str) -> bool:
    """Whether words that come from an allergen name it, as a word or within one ("metabisulphite", "buttermilk")."""
    return allergen in allergens_in(words) or holds(words, _words_of(allergen))


@lru_cache(maxsize=32)
def _words_of(allergen: str) -> tuple[str, ...]:
    """The words that name an allergen."""
    return tuple(next(a["words"] for a in tables.load_raw()["allergens"]["allergens"] if a["id"] == allergen))


def _capitals(carrier: Carrier, case: Case) -> bool:
    """Whether a word in capitals names an allergen of the ingredient."""
    raised = [w for w in wordforms.words(case.text(carrier.item.whole)) if len(w) > 2 and w.isupper()]
    return any(_says(" ".join(raised), a) for a in carrier.allergens) if raised else False


def _in_bracket(case: Case, note: Note) -> bool:
    """Whether words such as "(contains gluten)" stand behind an ingredient, and are no line of the pack."""
    return note.span.text == "statement" and case.statement[: note.span.start].rstrip().endswith(("(", "["))


def _names(case: Case, note: Note) -> bool:
    return bool(allergens_in(case.text(note.span)))


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
