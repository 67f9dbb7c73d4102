"""Letters to suppliers as files: for each a plain text and a page, in a folder or in one archive (ZIP)."""

from __future__ import annotations

import re
import unicodedata
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import BinaryIO

from reader.house.letters import Letter, Product, as_text, letters
from reader.page.letter import letter_page
from reader.screening.questions import is_asked, verdicts_of
from reader.screening.values import Screened, Screening
from reader.wording import say

PRODUCTS = 400  # house: products in one letter; a supplier with more gets several
_HELD = 10_000  # house: products in memory at a time, some 30 MB
_STEM = 40  # characters of a supplier's name in the name of a file


def write_folder(screening: Screening, folder: Path) -> tuple[str, ...]:
    """Write every letter into a folder, which is made if it is not there; returns the names of the files."""
    folder.mkdir(parents=True, exist_ok=True)
    return _write(screening, lambda name, text: (folder / name).write_text(text, encoding="utf-8", errors="replace"))


def write_archive(screening: Screening, target: Path | BinaryIO) -> tuple[str, ...]:
    """Write every letter into a ZIP archive; returns the names of the files. The same letters give the same bytes."""
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        # A name of its own gives the entry the first day ZIP knows instead of the clock's.
        return _write(
            screening,
            lambda name, text: archive.writestr(
                zipfile.ZipInfo(name), text.encode("utf-8", "replace"), zipfile.ZIP_DEFLATED
            ),
        )


def _write(screening: Screening, put: Callable[[str, str], object]) -> tuple[str, ...]:
    names = FileNames()
    written: list[str] = []
    for letter in letters_of(screening):
        stem = names.stem(letter.supplier)
        for ending, text in ((".txt", as_text(letter)), (".html", letter_page(letter))):
            put(stem + ending, text)
            written.append(stem + ending)
    return tuple(written)


def letters_of(screening: Screening, *, most: int = PRODUCTS) -> Iterator[Letter]:
    """The letters, those to one supplier one after the other; each is about `most` products at the most.

    The rows are gone through several times, so that no more than some thousand products are in memory.
    """
    asked = Counter(_supplier(row) for _, row in screening.in_order() if is_asked(row))
    for some in _shares(asked, most):
        yield from _letters(screening, some, most)


def _shares(asked: Counter[str], most: int) -> Iterator[frozenset[str]]:
    """Suppliers, by name, so many at a time as can be held."""
    some: list[str] = []
    held = 0
    for supplier in sorted(asked):
        size = min(asked[supplier], most)
        if some and held + size > _HELD:
            yield frozenset(some)
            some, held = [], 0
        some.append(supplier)
        held += size
    if some:
        yield frozenset(some)


def _letters(screening: Screening, suppliers: frozenset[str], most: int) -> Iterator[Letter]:
    waiting: dict[str, list[Product]] = {supplier: [] for supplier in suppliers}
    for _, row in screening.in_order():
        supplier = _supplier(row)
        if supplier in suppliers and is_asked(row):
            waiting[supplier].append(_product(row, screening))
            if len(waiting[supplier]) == most:
                yield from letters(waiting[supplier], screening.specification)
                waiting[supplier] = []
    yield from letters((p for supplier in sorted(waiting) for p in waiting[supplier]), screening.specification)


def _supplier(row: Screened) -> str:
    return " ".join(row.supplier.split())


def _product(row: Screened, screening: Screening) -> Product:
    # A letter does not say why; left out, the reasons take no memory.
    verdicts = tuple(replace(v, because="") for v in verdicts_of(row, screening.specification))
    return Product(row.number, row.supplier, row.name, row.code, row.statement, verdicts)


class FileNames:
    """Names that every file system takes, each given once: letters of ASCII, digits and hyphens, never a word that a
    system keeps for itself.
    """

    def __init__(self) -> None:
        self._given: set[str] = set()

    def stem(self, supplier: str) -> str:
        """The name of a letter to a supplier, without its ending."""
        words = re.findall(r"[a-z0-9]+", _plain(supplier))
        stem = "-".join((say("screened_letter_stem"), *words))[:_STEM].rstrip("-")
        name = stem
        for number in count(2):
            if name not in self._given:
                break
            name = f"{stem}-{number}"
        self._given.add(name)
        return name


def _plain(text: str) -> str:
    """A text in small ASCII letters, as far as it has any."""
    folded = unicodedata.normalize("NFKD", text.casefold())
    return folded.encode("ascii", "ignore").decode("ascii")
