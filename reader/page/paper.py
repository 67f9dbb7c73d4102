"""Sheets to hand out: worksheets without or with answers, a one-page summary of a class, pack cards; for print."""

from __future__ import annotations

from collections.abc import Sequence

from reader.aspects import ASPECTS, CASING, Aspect, sentence
from reader.compare.pack import Pack
from reader.compare.table import Line, line_of
from reader.makeup_words import between
from reader.page.pack_figures import cell_text, measure_name
from reader.page.parts import esc, range_bar, said, told
from reader.page.sheet import sheet
from reader.quantities import Interval, show
from reader.report import Report
from reader.wording import say

_CARD_ROWS = ("sodium_serving", "sodium_100g", "protein_100g", "casing_stated", "cure", "fillers")
_ROOMY = 30  # packs whose names may take two lines of the summary; of more, each takes one, so that a page holds 40
_SUMMARY_WORDS = ("sodium_100g", "casing_stated", "breaks")


# -- worksheet ----------------------------------------------------------------------------------------------


def worksheets(packs: Sequence[Pack], *, answers: bool = False) -> str:
    """A worksheet for each pack, each beginning on a page of its own; with `answers`, the reading in place of lines."""
    title = say("paper_answers" if answers else "paper_worksheet")
    return sheet(title, "".join(_worksheet(pack, title, answers) for pack in packs), kind="paper")


def _worksheet(pack: Pack, title: str, answers: bool) -> str:
    report = pack.report
    fields = f'<p class="fields"><span>{said("paper_name_line")}</span><span>{said("paper_date_line")}</span></p>'
    front = _typed("paper_front", report.name) if report.name.strip() else ""
    scales = "".join(_scale(aspect, answers) for aspect in report.aspects)
    asked = "".join(_question(*pair, answers) for pair in questions(report))
    guess = f"<h2>{said('paper_reading')}</h2>" if answers else f"<p>{said('paper_guess')}</p>"
    return (
        f'<section class="worksheet"><header><h1>{esc(title)}</h1><p class="quiet">{esc(pack.name)}</p></header>'
        f"{'' if answers else fields}{front}{_typed('paper_printed_list', report.statement)}"
        f"{_typed('paper_printed_panel', report.panel_text, 'panel')}"
        f"{guess}{scales}<h2>{said('paper_questions')}</h2>"
        f'<ol class="questions">{asked}</ol><p class="quiet">{said("paper_caution")}</p></section>'
    )


def _typed(key: str, text: str, kind: str = "") -> str:
    """A text as pasted under its heading, or that there is none."""
    typed = f'<p class="typed {kind}">{esc(text.strip())}</p>'
    return f"<h2>{said(key)}</h2>" + (typed if text.strip() else f'<p class="quiet">{said("paper_no_text")}</p>')


def _scale(aspect: Aspect, answers: bool) -> str:
    """A scale from 0 to 10: empty to be marked by hand, or with the reading on it."""
    title, ends = say(f"aspect_{aspect.id}"), said("page_scale", scale=say(f"aspect_{aspect.id}_scale"))
    if not answers:
        ticks = "".join(f"<span>{n}</span>" for n in range(11))
        drawn = f'<div class="ticks" aria-hidden="true">{ticks}</div><p class="write">{said("paper_words")}</p>'
        return f'<div class="scale"><h3>{esc(title)}</h3><p class="quiet">{ends}</p>{drawn}</div>'
    text = _score_text(aspect)
    drawn = range_bar(f"{title}: {text}", aspect.score, aspect.likely, aspect.middle)
    says = told(sentence(aspect.reading))
    return f'<div class="scale"><h3>{esc(title)}: {esc(text)}</h3><p class="quiet">{ends}</p>{drawn}<p>{says}</p></div>'


def _score_text(aspect: Aspect) -> str:
    if aspect.score is None:
        return say("page_no_score_" + aspect.state.replace(" ", "_"))
    return say("page_score", low=show(aspect.score.low), high=show(aspect.score.high))


def _question(asked: str, answer: str, answers: bool) -> str:
    below = f"<p>{told(answer)}</p>" if answers else '<div class="line"></div>' * 2
    return f"<li><p>{told(asked)}</p>{below}</li>"


def questions(report: Report) -> tuple[tuple[str, str], ...]:
    """The questions of a worksheet, each with the answer of the reading."""
    facts = report.facts
    first = say("paper_answer_first", name=facts.first_ingredient) if facts.first_ingredient else ""
    casing = report.aspect(CASING)
    asked = [q for q, _ in report.advice.questions][:2]
    return (
        (say("paper_ask_first"), first or say("paper_answer_none")),
        (say("paper_ask_meat"), _names(facts.meat_sources)),
        (say("paper_ask_fillers"), _names(facts.binders)),
        (say("paper_ask_cure"), _names(facts.cures)),
        (say("paper_ask_casing"), " ".join(sentence(s) for s in (casing.reading, *casing.grounds))),
        (say("paper_ask_sodium"), _sodium(report)),
        (say("paper_ask_share"), _meat_share(report)),
        (say("paper_ask_maker"), " ".join(asked) or say("paper_answer_none")),
    )


