"""The numbers behind the pictures, once: the charts draw them, the tables tell them in words. No drawing here."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from reader import tables
from reader.aspects import Aspect
from reader.ingredient_tree import Ingredient
from reader.makeup.values import Share
from reader.makeup_words import between, group_name, middle
from reader.page.makeup import counts, shows
from reader.page.parts import table
from reader.page.terms import role_word
from reader.panel.standards import sodium_days_of
from reader.quantities import Interval, show
from reader.report import Report
from reader.wording import say


@dataclass(frozen=True, slots=True)
class Placed:
    """One term of the sausage's own list with its share."""

    rank: int
    term: Ingredient
    share: Share

    @property
    def name(self) -> str:
        """Place and printed name."""
        return f"{self.rank}  {self.term.printed}"


@dataclass(frozen=True, slots=True)
class Group:
    """One group of the make-up; `members`: (name, share, its range in words) of each ingredient that counts to it."""

    id: str
    name: str
    share: Share
    text: str
    members: tuple[tuple[str, Share, str], ...]


@dataclass(frozen=True, slots=True)
class Day:
    """A day's sodium, in mg, by whose count, and how much of it a serving and 100 g are, in percent."""

    name: str
    mg: float
    serving: float | None
    hundred: float | None
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Survey:
    """Sodium of surveyed products, mg per 100 g."""

    name: str
    low: float | None
    mean: float | None
    high: float | None
    source: str


def makeup(report: Report) -> tuple[Group, ...]:
    """The groups of the make-up of which there is anything, with the ingredients of the list that count to each."""
    own = tuple(zip(report.product.ingredients, report.makeup.ingredients, strict=True))
    return tuple(
        Group(
            name,
            group_name(name),
            share,
            between(name, share.likely or share.possible),
            tuple(
                (item.printed.lower(), own_share, between("ingredient", own_share.likely or own_share.possible))
                for item, own_share in own
                if counts(name, item)
            ),
        )
        for name, share in report.makeup.groups
        if shows(share) and not name.endswith("_of_meat")
    )


def order(report: Report) -> tuple[Placed, ...]:
    """The sausage's own list in printed order."""
    pairs = zip(report.product.ingredients, report.makeup.ingredients, strict=True)
    return tuple(Placed(k, i, share) for k, (i, share) in enumerate(pairs, 1))


def sodium_serving(report: Report) -> tuple[Interval, float] | None:
    """What a serving's sodium can be, and the number printed or simply converted, in mg; None if not stated."""
    return _sodium(report.panel.per_serving("sodium_mg"), report.panel.stated_per_serving("sodium_mg"))


def sodium_hundred(report: Report) -> tuple[Interval, float] | None:
    """The same for 100 g."""
    return _sodium(report.panel.per_100g("sodium_mg"), report.panel.stated_per_100g("sodium_mg"))


def _sodium(true: Interval | None, stated: float | None) -> tuple[Interval, float] | None:
    return None if true is None or stated is None else (true, stated)


def days(report: Report) -> tuple[Day, ...]:
    """The days this market's servings are compared with."""
    serving, hundred = (report.panel.stated_per_serving("sodium_mg"), report.panel.stated_per_100g("sodium_mg"))
    return tuple(
        Day(d.name, d.value, _share(serving, d.value), _share(hundred, d.value), d.source, d.status)
        for d in sodium_days_of(report.market)
    )


def _share(amount: float | None, day: float) -> float | None:
    return None if amount is None else 100.0 * amount / day


@lru_cache(maxsize=1)
def surveys() -> tuple[Survey, ...]:
    """The surveys of lexicon/sodium.yaml; a mean with a standard deviation gets the range of one of them."""
    found = []
    for raw in tables.load_raw()["sodium"]["surveys"]:
        low, mean, high, sd = (float(raw[k]) if k in raw else None for k in ("low", "mean", "high", "sd"))
        if sd is not None and mean is not None:
            low, high = mean - sd, mean + sd
        found.append(Survey(raw["name"], low, mean, high, raw["source"]))
    return tuple(found)


# -- the same in words --------------------------------------------------------------------------------------


