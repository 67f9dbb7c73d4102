"""Products of a screened list as HTML: the first of a standing with their reasons, further ones a line each."""

from __future__ import annotations

from collections.abc import Sequence

from reader.house.standing import Placed
from reader.house.values import ASK, Requirement, Specification, Verdict
from reader.makeup_words import between
from reader.page.comparison import unbroken
from reader.page.parts import details, esc, range_bar, said, told
from reader.quantities import Interval, show
from reader.screening.questions import verdicts_of
from reader.screening.told import asked_told, in_short, name_told, place_told, verdict_told, where_told
from reader.screening.values import Screened
from reader.wording import say


def product(placed: Placed, row: Screened, specification: Specification) -> str:
    """A product with its place, key figures and what stands against it; every verdict with its reason behind a fold."""
    name = name_told(row)
    from_whom = " · ".join(esc(text) for text in (row.supplier, row.code) if text and text != name)
    place = f'<span class="place">{esc(unbroken(place_told(placed)))}</span> ' if row.read else ""
    head = f'<h3>{place}{esc(name)} <span class="from">{from_whom}</span></h3>'
    figures = " · ".join(map(told, _figures(row)))
    figures = f'<p class="quiet">{figures}</p>' if figures else ""
    says = f"<p>{told(in_short(row, specification))}</p>" if row.read else ""
    problems = "".join(f'<p class="quiet">{told(problem)}</p>' for problem in row.problems)
    where = f'<p class="quiet">{told(where_told(row))}</p>'
    verdicts = _verdicts(row, specification) if row.read else ""
    folded = details(said("screened_reasons"), f"{verdicts}{problems}{where}") if row.read else problems + where
    return f'<li class="product">{head}{_preferred(placed, row, specification)}{figures}{says}{folded}</li>'


def line(placed: Placed, row: Screened, specification: Specification) -> Sequence[str]:
    """A product in one line of a table, as texts: name, place, supplier, in short."""
    short = in_short(row, specification) if row.read else " ".join(row.problems)
    return name_told(row), unbroken(place_told(placed)) if row.read else "", row.supplier, short


def _preferred(placed: Placed, row: Screened, specification: Specification) -> str:
    """How many of the preferences it meets, as a range, drawn and told."""
    whole = len(specification.preferences)
    if not whole or not row.read:
        return ""
    found = placed.tally.preferences
    range_ = (
        show(found.low)
        if found.low == found.high
        else say("compare_between", low=show(found.low), high=show(found.high))
    )
    text = say("screened_preferences", range=range_, all=whole)
    bar = range_bar(f"{name_told(row)}: {text}", found, top=float(whole))
    return f'<div class="preferred">{bar}<span>{told(text)}</span></div>'


def _figures(row: Screened) -> list[str]:
    """What a buyer looks for first, as far as it is known."""
    figures = dict(row.figures)
    found = []
    if (price := figures.get("price_kg")) is not None:
        found.append(
            say("screened_figure_price", value=_money(price), unit=figures.get("currency", "")).replace("  ", " ")
        )
    if (sodium := figures.get("sodium_mg_per_100g")) is not None:
        found.append(say("screened_figure_sodium", value=show(_number(sodium), 0)))
    for key in ("likely", "possible"):
        ends = [figures.get(f"meat_{'likely_' if key == 'likely' else ''}{end}") for end in ("low", "high")]
        if None not in ends:
            range_ = between("meat", Interval(*map(_number, ends)))
            found.append(say(f"screened_figure_meat_{key}", range=range_))
            break
    return found


def _number(value: object) -> float:
    return float(str(value))


def _money(value: object) -> str:
    return f"{_number(value):,.2f}"


def _verdicts(row: Screened, specification: Specification) -> str:
    pairs = zip(specification.requirements, verdicts_of(row, specification), strict=True)
    return f'<dl class="verdicts">{"".join(_verdict(r, v) for r, v in pairs)}</dl>'


def _verdict(requirement: Requirement, verdict: Verdict) -> str:
    asks = f' <em class="asks">{told(verdict.question)}</em>' if verdict.verdict == ASK and verdict.question else ""
    return (
        f'<div class="{verdict.verdict}"><dt>{esc(asked_told(requirement))}</dt>'
        f"<dd><b>{esc(verdict_told(verdict.verdict))}</b> {told(verdict.because)}{asks}</dd></div>"
    )
