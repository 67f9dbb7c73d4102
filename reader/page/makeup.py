"""The likely make-up on the page: ranges by group with what decides them, sodium by source, assumptions, clashes."""

from __future__ import annotations

from reader.facts import walk
from reader.ingredient_tree import Ingredient
from reader.makeup import settings
from reader.makeup.values import LIKELY, Reason, Share
from reader.makeup_words import (
    assumption_told,
    between,
    bounds_told,
    choice_told,
    clash_told,
    group_name,
    middle,
    sodium_name,
    unusual_told,
)
from reader.page.parts import Cited, details, esc, range_bar, said, table, told
from reader.quantities import Interval, show
from reader.report import Report
from reader.wording import has, say

INNER = (
    "skeletal_meat", "lean", "meat_fat", "mechanically_separated", "mechanically_separated_of_meat", "by_products",
    "binders_carbohydrate", "binders_protein",
)  # fmt: skip


def notes(report: Report) -> str:
    """What has to be known before the ranges are looked at, as HTML: clashes, why a panel was not used."""
    found = report.makeup
    said_first = [f'<p class="clash">{told(s)}</p>' for s in (clash_told(found.clash, found) if found.clash else ())]
    if unusual := unusual_told(found):
        said_first.append(f'<p class="clash">{told(unusual)}</p>')
    if found.note:
        said_first.append(f"<p>{said(found.note)}</p>")
    elif not found.panel_used:
        said_first.append(f"<p>{said('makeup_no_panel')}</p>")
    if not found.settled:
        said_first.append(f"<p>{said('makeup_rough')}</p>")
    return "".join(said_first)


def makeup(report: Report, cited: Cited, *, opened: bool = False) -> str:
    """The ranges by group, sodium by source and, on paper, what is assumed, as HTML; "" where there are none.

    opened: for paper, which has nothing to press and no chart beside it: everything open, each range drawn.
    """
    found = report.makeup
    shown = [(name, share) for name, share in found.groups if shows(share)]
    if not shown:
        return ""
    rows = "".join(_group(report, name, share, cited, opened) for name, share in shown)
    pieces = [f'<div class="makeup">{rows}</div>']
    if opened:
        key = "page_makeup_key" if found.depth == LIKELY else "page_makeup_key_possible"
        pieces.append(f'<p class="quiet">{said(key)}</p>')
    if found.sodium:
        pieces.append(f"<h3>{said('page_makeup_sodium')}</h3>{sodium_table(report)}")
    if found.assumptions and opened:
        pieces.append(f"<h3>{said('page_makeup_assumed')}</h3>{_assumed(report, cited)}")
    return "".join(pieces)


def shows(share: Share) -> bool:
    """Whether there is anything of the group to show."""
    return share.possible.high > 0 or share.possible.low < 0


def _group(report: Report, name: str, share: Share, cited: Cited, opened: bool) -> str:
    title, inner = group_name(name), ' class="inner"' if name in INNER else ""
    text = range_text(name, share)
    why = "".join(f"<li>{told(s)}</li>" for s in bounds_told(name, share))
    sources = _sources((*share.low_because, *share.high_because), cited)
    why = f'<h3>{said("page_makeup_why")}{sources}</h3><ul class="plain">{why}</ul>'
    says = f"makeup_says_{name}"
    if has(says):
        why = f"<p>{said(says)}</p>{why}"
    summary = f"<b>{esc(title)}</b> <span>{told(text)}</span>"
    label = f"{title}: {text}"
    drawn = (
        range_bar(label, share.possible.within(0, 100), _inside(share.likely), _at(share), top=100) if opened else ""
    )
    return f"<div{inner}>{details(summary, drawn + why + _members(report, name), opened=opened)}</div>"


def _inside(likely: Interval | None) -> Interval | None:
    return None if likely is None else likely.within(0, 100)


def _at(share: Share) -> float | None:
    return None if share.middle is None else min(max(share.middle, 0.0), 100.0)


def range_text(name: str, share: Share) -> str:
    """The ranges of a group in a few words: the likely one where there is one, else the possible one."""
    if share.likely is None:
        return between(name, share.possible)
    about = say("makeup_middle", value=f"{middle(name, share.middle)} %") if share.middle is not None else ""
    likely = say("makeup_likely", range=between(name, share.likely))
    possible = say("makeup_possible", range=between(name, share.possible))
    return ", ".join(filter(None, (about, likely, possible)))


def _sources(reasons: tuple[Reason, ...], cited: Cited) -> str:
    """The sources of the facts, each once."""
    sources = dict.fromkeys(r.source for r in reasons if r.source)
    return "".join(cited.mark(s) for s in sources)


def _members(report: Report, name: str) -> str:
    """The ingredients that count to a group, each with its own range where it stands in the list itself."""
    members = [i for i in walk(report.product.ingredients) if counts(name, i)]
    if not members:
        return ""
    shares = {i.span: share for i, share in zip(report.product.ingredients, report.makeup.ingredients, strict=True)}
    items = "".join(_member(i, shares.get(i.span)) for i in members)
    return f'<h3>{said("page_makeup_members")}</h3><ul class="plain">{items}</ul>'


def _member(item: Ingredient, share: Share | None) -> str:
    name = esc(" ".join(item.printed.split()).lower())
    return f"<li>{name}</li>" if share is None else f"<li>{name}: {esc(range_text('ingredient', share))}</li>"


def counts(name: str, item: Ingredient) -> bool:
    """Whether an ingredient counts to a group."""
    group = next(g for g in settings.groups() if g.id == name)
    if group.formula == "clause":
        return item.clause is not None
    return group.holds(item.role, group.tissue, item.entry)


def sodium_table(report: Report) -> str:
    """Where the sodium comes from, mg per 100 g."""
    head = [say(f"page_makeup_sodium_{c}") for c in ("source", "possible", "likely")]
    rows = []
    for name, share in report.makeup.sodium:
        ends = f"{show(share.possible.low, 0)}–{show(share.possible.high, 0)}"
        likely = f"{show(share.likely.low, 0)}–{show(share.likely.high, 0)}" if share.likely else ""
        rows.append([sodium_name(name), ends, likely])
    return table(head, rows, caption=say("page_makeup_sodium_caption"), numbers=(1, 2))


def _assumed(report: Report, cited: Cited) -> str:
    items = (
        f"<li>{told(assumption_told(a))}: <b>{told(choice_told(a, a.choice))}</b>.{cited.mark(a.reason.source)}</li>"
        for a in report.makeup.assumptions
    )
    return f'<ul class="plain">{"".join(items)}</ul>'
