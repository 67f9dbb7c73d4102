"""What the packs of a shelf are called where they are listed."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from reader.wording import say
from ui.shelf.values import Pack, Shelf


def name_of(pack: Pack, number: int, taken: Collection[str] = ()) -> str:
    """What a pack goes by: its front name, else its number; a name that is taken gets the number too."""
    name = " ".join(pack.name.split()) or say("compare_unnamed", number=number)
    return f"{name} ({number})" if name in taken else name


def plain_names(packs: Sequence[Pack]) -> dict[str, str]:
    """By id, in their order: names of which no two are the same."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for number, pack in enumerate(packs, 1):
        names[pack.id] = name = name_of(pack, number, taken)
        taken.add(name)
    return names


def names_of(shelf: Shelf) -> dict[str, str]:
    """By id, in their order: those names, whose pack each is, and that it is hidden."""
    plain = plain_names(shelf.packs)
    return {pack.id: _whole(plain[pack.id], pack) for pack in shelf.packs}


def _whole(name: str, pack: Pack) -> str:
    whole = say("label_pack_of", name=name, nickname=pack.nickname) if pack.nickname else name
    return say("label_hidden", name=whole) if pack.hidden else whole
