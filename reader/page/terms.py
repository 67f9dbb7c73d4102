"""What is told about one term: what it is, why it is in a sausage, how sure the reading is, where it stands."""

from __future__ import annotations

from functools import lru_cache

from reader import tables
from reader.facts import allergen_words, walk
from reader.ingredient_tree import Ingredient
from reader.makeup.values import Share
from reader.makeup_words import bounds_told
from reader.page.parts import Cited, between, esc, said, told
from reader.quantities import show
from reader.report import Report
from reader.spans import Span
from reader.wording import say

FAMILIES = ("meat", "pressed", "filler", "cure", "taste", "food", "unknown")  # in the order of the key

_FAMILY_OF = {
    "meat": ("meat", "fat", "fish", "animal_protein", "egg"),
    "pressed": ("mechanically_separated", "by_product"),
    "filler": ("binder", "hydrocolloid", "cereal", "bakery", "legume"),
    "cure": (
        "cure", "cure_accelerator", "phosphate", "antimicrobial", "acid", "antioxidant", "emulsifier", "colour",
        "culture", "enzyme", "leavening", "nutrient", "processing", "class",
    ),
    "taste": ("salt", "salt_replacer", "sweetener", "spice", "flavouring", "smoke", "condiment", "group"),
    "unknown": ("unknown",),
}  # fmt: skip
_BY_ROLE = {role: name for name, roles in _FAMILY_OF.items() for role in roles}
_MOST_NAMES = 6  # other wordings shown for one entry


def family(role: str) -> str:
    """The family of a role, which decides the underline."""
    return _BY_ROLE.get(role, "food")


@lru_cache(maxsize=64)
def _role(role: str) -> tuple[str, str]:
    if role in ("unknown", "class"):
        return say(f"page_role_{role}"), say(f"page_role_{role}_says")
    found = next(r for r in tables.load_raw()["roles"] if r["id"] == role)
    return found["word"], found["says"]


def role_word(role: str) -> str:
    """The short word that stands under a term."""
    return _role(role)[0]


@lru_cache(maxsize=1)
def _names() -> dict[str, str]:
    return {e.id: e.name for e in tables.entries()}


class Terms:
    """The terms of a report with what has to be known to explain each: its place, its share, what it is part of."""

    def __init__(self, report: Report, cited: Cited) -> None:
        self.report = report
        self.cited = cited
        self.all = tuple(i for s in report.listed.sections for i in walk(s.ingredients))
        own = report.product.ingredients
        shares = report.makeup.ingredients
        self.count = len(own)
        self.place: dict[Span, tuple[int, Share]] = {
            i.span: (k, share) for k, (i, share) in enumerate(zip(own, shares, strict=True), 1)
        }
        self.outer = {p.span: i for i in self.all for p in i.parts}

    def explained(self, term: Ingredient) -> str:
        """The explanation of a term as a list of headed lines."""
        rows = [*self._what(term), *self._how(term), *self._where(term)]
        return "<dl>" + "".join(f"<div><dt>{said(f'page_term_{k}')}</dt><dd>{v}</dd></div>" for k, v in rows) + "</dl>"

    def _what(self, term: Ingredient) -> list[tuple[str, str]]:
        entry, role = term.entry, _role(term.role)
        rows = [("read_as", f"<b>{esc(entry.name if entry else term.printed)}</b>: {esc(role[0])}. {esc(role[1])}")]
        if entry is not None:
            rows += [("what", esc(entry.what)), ("why", esc(entry.why) + self.cited.mark(entry.source))]
        names = self._allergens(term)
        if names:
            market = say(f"page_market_{self.report.market}")
            rows.append(("allergens", said("page_term_allergens_text", names=", ".join(names), market=market)))
        if entry is not None and entry.sodium:
            rows.append(("sodium", said("page_term_sodium_text")))
        return rows

    def _allergens(self, term: Ingredient) -> list[str]:
        entry, words = term.entry, allergen_words(self.report.market)
        exempt = next((ids for m, ids in entry.exempt if m == self.report.market), ()) if entry else ()
        carried = [a for a in entry.allergens if a not in exempt] if entry else []
        return [words[a] for a in dict.fromkeys([*carried, *term.named_allergens]) if a in words]

    def _how(self, term: Ingredient) -> list[tuple[str, str]]:
        match, entry = term.match, term.entry
        rows = [("match", self._matched(term))]
        if match.alternatives:
            rows.append(("maybe", esc("; ".join(_names().get(a, a) for a in match.alternatives))))
        if entry is not None and entry.also:
            others = [w for w in (*entry.also, *(f"E {n}" for n in entry.e)) if w.lower() != term.printed.lower()]
            rows.append(("also", esc("; ".join(others[:_MOST_NAMES]))))
        return rows

    def _matched(self, term: Ingredient) -> str:
        match = term.match
        key = "head_all" if match.kind == "head" and not match.dropped else match.kind
        text = said(f"page_match_{key}", wording=match.wording, dropped=" ".join(match.dropped))
        sure = f" ({said('page_term_sure', score=show(match.score, 0))})" if match.kind in ("near", "scan") else ""
        return text + sure

    def _where(self, term: Ingredient) -> list[tuple[str, str]]:
        rows = []
        if term.span in self.place:
            rank, share = self.place[term.span]
            rows.append(("place", said("page_term_place_text", rank=rank, count=self.count)))
            rows.append(("share", self._share(share)))
        elif term.span in self.outer:
            rows.append(("place", said("page_term_place_inside", outer=self.outer[term.span].printed)))
        if term.percent is not None:
            printed = self.report.pasted(term.percent_span) if term.percent_span else show(term.percent.low)
            rows.append(("declared", said("page_term_declared_text", percent=printed)))
        if term.class_word:
            rows.append(("class", esc(term.class_word)))
        if term.parts:
            rows.append(("holds", esc("; ".join(p.printed for p in term.parts))))
        if term.notes:
            rows.append(("notes", esc("; ".join(f"“{self.report.pasted(n.span).strip()}”" for n in term.notes))))
        return rows

    def _share(self, share: Share) -> str:
        low, high = between(share.possible)
        text = said("page_term_share_text", low=low, high=high)
        if share.likely is not None:
            low, high = between(share.likely)
            text += "; " + said("page_term_share_likely", low=low, high=high)
        return f"{text}. {told(' '.join(bounds_told('ingredient', share)))}"
