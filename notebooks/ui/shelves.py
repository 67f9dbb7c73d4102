"""The shelves that this visitor's keys open. No widget here."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from reader.compare.pack import Pack as Compared
from reader.makeup.values import LIKELY
from reader.pipeline import read_label
from reader.price import read_price
from reader.report import Report
from ui.keyring import Keyring
from ui.shelf.classes import open_own
from ui.shelf.clock import now
from ui.shelf.file import ShelfFile, open_file
from ui.shelf.keys import new_id, new_key
from ui.shelf.packs import add, look
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Pack, Shelf, Texts

OWN = "own"  # the name of the key to the visitor's own shelf; the others are those of classes
_MOST_READ = 400  # packs whose readings are held


@dataclass(frozen=True, slots=True)
class Opened:
    """A shelf as it was when looked at, with the key that opened it."""

    name: str
    key: str
    shelf: Shelf


class Shelves:
    """What can be done with the keys of one page. ShelfError where something cannot be."""

    def __init__(self, keyring: Keyring) -> None:
        self.keyring = keyring
        self._file: ShelfFile | None = None

    def file(self) -> ShelfFile:
        """The file they are in, opened the first time it is asked for."""
        if self._file is None:
            self._file = open_file()
        return self._file

    def own_key(self) -> str:
        """The key to the visitor's own shelf; both are made if there are none."""
        key = self.keyring.keys.get(OWN) or new_key()
        open_own(self.file(), key, now())
        if OWN not in self.keyring.keys:
            self.keyring.put(OWN, key)
        return key

    def keep(self, texts: Texts) -> Shelf:
        """Put a pack on the visitor's own shelf, which comes back."""
        key = self.own_key()
        add(self.file(), key, new_id(), texts, now())
        return look(self.file(), key)

    def opened(self) -> tuple[Opened, ...]:
        """All shelves that the keys open, the visitor's own first; a key that opens nothing any more is passed over."""
        found = []
        for name, key in sorted(self.keyring.keys.items(), key=lambda pair: (pair[0] != OWN, pair[0])):
            try:
                found.append(Opened(name, key, look(self.file(), key)))
            except ShelfError as error:
                if error.kind != "no_key":
                    raise
        return tuple(found)


class Readings:
    """Packs of shelves with their readings, as far as they go; the same texts are read once."""

    def __init__(self) -> None:
        self._held: OrderedDict[Texts, Report] = OrderedDict()

    def read(self, packs: Iterable[Pack], names: Mapping[str, str]) -> Iterator[Compared]:
        """The packs, read one after another, each under the name that stands beside its id."""
        for pack in packs:
            yield Compared(names[pack.id], self.report(pack), read_price(pack.price, market=pack.market))

    def report(self, pack: Pack) -> Report:
        """The reading of one pack."""
        texts = Texts(statement=pack.statement, panel=pack.panel, market=pack.market, name=pack.name)
        report = self._held.get(texts)
        if report is None:
            report = read_label(texts.statement, texts.panel, name=texts.name, market=texts.market, depth=LIKELY)
            self._held[texts] = report
            while len(self._held) > _MOST_READ:
                self._held.popitem(last=False)
        self._held.move_to_end(texts)
        return report
