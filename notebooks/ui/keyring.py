"""The keys to shelves that this browser holds. Only the browser keeps them (frame.js, in its local storage); the page
asks for them when it opens and hands new ones over.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from reader.page.parts import esc

_NAME, _LONGEST, _MOST = 40, 64, 60  # signs of a name, signs of a key, keys; what a page would send beyond is no key


class Keyring:
    """Keys by name. `lasting`: whether the browser keeps them; None until it has answered, and where there is no
    frame.js (a notebook), they last as long as the page.
    """

    def __init__(self) -> None:
        self.keys: dict[str, str] = {}
        self.lasting: bool | None = None
        self._told: list[Callable[[], None]] = []
        self._given = widgets.Text(tabbable=False).add_class("keys-in")
        self._kept = widgets.HTML().add_class("keys-out")
        self.view = widgets.VBox([self._given, self._kept]).add_class("keyring")
        self._given.observe(self._take, "value")

    def put(self, name: str, key: str) -> None:
        """Hand a key to the browser."""
        self.keys[name] = key
        self._hand_over({name: key})

    def drop(self, name: str) -> None:
        """Have the browser forget a key."""
        self.keys.pop(name, None)
        self._hand_over({name: None})

    def when_known(self, tell: Callable[[], None]) -> None:
        """Call `tell` once the browser has said which keys it holds, at once if it has."""
        self._told.append(tell)
        if self.lasting is not None:
            tell()

    def _hand_over(self, change: dict[str, str | None]) -> None:
        # Only what changed: another page of the same browser may have put a key of its own meanwhile.
        self._kept.value = esc(json.dumps(change))

    def _take(self, change: Any) -> None:
        try:
            found = json.loads(change["new"])
        except ValueError:
            return
        if not isinstance(found, dict) or self.lasting is not None:
            return
        self.lasting = found.pop("lasting", True) is True
        for name, key in list(found.items())[:_MOST]:
            if isinstance(key, str) and len(name) <= _NAME and len(key) <= _LONGEST:
                self.keys.setdefault(name, key)
        for tell in self._told:
            tell()
