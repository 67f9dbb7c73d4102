"""Judge of the casing: it is one of those the house wants."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from reader.facts import NOT_STATED, Casing
from reader.house.evidence import Evidence, unread_list
from reader.house.kinds import Kind
from reader.house.sought import NO, PERHAPS, YES
from reader.house.values import ASK, FAILS, FRONT, LABEL, MEETS, Requirement, Verdict
from reader.law.case import Case
from reader.law.stated_casing import HEAD, NATURAL, stated
from reader.phrases import book
from reader.spans import Span
from reader.wording import say

_OR = re.compile(r"\bor\b|/")


class _Option(NamedTuple):
    """What a casing may be; "" is what is not told."""

    material: str
    species: str


def casing(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """The casing on list or front is of a wanted `material` and, where one is given, of its `species`. `front`: words
    there that tell of a product without a casing of its own. Silence is asked about, for a casing need not be named.
    """
    wanted = [kind.choices[word] for word in requirement.words]
    told = stated(seen.case)
    material, place = _without(kind, seen.case)
    if told.value != NOT_STATED and told.span is not None:
        return _of_stated(told, told.span, wanted, kind, seen, called_without=place)
    if place is not None:
        fits = any(_fits(_Option(material, ""), choice) == YES for choice in wanted)
        because = say(f"house_casing_{material}", names=_quoted(seen.case, [place]))
        return Verdict(kind.id, MEETS if fits else FAILS, because, source=FRONT)
    unread = unread_list(kind, seen)
    if unread is not None:
        return unread
    return Verdict(kind.id, ASK, say("house_casing_silent", reason=kind.open), kind.asks)


def _without(kind: Kind, case: Case) -> tuple[str, Span | None]:
    """What a front that calls the product skinless, a patty or the like says of its casing, and where."""
    for row in kind.values["front"]:
        place = case.setting.front.first(row["words"])
        if place is not None:
            return str(row["material"]), place
    return "", None


def _of_stated(
    told: Casing,
    place: Span,
    wanted: Sequence[Mapping[str, Any]],
    kind: Kind,
    seen: Evidence,
    called_without: Span | None,
) -> Verdict:
    case = seen.case
    places = [i.whole for i in case.of_role(HEAD)] or [place]
    options = [option for where in places for option in _options(case.text(where).lower(), told)]
    found = {_best(option, wanted) for option in options}
    source = FRONT if place.text == "name" else LABEL
    if called_without is not None:
        names = _quoted(case, [called_without, *places])
        because = say("house_casing_open", names=names, fact=say("house_casing_open_two"))
        return Verdict(kind.id, ASK, because, kind.asks, f"{LABEL}; {FRONT}")
    names = _quoted(case, places)
    if found == {YES} or found == {NO}:
        because = say("house_casing_stated", names=names)
        return Verdict(kind.id, MEETS if found == {YES} else FAILS, because, source=source)
    because = say("house_casing_open", names=names, fact=say(f"house_casing_open_{_left_open(options)}"))
    return Verdict(kind.id, ASK, because, kind.asks, source)


def _options(words: str, told: Casing) -> list[_Option]:
    """What the words of a casing may mean: each of several materials or animals joined by “or”."""
    material, species, _ = book().casing.read(words)
    materials = [material or told.material or (NATURAL if species else "")]
    if _OR.search(words):
        named = dict.fromkeys(v for word, v in book().casing.materials.items() if re.search(rf"\b{word}\b", words))
        materials = list(named) if len(named) > 1 else materials
    return [_Option(m, s) for m in materials for s in (species or ("",))]


def _best(option: _Option, wanted: Sequence[Mapping[str, Any]]) -> str:
    found = {_fits(option, choice) for choice in wanted}
    return YES if YES in found else PERHAPS if PERHAPS in found else NO


def _fits(option: _Option, choice: Mapping[str, Any]) -> str:
    if option.material in ("", "unspecified"):
        return PERHAPS
    if option.material != choice["material"]:
        return NO
    species = choice.get("species", ())
    if not species or option.species in species:
        return YES
    return NO if option.species else PERHAPS


def _left_open(options: Sequence[_Option]) -> str:
    """What keeps a stated casing from telling what is asked: the key of a sentence."""
    if len(options) > 1:
        return "choice"
    return "species" if options[0].material not in ("", "unspecified") else "material"


def _quoted(case: Case, places: Sequence[Span]) -> str:
    words = "”, “".join(dict.fromkeys(case.text(place) for place in places))
    return f"“{words}”"


JUDGES = {"casing": casing}
