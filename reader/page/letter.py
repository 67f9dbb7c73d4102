"""A letter to a supplier as an HTML file of its own, to be printed or mailed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from reader.house.letters import Letter, Question, addressed, closing, label_told, opening, products_told, topic_told
from reader.page.parts import esc, said, told
from reader.page.sheet import sheet
from reader.wording import say


def letter_page(letter: Letter) -> str:
    """The whole file. What came from labels and catalogues is escaped; questions are numbered through."""
    fields = "".join(f"<span>{said(key)}</span>" for key in ("letter_from", "letter_date_line"))
    head = (
        f"<header><h1>{said('letter_title')}</h1><p>{said('letter_to')}: {esc(addressed(letter))}</p></header>"
        f'<p class="fields">{fields}</p>'
    )
    first = 1
    parts = []
    if letter.shared:
        parts.append(_part(say("letter_shared"), letter.shared, first, letter))
        first += len(letter.shared)
    for name, questions in letter.single:
        parts.append(_part(name, questions, first))
        first += len(questions)
    labels = "".join(f"<dt>{esc(name)}</dt><dd>{esc(label_told(label))}</dd>" for name, label in letter.labels)
    body = (
        f"{head}{_paragraphs(opening(letter))}{''.join(parts)}{_paragraphs(closing(letter))}"
        f'<p>{said("letter_regards")}</p><p class="fields"><span>{said("letter_name_line")}</span></p>'
        f"<section><h2>{said('letter_labels')}</h2><p>{said('letter_labels_say')}</p><dl>{labels}</dl></section>"
    )
    return sheet(f"{say('letter_title')}: {addressed(letter)}", body, kind="paper letter")


def _part(heading: str, questions: Sequence[Question], first: int, shared_in: Letter | None = None) -> str:
    """Questions under a heading, by topic, the first numbered `first`; shared ones with their products."""
    blocks = []
    for topic, group in groupby(questions, key=lambda q: q.topic):
        alike = list(group)
        items = "".join(f"<li><p>{told(q.text)}</p>{_products(q, shared_in)}</li>" for q in alike)
        blocks.append(f'<h3>{esc(topic_told(topic))}</h3><ol class="questions" start="{first}">{items}</ol>')
        first += len(alike)
    return f"<section><h2>{esc(heading)}</h2>{''.join(blocks)}</section>"


def _products(question: Question, shared_in: Letter | None) -> str:
    return f'<p class="quiet">{esc(products_told(question, shared_in))}</p>' if shared_in is not None else ""


def _paragraphs(sentences: Sequence[str]) -> str:
    return "".join(f"<p>{told(sentence)}</p>" for sentence in sentences)
