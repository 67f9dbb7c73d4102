"""The comparison and the sheets for a class as files, made when they are asked for."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from reader import compare_files
from reader.compare.ranking import Ranking
from reader.compare.table import Comparison
from reader.page.parts import said
from reader.wording import say
from ui.downloads import link

Shown = tuple[Comparison, Ranking | None]


class Papers:
    """A button, then a link for each file. `shown` gives the comparison as it is on the page, None if there is none."""

    def __init__(self, shown: Callable[[], Shown | None]) -> None:
        self._shown = shown
        self.make = widgets.Button(description=say("label_make_files")).add_class("second")
        self.make.on_click(lambda _: self._links())
        self.links = widgets.HTML()
        how = widgets.HTML(f"<p>{said('beside_papers')}</p>")
        self.view = widgets.VBox([how, self.make, self.links]).add_class("boxes")

    def outdated(self) -> None:
        """The page shows something else now: files made before are taken away."""
        self.links.value = ""

    def _links(self) -> None:
        shown = self._shown()
        if shown is None:
            self.links.value = f"<p>{said('beside_few')}</p>"
            return
        found, ranking = shown
        files = [
            link(f"packs-{name}.html", "text/html", compare_files.as_html(name, found, ranking), f"app_sheet_{name}")
            for name in compare_files.SHEETS
        ]
        files.append(link("packs.csv", "text/csv", "\ufeff" + compare_files.as_csv(found, ranking), "app_sheet_csv"))
        self.links.value = f'<ul class="plain downloads">{"".join(files)}</ul>'
