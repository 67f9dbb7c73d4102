"""Report → the page: HTML fragments for the app, and the whole reading as one document that needs nothing else.

Open this file first. `reading` gives the fragments, `document` the file to keep or print. No script, no request,
no widget; everything that came from the label is escaped (`page_parts.esc`).
"""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from reader.aspects import Aspect, Said, sentence
from reader.page import figures
from reader.page.makeup import makeup, notes
from reader.page.panel import panel
from reader.page.parts import Cited, details, esc, part, range_bar, said, sentences, told
from reader.page.quotes import quoted
from reader.page.rules import rules
from reader.page.statement import statement
from reader.problems import Problem
from reader.product import SAUSAGE
from reader.quantities import show
from reader.report import Report
from reader.wording import say


class Reading(NamedTuple):
    """The page in pieces, so that the app can put its charts and switches between them. Each is one part of the page
    or several, `notes` and `makeup` what stands in the part of the make-up, `rules` what stands in that of the rules;
    "" where there is none.
    """

    headline: str
    body: str
    notes: str
    makeup: str
    rules: str
    more: str
    rest: str


def reading(report: Report, *, opened: bool = False) -> Reading:
    """The fragments of the page, in reading order; `opened` shows at once what else opens on demand."""
    cited = Cited()
    body = [part("aspects", _aspects(report, cited, opened)), part("statement", statement(report, cited))]
    shares = makeup(report, cited, opened=opened)
    law = rules(report, cited, opened=opened)
    before = notes(report) if report.facts.term_count else ""
    more = [part("problems", _problems(report))] if report.problems else []
    more.append(part("panel", panel(report)))
    if report.yardsticks:
        more.append(part("compared", _compared(report, cited)))
    rest = [part("limits", sentences(report.advice.limits, cited))]
    if report.advice.questions:
        rest.append(part("questions", _questions(report)))
    rest.append(part("cautions", sentences(report.advice.cautions, cited)))
    rest.append(part("sources", _sources(cited, opened)))
    return Reading(_headline(report), "".join(body), before, shares, law, "".join(more), "".join(rest))


def document(report: Report, *, made_on: date | None = None) -> str:
    """The reading as a whole HTML file: styles inside, no script, made to be printed."""
    title = say("page_title_named", name=report.name.strip()[:80]) if report.name.strip() else say("page_title")
    pieces = reading(report, opened=True)  # paper has nothing to press
    shares = part("makeup", pieces.notes + pieces.makeup) if pieces.notes or pieces.makeup else ""
    law = part("rules", pieces.rules) if pieces.rules else ""
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta name="color-scheme" content="light dark">'
        # Even if something slipped through: the browser loads and runs nothing.
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        f'<title>{esc(title)}</title><style>{styles()}</style></head><body><main class="sheet">'
        f"<header><h1>{esc(title)}</h1><p class='quiet'>{_when(report, made_on)}</p></header>"
        f"{pieces.headline}{pieces.body}{shares}{law}{pieces.more}{_figures(report)}{pieces.rest}</main></body></html>\n"
    )


@lru_cache(maxsize=1)
def styles() -> str:
    """The style sheet of the fragments, for screen and print."""
    return Path(__file__).with_name("page.css").read_text(encoding="utf-8")


def _when(report: Report, made_on: date | None) -> str:
    text = said("page_read_as", market=say(f"page_market_{report.market}"))
    if made_on is not None:
        text += " " + said("page_made_on", date=f"{made_on.day} {made_on:%B %Y}")
    return text


# -- headline -----------------------------------------------------------------------------------------------


def _headline(report: Report) -> str:
    lines = [f'<p class="headline">{told(sentence(report.headline))}</p>']
    if report.facts.term_count:
        # why it is no sausage stands with the first aspect
        reason = f"{said(report.product.reason)} " if report.product.food == SAUSAGE else ""
        lines.append(f"<p>{reason}{_counts(report)} {_allergens(report)}</p>")
    return part("headline", "".join(lines))


def _counts(report: Report) -> str:
    facts = report.facts
    key = "page_counts_one" if facts.ingredient_count == 1 else "page_counts"
    text = said(key, ingredients=facts.ingredient_count, terms=facts.term_count)
    if not facts.unknown_terms:
        return f"{text} {said('page_unknown_none')}"
    return f"{text} <strong>{said('page_unknown_some', names='; '.join(facts.unknown_terms))}</strong>"


def _allergens(report: Report) -> str:
    market, names = say(f"page_market_{report.market}"), ", ".join(report.facts.allergens)
    key = "page_allergens" if names else "page_allergens_none"
    return f"{said(key, market=market, names=names)} {said('page_allergens_caution')}"


