"""The kinds of requirement of lexicon/house/requirements.yaml as values, and the words each of them takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reader import tables
from reader.law.rules import all_rules

LIMIT, MONEY, CHOICE, ALLOWED, EXCLUDED = "limit", "price", "choice", "allowed", "excluded"
NONE, ANY = "none", "any"
_OWN = frozenset((
    "id", "topic", "title", "field", "told", "asks", "open", "judge", "takes", "unit", "most", "source", "reason",
    "verdicts", "note", "__line__",
))  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """A kind of requirement; kinds are few and made once, so they are told apart by being the same.

    topic: the group it is shown in. title, field: its heading and the label of its form field. told: the requirement
    in words, with {limit} and {words}. asks: the question to a supplier, with {words}. open: why a label may leave it
    open. judge: who decides. takes: LIMIT, MONEY (a limit and a currency), CHOICE (one word), ALLOWED or EXCLUDED
    (words). unit, most: of the limit, which is 0 at least. verdicts: those it can come to. values: what its judge needs
    beside.
    """

    id: str
    topic: str
    title: str
    field: str
    told: str
    asks: str
    open: str
    judge: str
    takes: str
    unit: str
    most: float
    verdicts: tuple[str, ...]
    values: Mapping[str, Any]

    def listed(self, name: str) -> tuple[str, ...]:
        """A list of words among what its judge needs, () if there is none of that name."""
        return tuple(self.values.get(name) or ())

    @property
    def choices(self) -> Mapping[str, Mapping[str, Any]]:
        """Its own words with what each stands for, in the order of the data file."""
        return {choice["word"]: choice for choice in self.values.get("choices") or ()}


@lru_cache(maxsize=1)
def kinds() -> Mapping[str, Kind]:
    """All kinds by id, in the order they are shown."""
    return {item["id"]: _kind(item) for item in raw()["kinds"]}


def raw() -> dict[str, Any]:
    """lexicon/house/requirements.yaml as plain data."""
    found: dict[str, Any] = tables.load_raw()["house/requirements"]
    return found


def _kind(item: Mapping[str, Any]) -> Kind:
    return Kind(
        id=item["id"],
        topic=item["topic"],
        title=item["title"],
        field=item["field"],
        told=item["told"],
        asks=item["asks"],
        open=item["open"],
        judge=item["judge"],
        takes=item["takes"],
        unit=item.get("unit", ""),
        most=float(item.get("most", 0)),
        verdicts=tuple(item.get("verdicts", ("meets", "ask", "fails"))),
        values={key: value for key, value in item.items() if key not in _OWN},
    )


@lru_cache(maxsize=64)
def words_of(kind: Kind) -> tuple[str, ...]:
    """The words a kind takes, those it is read as before those that mean the same. For a price, the currencies."""
    if kind.takes == MONEY:
        return tuple(str(c["code"]) for c in tables.load_raw()["price_words"]["currencies"])
    none = (NONE,) if kind.values.get("none") else ()
    source = kind.values.get("words")
    if source == "animals":
        return (*none, *(str(a["word"]) for a in raw()["animals"]))
    if source == "allergens":
        return tuple(str(a["word"]) for a in tables.load_raw()["allergens"]["allergens"])
    if source == "findings":
        return (ANY, *topics_of_findings(), *(rule.id for rule in all_rules()))
    if source == "names":
        entries = [e for e in tables.entries() if e.role in kind.values["of"]["roles"]]
        return tuple(
            dict.fromkeys(
                (*none, *(e.kind for e in entries if e.kind not in ("", "other")), *(e.name for e in entries))
            )
        )
    return (*none, *kind.choices)


@lru_cache(maxsize=1)
def topics_of_findings() -> tuple[str, ...]:
    """What can hang on a rule (lexicon/README.md, "The rules"): words that stand for all rules of that consequence."""
    return tuple(sorted({rule.consequence for rule in all_rules()}))
