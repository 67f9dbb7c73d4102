"""The shortlist on the page: fifty products at a time, sifted as wished, one of them opened; doubles below."""

from __future__ import annotations

from dataclasses import dataclass

import ipywidgets as widgets

from reader.house.told import requirement_told
from reader.house.values import VERDICTS
from reader.page.parts import said
from reader.screening.told import STANDINGS, standing_told, verdict_told
from reader.screening.values import Screened, Screening
from reader.wording import say
from ui.notice import Notice
from ui.screening.background import Background
from ui.screening.first_rows import capital
from ui.screening.opened_product import OpenedProduct
from ui.screening.product_words import doubles, name_of, numbers_of, shortlist
from ui.screening.sifting import ANY, EVERY, PAGE, Sifted, Wishes, sift, suppliers_of
from ui.spoken import Spoken

_LONGEST = 80  # characters of a name in a box
_ALL = -1  # every requirement


@dataclass(frozen=True, slots=True)
class _Found:
    """What is looked up once for a screening: suppliers with how many products, and names of doubles."""

    suppliers: dict[str, int]
    names: dict[int, str]


class Shortlist:
    """What came of a run."""

    def __init__(self, spoken: Spoken) -> None:
        self._screening: Screening | None = None
        self._page, self._quiet = 0, False
        self._rows: dict[int, Screened] = {}
        self.notice = Notice()
        self._looking, self._once = Background(self.notice), Background(self.notice)
        everything = (say("label_all"), ANY)
        self.supplier = widgets.Dropdown(description=say("label_of_supplier"))
        standings = [everything, *((capital(standing_told(s)), s) for s in STANDINGS)]
        self.standing = widgets.Dropdown(description=say("label_standing"), options=standings)
        self.requirement = widgets.Dropdown(description=say("label_requirement"))
        verdicts = [everything, *((verdict_told(v), v) for v in VERDICTS)]
        self.verdict = widgets.Dropdown(description=say("label_verdict"), options=verdicts)
        self.count, self.table, self.doubles = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.earlier, self.later = (widgets.Button(description=say(f"label_{name}")) for name in ("earlier", "later"))
        self.open = widgets.Dropdown(description=say("label_open_product"))
        self.opened = OpenedProduct(spoken)
        left, right = widgets.VBox([self.supplier, self.requirement]), widgets.VBox([self.standing, self.verdict])
        turn = widgets.HBox([self.earlier, self.later])
        sieve = widgets.VBox([widgets.HBox([left, right]).add_class("two"), self.notice.view, self.count])
        chosen = widgets.VBox([turn, self.open]).add_class("boxes")
        self.view = widgets.VBox([sieve.add_class("boxes"), self.table.add_class("listed"), chosen, self.opened.view])
        for box in (self.supplier, self.standing, self.requirement, self.verdict):
            box.observe(lambda _: self._turn_to(0), "value")
        self.earlier.on_click(lambda _: self._turn_to(self._page - 1))
        self.later.on_click(lambda _: self._turn_to(self._page + 1))
        self.open.observe(lambda change: self._open(change["new"]), "value")

    def show(self, screening: Screening) -> None:
        """Show what came of a run, unsifted."""
        self._screening = screening
        listed = [(_short(requirement_told(r)), k) for k, r in enumerate(screening.specification.requirements)]
        self._quiet = True
        try:
            self.supplier.options = [(say("label_all"), EVERY)]
            self.requirement.options = [(say("label_any_requirement"), _ALL), *listed]
            self.supplier.value, self.standing.value = EVERY, ANY
            self.requirement.value, self.verdict.value = _ALL, ANY
        finally:
            self._quiet = False
        self.doubles.value = ""
        self._once.start(lambda: _looked_up(screening), self._looked_up)
        self._turn_to(0)

    # -- sifting ----------------------------------------------------------------------------------------------

    @property
    def wishes(self) -> Wishes:
        """What the boxes say."""
        place = None if self.requirement.value == _ALL else self.requirement.value
        return Wishes(self.supplier.value, self.standing.value, place, self.verdict.value)

    def _turn_to(self, page: int) -> None:
        screening = self._screening
        if self._quiet or screening is None:
            return
        self._page, wishes = page, self.wishes
        self._looking.start(lambda: sift(screening, wishes, page), self._sifted)

    def _sifted(self, found: Sifted) -> None:
        if self._screening is None:
            return
        first, last = self._page * PAGE + 1, self._page * PAGE + len(found.rows)
        key = "suppliers_shown" if found.found else "suppliers_none_shown"
        self.table.value = shortlist(found.rows, self._screening.specification)
        self.earlier.layout.display = "" if self._page else "none"
        self.later.layout.display = "" if last < found.found else "none"
        self._rows = {product.number: product for _, product in found.rows}
        options = [(_short(name_of(product)), product.number) for product in self._rows.values()]
        self._quiet = True
        try:
            self.open.options = [(say("label_open_choose"), 0), *options]
            self.open.value = 0
        finally:
            self._quiet = False
        self.open.layout.display = "" if options else "none"
        self._open(0)
        # Told last, when all it speaks of is there.
        self.count.value = f'<p role="status">{said(key, first=first, last=last, count=f"{found.found:,}")}</p>'

    def _looked_up(self, found: _Found) -> None:
        if self._screening is None:
            return
        named = [(_short(name or say("letter_supplier_unnamed")), name) for name in found.suppliers]
        self._quiet = True
        try:
            chosen = self.supplier.value
            self.supplier.options = [(say("label_all"), EVERY), *named]
            self.supplier.value = chosen
        finally:
            self._quiet = False
        self.doubles.value = doubles(self._screening.groups, found.names)

    def _open(self, number: int | None) -> None:
        if not self._quiet and self._screening is not None:
            self.opened.show(self._rows.get(number or 0), self._screening.specification)


def _looked_up(screening: Screening) -> _Found:
    wanted = numbers_of(screening.groups)
    names = {product.number: name_of(product) for _, product in screening.in_order() if product.number in wanted}
    return _Found(suppliers_of(screening), names)


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST].rstrip()} …"
