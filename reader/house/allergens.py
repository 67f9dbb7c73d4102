"""Judge of allergens. It never says that one is absent: a list shows what was declared, the maker confirms it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from reader import tables
from reader.allergen_words import allergens_in
from reader.house.evidence import Evidence, unread_list
from reader.house.kinds import Kind
from reader.house.values import ASK, FAILS, LABEL, Requirement, Verdict
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.terms import EITHER, let_off, outright, spans
from reader.law.words import pasted_words
from reader.spans import Span
from reader.wording import say

_LINE, _TRACES = "allergen_line", "precaution"


def allergens(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """It fails if the label names one of the allergens, by an ingredient that carries it or on a line that lists them,
    whatever market's list they are on. Everything else is asked about, `vague` names of ingredients with it.
    """
    unread = unread_list(kind, seen)
    if unread is not None:
        return unread
    case, barred = seen.case, {_ids()[word] for word in requirement.words}
    sure, open_ = _carriers(case, barred)
    lines = _lines(case, barred, _LINE)
    words = _joined(requirement.words)
    if sure or lines:
        named = {**{i.span: set(i.entry.allergens if i.entry else ()) | set(i.named_allergens) for i in sure}, **lines}
        because = say("house_allergen_named", words=_told(requirement, named.values()), names=_quoted(case, named))
        return Verdict(kind.id, FAILS, because)
    traces = _lines(case, barred, _TRACES)
    if traces:
        told = {"words": _told(requirement, traces.values()), "names": _quoted(case, traces), "reason": kind.open}
        because = say("house_allergen_traces", **told)
    elif open_:
        because = say("house_allergen_open", words=words, names=_quoted(case, spans(open_)), reason=kind.open)
    else:
        because = say("house_allergen_unnamed", words=words, reason=kind.open)
    vague = [i for i in case.terms if i.entry is not None and not i.parts and i.entry.id in kind.listed("vague")]
    vague += [i for i in case.terms if i.role == "unknown"]
    question = kind.asks.format(words=words)
    if vague:
        names = _quoted(case, spans(vague))
        because = f"{because} {say('house_allergen_vague', names=names)}"
        question = f"{question} {say('house_allergen_vague_question', names=names)}"
    return Verdict(kind.id, ASK, because, question, LABEL)


def _carriers(case: Case, barred: set[str]) -> tuple[list[Ingredient], list[Ingredient]]:
    """The ingredients that surely come from one of the allergens, and those of which it is open: behind an “or”, not
    read outright, or let off by the market's law.
    """
    sure: list[Ingredient] = []
    open_: list[Ingredient] = []
    for item in case.terms:
        if item.entry is None:
            continue
        own = barred & {*item.entry.allergens, *item.named_allergens}
        others = any(barred.intersection(entry.allergens) for entry in item.match.others)
        if not own:
            open_ += [item] if others else []
        elif own <= {*let_off(item.entry, case.market)} or not _beyond_doubt(item):
            open_.append(item)
        else:
            sure.append(item)
    return sure, open_


def _beyond_doubt(item: Ingredient) -> bool:
    return outright(item) and not item.match.others and item.joiner not in EITHER


def _lines(case: Case, barred: set[str], kind: str) -> dict[Span, set[str]]:
    """The notes of a kind that name some of the allergens, with those they name."""
    notes = (n.span for n in case.listed.asides if n.kind == kind)
    return {place: found for place in notes if (found := barred.intersection(allergens_in(case.text(place))))}


@lru_cache(maxsize=1)
def _ids() -> dict[str, str]:
    return {a["word"]: a["id"] for a in tables.load_raw()["allergens"]["allergens"]}


def _told(requirement: Requirement, named: Iterable[set[str]]) -> str:
    """Those of the words of a requirement that are named, as it gives them."""
    found = set[str]().union(*named)
    return _joined([word for word in requirement.words if _ids()[word] in found])


def _joined(words: Iterable[str]) -> str:
    return " or ".join(words)


def _quoted(case: Case, places: Iterable[Span]) -> str:
    return f"“{pasted_words(case, places)}”"


JUDGES = {"allergens": allergens}
