"""A screening as one HTML file to read, print or pass on: the shortlist first, each product with its reasons.

Of a long list the first products of each standing stand with their reasons, further ones in a line each; what is left
beyond that is counted, and the page says where it stands. Nothing is held but what is shown.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from reader.catalogue.values import Group
from reader.house.kinds import kinds
from reader.house.standing import Placed
from reader.house.values import ASK, FAILS, MEETS, VERDICTS
from reader.page.parts import details, esc, part, said, table, told
from reader.page.screened_products import line, product
from reader.page.sheet import sheet
from reader.screening import methods
from reader.screening.questions import is_asked, verdicts_of
from reader.screening.told import NOT_READ, asked_told, name_told, standing_of, verdict_told
from reader.screening.values import Screened, Screening
from reader.wording import say

# House: products of each standing that stand with their reasons, those behind them that have a line, groups of doubles.
FULL, LINES, GROUPS = 100, 5_000, 200
_ORDER = (MEETS, ASK, NOT_READ, FAILS)


def document(screening: Screening, *, full: int = FULL, lines: int = LINES) -> str:
    """The whole file, without script and with nothing from another host. full, lines: of each standing, how many
    products stand with their reasons, and how many more in a line each.
    """
    listed = _Listed(screening, full, lines)
    for placed, row in screening.by_standing():
        listed.add(placed, row)
    title = say("screened_title", title=screening.specification.title)
    body = (
        f"<header><h1>{esc(title)}</h1><p>{_counts(screening, listed)}</p></header>"
        f"{part('screened_asked', _asked(screening))}{listed.parts()}"
        f"{_doubles(screening.groups, listed)}{_questions(listed)}{_input(screening)}{_methods(screening)}"
    )
    return sheet(title, body, kind="screened")


class _Listed:
    """What is shown of the products, gathered in one pass over them."""

    def __init__(self, screening: Screening, full: int, lines: int) -> None:
        self.specification = screening.specification
        self.full, self.lines = full, lines
        self.count: Counter[str] = Counter()
        self.products: dict[str, list[str]] = {standing: [] for standing in _ORDER}
        self.further: dict[str, list[Sequence[str]]] = {standing: [] for standing in _ORDER}
        self.asked: dict[str, Counter[str]] = {}
        self.asked_products: Counter[str] = Counter()
        self.names: dict[int, str] = {n: "" for group in screening.groups[:GROUPS] for n in group.numbers}

    def add(self, placed: Placed, row: Screened) -> None:
        standing = standing_of(row)
        self.count[standing] += 1
        if self.count[standing] <= self.full:
            self.products[standing].append(product(placed, row, self.specification))
        elif self.count[standing] <= self.full + self.lines:
            self.further[standing].append(line(placed, row, self.specification))
        if row.number in self.names:
            self.names[row.number] = say("screened_named", name=name_told(row), number=row.number)
        if is_asked(row):
            supplier = " ".join(row.supplier.split())
            self.asked_products[supplier] += 1
            of_supplier = self.asked.setdefault(supplier, Counter())
            of_supplier.update(v.kind for v in verdicts_of(row, self.specification) if v.verdict == ASK)

    def parts(self) -> str:
        return "".join(
            part(f"screened_{standing}", self._part(standing)) for standing in _ORDER if self._shown(standing)
        )

    def _shown(self, standing: str) -> bool:
        return standing != NOT_READ or bool(self.count[standing])

    def _part(self, standing: str) -> str:
        if not self.count[standing]:
            return f"<p>{said(f'screened_none_{standing}')}</p>"
        about = f'<p class="quiet">{said(f"screened_about_{standing}")}</p>'
        first = f'<ol class="products">{"".join(self.products[standing])}</ol>'
        return about + first + self._further(standing)

    def _further(self, standing: str) -> str:
        """The lines of those behind, and how many more there are."""
        behind = self.count[standing] - self.full
        if behind <= 0:
            return ""
        head = [say(f"screened_head_{name}") for name in ("product", "place", "supplier", "short")]
        shown = len(self.further[standing])
        body = table(head, self.further[standing]) if shown else ""
        summary = said("screened_further", count=f"{behind:,}")
        folded = details(summary, body) if body else ""
        left = behind - shown
        more = f"<p>{said('screened_beyond', count=f'{left:,}')}</p>" if left > 0 else ""
        return f"{folded}<p class='quiet'>{said('screened_elsewhere')}</p>{more}"


def _counts(screening: Screening, listed: _Listed) -> str:
    by = {standing: f"{listed.count[standing]:,}" for standing in _ORDER}
    text = said("screened_counts", all=f"{screening.count:,}", meets=by[MEETS], count=by[ASK], breaks=by[FAILS])
    if listed.count[NOT_READ]:
        text += f" {said('screened_counts_unread', count=by[NOT_READ])}"
    return text if screening.finished else f"{text} <strong>{said('screened_rows_open')}</strong>"


def _asked(screening: Screening) -> str:
    head = [say("screened_head_requirement"), *map(verdict_told, VERDICTS)]
    rows = [
        [asked_told(requirement), *(f"{counts.get(verdict, 0):,}" for verdict in VERDICTS)]
        for requirement, counts in zip(screening.specification.requirements, screening.counts, strict=True)
    ]
    return table(head, rows, caption=say("screened_caption_asked"), numbers=(1, 2, 3))


def _doubles(groups: Sequence[Group], listed: _Listed) -> str:
    if not groups:
        return ""
    items = "".join(f"<li>{_group(group, listed)}</li>" for group in groups[:GROUPS])
    left = len(groups) - GROUPS
    more = f"<p class='quiet'>{said('screened_groups_beyond', count=f'{left:,}')}</p>" if left > 0 else ""
    return part("screened_doubles", f'<ul class="plain">{items}</ul>{more}')


def _group(group: Group, listed: _Listed) -> str:
    names = "; ".join(filter(None, (listed.names[number] for number in group.numbers[:20])))
    more = say("screened_group_more", names=names, count=len(group.numbers) - 20) if len(group.numbers) > 20 else names
    differs = ", ".join(say(f"screened_differs_{name}") for name in group.differs)
    key = "screened_group_differs" if differs else "screened_group_told"
    return said(key, title=say(f"screened_group_{group.kind}"), names=more, words=differs)


def _questions(listed: _Listed) -> str:
    if not listed.asked:
        return ""
    head = [say(f"screened_head_{name}") for name in ("supplier", "products", "asked")]
    rows = [
        [
            supplier or say("letter_supplier_unnamed"),
            f"{listed.asked_products[supplier]:,}",
            _kinds(listed.asked[supplier]),
        ]
        for supplier in sorted(listed.asked)
    ]
    return part("screened_questions", f"<p>{said('screened_questions_about')}</p>{table(head, rows)}")


def _kinds(counted: Counter[str]) -> str:
    in_order = [kind for kind in kinds() if kind in counted]
    return "; ".join(say("screened_kind_counted", title=kinds()[kind].title, count=counted[kind]) for kind in in_order)


def _input(screening: Screening) -> str:
    """Files and sheets that were not read, or not as a whole."""
    told_of = [(refused.file, refused.message) for refused in screening.refused]
    for one in screening.sheets:
        name = one.file if not one.sheet else f"{one.file}, {one.sheet}"
        told_of += [(name, text) for text in (one.left_out, *one.remarks) if text]
    if not told_of:
        return ""
    items = "".join(f"<li>{esc(name or say('catalogue_pasted'))}: {told(text)}</li>" for name, text in told_of)
    return part("screened_input", f'<ul class="plain">{items}</ul>')


def _methods(screening: Screening) -> str:
    notes = [note for note in methods.about(screening) if note.topic != methods.ASKED]
    topics = dict.fromkeys(note.topic for note in notes)
    body = "".join(_topic(topic, [n for n in notes if n.topic == topic]) for topic in topics)
    listed = _topic(methods.SOURCES, methods.sources())
    return part("screened_methods", body + details(said("screened_topic_sources"), listed))


def _topic(topic: str, notes: Iterable[methods.Note]) -> str:
    items = "".join(f"<div><dt>{esc(note.what)}</dt><dd>{told(note.says)}</dd></div>" for note in notes)
    heading = f"<h3>{esc(methods.topic_told(topic))}</h3>" if topic != methods.SOURCES else ""
    return f"{heading}<dl>{items}</dl>"
