"""The columns of a screened list, once for every file: name, heading, meaning, and what stands there for a row."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from reader.aspects import ASPECTS
from reader.catalogue.values import Group, Sheet
from reader.columns import LAST, READINGS, SCORES, SHARES, Cell
from reader.house.standing import Placed
from reader.house.values import Specification
from reader.makeup.values import GROUPS
from reader.screening.told import asked_told, heading_of, in_short, name_told, standing_of, standing_told, verdict_told
from reader.screening.values import PRICES, Screened
from reader.wording import say

# Parts of the list: where a product stands, what was read, where its row stood, what the supplier wrote.
PLACE, VERDICT, PRODUCT, FIGURE, ROW, REASON, QUESTION = (
    "place", "verdict", "product", "figure", "row", "reason", "question",
)  # fmt: skip
_TALLIED = ("musts_met", "musts_asked", "musts_failed", "preferences_met", "preferences_asked", "preferences_failed")
_JOINED = "; "
_OWN_MOST = 2_000  # house: columns of suppliers with one of their own; the cells of further ones share one


@dataclass(frozen=True, slots=True)
class Line:
    """A product in its place. figures: those of the row, by column."""

    placed: Placed
    row: Screened
    figures: Mapping[str, Cell]


def line_of(placed: Placed, row: Screened) -> Line:
    """What the columns of a list look at."""
    return Line(placed, row, dict(row.figures))


Take = Callable[[Line], Cell]


@dataclass(frozen=True, slots=True)
class Field:
    """A column. id: its name in CSV. heading: in a sheet. meaning: a sentence. part: one of those above. of: what
    stands there, None for nothing.
    """

    id: str
    heading: str
    meaning: str
    part: str
    of: Take


def fields_of(specification: Specification, groups: Sequence[Group] = ()) -> tuple[Field, ...]:
    """The columns of a list but for the suppliers' own, part by part."""
    return (*_place_fields(), *_verdict_fields(specification), *_product_fields(specification), *_figure_fields(),
            *_row_fields(groups))  # fmt: skip


def _field(name: str, part: str, of: Take) -> Field:
    return Field(name, say(f"screened_field_{name}"), say(f"screened_mean_{name}"), part, of)


def _place_fields() -> tuple[Field, ...]:
    return (
        _field("standing", PLACE, lambda line: standing_told(standing_of(line.row))),
        _field("place_best", PLACE, lambda line: line.placed.best),
        _field("place_worst", PLACE, lambda line: line.placed.worst),
        _field("product", PLACE, lambda line: name_told(line.row)),
        _field("supplier", PLACE, lambda line: line.row.supplier or None),
    )


# -- verdicts ------------------------------------------------------------------------------------------------


def _verdict_fields(specification: Specification) -> tuple[Field, ...]:
    found = []
    for k, requirement in enumerate(specification.requirements):
        name = f"{'must' if requirement.must else 'prefer'}_{requirement.kind}"
        asked, heading = asked_told(requirement), heading_of(requirement)
        found += [
            Field(name, heading, say("screened_mean_verdict", fact=asked), VERDICT, _verdict(k)),
            Field(
                f"{name}_because",
                say("screened_field_because", fact=heading),
                say("screened_mean_because"),
                REASON,
                _because(k),
            ),
            Field(
                f"{name}_question",
                say("screened_field_question", fact=heading),
                say("screened_mean_question"),
                QUESTION,
                _question(k),
            ),
        ]
    return tuple(found)


def _verdict(k: int) -> Take:
    return lambda line: verdict_told(line.row.verdicts[k].verdict) if line.row.read else None


def _because(k: int) -> Take:
    return lambda line: line.row.verdicts[k].because if line.row.read else None


def _question(k: int) -> Take:
    return lambda line: line.row.verdicts[k].question or None if line.row.read else None


# -- products and figures ------------------------------------------------------------------------------------


