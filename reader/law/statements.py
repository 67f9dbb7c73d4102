"""Judges of statements that something on the label calls for: smoke flavouring, antioxidants, keeping, handling, …

Words that belong beside the name are looked for where the front was pasted. Only a front pasted whole can be found to
lack them; a name typed in says nothing of the rest of it.
"""

from __future__ import annotations

from reader.facts import open_terms
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.front_words import silence_counts
from reader.law.rules import Rule
from reader.law.terms import of_entries, spans
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import place_of, unquoted
from reader.spans import Span


def smoke(rule: Rule, case: Case) -> Ruling | None:
    """Whether smoke flavouring on the list is said beside the name (`statement`), and the other way round.

    `smoked`: words that say no more than that it was smoked. `whole_front`: silence of the front counts only if it was
    pasted whole.
    """
    listed = next((i for i in open_terms(case.product.printed) if i.role == "smoke" and i.kind == "flavouring"), None)
    if listed is None:
        return _smoke_unlisted(rule, case)
    said, name = case.words.first(rule.words("statement")), listed.printed
    if said is not None:
        return meets("smoke_said", said, listed.span, words=case.text(said), name=name)
    if silence_counts(rule, case):
        return breaks("smoke_unsaid", listed.span, name=name)
    smoked = case.setting.front.first(rule.words("smoked"))
    if smoked is not None:
        return cannot_tell("smoke_smoked", smoked, listed.span, words=case.text(smoked), name=name)
    return cannot_tell("smoke_look", listed.span, name=name)


def _smoke_unlisted(rule: Rule, case: Case) -> Ruling | None:
    said = case.setting.front.first(rule.words("statement")) if case.own and "smoke" not in case.roles else None
    if said is None:
        return None
    unknown = case.facts.unknown_terms
    if unknown:
        return cannot_tell("smoke_unlisted_open", said, words=case.text(said), name=unknown[0])
    return breaks("smoke_unlisted", said, words=case.text(said))


def antioxidant(rule: Rule, case: Case) -> Ruling | None:
    """Whether antioxidants on the list (`entries`) are named with their purpose (`purpose`) beside the name. With
    `whole_front` silence of the front counts only if it was pasted whole.
    """
    listed = of_entries(open_terms(case.product.printed), rule.words("entries")) if case.may_hold(rule) else ()
    if not listed:
        return None
    purpose, names = case.words.first(rule.words("purpose")), unquoted(case, listed)
    if purpose is not None and all(case.words.holds(_wordings(i)) for i in listed):
        return meets("antioxidant_said", purpose, *spans(listed), words=case.text(purpose), names=names)
    noted = [place for i in listed if (place := _purpose(i))]
    if purpose is not None or noted:
        return cannot_tell("antioxidant_in_list", *spans(listed), *noted, purpose, names=names)
    if silence_counts(rule, case):
        return breaks("antioxidant_unsaid", *spans(listed), names=names)
    return cannot_tell("antioxidant_look", *spans(listed), names=names)


def _wordings(item: Ingredient) -> tuple[str, ...]:
    return (item.printed, *((item.entry.name, *item.entry.also) if item.entry is not None else ()))


def _purpose(item: Ingredient) -> Span | None:
    """Where a note at an ingredient says what it is for."""
    return next((n.span for n in item.notes if n.kind == "purpose"), None)


def mould_dip(rule: Rule, case: Case) -> Ruling | None:
    """Whether a dry sausage that lists what such sausages are dipped in against mould (`entries`) says so (`words`)."""
    listed = next(iter(case.of_entries(rule.words("entries"))), None)
    if listed is None:
        return None
    said = case.words.first(rule.words("words")) or _purpose(listed)
    if said is not None:
        return meets("dip_said", listed.span, said, name=listed.printed)
    return cannot_tell("dip_look", listed.span, name=listed.printed)


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
    return cannot_tell("handling_look", sign, words=case.text(sign), wording=rule.words("words")[0])


def statement_printed(rule: Rule, case: Case) -> Ruling | None:
    """A statement (`words`) is printed where something on the label asks for it: words of the front (`front`, but not
    beside `unless_front`, and only with something of `with_roles` or `with_entries` on the list if the rule has those),
    terms of the list (`entries`), a casing of a material (`casings`). Without `needs_trigger` it is told wherever it
    stands. `sentence`: what to look for on the pack; `most`: an amount that the text of the rule names.
    """
    place, trigger = place_of(case, rule.words("words")), _trigger(rule, case)
    if place is not None and (trigger is not None or not rule.values.get("needs_trigger")):
        return meets("statement_there", place, trigger, words=case.text(place))
    if trigger is None:
        return None
    return cannot_tell(f"look_for_{rule.values['sentence']}", trigger, words=case.text(trigger))


def _trigger(rule: Rule, case: Case) -> Span | None:
    """The place that asks for a statement."""
    front, roles, entries = case.setting.front, rule.words("with_roles"), rule.words("with_entries")
    place = front.first(rule.words("front"))
    borne_out = (not roles or not case.roles.isdisjoint(roles)) and (not entries or case.of_entries(entries))
    if place is not None and borne_out and not front.holds(rule.words("unless_front")):
        return place
    listed = case.of_entries(rule.words("entries"))
    if listed:
        return listed[0].span
    return case.facts.casing.span if case.facts.casing.material in rule.words("casings") else None


JUDGES = {
    "antioxidant": antioxidant,
    "handling": handling,
    "mould_dip": mould_dip,
    "smoke": smoke,
    "statement_printed": statement_printed,
}
