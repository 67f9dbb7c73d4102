"""What the page holds: the typed texts, the last reading, the last message. No widget knows more than this."""

from __future__ import annotations

import logging
import re
from collections.abc import Mapping
from typing import Any

import traitlets

from reader import pipeline
from reader.law.classes import classes_of
from reader.makeup.values import LIKELY, POSSIBLE
from reader.report import Report
from reader.wording import say
from ui.shelf.values import Texts

FORM = 1  # version of the saved form
TEXTS = ("statement", "panel", "name", "price")
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")  # a broken emoji; no file and no socket carries it

log = logging.getLogger(__name__)


class State(traitlets.HasTraits):
    """One visitor's page. Views observe it and write the typed texts into it."""

    statement = traitlets.Unicode()
    panel = traitlets.Unicode()
    name = traitlets.Unicode()
    price = traitlets.Unicode()  # kept with the pack, not read with the label
    typed_panel = traitlets.Any(None, allow_none=True)  # a panel that came as numbers instead of text
    market = traitlets.Enum(pipeline.MARKETS, default_value="US")
    report = traitlets.Any(None, allow_none=True)  # the last Report, None before the first
    choices = traitlets.Dict()  # assumptions of the make-up that the visitor changed, id → choice
    classed_as = traitlets.Unicode()  # the class before the law that the visitor chose, "" for the one found
    message = traitlets.Unicode()  # what went wrong, in words; "" if nothing did

    @property
    def empty(self) -> bool:
        """Whether nothing was typed."""
        return not (self.statement.strip() or self.panel.strip() or self.name.strip())

    def texts(self) -> Texts:
        """What a shelf keeps of the page."""
        return Texts(market=self.market, **{field: getattr(self, field) for field in TEXTS})

    def read(self, *, again: bool = False) -> bool:
        """Read the typed texts into `report`, as far as is possible at once; whether that went well. Never raises,
        never touches the texts. What was changed of the assumptions and of the class counts only when the same label is
        read again.
        """
        if self.empty:
            self.message = say("app_nothing_typed")
            return False
        if not again:
            self.choices, self.classed_as = {}, ""
        if self.classed_as not in classes_of(self.market):
            self.classed_as = ""  # the market that was chosen since does not know it
        try:
            report = self._read(POSSIBLE)
        except Exception:  # a fault of ours; the visitor keeps the text and is told
            log.exception("A label could not be read.")
            self.message = say("app_fault")
            return False
        self.message = ""
        self.report = report
        return True

    def likely(self) -> Report | None:
        """The typed texts read as far as it goes, which takes a moment longer; None if that went wrong."""
        try:
            return self._read(LIKELY)
        except Exception:
            log.exception("The likely make-up could not be found.")
            return None

    def _read(self, depth: str) -> Report:
        return pipeline.read_label(
            _whole(self.statement),
            _whole(self.panel),
            name=_whole(self.name),
            market=self.market,
            typed_panel=self.typed_panel,
            depth=depth,
            choices=self.choices,
            classed_as=self.classed_as,
        )

    def put(self, texts: Mapping[str, Any]) -> None:
        """Fill the boxes from saved or example texts; what is missing is emptied, what makes no sense left out."""
        with self.hold_trait_notifications():
            self.typed_panel = None
            for field in TEXTS:
                value = texts.get(field, "")
                setattr(self, field, value if isinstance(value, str) else "")
            if texts.get("market") in pipeline.MARKETS:
                self.market = texts["market"]

    def to_dict(self) -> dict[str, Any]:
        """The typed texts as plain JSON values; `from_dict` brings them back."""
        return {"form": FORM, "market": self.market, **{field: getattr(self, field) for field in TEXTS}}

    @classmethod
    def from_dict(cls, saved: Mapping[str, Any]) -> State:
        """A page with the saved texts, not read yet."""
        state = cls()
        state.put(saved)
        return state


def _whole(text: str) -> str:
    """The text with half characters replaced; every place stays where it is."""
    return _HALF_CHARACTER.sub("\ufffd", text)
