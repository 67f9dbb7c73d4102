"""What is told of screened products on the page: lines of the shortlist, verdicts with reasons, doubles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from reader.catalogue.values import Group
from reader.house.standing import Placed
from reader.house.values import Specification
from reader.page.parts import esc, said, told
from reader.screening.told import (
    asked_told,
    in_short,
    name_told,
    place_told,
    standing_of,
    standing_told,
    verdict_told,
    where_told,
)
from reader.screening.values import Screened
from reader.wording import say
from ui.screening.first_rows import capital

_GROUPS = 30  # groups of doubles that are shown; the files hold all


def name_of(product: Screened) -> str:
    """What a product is called, with its code."""
    name, code = name_told(product), " ".join(product.code.split())
    return say("letter_coded", name=name, code=code) if code and code != name else name


def shortlist(rows: Sequence[tuple[Placed, Screened]], specification: Specification) -> str:
    """A list for each standing, the products in their order, each with its reasons in short."""
    parts = []
    for standing, alike in groupby(rows, key=lambda row: standing_of(row[1])):
        items = "".join(_item(*row, specification) for row in alike)
        parts.append(f'<h3>{esc(capital(standing_told(standing)))}</h3><ul class="plain shortlist">{items}</ul>')
    return "".join(parts)


def _item(placed: Placed, product: Screened, specification: Specification) -> str:
    supplier = esc(" ".join(product.supplier.split()))
    reasons = in_short(product, specification) if product.read else " ".join(product.problems)
    places = f'<p class="quiet">{esc(_places(placed, len(specification.preferences)))}</p>' if product.read else ""
    who = f'<p><b>{esc(name_of(product))}</b></p><p class="quiet">{supplier}</p>{places}'
    return f"<li><div>{who}</div><p>{told(reasons)}</p></li>"


def _places(placed: Placed, whole: int) -> str:
    """The place among those of the same standing, and how many of the preferences are met, a range where one asks."""
    place = say("suppliers_place", rank=place_told(placed))
    if not whole:
        return place
    low, high = (f"{end:.0f}" for end in placed.tally.preferences)
    count = low if low == high else say("compare_between", low=low, high=high)
    return f"{place} {say('suppliers_preferred', count=count, whole=whole)}"


def verdicts(product: Screened, specification: Specification) -> str:
    """Where a product stood, and every requirement with its verdict, why, and what there is to ask."""
    items = []
    for requirement, verdict in zip(specification.requirements, product.verdicts, strict=False):
        head = f"{esc(capital(asked_told(requirement)))}: <b>{esc(verdict_told(verdict.verdict))}</b>"
        question = (
            f'<p class="question">{said("suppliers_question", text=verdict.question)}</p>' if verdict.question else ""
        )
        items.append(f'<li><p>{head}</p><p class="quiet">{told(verdict.because)}</p>{question}</li>')
    remarks = "".join(f"<li>{told(sentence)}</li>" for sentence in product.problems)
    listed = f'<ul class="remarks">{remarks}</ul>' if remarks else ""
    return f'<p class="quiet">{esc(where_told(product))}</p>{listed}<ul class="plain judged">{"".join(items)}</ul>'


def doubles(groups: Sequence[Group], names: Mapping[int, str]) -> str:
    """Groups of products that belong together, the first of many. names: number → what it is called."""
    if not groups:
        return f"<p>{said('suppliers_no_doubles')}</p>"
    parts = []
    for kind, alike in groupby(groups[:_GROUPS], key=lambda group: group.kind):
        items = "".join(f"<li>{_group(group, names)}</li>" for group in alike)
        parts.append(f'<h3>{esc(capital(say(f"screened_group_{kind}")))}</h3><ul class="plain">{items}</ul>')
    more = f"<p>{said('suppliers_doubles_more', count=len(groups) - _GROUPS)}</p>" if len(groups) > _GROUPS else ""
    return "".join(parts) + more


def numbers_of(groups: Sequence[Group]) -> frozenset[int]:
    """The products that `doubles` names."""
    return frozenset(number for group in groups[:_GROUPS] for number in group.numbers)


def _group(group: Group, names: Mapping[int, str]) -> str:
    listed = esc("; ".join(names.get(number, str(number)) for number in group.numbers))
    differs = ", ".join(say(f"screened_differs_{name}") for name in group.differs)
    more = f' <span class="quiet">{said("suppliers_differ", names=differs)}</span>' if differs else ""
    return listed + more
