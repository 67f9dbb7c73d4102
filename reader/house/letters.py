"""Letters to suppliers: what their labels leave open, each question once, with the products it is about.

A letter asks for information and holds nobody's name: who writes, and when, is filled in by hand.
"""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from reader.house.kinds import kinds
from reader.house.standing import tally
from reader.house.values import ASK, FAILS, Specification, Verdict
from reader.wording import say

_WIDTH = 78  # characters of a line of plain text
_QUOTED = 1500  # house: characters of a label that a letter quotes
_ALLERGENS = "allergens"  # the topic that asks for a caution


@dataclass(frozen=True, slots=True)
class Product:
    """A product a supplier is asked about, with the verdicts on it. number: its place in the catalogue; name, code: as
    the supplier gives them; label: the statement as received.
    """

    number: int
    supplier: str
    name: str
    code: str
    label: str
    verdicts: tuple[Verdict, ...]

    @property
    def called(self) -> str:
        """What a letter calls it."""
        name = " ".join(self.name.split()) or say("letter_unnamed", number=self.number)
        code = " ".join(self.code.split())
        return say("letter_coded", name=name, code=code) if code else name


@dataclass(frozen=True, slots=True)
class Question:
    """A question with the products it is about. topic: an id of requirements.yaml's topics."""

    topic: str
    text: str
    products: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Letter:
    """What one supplier is asked. supplier: "" where the catalogue names none. house: the title of the specification.
    shared: questions about several products; single: by product, those about it alone. labels: the products with the
    labels the questions rest on.
    """

    supplier: str
    house: str
    shared: tuple[Question, ...]
    single: tuple[tuple[str, tuple[Question, ...]], ...]
    labels: tuple[tuple[str, str], ...]

    @property
    def cautions(self) -> tuple[str, ...]:
        """What is said of allergens where they are asked about."""
        asked = (*self.shared, *(q for _, questions in self.single for q in questions))
        return (say("letter_allergens"),) if any(q.topic == _ALLERGENS for q in asked) else ()


def letters(products: Iterable[Product], specification: Specification) -> tuple[Letter, ...]:
    """A letter for each supplier of whom there is something to ask, by name. Products that fail a must are left out:
    no answer would bring them back.
    """
    by_supplier: dict[str, list[Product]] = {}
    for product in products:
        of_it = tally(specification, product.verdicts)
        if of_it.standing != FAILS and (of_it.musts_asked or of_it.preferences_asked):
            by_supplier.setdefault(" ".join(product.supplier.split()), []).append(product)
    return tuple(_letter(name, of_it, specification.title) for name, of_it in sorted(by_supplier.items()))


def _letter(supplier: str, products: list[Product], house: str) -> Letter:
    ordered = sorted(products, key=lambda p: p.number)
    names = _names(ordered)
    topics: dict[str, str] = {}
    about: dict[str, dict[str, None]] = {}
    for product, name in zip(ordered, names, strict=True):
        for verdict in product.verdicts:
            if verdict.verdict == ASK:
                topics.setdefault(verdict.question, kinds()[verdict.kind].topic)
                about.setdefault(verdict.question, {})[name] = None
    questions = [Question(topic, text, tuple(about[text])) for text, topic in topics.items()]
    questions.sort(key=lambda q: _topics().index(q.topic))  # keeps the order of the specification within a topic
    single: dict[str, list[Question]] = {name: [] for name in names}
    for question in questions:
        if len(question.products) == 1:
            single[question.products[0]].append(question)
    return Letter(
        supplier,
        house,
        tuple(q for q in questions if len(q.products) > 1),
        tuple((name, tuple(own)) for name, own in single.items() if own),
        tuple((name, " ".join(p.label.split())) for name, p in zip(names, ordered, strict=True)),
    )


def _names(products: list[Product]) -> list[str]:
    """What a letter calls each product; where two would be called the same, each with its number."""
    counted = Counter(p.called for p in products)
    return [
        p.called if counted[p.called] == 1 else say("letter_numbered", name=p.called, number=p.number) for p in products
    ]


def _topics() -> list[str]:
    return list(dict.fromkeys(kind.topic for kind in kinds().values()))


def topic_told(topic: str) -> str:
    """The heading of a topic."""
    return say(f"house_topic_{topic}")


def products_told(question: Question, letter: Letter) -> str:
    """Of which products a question is asked, in one line."""
    if len(question.products) == len(letter.labels):
        return say("letter_of_all", count=len(letter.labels))
    return say("letter_of", names="; ".join(question.products))


def label_told(label: str) -> str:
    """A label as a letter quotes it, cut where it is very long."""
    if not label:
        return say("letter_no_label")
    return label if len(label) <= _QUOTED else say("letter_label_cut", words=label[:_QUOTED].rsplit(None, 1)[0])


def opening(letter: Letter) -> tuple[str, ...]:
    """The paragraphs before the questions."""
    count = len(letter.labels)
    about = say("letter_about_one" if count == 1 else "letter_about", count=count, title=letter.house)
    return say("letter_greeting"), about, say("letter_request")


def closing(letter: Letter) -> tuple[str, ...]:
    """The paragraphs behind the questions, before the labels they rest on."""
    return (*letter.cautions, say("letter_answer"))


def addressed(letter: Letter) -> str:
    """To whom it goes."""
    return letter.supplier or say("letter_supplier_unnamed")


# -- plain text ----------------------------------------------------------------------------------------------


def as_text(letter: Letter) -> str:
    """The letter as plain text with lines of 78 characters, to be mailed or printed."""
    number = _Count()
    blocks = [say("letter_title"), "\n".join((f"{say('letter_to')}: {addressed(letter)}", *_blanks()))]
    blocks += map(_wrapped, opening(letter))
    if letter.shared:
        blocks += [_headed(say("letter_shared")), *_asked(letter.shared, number, letter)]
    for name, questions in letter.single:
        blocks += [_headed(name), *_asked(questions, number)]
    blocks += map(_wrapped, closing(letter))
    blocks += [say("letter_regards"), f"{say('letter_name_line')}: {'_' * 40}"]
    blocks += [_headed(say("letter_labels")), _wrapped(say("letter_labels_say"))]
    blocks += [_wrapped(f"{name}: {label_told(label)}") for name, label in letter.labels]
    return "\n\n".join(blocks) + "\n"


class _Count:
    """Numbers that run on through the whole letter, so that an answer can point to a question."""

    def __init__(self) -> None:
        self.last = 0

    def next(self) -> int:
        self.last += 1
        return self.last


def _asked(questions: Iterable[Question], number: _Count, shared_in: Letter | None = None) -> Iterator[str]:
    topic = ""
    for question in questions:
        if question.topic != topic:
            topic = question.topic
            yield topic_told(topic)
        lines = [_wrapped(question.text, f"{number.next():>3}. ", "     ")]
        if shared_in is not None:
            lines.append(_wrapped(products_told(question, shared_in), "     ", "     "))
        yield "\n".join(lines)


def _headed(text: str) -> str:
    return f"{text}\n{'-' * min(len(text), _WIDTH)}"


def _wrapped(text: str, first: str = "", other: str = "") -> str:
    return textwrap.fill(text, _WIDTH, initial_indent=first, subsequent_indent=other, break_long_words=False)


def _blanks() -> tuple[str, ...]:
    """Lines filled in by hand."""
    return tuple(f"{say(key)}: {'_' * 40}" for key in ("letter_from", "letter_date_line"))