def _product_fields(specification: Specification) -> tuple[Field, ...]:
    found: tuple[tuple[str, Take], ...] = (
        ("in_short", lambda line: in_short(line.row, specification) or None),
        *((name, _tallied(name)) for name in _TALLIED),
        ("code", lambda line: line.row.code or None),
        ("market", lambda line: line.row.market or None),
    )
    return tuple(_field(name, PRODUCT, of) for name, of in found)


def _tallied(name: str) -> Take:
    return lambda line: int(getattr(line.row.tally, name))


def _figure_fields() -> tuple[Field, ...]:
    """Prices, the panel, shares, scores, then words: what a buyer looks for first stands first."""
    words = [c for c in (*READINGS, *LAST) if not c.startswith("sodium_") and c != "problems"]
    found = [_field(c, FIGURE, _figure(c)) for c in (*PRICES, "sodium_mg_per_100g", "sodium_mg_per_serving")]
    for group in GROUPS:
        of_group = [c for c in SHARES if c.startswith(f"{group}_")]
        found += [_ended(c, c.removeprefix(f"{group}_"), say(f"compare_measure_share_{group}")) for c in of_group]
    for aspect in ASPECTS:
        of_aspect = [c for c in SCORES if c.startswith(f"score_{aspect}_")]
        found += [_ended(c, c.removeprefix(f"score_{aspect}_"), say(f"compare_measure_{aspect}")) for c in of_aspect]
    return (*found, *(_field(c, FIGURE, _figure(c)) for c in words))


def _ended(column: str, end: str, name: str) -> Field:
    """A column that holds one end of a range."""
    heading = say("screened_field_end", title=name, fact=say(f"screened_end_{end}"))
    meaning = "screened_mean_score" if column.startswith("score_") else f"screened_mean_share_{end}"
    return Field(column, heading, say(meaning), FIGURE, _figure(column))


def _figure(column: str) -> Take:
    return lambda line: line.figures.get(column)


# -- where a row stood ---------------------------------------------------------------------------------------


def _row_fields(groups: Sequence[Group]) -> tuple[Field, ...]:
    own = groups_of(groups)
    found: tuple[tuple[str, Take], ...] = (
        ("problems", lambda line: " ".join(line.row.problems) or None),
        ("doubles", lambda line: _JOINED.join(map(str, own.get(line.row.number, ()))) or None),
        ("number", lambda line: line.row.number),
        ("file", lambda line: line.row.file or say("catalogue_pasted")),
        ("sheet", lambda line: line.row.sheet or None),
        ("row", lambda line: line.row.row),
    )
    return tuple(_field(name, ROW, of) for name, of in found)


def groups_of(groups: Sequence[Group]) -> Mapping[int, list[int]]:
    """By number of an entry: the groups it stands in, counted from 1."""
    found: dict[int, list[int]] = {}
    for k, group in enumerate(groups, 1):
        for number in group.numbers:
            found.setdefault(number, []).append(k)
    return found


class OwnCells:
    """The suppliers' cells as columns of our own: every column of every sheet, alike names together, and one that takes
    what stands beyond them, each cell behind its name.
    """

    def __init__(self, sheets: Sequence[Sheet]) -> None:
        names = dict.fromkeys(column.name for sheet in sheets if not sheet.left_out for column in sheet.columns)
        self.names = tuple(islice(names, _OWN_MOST))
        self._places = {name: k for k, name in enumerate(self.names)}

    @property
    def headings(self) -> tuple[str, ...]:
        """A heading for each column, for sheets and CSV alike, that no other column of the list has."""
        return (*(say("screened_own", name=name) for name in self.names), say("screened_own_other"))

    @property
    def example(self) -> str:
        """What such a heading looks like."""
        return say("screened_own", name="…")

    def of(self, row: Screened) -> list[Cell]:
        """What the supplier wrote, column by column."""
        found: list[Cell] = [None] * (len(self.names) + 1)
        beyond = []
        for name, text in row.cells:
            place = self._places.get(name)
            if place is None or found[place] is not None:
                beyond.append(say("screened_own_cell", name=name, text=text))
            else:
                found[place] = text
        found[-1] = _JOINED.join(beyond) or None
        return found
