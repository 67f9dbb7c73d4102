"""The make-up of a product as shares: what is possible, what is likely, and which facts decide it.

This is the seam between what a label says and everything that reasons about shares: scores, report, charts and
command line see only these values. `estimate` fills them.
"""

from __future__ import annotations

from dataclasses import dataclass

from reader.quantities import Interval
from reader.spans import Span

ORDER, POSSIBLE, LIKELY = "order", "possible", "likely"
DEPTHS = (ORDER, POSSIBLE, LIKELY)
# Groups a table has columns for; `Estimate.groups` holds more.
GROUPS = ("meat", "binders", "added_water", "sweeteners", "salt")


@dataclass(frozen=True, slots=True)
class Reason:
    """A fact that decides a bound: a sentence key of lexicon/wording/ with its values, the place, the source.

    kind: "label" (printed in the statement), "panel", "law", "composition" or "house".
    """

    id: str
    kind: str
    key: str
    values: tuple[tuple[str, str], ...] = ()
    span: Span | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """A share in percent, or milligrams where its group says so. `possible` always holds the truth if the label and
    what was assumed are right; `likely` holds it most of the time (README.md, "What the numbers rest on").

    middle: one number to remember, None where the label leaves too much open for one.
    low_because, high_because: the facts that set the two ends of `possible`, the strongest first.
    """

    possible: Interval
    likely: Interval | None = None
    middle: float | None = None
    low_because: tuple[Reason, ...] = ()
    high_because: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something the estimate takes for granted beyond what is printed; the user can switch it.

    choice: what was chosen, one of `choices`.
    """

    id: str
    choice: str
    choices: tuple[str, ...]
    reason: Reason


@dataclass(frozen=True, slots=True)
class Clash:
    """Printed facts that cannot all hold, as far as composition and assumptions go.

    together: a smallest set that cannot hold together. suspects: facts that, let go alone, make the rest fit, the
    likeliest first. let_go: what was let go so that an estimate could be given anyway.
    """

    together: tuple[Reason, ...]
    suspects: tuple[Reason, ...]
    let_go: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Unusual:
    """What is printed fits, but only with a make-up far from usual ones.

    score: least sum of squared deviations from usual composition and doses. level: "note", or "check" where a typing
    error is likelier (lexicon/estimate.yaml). because: what deviates most.
    """

    score: float
    level: str
    because: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class MakeUp:
    """Shares by group and by place in the list.

    groups: by name, in the order they are shown; a group nothing of which is on the list is 0–0.
    ingredients: one share per top-level ingredient of the product's own list, in printed order.
    sodium: milligrams per 100 g as sold, by where it comes from; () without a panel that states it.
    worth: how far the animal tissue is named muscle meat, 0–1 (weights of lexicon/scoring.yaml); None without any.
    quantities: what rules of the market speak of, worked out without any lawful cap (lexicon/estimate.yaml).
    depth: "order" (order, clauses and declared percentages only), "possible" (panel and composition too) or "likely".
    """

    groups: tuple[tuple[str, Share], ...]
    ingredients: tuple[Share, ...]
    sodium: tuple[tuple[str, Share], ...] = ()
    worth: Share | None = None
    depth: str = ORDER
    assumptions: tuple[Assumption, ...] = ()
    clash: Clash | None = None
    unusual: Unusual | None = None
    panel_used: bool = False
    settled: bool = True  # whether the draws behind what is likely agreed; if not, those ranges are rough
    quantities: tuple[tuple[str, Share], ...] = ()
    note: str = (
        ""  # key of a sentence that says why there is no estimate, or none of the panel; "" if there is nothing to say
    )

    def quantity(self, name: str) -> Share | None:
        """A quantity a rule speaks of, free of lawful caps; None if it is not known."""
        return dict(self.quantities).get(name)

    def group(self, name: str) -> Share | None:
        """The share of a group, None if it is not told of."""
        return dict(self.groups).get(name)
