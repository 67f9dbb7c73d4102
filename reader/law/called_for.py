"""Judges of statements a list calls for: smoke flavouring, antioxidants, colour, preservatives, keeping and handling.

Words that belong beside the name are looked for where the front was pasted. Only a front pasted whole can be found to
lack them; a name typed in says nothing of the rest of it.
"""

from __future__ import annotations

from reader.facts import open_terms
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.front_words import whole_front
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets


def smoke(rule: Rule, case: Case) -> Ruling | None:
    """Whether smoke flavouring on the list is said beside the name (`statement`), and the other way round.

    `smoked`: words that say no more than that it was smoked.
    """
    front = case.setting.front
    listed = [i for i in open_terms(case.product.printed) if i.role == "smoke" and i.kind == "flavouring"]
    if not listed:
        said = front.first(rule.words("statement")) if case.own and "smoke" not in case.roles else None
        if said is None:
            return None
        if case.facts.unknown_terms:
            return cannot_tell("smoke_unlisted_open", said, words=case.text(said), name=case.facts.unknown_terms[0])
        return breaks("smoke_unlisted", said, words=case.text(said))
    said = case.words.first(rule.words("statement"))
    name = listed[0].printed
    if said is not None:
        return meets("smoke_said", said, listed[0].span, words=case.text(said), name=name)
    if whole_front(case):
        return breaks("smoke_unsaid", listed[0].span, name=name)
    smoked = front.first(rule.words("smoked"))
    if smoked is not None:
        return cannot_tell("smoke_smoked", smoked, listed[0].span, words=case.text(smoked), name=name)
    return cannot_tell("smoke_look", listed[0].span, name=name)


def antioxidant(rule: Rule, case: Case) -> Ruling | None:
    """Whether antioxidants on the list (`entries`) are named with their purpose (`purpose`) beside the name."""
    entries = rule.words("entries")
    if not case.entries.intersection(entries):
        return None
    listed = [i for i in open_terms(case.product.printed) if i.entry is not None and i.entry.id in entries]
    if not listed:
        return None
    purpose = case.words.first(rule.words("purpose"))
    spans = [i.span for i in listed]
    names = ", ".join(dict.fromkeys(i.printed for i in listed))
    if purpose is not None and all(case.words.holds(_names(i)) for i in listed):
        return meets("antioxidant_said", purpose, *spans, words=case.text(purpose), names=names)
    noted = [n.span for i in listed for n in i.notes if n.kind == "purpose"]
    if purpose is not None or noted:
        return cannot_tell("antioxidant_in_list", *spans, *noted, purpose, names=names)
    if whole_front(case):
        return breaks("antioxidant_unsaid", *spans, names=names)
    return cannot_tell("antioxidant_look", *spans, names=names)


def stated(rule: Rule, case: Case) -> Ruling | None:
    """Whether additives that must be stated are: some are named (`named`; `kinds`, each a role and a kind), vague words
    leave it open (`vague`; a class word of `class_words` without a name).
    """
    kinds, named, vague = (frozenset(rule.words(key)) for key in ("kinds", "named", "vague"))
    clear: list[Ingredient] = []
    for item in open_terms(case.product.printed):
        entry = item.entry
        if entry is None:
            if item.role == "class" and not item.parts and item.printed.lower() in rule.words("class_words"):
                return cannot_tell("stated_vague", item.span, words=item.printed)
        elif entry.id in vague and not item.parts:
            return cannot_tell("stated_vague", item.span, words=item.printed)
        elif entry.id in named or f"{entry.role} {entry.kind}" in kinds:
            clear.append(item)
    if not clear:
        return None
    return meets("stated_named", *(i.span for i in clear), names=", ".join(dict.fromkeys(i.printed for i in clear)))


def handling(rule: Rule, case: Case) -> Ruling | None:
    """Whether words on keeping and handling (`words`) stand on the label. Their lack is told only where so much of the
    label was pasted (`signs`) that they might be looked for.
    """
    said = case.words.first(rule.words("words"))
    if said is not None:
        return meets("handling_said", said, words=case.text(said))
    sign = case.words.first(rule.words("signs"))
    if sign is None:
        return None
    return cannot_tell("handling_look", sign, words=case.text(sign))


def mould_dip(rule: Rule, case: Case) -> Ruling | None:
    """Whether a dry sausage that lists what such sausages are dipped in against mould (`entries`) says so (`words`)."""
    if not case.entries.intersection(rule.words("entries")):
        return None
    listed = next(i for i in case.terms if i.entry is not None and i.entry.id in rule.words("entries"))
    noted = next((n.span for n in listed.notes if n.kind == "purpose"), None)
    said = case.words.first(rule.words("words")) or noted
    if said is not None:
        return meets("dip_said", listed.span, said, name=listed.printed)
    return cannot_tell("dip_look", listed.span, name=listed.printed)


def _names(item: Ingredient) -> tuple[str, ...]:
    return (item.printed, *((item.entry.name, *item.entry.also) if item.entry is not None else ()))


JUDGES = {
    "antioxidant": antioxidant,
    "handling": handling,
    "mould_dip": mould_dip,
    "smoke": smoke,
    "stated": stated,
}
