"""What a buyer asks for and what a label comes to, as plain frozen values that can be sent to another process."""

from __future__ import annotations

from dataclasses import dataclass

MEETS, FAILS, ASK = "meets", "fails", "ask"
VERDICTS = (MEETS, ASK, FAILS)  # from good to bad
# What a verdict rests on; ids of rules stand beside these.
LABEL, FRONT, PANEL, MAKE_UP, PRICE = "label", "front", "panel", "make-up", "price"


@dataclass(frozen=True, slots=True)
class Requirement:
    """One thing a buyer asks for. `kind` is an id of lexicon/house/requirements.yaml, which says what it takes.

    must: whether a product that fails it is out; otherwise it is preferred and only counts in the ranking.
    limit: the number it takes, in the unit of its kind; None where it takes none.
    words: the words it takes, in the order given; the currency of a price (ISO 4217).
    """

    kind: str
    must: bool = True
    limit: float | None = None
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Specification:
    """What a house asks of a product. Musts stand before what is preferred, whatever the order given; a kind may stand
    once among each. Raises ValueError where it stands twice.
    """

    title: str
    requirements: tuple[Requirement, ...] = ()

    def __post_init__(self) -> None:
        ordered = tuple(sorted(self.requirements, key=lambda r: not r.must))  # sorting keeps the order given within
        object.__setattr__(self, "requirements", ordered)
        seen: set[tuple[str, bool]] = set()
        for requirement in ordered:
            own = (requirement.kind, requirement.must)
            if own in seen:
                raise ValueError(f"{requirement.kind!r} stands twice among the {'musts' if own[1] else 'preferences'}")
            seen.add(own)

    @property
    def musts(self) -> tuple[Requirement, ...]:
        """What every product has to meet."""
        return tuple(r for r in self.requirements if r.must)

    @property
    def preferences(self) -> tuple[Requirement, ...]:
        """What ranks products that pass."""
        return tuple(r for r in self.requirements if not r.must)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a label comes to for one requirement. The verdicts of a label stand in the order of its specification.

    verdict: MEETS, only if all the label leaves possible meets it; FAILS, only if all of it fails; else ASK.
    because: why, in whole sentences that quote words and numbers.
    question: for the supplier; "" unless the verdict is ASK.
    source: what it rests on: LABEL, FRONT, PANEL, MAKE_UP, PRICE or ids of rules, joined by "; ".
    """

    kind: str
    verdict: str
    because: str
    question: str = ""
    source: str = LABEL
