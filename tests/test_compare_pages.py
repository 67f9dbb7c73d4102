"""Comparisons and sheets as HTML: whole, escaped, the report's own numbers, the same in charts and files."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from ui.inputs import examples

from reader.__main__ import main
from reader.aspects import ASPECTS, sentence
from reader.compare.differences import differences
from reader.compare.measures import measures
from reader.compare.pack import Pack
from reader.compare.ranking import CRITERIA, LIKELY, rank
from reader.compare.table import MOST, compare, ordered
from reader.page import charts, comparison, paper
from reader.page.differences import differing
from reader.page.pack_charts import DRAWN, pack_pictures, packs
from reader.page.pack_figures import cell_text, measure_name
from reader.pipeline import read_label
from reader.price import read_price
from reader.quantities import show
from reader.wording import say
from tests.shown import EVIL, EVIL_NAME, EVIL_PANEL, Shown
from tests.test_wording import FORBIDDEN

WEIGHTS = dict.fromkeys(CRITERIA, 5.0)
HEADER = "id,name,market,statement,panel,price,net_weight\n"
# Invented packs.
ROWS = (
    'a,Alpha,US,"Pork, water, salt","Serving size 50 g. Total fat 12 g Sodium 480 mg Protein 6 g",$5,500 g\n'
    'b,Beta,US,"Mechanically separated chicken, water, corn starch, salt",,$2 / 500 g,\n'
    'c,=1+1,UK,"Beef (80%), water, salt",,,\n'
)


@pytest.fixture(scope="module")
def shelf() -> list[Pack]:
    return [
        Pack(
            pack["title"],
            read_label(pack["statement"], pack["panel"], name=pack["name"], market=pack["market"]),
            read_price("$5 / 400 g" if number % 2 else ""),
        )
        for number, pack in enumerate(examples())
    ]


@pytest.fixture(scope="module")
def evil() -> list[Pack]:
    report = read_label(EVIL, EVIL_PANEL, name=EVIL_NAME)
    return [Pack(EVIL_NAME, report, read_price("<script>$5</script>")), Pack("<b>Other</b>", report)]


def whole_pages(found: list[Pack]) -> dict[str, str]:
    table = compare(found)
    return {
        "comparison": comparison.document(table, rank(table, WEIGHTS)),
        "two": comparison.document(compare(found[:2])),
        "worksheets": paper.worksheets(found),
        "answers": paper.worksheets(found, answers=True),
        "summary": paper.class_summary(found),
        "cards": paper.cards(found),
    }


def body_of(page: str) -> str:
    """What a page or a piece of one says; no break keeps a unit or a range from being found."""
    inside = re.sub(r"(?s)^.*</head>|</html>\n$", "", page)
    return Shown(inside).text.replace("\u00a0", " ").replace("\u2060", "")


# -- what every page holds to -------------------------------------------------------------------------------


def test_pages_are_whole_and_load_nothing(shelf: list[Pack]) -> None:
    for name, page in whole_pages(shelf).items():
        seen = Shown(page)  # raises where a tag does not close
        assert seen.open == [], name
        assert not [tag for tag, _ in seen.elements if tag in ("script", "img", "link", "iframe")], name
        assert not re.search(r"(?:src|href)=|url\(|@import", page), name
        text = body_of(page)
        assert not re.search(r"\{[a-z_]+\}|\bNone\b|\bnan\b|\binf\b", text), name
        assert not FORBIDDEN.search(re.sub(r"(?i)fat[- ]free|gluten[- ]free", "", text)), name


def test_what_was_pasted_is_escaped(evil: list[Pack]) -> None:
    for name, page in whole_pages(evil).items():
        elements = Shown(page).elements
        assert not [t for t, a in elements if t in ("script", "img", "a", "b") or any(k.startswith("on") for k in a)], (
            name
        )
    for picture in pack_pictures(compare(evil), "sodium"):
        assert not [t for t, _ in Shown(picture.table).elements if t in ("script", "img", "b")]


def test_every_table_has_a_caption_and_scoped_heads(shelf: list[Pack]) -> None:
    for name in ("comparison", "two", "summary"):
        page = whole_pages(shelf)[name]
        seen = Shown(page)
        tables = sum(tag == "table" for tag, _ in seen.elements)
        assert tables == sum(tag == "caption" for tag, _ in seen.elements) > 0
        assert all(a.get("scope") in ("col", "row") for tag, a in seen.elements if tag == "th")


def test_pages_have_no_grade_medal_or_traffic_light(shelf: list[Pack]) -> None:
    css = "".join(p.split("</style>")[0].split("<style>")[1] for p in whole_pages(shelf).values())
    colours = set(re.findall(r"#[0-9a-f]{3,6}\b", css))
    for colour in colours:
        full = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
        red, green, blue = (int(full[k : k + 2], 16) for k in (0, 2, 4))
        assert blue >= max(red, green) or max(red, green, blue) - min(red, green, blue) < 48, (
            f"{colour} is a signal hue"
        )
    for page in whole_pages(shelf).values():
        assert not re.search(r"\bgrade\b|medal|winner|\bbest\b|\bworst\b|★|🥇", body_of(page), re.I)


# -- comparison ---------------------------------------------------------------------------------------------


def test_the_page_shows_each_packs_ranges(shelf: list[Pack]) -> None:
    table = compare(shelf)
    text = body_of(comparison.document(table))
    for line in table.lines:
        for aspect in ASPECTS:
            assert cell_text(aspect, line.cell(aspect)) in text
        assert cell_text("sodium_100g", line.cell("sodium_100g")) in text


def test_few_packs_are_columns_and_more_are_rows(shelf: list[Pack]) -> None:
    few, many = (comparison.document(compare(shelf[:n])) for n in (comparison.FEW, comparison.FEW + 1))
    head = f'<th scope="col" >{shelf[0].name}</th>'.replace("“", "“")
    assert head in few
    assert head not in many
    for row in re.findall(r"<thead>(.*?)</thead>", many):
        assert row.count("<th") <= 4  # a phone 390 px wide shows no more


def test_a_ranking_never_shows_a_number_without_its_range(shelf: list[Pack]) -> None:
    ranking = rank(compare(shelf), {"meat_source": 5, "sodium": 3}, by=LIKELY)
    for ranked in ranking.ranked:
        text = comparison.mean_text(ranked)
        assert re.match(r"[\d.]+–[\d.]+", text) if ranked.possible else text == ""
    page = body_of(comparison.ranked_table(ranking))
    assert all(r.line.pack.name in page for r in ranking.ranked)
    assert "not ranked" in page  # the plant-based pack has no meat source


def test_two_packs_also_show_what_differs(shelf: list[Pack]) -> None:
    one, other = shelf[1], shelf[2]
    found = differences(one.report, other.report)
    text = body_of(differing(found, one.name, other.name))
    for row in found.terms:
        for place, report in ((row.left_place, one.report), (row.right_place, other.report)):
            if place is not None:
                assert f"{' '.join(report.pasted(place).split())} (from character {place.start + 1})" in text
    assert text.count(say("differ_apart")) >= sum(r.verdict == "apart" for r in found.rows)
    assert say("differ_title", first=one.name, last=other.name) in body_of(comparison.document(compare([one, other])))
    assert say("differ_none") in body_of(comparison.document(compare([one, one])))


def test_money_is_told_with_its_currency_and_an_open_end_as_at_least(shelf: list[Pack]) -> None:
    pack = Pack("Open", read_label("Water, pork, salt", depth="order"), read_price("$5 / 500 g"))
    line = compare([pack, pack]).lines[0]
    assert cell_text("price_kg", line.cell("price_kg")) == "USD 10.00"
    share = pack.report.makeup.group("meat")
    assert share is not None
    expected = "at least" if share.possible.low == 0 else "–"
    assert expected in cell_text("price_meat", line.cell("price_meat"))


# -- charts -------------------------------------------------------------------------------------------------


def test_charts_have_the_cells_numbers_and_say_what_is_missing(shelf: list[Pack]) -> None:
    table = compare(shelf)
    for name in ("meat_source", "share_added_water", "sodium_100g", "price_meat"):
        spec = packs(table, name).to_dict()
        rows = max((part["data"]["values"] for part in (spec, *spec["layer"]) if "data" in part), key=len)
        assert len(rows) == len(shelf)
        for row, line in zip(rows, table.lines, strict=True):
            cell = line.cell(name)
            assert row["text"] == cell_text(name, cell)
            assert row["name"].endswith(line.pack.name)
            if cell.possible is None:
                assert row["low"] is None
            else:
                assert row["low"] == cell.possible.low


def test_every_picture_is_drawn_offline_and_told_in_words(shelf: list[Pack]) -> None:
    pictures = pack_pictures(compare(shelf))
    assert {p.name for p in pictures} <= {name for names in DRAWN.values() for name in names}
    assert len(pictures) >= 10
    for picture in pictures:
        spec = charts.as_v5(picture.chart)[charts.V5]
        assert spec["description"]
        assert "<caption>" in picture.table
        assert picture.note.endswith(".")


def test_no_price_no_price_chart() -> None:
    plain = Pack("Plain", read_label("Pork, salt", depth="order"))
    assert pack_pictures(compare([plain, plain]), "price", "sodium") == ()


# -- sheets -------------------------------------------------------------------------------------------------


def test_a_worksheet_without_answers_gives_none_away(shelf: list[Pack]) -> None:
    for pack in shelf:
        bare, told = (body_of(paper.worksheets([pack], answers=answers)) for answers in (False, True))
        for asked, answer in paper.questions(pack.report):
            assert asked in bare
            assert asked in told
            assert answer in told
            assert answer not in bare.replace(pack.report.statement.strip(), "")  # which may hold the words itself
        assert 'class="bar"' not in paper.worksheets([pack])
        assert pack.report.statement.strip() in bare
        for aspect in pack.report.aspects:
            assert sentence(aspect.reading) not in bare


def test_a_worksheet_asks_for_a_guess_on_every_scale(shelf: list[Pack]) -> None:
    page = paper.worksheets(shelf[:1])
    assert page.count('class="ticks"') == len(ASPECTS)
    assert page.count(say("paper_words")) == len(ASPECTS)


def test_the_summary_has_every_pack_and_no_sum(shelf: list[Pack]) -> None:
    page = paper.class_summary(shelf)
    assert page.count("<tr>") == len(shelf) + 1
    assert page.count('class="bar"') == len(ASPECTS) * len(shelf)
    text = body_of(page)
    for pack in shelf:
        found = pack.report.aspect("sodium").score
        assert found is None or f"{show(found.low)}–{show(found.high)}" in text or show(found.low) in text


def test_cards_and_sheets_say_to_read_the_pack(shelf: list[Pack]) -> None:
    cautioned = say("paper_caution")
    assert body_of(paper.cards(shelf)).count(cautioned) == len(shelf)  # cards are cut apart
    assert body_of(paper.worksheets(shelf)).count(cautioned) == len(shelf)
    assert cautioned in body_of(paper.class_summary(shelf))


def test_a_pack_without_texts_still_has_its_sheets() -> None:
    empty = Pack("Empty", read_label(""))
    assert say("paper_no_text") in body_of(paper.worksheets([empty]))
    assert say("paper_answer_panel_none") in body_of(paper.worksheets([empty], answers=True))
    assert "not stated" in body_of(paper.cards([empty]))


# -- command line -------------------------------------------------------------------------------------------


def test_a_table_is_compared_from_the_command_line(tmp_path: Path) -> None:
    source, page, cells = tmp_path / "in.csv", tmp_path / "out.html", tmp_path / "out.csv"
    source.write_text(HEADER + ROWS, encoding="utf-8")
    weights = ["--weights", "meat_source=5,price=3", "--sort", "sodium_100g"]
    assert main(["compare", str(source), "-o", str(page), *weights]) == 0
    text = body_of(page.read_text(encoding="utf-8"))
    assert "USD 10.00" in text
    assert say("page_part_compare_rank") in text
    assert main(["compare", str(source), "-o", str(cells), *weights]) == 0
    with cells.open(encoding="utf-8", newline="") as file:
        rows = {row["name"]: row for row in csv.DictReader(file)}
    assert list(rows) == ["Alpha", "Beta", "'=1+1"]
    assert rows["Beta"]["price_kg_low"] == "4.0"
    assert rows["Beta"]["sodium_100g_low"] == ""
    assert rows["Beta"]["sodium_100g_state"] == "not stated"
    assert rows["Alpha"]["fillers"] == ""
    assert (rows["Alpha"]["rank_best"], rows["Beta"]["rank_worst"]) == ("1", "3")
    assert set(rows["Alpha"]) >= {m.id for m in measures() if m.kind == "words"}


@pytest.mark.parametrize("sheet", ["worksheets", "answers", "summary", "cards"])
def test_sheets_are_written_from_the_command_line_even_for_one_pack(tmp_path: Path, sheet: str) -> None:
    source, page = tmp_path / "in.csv", tmp_path / "out.html"
    source.write_text(HEADER + ROWS.splitlines()[0] + "\n", encoding="utf-8")
    assert main(["compare", str(source), "-o", str(page), "--sheet", sheet]) == 0
    assert "Alpha" in body_of(page.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("text", "more", "words"),
    [
        (HEADER + ROWS.splitlines()[0], [], "at least 2"),
        (HEADER + ROWS * (MOST // 3 + 1), [], "more than 40"),
        ("name\nAlpha\n", [], "no column “statement”"),
        (HEADER + ROWS.replace("UK", "XX"), [], "The market “XX” of row 3"),
        (HEADER + ROWS, ["--weights", "taste=3"], "taste"),
        (HEADER + ROWS, ["--sort", "taste"], "taste"),
    ],
)
def test_a_table_that_cannot_be_compared_is_refused_in_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, more: list[str], words: str
) -> None:
    source, page = tmp_path / "in.csv", tmp_path / "out.html"
    source.write_text(text, encoding="utf-8")
    assert main(["compare", str(source), "-o", str(page), *more]) == 2
    assert words in capsys.readouterr().err
    assert not page.exists()


def test_a_cell_that_is_no_number_is_told_beside_the_comparison(tmp_path: Path) -> None:
    source, page = tmp_path / "in.csv", tmp_path / "out.html"
    source.write_text('name,statement,sodium_mg,fat_g\nA,"Pork, salt",much,12\nB,"Beef, salt",900,\n', encoding="utf-8")
    assert main(["compare", str(source), "-o", str(page)]) == 0
    assert "sodium_mg “much”" in body_of(page.read_text(encoding="utf-8"))


def test_measures_have_names_and_a_sorted_table_keeps_them(shelf: list[Pack]) -> None:
    titles = [measure_name(m.id) for m in measures()]
    assert len(set(titles)) == len(titles)
    assert len(ordered(compare(shelf), "breaks").lines) == len(shelf)
