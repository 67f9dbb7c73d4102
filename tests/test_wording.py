"""What people read: every message is a whole sentence, nothing is promised, no place is left unfilled, none is unused."""

from __future__ import annotations

import re
import string
from pathlib import Path
from typing import Any

import pytest
import yaml
from ui.inputs import examples

from reader import tables
from reader.page import charts, page
from reader.pipeline import read_label
from reader.report import Report
from reader.wording import say
from tests.shown import Shown

ROOT = Path(__file__).parent.parent
RAW = tables.load_raw()
WORDING = {
    key: text
    for file, content in RAW.items()
    if file.startswith("wording/")
    for key, text in content.items()
    if key != "__line__"
}
# Headings, labels, table heads and parts that are put together to a sentence. Whatever is not named here is a sentence.
NO_SENTENCE = re.compile(
    "|".join(
        (
            r"screen_(table|counting|progress|rate)",  # lines that are written over and over
            r"label_\w+",  # words of boxes and buttons
            r"app_(part_label|statement|panel|panel_hint|statement_hint|examples_none|name|name_hint|market|read|back|downloads|(download|sheet)_\w+)",
            r"aspect_\w+|why_\w+|column_\w+|nutrient_\w+",
            r"headline_(fillers|no_fillers|cured|no_cure|casing|casing_silent|sodium\w*|no_sodium)",
            r"page_(title\w*|market_\w+|part_\w+|score\w*|no_score_\w+|why|narrows|key_line|family_\w+|role_(unknown|class))",
            r"page_(statement_box_\w+|aside_\w+|problem_(whole|place)|box_\w+|flag|form_\w+|column_\w+|source_\w+|mark_\w+)",
            r"page_(panel_servings?|less_than|true_between)",
            r"page_term_(?!sodium_text)\w+",
            r"figure_(order|makeup|day|survey|aspects)(_column_\w+|_axis|_shares|_pack|_share|_serving\w*)?",
            r"figure_(sure|tip|state)_\w+|figure_as_table",
            r"plain_(problems|cannot_tell|ask|cautions|score|makeup)",
            r"because_\w+|assume_\w+|makeup_(group|sodium)_\w+|makeup_(possible|likely|middle|at_most)",
            r"page_makeup_(why|members|sodium\w*|assumed)",
            r"verdict_\w+|consequence_\w+|rules_(title|judges|columns|from|to|from_to)",
            r"compare_(measure|caption)_\w+|compare_(title|pack|range|drawn|likely|printed|between|at_least|money|more|none_listed|unnamed)",
            r"rank_(weight|not_ranked|caption|column_\w+|criterion_\w+)|figure_packs_(aspects|makeup|sodium|price|other)",
            r"differ_(?!none|how)\w+|paper_(worksheet|answers|\w+_line|front|printed_\w+|words|questions|reading|card)",
            r"paper_summary(_caption|_sodium|_breaks)?",
            r"page_(rules_(met|others|market|class|class_found)|rule_(says|from|to)|often_said)",
            r"plain_(findings|finding|often_said)",
            r"house_(food_(plant|dish|other)|casing_open_\w+|panel_(printed|worked)_\w+|price_(range|from|one))",
            r"house_(finding_name|or|any_rule|rules_of|file_head|topic_\w+)",
            r"letter_(title|to|from|\w+_line|greeting|unnamed|supplier_unnamed|numbered|coded|shared|of|of_all|regards|labels|label_cut)",
            r"catalogue_(pasted|column|whole_row)|sheet_(role|basis)_\w+",
            r"screened_(field|head|standing|verdict|sheet|differs|end|figure|input|topic|what)_\w+|screened_own\w*",
            r"screened_(group_\w+|counts_(must|prefer)|must|prefer|where|where_sheet|creator|letter_stem|title|source)",
            r"screened_(caption_asked|reasons|preferences|further|named|kind_counted|files_more)|table_cell_cut",
            r"lesson_(check|none|falls|stays|rises)",
            r"suppliers_(example_file|sheet_out|above|first_rows|row|numbers|must|prefer|fill_in|own_house|progress|seconds|minutes?|hours|question|letter_of)",
            r"guess_(point|range)|figure_guesses_(?!note|reading_note)\w+",
        )
    )
)
RATIOS = ("water_to_protein", "fat_to_protein", "water_and_fat_to_protein")
SAMPLES = {
    "all": "8", "amount": "11 g", "band": "usual among surveyed sausages", "box": "label", "bracket": "(", "casing": "collagen",
    "closed": "]", "columns": "per serving, then per 100 g", "count": "12", "cure": "cured with sodium nitrite", "date": "3 May 2026",
    "depth": "12", "dropped": "organic", "error": "a wrong kind of value", "expected": "14 % of 78 g", "fact": "the protein line", "file": "labels.csv",
    "fillers": "stretched or bound with rusk", "first": "water", "fitting": "7", "grams": "56.7", "form": "a US panel of the 2016 form", "high": "2.5",
    "hundred": "929", "implied": "62", "ingredients": "12", "left": "0:01:10", "kcal": "269", "kj": "1,120", "known": "US, CA", "language": "German",
    "near": "casing", "code": "A12", "reason": "Printed numbers are rounded.", "least": "10", "limit": "8.5", "low": "1", "market": "United States", "material": "collagen", "meats": "pork and beef",
    "middle": "2", "most": "300", "name": "pork", "nickname": "Fern", "names": "pork and beef", "number": "3", "opened": "(", "ounces": "2", "outer": "rusk",
    "part": "12", "percent": "2", "printed": "l70", "rank": "3", "reasons": "it stands at place 3 in order of weight", "role": "sweetener", "salt": "1.2",
    "scale": "10 = none", "score": "92", "serving": "56", "serving_value": "12", "share": "23", "shares": "40 % (1–3) and 32 % (4–8)", "sodium": "520 mg sodium in a 56 g serving",
    "species": "sheep", "start": "50", "state": "not stated", "status": "second-hand", "taken": "170 kcal", "terms": "14", "usual": "1.9", "text": "Salt: possible 1–2 %", "sentence": "Not above 2 %: the sodium line.", "tolerance": "5", "facts": "the protein line", "range": "1–2 %", "last": "salt", "choice": "usual", "cap": "fat at most 30 %", "title": "Meat source", "total": "104",
    "unit": "kcal", "value": "2,300", "weight": "56", "where": "http://192.0.2.7:8866/", "who": "adults", "whole": "10", "why": "It binds water.", "wording": "pork",
    "words": "schwein = pork", "heading": "Zutaten", "column": "Ingredients EN", "basis": "per 100 g", "encoding": "Windows-1252", "ratio": "900", "size": "1,800", "place": "7", "sheet": "List", "row": "1", "width": "9", "begins": "2020-01-01", "breaks": "1", "cannot_tell": "3", "day": "2020-01-01",
    "ends": "2024-01-01", "meets": "7", "rule": "Fat may be at most 30 %.", "said": "Hot dogs are full of water.", "section": "319.180",
    "verdict": "Meets the rule", "alone": "24", "around": "bun", "content": "70", "declared": "“Pork” 80 %", "fat": "27", "line": "fat",
    "meat": "meat", "parts": "“pork kidneys”", "room": "24.6", "separated": "mechanically separated chicken",
    "whole_high": "60", "whole_low": "50", **{f"{r}_{end}": "6.3" for r in RATIOS for end in ("low", "high", "limit")},
}  # fmt: skip
FORBIDDEN = re.compile(r"\bsafe\b|\bsafely\b|\bsafety\b|free from|-free\b|\bhealthy\b|\bunhealthy\b", re.I)
CODE = re.compile(r"\b[a-z0-9]+_[a-z0-9_]+\b|\b(None|null|NaN|Span|Interval)\b|[{}]")


