"""Judges of the form of a list: its heading, its languages, and what it need not say."""

from __future__ import annotations

from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, cannot_tell, meets
from reader.quantities import show


def heading_printed(_rule: Rule, case: Case) -> Ruling | None:
    """A heading stands before the list. Where none was pasted, nothing follows: text is often copied from behind it."""
    heading = next(iter(case.listed.headings), None)
    return meets("heading_there", heading, words=case.text(heading).rstrip(": ")) if heading is not None else None


def second_language(_rule: Rule, case: Case) -> Ruling | None:
    """The list stands in a second language too. That it was not pasted is told only where the list was pasted from its
    heading on; of a few words copied nothing follows.
    """
    other = case.aside("other_language")
    if not case.terms or (other is None and not case.listed.headings):
        return None
    return meets("language_second", other.span) if other is not None else cannot_tell("language_one")


def unlisted_water(rule: Rule, case: Case) -> Ruling | None:
    """Silence of a cured product about water leaves up to `most` percent possible. Raw preparations (`raw`: classes)
    have no such let-off.
    """
    if not case.tissues or not case.facts.cures or not case.classes.isdisjoint(rule.words("raw")):
        return None
    if not case.roles.isdisjoint(("water", "broth")):
        return None
    return cannot_tell("water_silent", most=show(rule.number("most")))


JUDGES = {
    "heading_printed": heading_printed,
    "second_language": second_language,
    "unlisted_water": unlisted_water,
}
