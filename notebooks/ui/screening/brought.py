"""What a visitor brought in, and what he or she said of each sheet. No widget here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from itertools import islice
from pathlib import Path

from reader.catalogue.reading import Catalogue, open_catalogue
from reader.catalogue.sources import Source
from reader.catalogue.trouble import TableError
from reader.catalogue.values import Entry, Sheet
from reader.wording import say
from ui.screening.folder import Folder

EXAMPLE = Path(__file__).parents[1] / "example_suppliers.csv"

Key = tuple[str, str]  # file and sheet, as in `Sheet`


@dataclass(frozen=True, slots=True)
class Correction:
    """What was said of one sheet, as in `Catalogue.corrected`; what was not said is guessed."""

    roles: Mapping[str, str] = field(default_factory=dict)
    basis: str = ""
    header_row: int | None = None
    read: bool | None = None

    def with_role(self, role: str, column: str) -> Correction:
        """A role in another column, "" for none; no column chosen before has two roles."""
        others = {r: c for r, c in self.roles.items() if c != column or not column}
        return replace(self, roles={**others, role: column})


class Brought:
    """Files and a pasted table, with their corrections. `catalogue` is what was opened last, None where nothing is."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self._files: dict[str, Source] = {}
        self.pasted = ""
        self.corrections: dict[Key, Correction] = {}
        self.catalogue: Catalogue | None = None

    @property
    def files(self) -> tuple[str, ...]:
        """The names of the files, in the order they came."""
        return tuple(self._files)

    def take(self, name: str, data: bytes) -> bool:
        """Keep a file; True if it takes the place of one of the same name."""
        known = name in self._files
        self.drop(name)
        self._files[name] = Source(name, self._folder.keep(data))
        return known

    def take_example(self) -> None:
        """The invented list that comes with the app, instead of all else."""
        self.clear()
        self._files[say("suppliers_example_file")] = Source(say("suppliers_example_file"), EXAMPLE)

    def drop(self, name: str) -> None:
        """Let a file go, with what was said of it. It stays in the folder: a run may still be reading it."""
        self._files.pop(name, None)
        self.corrections = {key: said for key, said in self.corrections.items() if key[0] != name}

    def clear(self) -> None:
        """Let everything go."""
        for name in self.files:
            self.drop(name)
        self.pasted, self.corrections = "", {}

    def opened(self) -> Catalogue | None:
        """Everything looked at anew, None if nothing is there; changes nothing, so that a thread may do it. Takes
        seconds with large files; nothing in them raises.
        """
        if not self._files and not self.pasted.strip():
            return None
        found = open_catalogue(list(self._files.values()), pasted=self.pasted)
        for key, said in list(self.corrections.items()):
            found = _corrected(found, key, said)
        return found

    def correct(self, key: Key, said: Correction | None) -> None:
        """Read a sheet as said, or as guessed where None. TableError if that cannot be, and nothing changes then."""
        if self.catalogue is None:
            return
        told = said or Correction()
        self.catalogue = self.catalogue.corrected(
            *key, roles=told.roles, basis=told.basis, header_row=told.header_row, read=told.read
        )
        if said is None:
            self.corrections.pop(key, None)
        else:
            self.corrections[key] = said

    def sheet(self, key: Key) -> Sheet | None:
        """How a sheet is read; None if there is none of that name."""
        sheets = self.catalogue.sheets if self.catalogue else ()
        return next((sheet for sheet in sheets if key_of(sheet) == key), None)

    def first(self, key: Key, count: int) -> tuple[Entry, ...]:
        """The first rows of a sheet as they are read."""
        if self.catalogue is None:
            return ()
        alone = replace(self.catalogue, parts=tuple(p for p in self.catalogue.parts if key_of(p.sheet) == key))
        return tuple(islice(alone.entries(), count))


def key_of(sheet: Sheet) -> Key:
    """What a sheet is called by."""
    return sheet.file, sheet.sheet


def _corrected(opened: Catalogue, key: Key, said: Correction) -> Catalogue:
    """The catalogue with one sheet as said; as it is where the sheet is gone or has no such column any more."""
    try:
        return opened.corrected(*key, roles=said.roles, basis=said.basis, header_row=said.header_row, read=said.read)
    except TableError:
        return opened
