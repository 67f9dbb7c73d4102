"""The comparison on the page: ranking, tables, one kind of chart at a time, and two labels term by term."""

from __future__ import annotations

import ipywidgets as widgets

from reader.compare.differences import differences
from reader.compare.pack import Pack
from reader.compare.ranking import Ranking
from reader.compare.table import Comparison
from reader.page.comparison import about, counted, measured, ranked_table
from reader.page.differences import differing
from reader.page.pack_charts import DRAWN, pack_pictures
from reader.page.parts import said
from reader.wording import say
from ui.results import Slot, part

_SLOTS = max(map(len, DRAWN.values()))


class Ranked:
    """The ranking; says how to get one while there is none."""

    def __init__(self) -> None:
        self.view = widgets.HTML()

    def show(self, ranking: Ranking | None) -> None:
        self.view.value = f"<p>{said('beside_no_weights')}</p>" if ranking is None else ranked_table(ranking)


class Tables:
    """Every measure as tables, and what to know of them."""

    def __init__(self) -> None:
        self.count, self.view = widgets.HTML(), widgets.HTML()

    def show(self, found: Comparison | None) -> None:
        self.count.value = "" if found is None else f'<p class="quiet">{counted(found)}</p>'
        self.view.value = measured(found) + about(found) if found and found.lines else ""


class Charts:
    """One kind of chart at a time: forty packs take a fifth of a second a chart."""

    def __init__(self) -> None:
        self._found: Comparison | None = None
        options = [(say(f"label_charts_{kind}"), kind) for kind in DRAWN]
        self.kind = widgets.Dropdown(description=say("label_charts"), options=options)
        self.kind.observe(lambda _: self.show(self._found), "value")
        self.slots = [Slot() for _ in range(_SLOTS)]
        self.none = widgets.HTML()
        inside = widgets.VBox([self.kind, self.none, *(slot.view for slot in self.slots)]).add_class("boxes")
        self.view = part("charts", inside)

    def show(self, found: Comparison | None) -> None:
        """Draw the kind that is chosen."""
        self._found = found
        self.view.layout.display = "" if found and found.lines else "none"
        pictures = pack_pictures(found, self.kind.value) if found and found.lines else ()
        self.none.value = "" if pictures else f"<p>{said('beside_no_chart')}</p>"
        for number, slot in enumerate(self.slots):
            slot.show(pictures[number] if number < len(pictures) else None)


class Differing:
    """Two packs, term by term; the visitor says which."""

    def __init__(self) -> None:
        self._packs: dict[str, Pack] = {}
        self._quiet = False
        self.one, self.other = (widgets.Dropdown(description=say(f"label_differ_{end}")) for end in ("one", "other"))
        for box in (self.one, self.other):
            box.observe(lambda _: None if self._quiet else self._write(), "value")
        self.text = widgets.HTML()
        inside = widgets.VBox([widgets.HBox([self.one, self.other]).add_class("two"), self.text]).add_class("boxes")
        self.view = part("compare_differs", inside)

    def show(self, packs: list[Pack]) -> None:
        """Offer these packs; the two that were looked at stay where they are among them."""
        self._packs = {pack.name: pack for pack in packs}
        names = list(self._packs)
        self.view.layout.display = "" if len(names) > 1 else "none"
        if len(names) < 2:
            return
        self._quiet = True
        try:
            for box, first in ((self.one, names[0]), (self.other, names[1])):
                held = box.value
                if list(box.options) != names:
                    box.options = names
                box.value = held if held in names else first
        finally:
            self._quiet = False
        self._write()

    def _write(self) -> None:
        one, other = self._packs[self.one.value], self._packs[self.other.value]
        if one is other:
            self.text.value = f"<p>{said('beside_same')}</p>"
            return
        self.text.value = differing(differences(one.report, other.report), one.name, other.name)
