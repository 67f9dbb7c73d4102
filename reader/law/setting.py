"""What stands around the list and the panel, as rules and assumptions need it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from reader.front import Words
from reader.law.classes import Classed
from reader.law.rules import Rule, rules_for


@dataclass(frozen=True, slots=True)
class Setting:
    """The market, the day whose rules count (None: those that hold now as far as known), the words of the front and of
    the sentences beside the list, and the class of the product before the law.
    """

    market: str
    on: date | None
    front: Words
    beside: Words
    classed: Classed

    def rules(self) -> tuple[Rule, ...]:
        """The rules in force that are written for such a product."""
        return rules_for(self.market, self.on, self.classed.all)
