"""Letters: each question once with its products, nobody's name, cautions, nothing of a label trusted."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from reader import read_label
from reader.house.letters import Letter, Product, as_text, letters
from reader.house.specification import from_yaml
from reader.house.values import ASK, Specification
from reader.house.verdicts import judge
from reader.page.letter import letter_page
from reader.price import NO_PRICE
from tests.test_wording import FORBIDDEN

HOUSE = from_yaml(
    "title: Our counter\nmust:\n  casing: natural\n  phosphates: none\n  allergens: milk\nprefer:\n  sodium_per_100g: 900\n"
)
LABELS = (
    ("North Hall", "Country Link", "A1", "Pork, water, salt."),
    ("North Hall", "Hill Link", "A2", "Pork, blorp, water, salt."),
    ("North Hall", "Field Link", "A3", "Pork, water, salt, sodium phosphates."),
    ("South Yard", "Bay Link", "", "Beef, water, salt. In a natural sheep casing."),
    ("", "", "", "Turkey, water, salt."),
)  # fmt: skip


def products(rows: tuple[tuple[str, str, str, str], ...] = LABELS, house: Specification = HOUSE) -> list[Product]:
    return [
        Product(n, supplier, name, code, text, judge(read_label(text, name=name, depth="order"), NO_PRICE, house))
        for n, (supplier, name, code, text) in enumerate(rows, 1)
    ]


@pytest.fixture(scope="module")
def written() -> dict[str, Letter]:
    return {letter.supplier: letter for letter in letters(products(), HOUSE)}


def test_each_supplier_gets_one_letter_without_what_is_out(written: dict[str, Letter]) -> None:
    assert list(written) == ["", "North Hall", "South Yard"]
    assert [name for name, _ in written["North Hall"].labels] == ["Country Link (A1)", "Hill Link (A2)"]
    assert written[""].labels[0][0] == "Product 5 of the list"


def test_a_question_about_several_products_is_asked_once(written: dict[str, Letter]) -> None:
    letter = written["North Hall"]
    casing = [q for q in letter.shared if q.topic == "casing"]
    assert [q.products for q in casing] == [("Country Link (A1)", "Hill Link (A2)")]
    assert [(name, [q.topic for q in own]) for name, own in letter.single] == [
        ("Country Link (A1)", ["allergens"]),
        ("Hill Link (A2)", ["additives", "allergens"]),
    ]


def test_every_question_of_every_product_is_in_its_letter(written: dict[str, Letter]) -> None:
    for product in products():
        letter = written.get(product.supplier)
        named = letter is not None and any(label == product.label for _, label in letter.labels)
        for verdict in product.verdicts:
            if named and verdict.verdict == ASK:
                assert " ".join(verdict.question.split()) in " ".join(as_text(letter).split())


@pytest.mark.parametrize("supplier", ["", "North Hall", "South Yard"])
def test_text_and_page_say_the_same(written: dict[str, Letter], supplier: str) -> None:
    letter = written[supplier]
    text, page = as_text(letter), shown(letter_page(letter))
    for question in (*letter.shared, *(q for _, own in letter.single for q in own)):
        assert question.text in " ".join(text.split()) and question.text in page
    for sentence in ("This is a request for information", "our reading of a label settles nothing"):
        assert sentence in " ".join(text.split()) and sentence in page
    assert all(line == line.rstrip() and len(line) <= 78 for line in text.splitlines())
    numbers = [int(n) for n in re.findall(r"^ *(\d+)\. ", text, re.M)]
    assert numbers == list(range(1, len(numbers) + 1))
    assert not FORBIDDEN.search(text)


def test_who_writes_and_when_is_left_to_be_filled_in(written: dict[str, Letter]) -> None:
    text = as_text(written["South Yard"])
    assert all(re.search(rf"^{word}: _+$", text, re.M) for word in ("From", "Date", "Name"))


def test_no_caution_on_allergens_where_none_are_asked_about() -> None:
    house = from_yaml("title: T\nmust:\n  casing: natural\n")
    (letter,) = letters(products(LABELS[:1], house), house)
    assert letter.cautions == ()


def test_nothing_is_written_where_there_is_nothing_to_ask() -> None:
    house = from_yaml("title: T\nmust:\n  casing: natural\n")
    assert letters(products(LABELS[3:4], house), house) == ()


def test_products_of_one_name_are_told_apart() -> None:
    rows = (("Hall", "Link", "", "Pork, water, salt."), ("Hall", "Link", "", "Pork, blorp, salt."))
    (letter,) = letters(products(rows), HOUSE)
    assert [name for name, _ in letter.labels] == ["Link, number 1 of the list", "Link, number 2 of the list"]


def test_the_order_of_the_products_does_not_matter() -> None:
    assert letters(products(), HOUSE) == letters(reversed(products()), HOUSE)


def test_what_a_label_holds_cannot_act_on_the_page() -> None:
    rows = (("<b>Hall</b>", "<script>alert(1)</script>", '"&', "Pork, <img src=x onerror=alert(1)>, water, salt."),)
    page = letter_page(letters(products(rows), HOUSE)[0])
    assert "<script" not in page and "<img" not in page and "<b>" not in page
    assert "&lt;script&gt;" in page


def shown(page: str) -> str:
    """The words of a page on one line."""
    words: list[str] = []

    class Words(HTMLParser):
        def handle_data(self, data: str) -> None:
            words.append(data)

    Words().feed(page)
    return " ".join(" ".join(words).replace("\u00a0", " ").split())
