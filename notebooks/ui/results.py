"""The reading on the page: words first, pictures right after."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from reader.page import charts, page
from reader.page.parts import details, esc, said
from reader.page.range_rows import Picture
from reader.report import Report
from reader.wording import say
from ui.assumed import Switches
from ui.ruled import Ruled

_PICTURES = ("order", "day", "survey", "aspects")  # those of the gallery; the make-up has its own place


class Results:
    """Everything below the button. Empty until the first label is read."""

    def __init__(
        self,
        on_assumption: Callable[[str, str], None],
        on_market: Callable[[str], None],
        on_class: Callable[[str], None],
    ) -> None:
        self.headline = widgets.HTML()
        self.ready = widgets.Label(tabbable=False).add_class("ready")  # can be focused, but is no stop of the Tab key
        self.before = widgets.VBox([])  # what stands before the reading, such as a guess beside it
        self.body = widgets.HTML()
        self.notes = widgets.HTML()
        self.makeup = Slot()
        self.shares = widgets.HTML()
        self.switches = Switches(on_assumption)
        inside = widgets.VBox([self.notes, self.makeup.view, self.shares, self.switches.view])
        self.kitchen = part("makeup", inside)
        self.ruled, self.findings = Ruled(on_market, on_class), widgets.HTML()
        self.law = part("rules", widgets.VBox([self.ruled.view, self.findings]))
        self.more = widgets.HTML()
        self.rest = widgets.HTML()
        self.slots = {name: Slot() for name in _PICTURES}
        self.gallery = part("charts", widgets.VBox([slot.view for slot in self.slots.values()]))

    def view(self) -> widgets.Widget:
        """The parts in reading order."""
        first = [self.ready, self.before, self.headline, self.body, self.kitchen, self.law]
        return widgets.VBox([*first, self.more, self.gallery, self.rest]).add_class("results")

    def show_words(self, report: Report) -> None:
        """The reading without pictures; takes a few milliseconds."""
        self._write(report)
        self.ready.value = say("app_ready")
        self.ready.focus()  # so that the reading is heard and seen, wherever the button stands

    def _write(self, report: Report) -> None:
        found = page.reading(report)
        places = (self.headline, self.body, self.notes, self.shares, self.findings, self.more, self.rest)
        for place, html in zip(places, found, strict=True):
            place.value = html
        self.law.layout.display = "" if found.rules else "none"
        self.ruled.show(report)
        self.kitchen.layout.display = "" if found.notes or found.makeup else "none"
        self.switches.show(report.makeup.assumptions)

    def show_again(self, report: Report) -> None:
        """The same label read further: words and pictures change where they stand, and nothing else moves."""
        self._write(report)
        self.show_pictures(report)

    def show_pictures(self, report: Report) -> None:
        """The charts; takes about a fifth of a second."""
        found = {p.name: p for p in charts.pictures(report)}
        self.makeup.show(found.get("makeup"))
        self.gallery.layout.display = "" if found else "none"  # first: a chart takes its width from its place
        for name, slot in self.slots.items():
            slot.show(found.get(name))


def part(name: str, inside: widgets.Widget) -> widgets.Widget:
    """A part of the page that holds widgets, with its heading; hidden until there is something in it."""
    title = widgets.HTML(f'<h2 id="part-{name}">{said(f"page_part_{name}")}</h2>').add_class("part-title")
    part = widgets.VBox([title, inside.add_class("part-body")]).add_class("desk-part")
    part.layout.display = "none"
    return part


def told(report: Report) -> str:
    """What a screen reader hears once a label was read: that it was, how many remarks, what was not understood."""
    remarks, unknown = len(report.problems), report.facts.unknown_terms
    parts = [say("app_told_read")]
    parts.append(say(f"app_told_remarks_{min(remarks, 2)}", count=remarks))
    if report.facts.term_count:
        parts.append(say("page_unknown_some", names="; ".join(unknown)) if unknown else say("page_unknown_none"))
    return " ".join(parts)


class Slot:
    """The place of one picture: its title, the chart, the note and the same as a table."""

    def __init__(self) -> None:
        self.title, self.note = widgets.HTML(), widgets.HTML()
        self.chart = widgets.Output()
        self.chart.add_class("chart")
        self.view = widgets.VBox([self.title, self.chart, self.note])
        self.view.add_class("picture")
        self.view.layout.display = "none"

    def show(self, picture: Picture | None) -> None:
        """Draw a picture, or leave the place empty."""
        self.view.layout.display = "none" if picture is None else ""
        if picture is None:
            self.chart.outputs = ()
            return
        table = details(said("figure_as_table"), picture.table)
        self.title.value = f"<h3>{esc(picture.title)}</h3>"
        self.chart.outputs = (_output(charts.as_v5(picture.chart)),)
        self.note.value = f'<p class="quiet">{esc(picture.note)}</p>{table}'


def _output(bundle: dict[str, Any]) -> dict[str, Any]:
    options = {charts.V5: {"embed_options": charts.EMBED}}
    return {"output_type": "display_data", "data": bundle, "metadata": options}
