"""Which column is what: headings and cells weighed, each guess with its reason, other possibilities named."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from reader.catalogue.column_content import Content, content_of, fits, rules_out, speaks_for
from reader.catalogue.column_names import (
    ENERGY,
    EXACT,
    KEPT,
    NEAR,
    NUTRIENTS,
    PERHAPS,
    ROLES,
    SERVING_SIZE,
    Heading,
    heading,
)
from reader.catalogue.headings import Header, basis_above, unique_names
from reader.catalogue.records import Record
from reader.catalogue.settings import guessing
from reader.catalogue.trouble import TableError
from reader.catalogue.values import BASES, PER_100G, SERVING, Column, Guess
from reader.tables import load_raw
from reader.wording import say

_OTHER_LANGUAGE = 20  # house: score a column in another language than English loses
_ENGLISH = 0.3  # house: share of known ingredients below which a statement is in another language
_WHOLE_FIT = 10  # house: score that cells gain for a heading they fit in full


class Columns(NamedTuple):
    """The columns of a table with what its numbers are for, and why."""

    columns: tuple[Column, ...]
    basis: str
    basis_why: str


class _Seen(NamedTuple):
    place: int
    stood: str
    name: str
    heading: Heading
    content: Content
    guesses: tuple[Guess, ...]


def columns_of(
    header: Header,
    sample: Sequence[Record],
    names: Sequence[str] = (),
    roles: Mapping[str, str] | None = None,
    basis: str = "",
) -> Columns:
    """The columns of a table from its heading and the first rows below it.

    names: of the columns, where the form has them itself. roles: what the user said, role → name of the column, "" for
    none; basis: the same, one of BASES. Raises TableError if a role or a column is not known.
    """
    below = [record.cells for record in sample if record.row > header.last]
    stood = list(names) or list(header.cells)
    width = max(len(stood), max(map(len, below), default=0)) if not names else len(names)
    asked = list(names) or list(header.asked)
    seen = []
    for k, name in enumerate(unique_names(stood, width)):
        said = heading(asked[k]) if k < len(asked) else Heading()
        content = content_of([cells[k] if k < len(cells) else "" for cells in below])
        heads = stood[k] if k < len(stood) else ""
        seen.append(_Seen(k, heads, name, said, content, tuple(_guesses(heads, said, content))))
    chosen, why = _basis(seen, basis_above(header), basis)
    taken = _given(seen, roles or {})
    for column, guess in _ranked(seen, chosen):
        free = column.place not in {c.place for c, _ in taken.values()}
        if guess.role not in taken and guess.role not in (roles or {}) and free:
            taken[guess.role] = (column, guess)
    _one_energy(taken)
    return Columns(tuple(_column(column, taken, chosen) for column in seen), chosen, why)


# -- guesses ------------------------------------------------------------------------------------------------


def _guesses(stood: str, said: Heading, content: Content) -> list[Guess]:
    """What a column may be, best first."""
    found: dict[str, Guess] = {}
    if said.role == KEPT:
        return []
    if said.role:
        told = role_told(said.role)
        score = said.score + _WHOLE_FIT * fits(content, said.role) - _WHOLE_FIT / 2
        if rules_out(content, said.role):
            score = min(score, guessing("contradicted"))
            why = say("sheet_why_contradicted", heading=stood, role=told)
        elif said.how == EXACT:
            why = say("sheet_why_heading", heading=stood, role=told)
        elif said.how == NEAR:
            why = say("sheet_why_near", heading=stood, wording=said.wording, role=told)
        elif said.how == PERHAPS:
            why = say("sheet_why_perhaps", heading=stood, role=told)
        else:
            why = say("sheet_why_words", heading=stood, wording=said.wording, role=told)
        if said.language == "other":
            score -= _OTHER_LANGUAGE
        found[said.role] = Guess(said.role, why, round(max(score, 0), 1))
    for role, share in speaks_for(content):
        score = share * guessing("content_only")
        if role == "name":  # any words may be a name; what else a column may be goes first
            score = min(score, guessing("enough") + 1)
        if role == "statement" and content.english < _ENGLISH:
            score = max(score - _OTHER_LANGUAGE, min(score, guessing("enough")))  # used where there is no English one
        why = say("sheet_why_cells", count=round(share * content.filled), all=content.filled, role=role_told(role))
        if role not in found or found[role].score < score:
            found[role] = Guess(role, why, round(max(score, 0), 1))
    return sorted(found.values(), key=lambda g: -g.score)


def role_told(role: str) -> str:
    """A role in words for people."""
    named = load_raw()["column_names"]["columns"].get(role)
    return str(named["told"]) if named else say(f"sheet_role_{role}")


def _ranked(seen: Sequence[_Seen], basis: str) -> list[tuple[_Seen, Guess]]:
    """Every guess good enough to be used, best first; numbers for another basis than the sheet's are not used."""
    found = [
        (column, guess)
        for column in seen
        for guess in column.guesses
        if guess.score >= guessing("enough")
        and not (guess.role in NUTRIENTS and column.heading.basis not in ("", basis))
    ]
    return sorted(found, key=lambda f: (-f[1].score, f[0].place))


