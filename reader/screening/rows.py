"""A screened row as a line that can be kept in a file and read back: plain JSON, for a file may come from anywhere."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from typing import Any

from reader.house.standing import Tally
from reader.house.values import Verdict
from reader.screening.values import Screened

_PAIRS = ("cells", "figures", "typed")


@dataclass(frozen=True, slots=True)
class Line:
    """What a journal keeps of a row. body: the whole row as JSON; the others are what is needed of all rows at once.
    verdicts: separated by blanks, in the order of the specification.
    """

    number: int
    failed: bool
    tally: tuple[int, ...]
    verdicts: str
    body: str


def line_of(row: Screened) -> Line:
    """The line of a row."""
    body, tally = _fields(row), _fields(row.tally)
    body["verdicts"], body["tally"] = [_fields(v) for v in row.verdicts], tally
    return Line(
        number=row.number,
        failed=not row.read,
        tally=tuple(tally.values()),
        verdicts=" ".join(v.verdict for v in row.verdicts),
        body=json.dumps(body, ensure_ascii=True, separators=(",", ":")),
    )


def _fields(value: Screened | Tally | Verdict) -> dict[str, Any]:
    """Its fields as they are; `dataclasses.asdict` would copy every text in them."""
    return {field.name: getattr(value, field.name) for field in fields(value)}


def row_from(body: str) -> Screened:
    """The row of a line's body. Raises ValueError, KeyError or TypeError if it is none."""
    found: dict[str, Any] = json.loads(body)
    found["verdicts"] = tuple(Verdict(**verdict) for verdict in found["verdicts"])
    found["tally"] = Tally(**found["tally"])
    found["problems"] = tuple(found["problems"])
    for name in _PAIRS:
        found[name] = tuple((key, value) for key, value in found[name])
    return Screened(**found)


def counts(lines: Iterable[str], requirements: int) -> tuple[Mapping[str, int], ...]:
    """How often each verdict was come to, by place of the requirement; `lines` are the verdicts of lines."""
    found: tuple[dict[str, int], ...] = tuple({} for _ in range(requirements))
    for verdicts in lines:
        for place, verdict in enumerate(verdicts.split()):
            found[place][verdict] = found[place].get(verdict, 0) + 1
    return found