# -- aspects ------------------------------------------------------------------------------------------------


def _aspects(report: Report, cited: Cited, opened: bool) -> str:
    rows = "".join(_aspect(a, cited, opened) for a in report.aspects)
    return f'<div class="aspects">{rows}</div><p class="quiet">{_key(report.aspects)} {said("page_key_score")}</p>'


def _key(aspects: tuple[Aspect, ...]) -> str:
    """What the bars mean; only of what is drawn."""
    drawn = {
        "possible": any(a.score for a in aspects),
        "likely": any(a.likely for a in aspects),
        "none": any(a.score is None for a in aspects),
    }
    return " ".join(said(f"page_key_{name}") for name, there in drawn.items() if there)


def _aspect(aspect: Aspect, cited: Cited, opened: bool) -> str:
    title = say(f"aspect_{aspect.id}")
    score, label = _score(aspect), _spoken(aspect, title)
    likely = f" {told(_likely(aspect))}" if aspect.likely else ""
    scale = said("page_scale", scale=say(f"aspect_{aspect.id}_scale")) if aspect.score else ""
    return (
        f'<article class="aspect {aspect.id}"><h3>{esc(title)}</h3><p class="score">{esc(score)}</p>'
        f"{range_bar(label, aspect.score, aspect.likely, aspect.middle)}"
        f'<p class="says">{_sentence(aspect.reading, cited)}{likely} <span class="scale-ends">{scale}</span></p>'
        f"{_why(aspect, cited, opened)}</article>"
    )


def _score(aspect: Aspect) -> str:
    if aspect.score is None:
        return say("page_no_score_" + aspect.state.replace(" ", "_"))
    low, high = show(aspect.score.low), show(aspect.score.high)
    return say("page_score_one", low=low) if low == high else say("page_score", low=low, high=high)


def _spoken(aspect: Aspect, title: str) -> str:
    if aspect.score is None:
        return say("page_range_none", title=title, state=aspect.state)
    label = say("page_range_label", title=title, low=show(aspect.score.low), high=show(aspect.score.high))
    return f"{label} {likely}" if (likely := _likely(aspect)) else label


def _likely(aspect: Aspect) -> str:
    """The likely part of a score in words; "" where there is none."""
    if aspect.likely is None:
        return ""
    ends = {"low": show(aspect.likely.low), "high": show(aspect.likely.high)}
    if aspect.middle is None:
        return say("page_range_likely", **ends)
    return say("page_range_likely_middle", **ends, middle=show(aspect.middle))


def _why(aspect: Aspect, cited: Cited, opened: bool) -> str:
    grounds = "".join(f"<li>{_sentence(g, cited)}</li>" for g in aspect.grounds)
    narrows = "".join(f"<li>{_sentence(n, cited)}</li>" for n in aspect.narrows)
    inside = f'<ul class="plain">{grounds}</ul>' if grounds else ""
    if narrows:
        inside += f'<h4>{said("page_narrows")}</h4><ul class="plain">{narrows}</ul>'
    return details(said("page_why"), inside, opened=opened) if inside else ""


def _sentence(words: Said, cited: Cited) -> str:
    return told(sentence(words)) + cited.mark(words.source)


# -- problems, questions, pictures, sources -----------------------------------------------------------------


def _problems(report: Report) -> str:
    items = "".join(_problem(report, n, p) for n, p in enumerate(report.problems, 1))
    return f'<ol class="remarks">{items}</ol>'


def _problem(report: Report, number: int, problem: Problem) -> str:
    quote = quoted(report, problem.span) if problem.span is not None else ""
    return f'<li id="remark-{number}">{told(problem.message)}{quote}</li>'


def _compared(report: Report, cited: Cited) -> str:
    return '<ul class="plain">' + "".join(f"<li>{_sentence(y, cited)}</li>" for y in report.yardsticks) + "</ul>"


def _questions(report: Report) -> str:
    return '<ol class="plain numbered">' + "".join(f"<li>{esc(q)}</li>" for q, _ in report.advice.questions) + "</ol>"


def _figures(report: Report) -> str:
    """The pictures of the app as tables, for the document."""
    found = part("terms", figures.order_table(report)) if figures.order(report) else ""
    if figures.sodium_serving(report) or figures.sodium_hundred(report):
        doubts = f'<p class="quiet">{told(text)}</p>' if (text := figures.day_doubts(report)) else ""
        found += part("sodium", figures.day_table(report) + doubts + figures.survey_table(report))
    return found


def _sources(cited: Cited, opened: bool) -> str:
    how, listed = said("page_sources_how"), said("page_sources_list")
    return f"<p>{how}</p>{details(listed, cited.listed(), opened=opened) if cited.ids else ''}"
