"""What the packs of a shelf are called where they are listed."""

from __future__ import annotations

from reader.wording import say
from ui.shelf.values import Pack, Shelf
from ui.shelves import Readings


def names_of(shelf: Shelf) -> dict[str, str]:
    """By id: the front name or the number, whose pack it is, and that it is hidden, in the order of the shelf."""
    names: dict[str, str] = {}
    plain: list[str] = []
    for number, pack in enumerate(shelf.packs, 1):
        plain.append(Readings.name_of(pack, number, plain))
        names[pack.id] = _whole(plain[-1], pack)
    return names


def _whole(name: str, pack: Pack) -> str:
    whole = say("label_pack_of", name=name, nickname=pack.nickname) if pack.nickname else name
    return say("label_hidden", name=whole) if pack.hidden else whole