def _names(names: tuple[str, ...]) -> str:
    listed = ", ".join(names)
    return f"{listed[0].upper()}{listed[1:]}." if listed else say("paper_answer_none")


def _sodium(report: Report) -> str:
    panel = report.panel
    values = (panel.stated_per_serving("sodium_mg"), panel.serving_g, panel.stated_per_100g("sodium_mg"))
    if values[0] is None and values[2] is None:
        return say("paper_answer_panel_none")
    if all(v is not None for v in values):
        serving, weight, hundred = (show(v or 0.0, 0) for v in values)
        return say("paper_answer_sodium", serving=serving, weight=weight, hundred=hundred)
    units = ("mg", "g", "mg")
    told_of = [
        say("page_no_score_not_stated") if v is None else f"{show(v, 0)} {u}"
        for v, u in zip(values, units, strict=True)
    ]
    return say("paper_answer_sodium_part", serving=told_of[0], weight=told_of[1], hundred=told_of[2])


def _meat_share(report: Report) -> str:
    share = report.makeup.group("meat") if report.product.ingredients else None
    if share is None:
        return say("paper_answer_share_none")
    possible = between("meat", share.possible, unit="")
    if share.likely is None:
        return say("paper_answer_share", range=possible)
    return say("paper_answer_share_likely", range=possible, value=between("meat", share.likely, unit=""))


# -- class summary and cards --------------------------------------------------------------------------------


def class_summary(packs: Sequence[Pack]) -> str:
    """The packs of a class on one A4 page, up to 40: the aspects drawn, sodium, casing, findings."""
    title = say("paper_summary")
    head = [say("compare_pack"), *(say(f"aspect_{a}") for a in ASPECTS), say("paper_summary_sodium"),
            measure_name("casing_stated"), say("paper_summary_breaks")]  # fmt: skip
    top = "".join(f'<th scope="col">{esc(cell)}</th>' for cell in head)
    rows = "".join(_summary_row(line_of(pack)) for pack in packs)
    caption = said("paper_summary_caption", count=len(packs))
    body = (
        f'<header><h1>{esc(title)}</h1></header><div class="wide"><table class="bars"><caption>{caption}</caption>'
        f"<thead><tr>{top}</tr></thead><tbody>{rows}</tbody></table></div>"
        f'<p class="quiet">{said("compare_key")} {said("paper_summary_key")} {said("paper_caution")}</p>'
    )
    return sheet(title, body, kind="paper summary" if len(packs) <= _ROOMY else "paper summary tight")


def _summary_row(line: Line) -> str:
    cells = ""
    for aspect in ASPECTS:
        cell = line.cell(aspect)
        text = cell_text(aspect, cell)
        shown = text if cell.possible is None else _ends(cell.possible)
        drawn = range_bar(f"{measure_name(aspect)}: {text}", cell.possible, cell.likely, cell.middle)
        cells += f'<td class="drawn">{drawn}<small>{esc(shown)}</small></td>'
    for name in _SUMMARY_WORDS:
        cell = line.cell(name)
        short = show(cell.middle or 0.0, 0) if name == "breaks" and not cell.state else cell_text(name, cell)
        cells += f'<td class="{name}"><span class="cell">{esc(short)}</span></td>'
    return f'<tr><th scope="row"><span class="cell">{esc(line.pack.name)}</span></th>{cells}</tr>'


def _ends(found: Interval) -> str:
    low, high = show(found.low), show(found.high)
    return low if low == high else say("compare_between", low=low, high=high)


def cards(packs: Sequence[Pack]) -> str:
    """A card for each pack, four to an A4 page, none torn by a page's end."""
    listed = "".join(_card(line_of(pack)) for pack in packs)
    return sheet(say("paper_card"), f'<div class="cards">{listed}</div>', kind="paper")


def _card(line: Line) -> str:
    pack, report = line.pack, line.pack.report
    rows = []
    for aspect in ASPECTS:
        cell = line.cell(aspect)
        text = cell_text(aspect, cell)
        drawn = range_bar(f"{measure_name(aspect)}: {text}", cell.possible, cell.likely, cell.middle)
        rows.append((say(f"aspect_{aspect}"), f"{drawn}<small>{esc(text)}</small>"))
    priced = () if line.cell("price_kg").state else ("price_kg",)
    rows += [(measure_name(name), esc(cell_text(name, line.cell(name)))) for name in (*_CARD_ROWS, *priced)]
    listed = "".join(f"<div><dt>{esc(title)}</dt><dd>{inside}</dd></div>" for title, inside in rows)
    return (
        f'<article class="card"><h2>{esc(pack.name)}</h2><p>{told(sentence(report.headline))}</p><dl>{listed}</dl>'
        f'<p class="quiet">{said("paper_caution")}</p></article>'
    )
