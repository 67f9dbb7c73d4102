"""lexicon/README.md explains every data file and every key, with an example that is really there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
import yaml

from reader import tables
from reader.advice import CONDITIONS
from reader.pipeline import MARKETS

README = (tables.LEXICON / "README.md").read_text(encoding="utf-8")
RAW = tables.load_raw()
# Below these keys stand names, not keys: nutrients, units, wordings, entries.
NAMES_BELOW = (
    "nutrients", "units", "forms", "energy_without_unit", "use", "states", "sum", "species", "groups", "meats_of", "near", "must", "prefer",
)  # fmt: skip
RULE_FILES = tuple(f for f in RAW if isinstance(RAW[f], dict) and "rules" in RAW[f])
JUDGES = (tables.LEXICON / "RULES.md").read_text(encoding="utf-8").split("## The judges")[1]
COMMON = README.split("## Keys that mean the same everywhere")[1].split("\n## ")[0]


def sections() -> dict[str, str]:
    """By file: the section of the guide whose heading names it; the files of rules share one."""
    found = {}
    for section in README.split("\n## ")[1:]:
        heading = section.split("\n", 1)[0]
        if heading == "The rules":
            found.update(dict.fromkeys(RULE_FILES, section))
        for file in re.findall(r"`([a-z_/]+)\.yaml`", heading):
            assert file not in found, f"{file}.yaml heads two sections"
            found[file] = section
    return found


def keys(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        for key, value in node.items():
            if key == "__line__":
                continue
            yield key
            below = {} if key in NAMES_BELOW or (key == "values" and isinstance(value, dict)) else value
            yield from keys(below)
    elif isinstance(node, list):
        for item in node:
            yield from keys(item)


def test_every_file_has_its_section_and_no_section_is_without_a_file() -> None:
    assert set(sections()) == set(RAW)


@pytest.mark.parametrize("file", [f for f in RAW if not f.startswith("wording/")])
def test_every_key_is_explained(file: str) -> None:
    """In the guide; of rules also where the judges are told of, or at the head of their files."""
    told = sections().get(file, "") + COMMON
    if file in RULE_FILES:
        heads = [(tables.LEXICON / f"{f}.yaml").read_text(encoding="utf-8").split("\nrules:")[0] for f in RULE_FILES]
        told += JUDGES + "".join(heads) + " ".join(RAW["panel_words"]["nutrients"])
    missing = [
        key for key in dict.fromkeys(keys(RAW[file])) if not re.search(rf"(?<![\w]){re.escape(key)}(?![\w])", told)
    ]
    assert not missing, f"lexicon/README.md, section of {file}.yaml: explain {missing}"


@pytest.mark.parametrize("file", list(RAW))
def test_every_section_has_an_example_that_can_be_read(file: str) -> None:
    examples = re.findall(r"```yaml\n(.*?)```", sections().get(file, ""), re.S)
    assert examples
    for example in examples:
        assert yaml.safe_load(example)


def test_every_condition_of_the_advice_is_explained() -> None:
    assert set(re.findall(r"`(\w+)`", "".join(re.findall(r"^\| `.*?\|", sections()["advice"], re.M)))) == {
        "when",
        *CONDITIONS,
    }
    assert all(
        item["when"] in CONDITIONS
        for part in ("limits", "questions", "cautions", "often_said")
        for item in RAW["advice"][part]
    )


def test_every_market_is_explained() -> None:
    assert all(f"`{market}`" in COMMON for market in MARKETS)
