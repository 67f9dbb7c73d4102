"""Published frankfurters side by side: the order the published numbers have is the order of the comparison."""

from __future__ import annotations

import pytest

from reader.compare.pack import Pack
from reader.compare.ranking import rank
from reader.compare.table import HIGH, LOW, compare, ordered
from reader.panel.reading import panel_from_columns
from reader.pipeline import read_label
from tests.reference.test_panel_arithmetic import SR28

# SR28 (USDA National Nutrient Database for Standard Reference, release 28, 2015, public domain), per 100 g; the rows
# and their columns stand in test_panel_arithmetic. The list is invented: SR28 prints none.
STATEMENT = "Meat, water, salt"


@pytest.fixture(scope="module")
def frankfurters() -> list[Pack]:
    packs = []
    for number, food, kcal, fat, _, carbohydrate, _, protein, sodium in SR28:
        values = {"energy_kcal": kcal, "fat_g": fat, "carb_g": carbohydrate, "protein_g": protein, "sodium_mg": sodium}
        panel = panel_from_columns(values, serving_g=None, basis="per100g", market="US")
        packs.append(Pack(f"{number} {food}", read_label(STATEMENT, typed_panel=panel, depth="order")))
    return packs


@pytest.mark.parametrize(("measure", "column"), [("sodium_100g", 8), ("protein_100g", 7), ("fat_100g", 3)])
@pytest.mark.parametrize("falling", [False, True])
def test_the_published_order_is_the_order_shown(
    frankfurters: list[Pack], measure: str, column: int, falling: bool
) -> None:
    published = sorted(SR28, key=lambda row: row[column], reverse=falling)
    shown = ordered(compare(frankfurters), measure, falling=falling)
    assert [line.cell(measure).middle for line in shown.lines] == [row[column] for row in published]
    assert shown.unsorted == ()


def test_the_saltiest_and_the_least_salted_are_those_of_sr28(frankfurters: list[Pack]) -> None:
    """SR28: 43507 low sodium 311 mg; 07950 meat 1,090 mg; 07964 grilled 1,079 mg, next to the saltiest."""
    for end in (LOW, HIGH):
        names = [line.pack.name[:5] for line in ordered(compare(frankfurters), "sodium_100g", end=end).lines]
        assert names[0] == "43507"
        assert set(names[-2:]) == {"07964", "07950"}


def test_ranked_by_sodium_alone_the_published_order_is_never_turned_round(frankfurters: list[Pack]) -> None:
    sodium = {f"{row[0]} {row[1]}": row[8] for row in SR28}
    ranking = rank(compare(frankfurters), {"sodium": 1})
    for one in ranking.ranked:
        for other in ranking.ranked:
            if (one.worst or 0) < (other.best or 0):
                assert sodium[one.line.pack.name] < sodium[other.line.pack.name]
    first = ranking.ranked[0]
    assert (first.line.pack.name[:5], first.best, first.worst) == ("43507", 1, 1)