def places(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def faults(text: str) -> list[str]:
    """What keeps a rendered text from being a sentence, or a few of them."""
    opened = text.lstrip("“(")
    found = {
        "begins small": not (opened[:1].isupper() or opened[:1].isdigit() or text.startswith("“")),
        "does not end as a sentence": not re.search(r"[.?!]$|[.?!]”$", text),
        "two full stops": ".." in text or "?." in text,
        "blanks": text != " ".join(text.split()),
        "quotes": text.count("“") != text.count("”"),
        "a word of code": bool(CODE.search(text)),
        "a forbidden word": bool(FORBIDDEN.search(text)),
    }
    return [what for what, wrong in found.items() if wrong]


@pytest.mark.parametrize("key", WORDING)
def test_every_message_is_a_whole_sentence(key: str) -> None:
    unknown = places(WORDING[key]) - set(SAMPLES)
    assert not unknown, f"give SAMPLES a value for {sorted(unknown)}"
    text = say(key, **SAMPLES)
    if NO_SENTENCE.fullmatch(key) and not key.startswith("page_sources_"):
        assert not text.endswith("."), "a heading or label needs no full stop; a sentence must not be listed as a label"
        assert not {"a word of code", "a forbidden word"} & set(faults(text))
    else:
        assert faults(text) == [], text


@pytest.mark.parametrize("part", ["limits", "questions", "cautions"])
def test_every_piece_of_advice_is_a_whole_sentence(part: str) -> None:
    for item in RAW["advice"][part]:
        text = item["says"].replace("{fillers}", "rusk")
        assert faults(text) == [], text
        assert (part == "questions") == text.endswith("?"), text


def test_the_bands_and_reasons_of_other_files_make_sentences_too() -> None:
    for band in RAW["sodium"]["bands"]:
        assert faults(say("sodium_among_surveyed", hundred="900", band=band["says"])) == []
    for day in RAW["sodium"]["days"]:
        assert faults(say("sodium_of_day", share="20", value="2,000", name=day["name"], who=day["who"])) == []
    for role in RAW["roles"]:
        assert faults(role["says"]) == [], role["id"]
    for aspect in ("meat_source", "filler_load", "casing", "sodium"):
        assert faults(RAW["scoring"][aspect]["says"]) == []


@pytest.fixture(scope="module", params=examples(), ids=lambda pack: pack["title"])
def report(request: pytest.FixtureRequest) -> Report:
    pack = request.param
    return read_label(pack["statement"], pack["panel"], name=pack["name"], market=pack["market"])


def test_what_an_example_is_told_is_whole_sentences(report: Report) -> None:
    whole = report.to_dict()
    said = [
        whole["headline"],
        whole["food"]["reason"],
        *whole["ask_the_maker"],
        *(p["says"] for p in whole["problems"]),
    ]
    said += [s["says"] for s in (*whole["cannot_tell"], *whole["cautions"], *whole["compared"])]
    for aspect in whole["aspects"].values():
        said += [aspect["reading"]["says"], *(g["says"] for g in aspect["grounds"]), *aspect["narrows"]]
    said += [picture.note for picture in charts.pictures(report)]
    assert {text: faults(text) for text in said if faults(text)} == {}


def test_no_page_shows_an_unfilled_place_or_a_word_of_code(report: Report) -> None:
    text = Shown(page.document(report)).text.split("</style>")[-1]
    body = re.sub(r"(?s)^.*?@media print.*?\n}\n", "", text)  # the style sheet is no text
    assert not re.search(r"\{[a-z_]+\}|\bNone\b", body)


# -- problems -----------------------------------------------------------------------------------------------

PROBLEMS: list[dict[str, Any]] = yaml.safe_load((ROOT / "tests/cases/problems.yaml").read_text("utf-8"))


@pytest.mark.parametrize("case", PROBLEMS, ids=[case["case"] for case in PROBLEMS])
def test_a_problem_is_told_as_the_case_says(case: dict[str, Any]) -> None:
    more = {"market": case["market"]} if "market" in case else {}
    text = case.get("statement", "") * case.get("times", 1)
    report = read_label(text, case.get("panel", ""), name=case.get("name", ""), **more)
    told = [p.message for p in report.problems if p.kind == case["kind"]]
    assert told[:1] == [case["says"]]
    assert faults(case["says"]) == []


def test_every_problem_has_a_case() -> None:
    kinds = {key.removeprefix("problem_") for key in WORDING if key.startswith("problem_")}
    assert {case["kind"] for case in PROBLEMS} == kinds


def test_no_wording_is_left_over() -> None:
    """Each key stands in the program, or begins as a key does that the program puts together."""
    source = "\n".join(
        p.read_text("utf-8") for folder in ("reader", "notebooks") for p in (ROOT / folder).rglob("*.py")
    )
    begun = {"aspect_", "column_", "nutrient_", *re.findall(r"\"([a-z]+_[a-z_]+_)\" \+", source)}
    begun |= set(re.findall(r"f[\"']([a-z]+_(?:[a-z_]+_)?)\{", source))
    notes = {f"figure_{name}_note" for name in re.findall(r"_picture\(\"([a-z]+)\"", source)}
    kinds = set(re.findall(r"[\"']([A-Za-z0-9_]+)[\"']", source))
    left = [
        key
        for key in WORDING
        if key not in kinds | notes
        and key.removeprefix("problem_") not in kinds
        and key.removesuffix("_hint") not in kinds
        and not any(key.startswith(start) for start in begun)
    ]
    assert not left