def makeup_table(report: Report) -> str:
    """The groups of the make-up with their ranges, as an HTML table."""
    head = [say(f"figure_makeup_column_{c}") for c in ("group", "possible", "likely", "middle")]
    rows = [
        [
            group.name,
            between(group.id, group.share.possible, ""),
            between(group.id, group.share.likely, "") if group.share.likely else "",
            middle(group.id, group.share.middle) if group.share.middle is not None else "",
        ]
        for group in makeup(report)
    ]
    return table(head, rows, caption=say("figure_makeup"), numbers=(1, 2, 3))


def order_table(report: Report) -> str:
    """Every term of the sausage's own list with its bounds, as an HTML table."""
    columns = ["place", "term", "role", "low", "high", "likely", "declared", "how"]
    rows = [_order_row(placed) for placed in order(report)]
    kept = [k for k, c in enumerate(columns) if c not in ("likely", "declared") or any(r[k] for r in rows)]
    head = [say(f"figure_order_column_{columns[k]}") for k in kept]
    numbers = [n for n, k in enumerate(kept) if columns[k] in ("low", "high", "likely", "declared")]
    return table(head, [[r[k] for k in kept] for r in rows], caption=say("figure_order"), numbers=numbers)


def _order_row(placed: Placed) -> list[str]:
    term, share = placed.term, placed.share
    declared = show((term.percent.low + term.percent.high) / 2) if term.percent else ""
    return [str(placed.rank), term.printed, role_word(term.role), show(share.possible.low), show(share.possible.high),
            _likely(share.likely, share.middle), declared, sure(term)]  # fmt: skip


def sure(term: Ingredient) -> str:
    """How sure the reading of a term is, in a few words."""
    return say(f"figure_sure_{term.match.kind}", score=show(term.match.score, 0))


def day_table(report: Report) -> str:
    """Sodium of a serving and of 100 g as shares of a day."""
    head = [say(f"figure_day_column_{c}") for c in ("day", "mg", "share", "hundred")]
    rows = [[d.name, show(d.mg, 0), _percent(d.serving), _percent(d.hundred)] for d in days(report)]
    return table(head, rows, caption=say("figure_day"), numbers=(1, 2, 3))


def day_doubts(report: Report) -> str:
    """Which of the days was not seen first-hand, in sentences; "" if all were."""
    doubtful = [d for d in days(report) if d.status != "read"]
    told = (
        say("figure_day_status", name=d.name, status=say("page_mark_" + d.status.replace(" ", "_"))) for d in doubtful
    )
    return " ".join(told)


def _percent(value: float | None) -> str:
    return say("page_no_score_not_stated") if value is None else show(value, 0)


def survey_table(report: Report) -> str:
    """This pack among the surveyed products, mg per 100 g."""
    head = [say(f"figure_survey_column_{c}") for c in ("survey", "low", "mean", "high")]
    rows = [[s.name, *("" if v is None else show(v, 0) for v in (s.low, s.mean, s.high))] for s in surveys()]
    pack = sodium_hundred(report)
    if pack is not None:
        rows.append([say("figure_survey_pack"), show(pack[0].low, 0), show(pack[1], 0), show(pack[0].high, 0)])
    return table(head, rows, caption=say("figure_survey"), numbers=(1, 2, 3))


def aspects_table(report: Report) -> str:
    """The scores of the four aspects; the likely part only where one is known."""
    columns = ["aspect", "low", "high", *(["likely"] if any(a.likely for a in report.aspects) else []), "state"]
    head = [say(f"figure_aspects_column_{c}") for c in columns]
    rows = [[_aspect_cell(aspect, column) for column in columns] for aspect in report.aspects]
    return table(head, rows, caption=say("figure_aspects"), numbers=range(1, len(columns) - 1))


def _aspect_cell(aspect: Aspect, column: str) -> str:
    if column == "aspect":
        return say(f"aspect_{aspect.id}")
    if column == "state":
        return say("figure_state_scored" if aspect.score else "page_no_score_" + aspect.state.replace(" ", "_"))
    if column == "likely":
        return _likely(aspect.likely, aspect.middle)
    return show(getattr(aspect.score, column)) if aspect.score else ""


def _likely(likely: Interval | None, middle: float | None) -> str:
    """ "2–3 (2.5)": the likely range and, in brackets, its middle."""
    if likely is None:
        return ""
    return f"{show(likely.low)}–{show(likely.high)}" + (f" ({show(middle)})" if middle is not None else "")
