"""Judges of the casing: whose animal it comes from, where it is named, its colour, whether front and list agree."""

from __future__ import annotations

from reader.facts import NOT_STATED, Casing, casing_of
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.stated_casing import HEAD, NATURAL, on_front, stated
from reader.law.terms import animals, of_any_animal, species
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import holds
from reader.product import SAUSAGE

_COLLAGEN = "collagen"


def natural(rule: Rule, case: Case) -> Ruling | None:
    """Whether a natural casing names its animal where that is not an animal of the meat (`meats_of`: the meats that
    count as of the same animal as a casing). Silence has the lawful meanings the sentence tells; a product called by
    one of `skinless` has no casing that is eaten.
    """
    if case.words.holds(rule.words("skinless")):
        return None
    told = stated(case)
    if told.material == NATURAL and told.species:
        same = {meat for animal in told.species for meat in rule.values["meats_of"].get(animal, (animal,))}
        meats = {s for i in case.tissues for s in species(i)}
        if not meats or any(map(of_any_animal, case.tissues)):
            key = "casing_any"
        else:
            key = "casing_same" if meats & same else "casing_other"
        return meets(key, told.span, species=" or ".join(told.species))
    if told.material == NATURAL:
        return cannot_tell("casing_natural", told.span)
    if told.value == NOT_STATED:
        meat = " or ".join(dict.fromkeys(s for i in case.tissues for s in animals(i)))
        return cannot_tell("casing_silent", species=meat) if meat else cannot_tell("casing_silent_any")
    return None if told.material else cannot_tell("casing_vague", told.span, words=_words(case, told))


def collagen(_rule: Rule, case: Case) -> Ruling | None:
    """Whether a collagen casing names its animal."""
    told = stated(case)
    if told.material != _COLLAGEN:
        return None
    if told.species:
        return meets("collagen_named", told.span, species=" or ".join(told.species))
    return cannot_tell("collagen_unnamed", told.span, words=_words(case, told))


def place(_rule: Rule, case: Case) -> Ruling | None:
    """Whether a casing on the list stands at its end and not among the ingredients."""
    for section in case.listed.sections:
        for k, item in enumerate(section.ingredients):
            if item.role == HEAD:
                behind = [i for i in section.ingredients[k + 1 :] if i.role not in (HEAD, "class")]
                if not behind:
                    return meets("casing_last", item.span, words=item.printed)
                return cannot_tell(
                    "casing_midst", item.span, behind[0].span, words=item.printed, first=behind[0].printed
                )
    return None


def agreement(rule: Rule, case: Case) -> Ruling | None:
    """Whether what the front says of the casing is what the list says; a list that names one does not go with a word of
    `skinless`.
    """
    listed, front = _listed(case), on_front(case)
    if not listed:
        return None
    skinless = case.setting.front.first(rule.words("skinless"))
    if skinless is not None:
        words = _words(case, listed[0])
        return cannot_tell("casing_and_skinless", skinless, listed[0].span, first=case.text(skinless), words=words)
    if front is None or not front.material or not all(c.material for c in listed):
        return None
    first, words = _words(case, front), _words(case, listed[0])
    if any(c.material == front.material for c in listed):
        return meets("casing_agrees", front.span, listed[0].span, first=first, words=words)
    return breaks("casing_differs", front.span, listed[0].span, first=first, words=words)


def coloured(rule: Rule, case: Case) -> Ruling | None:
    """Whether a coloured casing (`coloured`: words at it) is told of beside the name (`statement`). Colour that does
    not pass to the meat needs no words.
    """
    item = next((i for i in case.of_role(HEAD) if holds(i.printed, rule.words("coloured"))), None)
    if item is None:
        return None
    said = case.setting.front.first(rule.words("statement"))
    if said is not None:
        return meets("casing_colour_said", said, item.span, words=case.text(said))
    return cannot_tell("casing_colour_look", item.span, words=item.printed)


def silent_casing(_rule: Rule, case: Case) -> Ruling | None:
    """A list that says nothing of the casing, where it need not."""
    unsaid = case.product.food == SAUSAGE and case.facts.casing.value == NOT_STATED
    return meets("casing_unlisted") if unsaid else None


def _listed(case: Case) -> list[Casing]:
    """Each casing the lists name."""
    return [casing_of([i], case.statement) for i in case.of_role(HEAD)]


def _words(case: Case, casing: Casing) -> str:
    return case.text(casing.span) if casing.span is not None else ""


JUDGES = {
    "casing_agreement": agreement,
    "casing_collagen": collagen,
    "casing_coloured": coloured,
    "casing_place": place,
    "casing_species": natural,
    "silent_casing": silent_casing,
}
