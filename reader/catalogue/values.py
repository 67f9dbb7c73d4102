"""What a catalogue is made of: sheets with their guessed columns, and entries. Frozen values that can be pickled."""

from __future__ import annotations

from dataclasses import dataclass

PER_100G, SERVING = "per100g", "serving"
BASES = (PER_100G, SERVING)


@dataclass(frozen=True, slots=True)
class Entry:
    """One row of a supplier's table.

    number: its place in the whole input, from 1, over all files and sheets. row: as the user counts rows in that sheet,
    title and header lines included, from 1. cells: every cell as it stood, with the name of its column (see
    `Column.name`). market: a code such as "US", "" where not said, or the words of the cell where they name no market
    we know; then a problem says so. panel: free text.

    typed: numbers of a panel in columns, under the names of lexicon/panel_words.yaml, in the unit at the end of the
    name; "serving_size_g" is among them. Each is a plain number with a decimal point, after "<" where the cell said
    "less than". Salt and kilojoules stay what they are, `salt_g` and `energy_kj`: the panel knows the law's factors and
    what rounding leaves open. basis: what they are for, one of BASES. problems: whole sentences.
    """

    number: int
    file: str
    sheet: str
    row: int
    cells: tuple[tuple[str, str], ...]
    name: str = ""
    market: str = ""
    supplier: str = ""
    code: str = ""
    statement: str = ""
    panel: str = ""
    price: str = ""
    net_weight: str = ""
    typed: tuple[tuple[str, str], ...] = ()
    basis: str = PER_100G
    problems: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Guess:
    """What a column may be. why: a sentence. score: 0 to 100, to tell better from worse guesses."""

    role: str
    why: str
    score: float


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a sheet and what it is taken for.

    place: from 0. header: as it stood, "" where nothing stood. name: the header, or a name of ours where it is missing
    or stands twice; unique in its sheet. role: one of `column_names.ROLES`, "" where it is only kept. unit, basis: what
    the header says of its numbers, "" where it says nothing; of a price "EUR/kg". alternatives: what else it may be,
    the likelier first.
    """

    place: int
    header: str
    name: str
    role: str
    why: str
    unit: str = ""
    basis: str = ""
    alternatives: tuple[Guess, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table of the input and how it is read.

    file: as the user knows it. sheet: its name in a workbook, else "". form: "delimited", "markdown", "spaces",
    "workbook" or "json". header_row: row of the header, 0 where there is none. above: what stands over the header, row
    by row. basis: what the numbers are for, one of BASES, with the reason in basis_why. decimal: the decimal mark, ""
    where the numbers do not tell. remarks: sentences about the sheet as a whole. left_out: why its rows are no entries,
    "" if they are.
    """

    file: str
    sheet: str
    form: str
    header_row: int
    columns: tuple[Column, ...]
    above: tuple[str, ...] = ()
    basis: str = PER_100G
    basis_why: str = ""
    decimal: str = ""
    remarks: tuple[str, ...] = ()
    left_out: str = ""

    def column_of(self, role: str) -> Column | None:
        """The column taken for a role, None if there is none."""
        return next((column for column in self.columns if column.role == role), None)


@dataclass(frozen=True, slots=True)
class Refused:
    """A file or sheet that could not be read at all. message: what we saw, why it matters, what to do."""

    file: str
    sheet: str
    message: str


@dataclass(frozen=True, slots=True)
class Group:
    """Entries that belong together.

    kind: "exact" (same statement and panel but for print), "near" (nearly the same statement) or "variants" (one
    product of one supplier in another flavour or size). numbers: of the entries, rising. score: how alike the two
    least alike that were compared are, 0 to 100. differs: which of name, code, panel, price, net_weight differ.
    """

    kind: str
    numbers: tuple[int, ...]
    score: float
    differs: tuple[str, ...] = ()