def _given(seen: Sequence[_Seen], roles: Mapping[str, str]) -> dict[str, tuple[_Seen, Guess]]:
    by_name = {column.name: column for column in seen}
    found = {}
    for role, name in roles.items():
        if role not in ROLES:
            raise TableError(say("sheet_no_role", role=role, known=", ".join(ROLES)))
        if not name:
            continue
        if name not in by_name:
            raise TableError(say("sheet_no_column", column=name, known=", ".join(by_name)))
        found[role] = (by_name[name], Guess(role, say("sheet_why_chosen", role=role_told(role)), 100))
    return found


def _one_energy(taken: dict[str, tuple[_Seen, Guess]]) -> None:
    """Energy without a unit says nothing more where it stands in a column with one."""
    if ENERGY in taken and {"energy_kcal", "energy_kj"} & set(taken):
        del taken[ENERGY]


def _basis(seen: Sequence[_Seen], above: str, chosen: str) -> tuple[str, str]:
    """What the numbers of the table are for, and why."""
    if chosen:
        if chosen not in BASES:
            raise TableError(say("sheet_no_basis", basis=chosen, known=", ".join(BASES)))
        return chosen, say("sheet_numbers_chosen", basis=say(f"sheet_basis_{chosen}"))
    numbers = [c for c in seen if any(g.role in NUTRIENTS and g.score >= guessing("enough") for g in c.guesses)]
    count = {basis: sum(c.heading.basis == basis for c in numbers) for basis in BASES}
    for basis in (PER_100G, SERVING):
        if count[basis] and count[basis] >= max(count.values()):
            return basis, say("sheet_numbers_headings", basis=say(f"sheet_basis_{basis}"), count=count[basis])
    if above:
        return above, say("sheet_numbers_above", basis=say(f"sheet_basis_{above}"))
    weighed = any(g.role == SERVING_SIZE and g.score >= guessing("enough") for c in seen for g in c.guesses)
    return PER_100G, say("sheet_numbers_weighed" if weighed else "sheet_numbers_nothing") if numbers else ""


# -- what is told -------------------------------------------------------------------------------------------


def _column(seen: _Seen, taken: Mapping[str, tuple[_Seen, Guess]], basis: str) -> Column:
    own = next((guess for column, guess in taken.values() if column.place == seen.place), None)
    role = own.role if own else ""
    others = tuple(guess for guess in seen.guesses if guess.role != role)
    said = seen.heading
    why = own.why if own else _kept(seen, taken, basis)
    unit = _price_unit(said) if role == "price" else said.unit
    return Column(seen.place, seen.stood, seen.name, role, why, unit, said.basis, others)


def _price_unit(said: Heading) -> str:
    """ "EUR/kg" of a heading "Preis € je kg"."""
    per = said.unit or ("100 g" if said.basis == PER_100G else "")
    return f"{said.currency}/{per}" if per else said.currency


def _kept(seen: _Seen, taken: Mapping[str, tuple[_Seen, Guess]], basis: str) -> str:
    """Why a column is only kept."""
    if not seen.guesses:
        return say("sheet_kept_known", heading=seen.stood) if seen.heading.role == KEPT else say("sheet_kept")
    best = seen.guesses[0]
    if best.role in NUTRIENTS and seen.heading.basis not in ("", basis):
        return say("sheet_kept_basis", role=role_told(best.role), basis=say(f"sheet_basis_{basis}"))
    if best.role in taken:
        return say("sheet_kept_other", role=role_told(best.role), column=taken[best.role][0].name)
    return best.why
