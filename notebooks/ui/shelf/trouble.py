"""What a visitor is told when something cannot be done. The sentences stand in lexicon/wording/shelf.yaml."""

from __future__ import annotations

from reader.wording import say


class ShelfError(Exception):
    """Something visitors can understand and act on: `str()` of it is the sentence, `kind` tells it apart."""

    def __init__(self, kind: str, **values: object) -> None:
        super().__init__(say(f"shelf_{kind}", **values))
        self.kind = kind
