"""Everything a judge may look at for one label, read once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from reader.facts import ANIMAL, Facts, open_terms, walk
from reader.front import Words, together
from reader.ingredient_tree import Ingredient, IngredientList
from reader.law.rules import Rule
from reader.law.setting import Setting
from reader.law.terms import of_entries
from reader.makeup.settings import quantities
from reader.makeup.values import MakeUp, Share
from reader.panel.reading import Panel
from reader.product import Product
from reader.spans import Span
from reader.statement.tree import Note
from reader.tables import Entry


@dataclass(frozen=True)
class Case:
    """One label before its judges. `statement`, `panel_text` and `name` are the clean texts places point into."""

    product: Product
    listed: IngredientList
    facts: Facts
    makeup: MakeUp
    panel: Panel
    setting: Setting
    statement: str
    panel_text: str
    name: str

    @property
    def market(self) -> str:
        """Whose law."""
        return self.setting.market

    @property
    def classes(self) -> frozenset[str]:
        """What the product is before the law."""
        return self.setting.classed.all

    @cached_property
    def terms(self) -> tuple[Ingredient, ...]:
        """Every ingredient of every list, at any depth, in label order."""
        return tuple(i for s in self.listed.sections for i in walk(s.ingredients))

    @cached_property
    def own(self) -> tuple[Ingredient, ...]:
        """Every ingredient of the sausage's own list, at any depth."""
        return tuple(walk(self.product.ingredients))

    @cached_property
    def open(self) -> tuple[Ingredient, ...]:
        """The same without what is inside a cheese, a flavour and the like."""
        return tuple(open_terms(self.product.ingredients))

    @cached_property
    def tissues(self) -> tuple[Ingredient, ...]:
        """The animal tissues of the sausage's own list."""
        return tuple(i for i in self.own if i.role in ANIMAL)

    @cached_property
    def roles(self) -> frozenset[str]:
        """The roles of all terms."""
        return frozenset(i.role for i in self.terms)

    @cached_property
    def entries(self) -> frozenset[str]:
        """The lexicon ids of all terms."""
        return frozenset(i.entry.id for i in self.terms if i.entry is not None)

    @cached_property
    def named(self) -> Mapping[str, tuple[Entry, ...]]:
        """By role, the lexicon entries of the sausage's own list, with the choices an “or” leaves."""
        found: dict[str, list[Entry]] = {}
        for item in self.own:
            for entry in (item.match.entry, *item.match.others):
                if entry is not None:
                    found.setdefault(entry.role, []).append(entry)
        return {role: tuple(entries) for role, entries in found.items()}

    @cached_property
    def words(self) -> Words:
        """The words of the front and of the sentences beside the list together."""
        return together(self.setting.front, self.setting.beside)

    @property
    def has_front(self) -> bool:
        """Whether anything of the front was pasted: without it, what the front says is not known."""
        return bool(self.setting.front.stretches)

    def of_role(self, role: str, *kinds: str) -> tuple[Ingredient, ...]:
        """The terms of a role, of some kinds of it if any are named."""
        if role not in self.roles:
            return ()
        return tuple(i for i in self.terms if i.role == role and (not kinds or i.kind in kinds))

    def of_entries(self, ids: tuple[str, ...]) -> tuple[Ingredient, ...]:
        """The terms of some lexicon ids."""
        return of_entries(self.terms, ids) if not self.entries.isdisjoint(ids) else ()

    def may_hold(self, rule: Rule) -> bool:
        """Whether the label has anything of the `roles` and anything of the `entries` a rule names: a quick look."""
        roles, entries = rule.words("roles"), rule.words("entries")
        return not ((roles and self.roles.isdisjoint(roles)) or (entries and self.entries.isdisjoint(entries)))

    def aside(self, *kinds: str) -> Note | None:
        """The first note of some kinds beside the list."""
        return next((n for n in self.listed.asides if n.kind in kinds), None)

    def text(self, span: Span) -> str:
        """The clean words at a place, on one line."""
        texts = {"statement": self.statement, "panel": self.panel_text, "name": self.name}
        return " ".join(span.of(texts[span.text]).split())

    def share(self, quantity: str) -> Share | None:
        """A quantity of lexicon/estimate.yaml without lawful caps and usual doses; from the panel or the order of the
        list where nothing better was worked out. None where nothing is known of it, or printed facts contradict.
        """
        found = self.makeup.quantity(quantity)
        if found is not None or self.makeup.clash is not None or self.makeup.quantities:
            return found
        formula = quantities()[quantity].formula
        if formula in ("fat", "protein"):
            printed = self.panel.per_100g(f"{formula}_g") if self.product.whole_pack else None
            return Share(printed) if printed is not None else None
        return self.makeup.group(quantity)
