"""Composition ranges against published composition and against formulas.

Sources:
- USDA National Nutrient Database for Standard Reference, release 28 (public domain): sr28_foods.csv.
- Frankfurters of USDA SR Legacy, by FDC id.
- Poultry Science 1983, "Further studies on the composition of commercially prepared mechanically deboned poultry
  meat", abstract.
- 9 CFR 319.5 (mechanically separated livestock), calcium.
- Standard atomic weights of CIAAW, abridged (not read in the table itself: as carried by a chemistry library).
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linprog

from reader.makeup import composition
from reader.makeup.composition import LIPID, NUTRIENTS, Composition

CLASSES = composition.classes()
LINES = (Path(__file__).parent / "sr28_foods.csv").read_text(encoding="utf-8").splitlines()
FOODS = {row["ndb_no"]: row for row in csv.DictReader(line for line in LINES if not line.startswith("#"))}
CLAIMS = [(id_, number) for id_, found in CLASSES.items() for number in found.entries]


def measured(number: str) -> dict[str, float]:
    return {k: float(v) for k, v in FOODS[number].items() if k not in ("ndb_no", "name") and v}


def at_fat(found: Composition, nutrient: str, fat: float) -> tuple[float, float]:
    """Least and most of a nutrient in 100 g of a class, for tissue with this much lipid."""
    ends = [0.0, 0.0]
    for part in found.parts:
        share = 100.0 if len(found.parts) == 1 else fat if part.kind == LIPID else 100.0 - fat
        for k, end in enumerate(part.of(nutrient)):
            ends[k] += end * share / 100.0
    return ends[0], ends[1]


@pytest.mark.parametrize(("id_", "number"), CLAIMS, ids=[f"{i}-{n}-{FOODS[n]['name'][:40]}" for i, n in CLAIMS])
def test_foods_of_sr28_lie_inside_their_class(id_: str, number: str) -> None:
    found, food = CLASSES[id_], measured(number)
    outside = []
    if len(found.parts) == 2 and not found.parts[1].share.holds(food["fat"]):
        outside.append(f"fat {food['fat']} not in {found.parts[1].share}")
    for nutrient in NUTRIENTS:
        # Where there is next to no fat, a rounded trace of saturated fat tells nothing of its share.
        if nutrient not in food or (nutrient == "saturated" and food["fat"] <= 1):
            continue
        low, high = at_fat(found, nutrient, food["fat"])
        slack = 1.0 if nutrient == "cholesterol" and found.group else 0.006  # printed to 0.01; cholesterol to 1 mg
        if not low - slack <= food[nutrient] <= high + slack:
            outside.append(f"{nutrient} {food[nutrient]} not in {low:g} to {high:g}")
    assert not outside, f"{FOODS[number]['name']}: {'; '.join(outside)}"


# Ground meat and carcasses of SR28, the foods nearest to what goes into sausages, and deboned poultry.
SAUSAGE_MEATS = {
    "beef": ("13001", "13498", "23477"), "pork": ("10001", "10219", "10972", "10973"), "veal": ("17142",), "chicken": ("05332",),
    "ms_chicken": ("05301", "05302", "05303"), "ms_turkey": ("05304",),
}  # fmt: skip


@pytest.mark.parametrize("id_", SAUSAGE_MEATS)
def test_usual_protein_is_that_of_ground_meat(id_: str) -> None:
    """Protein of the fat-free part of each food lies within two standard deviations, their mean within one."""
    usual = CLASSES[id_].parts[0].usual["protein"]
    found = [100 * food["protein"] / (100 - food["fat"]) for food in map(measured, SAUSAGE_MEATS[id_])]
    assert all(abs(one - usual.mean) < 2 * usual.spread for one in found), found
    assert len(found) == 1 or abs(sum(found) / len(found) - usual.mean) < usual.spread


def test_what_is_not_understood_is_mixed_as_foods_are() -> None:
    """Mean and scatter of the foods of SR28; of a Dirichlet distribution with parameters a they are a / sum(a) and, for
    all shares together, sum(mean * (1 - mean)) / (sum(a) + 1) (textbook).
    """
    mixture = CLASSES["anything"].mixture
    foods = np.array([[float(food[q] or 0) for q in mixture] for food in FOODS.values()])
    foods /= foods.sum(axis=1, keepdims=True)
    parameters = np.array(list(mixture.values()))
    mean = parameters / parameters.sum()
    assert mean == pytest.approx(foods.mean(axis=0), abs=0.01)
    scatter = (mean * (1 - mean)).sum() / (parameters.sum() + 1)
    assert scatter == pytest.approx(foods.var(axis=0).sum(), rel=0.02)


@pytest.mark.parametrize("nutrient", ["sodium", "potassium", "calcium", "cholesterol"])
def test_what_is_not_understood_usually_holds_what_foods_do(nutrient: str) -> None:
    usual = CLASSES["anything"].parts[0].usual[nutrient]
    found = np.array([float(food[nutrient]) for food in FOODS.values() if food[nutrient]])
    assert usual.mean == pytest.approx(found.mean(), rel=0.02)
    assert usual.spread == pytest.approx(found.std(), rel=0.02)


def test_every_food_of_the_table_is_claimed() -> None:
    assert {number for _, number in CLAIMS} == set(FOODS)
    assert len(FOODS) > 1000


# --- salts and acids by formula -------------------------------------------------------------------------------------

WEIGHTS = {  # CIAAW, standard atomic weights, abridged to what is used here
    "H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Mg": 24.305,
    "P": 30.974, "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078,
}  # fmt: skip


def mass(formula: str) -> float:
    """Molar mass of a formula without brackets; a dot stands before crystal water, "C6H5Na3O7.2H2O"."""
    total = 0.0
    for piece in formula.split("."):
        count, rest = re.fullmatch(r"(\d*)(.*)", piece).groups()  # type: ignore[union-attr]
        one = sum(WEIGHTS[e] * int(n or 1) for e, n in re.findall(r"([A-Z][a-z]?)(\d*)", rest))
        total += int(count or 1) * one
    return total


def milligrams(element: str, formula: str) -> float:
    """mg of an element in 100 g of a pure substance."""
    atoms = sum(int(n or 1) for e, n in re.findall(r"([A-Z][a-z]?)(\d*)", formula) if e == element)
    return 100_000 * atoms * WEIGHTS[element] / mass(formula)


def test_the_arithmetic_of_formulas() -> None:
    assert milligrams("Na", "NaCl") == pytest.approx(39_340, abs=5)  # published: salt is 39.34 % sodium
    assert mass("C6H5Na3O7.2H2O") == pytest.approx(294.1, abs=0.1)


PURE = [  # class, substance, nutrient, formula, share of the substance in what is sold
    ("salt", "sodium chloride", "sodium", "NaCl", 1.0),
    ("sea_salt", "sodium chloride with 5 % moisture", "sodium", "NaCl", 0.95),
    ("potassium_chloride", "potassium chloride", "potassium", "KCl", 1.0),
    ("nitrite", "sodium nitrite", "sodium", "NaNO2", 1.0),
    ("nitrite", "potassium nitrite", "potassium", "KNO2", 1.0),
    ("nitrate", "sodium nitrate", "sodium", "NaNO3", 1.0),
    ("nitrate", "potassium nitrate", "potassium", "KNO3", 1.0),
    ("sodium_tripolyphosphate", "pentasodium triphosphate", "sodium", "Na5P3O10", 1.0),
    ("sodium_tripolyphosphate", "its hexahydrate", "sodium", "Na5P3O10.6H2O", 1.0),
    ("sodium_phosphate", "disodium diphosphate", "sodium", "Na2H2P2O7", 1.0),
    ("sodium_phosphate", "tetrasodium diphosphate", "sodium", "Na4P2O7", 1.0),
    ("sodium_phosphate", "monosodium phosphate", "sodium", "NaH2PO4", 1.0),
    ("sodium_phosphate", "disodium phosphate dodecahydrate", "sodium", "Na2HPO4.12H2O", 1.0),
    ("sodium_phosphate", "trisodium phosphate", "sodium", "Na3PO4", 1.0),
    ("any_phosphate", "tripotassium phosphate", "potassium", "K3PO4", 1.0),
    ("sodium_erythorbate", "sodium erythorbate", "sodium", "C6H7NaO6", 1.0),
    ("sodium_erythorbate", "its hydrate", "sodium", "C6H7NaO6.H2O", 1.0),
    ("ascorbate", "potassium ascorbate", "potassium", "C6H7KO6", 1.0),
    ("sodium_lactate", "sodium lactate, 60 % solution (common practice)", "sodium", "C3H5NaO3", 0.6),
    ("sodium_lactate", "sodium lactate, dry", "sodium", "C3H5NaO3", 1.0),
    ("potassium_lactate", "potassium lactate, 60 % solution (common practice)", "potassium", "C3H5KO3", 0.6),
    ("potassium_lactate", "potassium lactate, dry", "potassium", "C3H5KO3", 1.0),
    ("any_lactate", "calcium lactate", "calcium", "C6H10CaO6", 1.0),
    ("sodium_diacetate", "sodium diacetate", "sodium", "C4H7NaO4", 1.0),
    ("acetate", "sodium acetate", "sodium", "C2H3NaO2", 1.0),
    ("acetate", "calcium acetate", "calcium", "C4H6CaO4", 1.0),
    ("sodium_citrate", "trisodium citrate", "sodium", "C6H5Na3O7", 1.0),
    ("sodium_citrate", "its dihydrate", "sodium", "C6H5Na3O7.2H2O", 1.0),
    ("sodium_regulator", "sodium hydroxide", "sodium", "NaOH", 1.0),
    ("sodium_regulator", "monosodium citrate", "sodium", "C6H7NaO7", 1.0),
    ("other_regulator", "potassium hydroxide", "potassium", "KOH", 1.0),
    ("other_regulator", "calcium oxide", "calcium", "CaO", 1.0),
    ("sorbate", "potassium sorbate", "potassium", "C6H7KO2", 1.0),
    ("sulphite", "sodium sulphite", "sodium", "Na2SO3", 1.0),
    ("glutamate", "monosodium glutamate monohydrate", "sodium", "C5H8NNaO4.H2O", 1.0),
    ("flavour_enhancer", "disodium inosinate", "sodium", "C10H11N4Na2O8P", 1.0),
    ("leavening", "sodium bicarbonate", "sodium", "NaHCO3", 1.0),
    ("mineral_or_vitamin", "calcium chloride", "calcium", "CaCl2", 1.0),
    ("anything", "sodium hydroxide", "sodium", "NaOH", 1.0),
    ("anything", "potassium hydroxide", "potassium", "KOH", 1.0),
    ("anything", "calcium oxide", "calcium", "CaO", 1.0),
]


@pytest.mark.parametrize(("id_", "substance", "nutrient", "formula", "share"), PURE)
def test_pure_substances_lie_inside_their_class(
    id_: str, substance: str, nutrient: str, formula: str, share: float
) -> None:
    element = {"sodium": "Na", "potassium": "K", "calcium": "Ca"}[nutrient]
    assert CLASSES[id_].per_100g(nutrient).holds(share * milligrams(element, formula)), substance


@pytest.mark.parametrize(
    ("id_", "nutrient", "formula"),
    [
        ("salt", "sodium", "NaCl"),
        ("potassium_chloride", "potassium", "KCl"),
        ("nitrite", "sodium", "NaNO2"),
        ("nitrate", "sodium", "NaNO3"),
        ("sodium_tripolyphosphate", "sodium", "Na5P3O10"),
        ("sodium_phosphate", "sodium", "Na3PO4"),
        ("sodium_erythorbate", "sodium", "C6H7NaO6"),
        ("sodium_lactate", "sodium", "C3H5NaO3"),
        ("potassium_lactate", "potassium", "C3H5KO3"),
        ("sodium_citrate", "sodium", "C6H5Na3O7"),
        ("anything", "sodium", "NaOH"),
    ],
)
def test_no_range_passes_the_pure_substance(id_: str, nutrient: str, formula: str) -> None:
    """Nothing sold under the name can hold more than the richest pure form; 1.5 % are for rounding."""
    pure = milligrams({"sodium": "Na", "potassium": "K"}[nutrient], formula)
    assert pure <= CLASSES[id_].per_100g(nutrient).high <= 1.015 * pure


# --- published analyses ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("fat", "protein"), [(13.8, 16.7), (22.9, 11.9), (13.8, 11.9)])
def test_mechanically_separated_poultry_as_analysed(fat: float, protein: float) -> None:
    """Poultry Science 1983: fat 13.8 to 22.9 %, protein 11.9 to 16.7 % (most protein goes with least fat)."""
    found = CLASSES["ms_chicken"]
    assert found.parts[1].share.holds(fat)
    low, high = at_fat(found, "protein", fat)
    assert low <= protein <= high


def test_calcium_of_mechanically_separated_livestock() -> None:
    """9 CFR 319.5(a): at most 0.75 % calcium, which tells what the machines were known to leave."""
    assert CLASSES["ms_livestock"].per_100g("calcium").high > 500
    assert CLASSES["ms_livestock"].parts[0].of("calcium").holds(750)


FRANKS = {  # USDA SR Legacy, per 100 g, FDC id: meats; protein, fat, carbohydrate, ash, sodium mg, saturated
    "173862 beef, unheated": (("beef",), 11.69, 28.1, 2.97, 2.76, 865, 11.46),
    "172964 pork": (("pork",), 12.81, 23.68, 0.28, 3.35, 816, 8.719),
    "171624 chicken": (("chicken", "ms_chicken"), 15.51, 16.19, 2.74, 3.06, 1027, 3.856),
    "171625 turkey": (("turkey", "ms_turkey"), 12.23, 17.29, 3.81, 3.68, 911, 4.028),
    "172968 meat": (("pork", "beef", "ms_chicken"), 10.26, 25.76, 4.17, 3.5, 1090, 7.666),
    "173875 meat and poultry, unheated": (("ms_chicken", "pork"), 9.72, 24.18, 5.02, 3.5, 976, 7.583),
}
REST = ("water", "salt", "corn_syrup", "sodium_lactate", "spice", "sodium_tripolyphosphate", "nitrite")


def least_miss(meats: tuple[str, ...], values: dict[str, float]) -> float:
    """By how much (as a share of each value) the best mixture of the classes misses the values, by linear programming.

    Unknowns: the parts' amounts in g for 100 g of sausage, then the miss. A mixture may lose up to 15 g of water.
    """
    used = [CLASSES[i] for i in (*meats, *REST)]
    parts = [(found, part) for found in used for part in found.parts]
    cost = [0.0] * len(parts) + [1.0]
    rows: list[list[float]] = [[1.0] * len(parts) + [0.0], [-1.0] * len(parts) + [0.0]]
    most = [115.0, -100.0]
    for nutrient, value in values.items():
        rows.append([part.of(nutrient).low / 100 for _, part in parts] + [-value])
        rows.append([-part.of(nutrient).high / 100 for _, part in parts] + [-value])
        most += [value, -value]
    for found in used:
        mine = [owner is found for owner, _ in parts]
        if len(found.parts) == 2:
            fat = found.parts[1].share
            for sign, end in ((1, fat.high), (-1, fat.low)):
                row = [
                    (sign * ((100 if p.kind == LIPID else 0) - end)) if own else 0.0
                    for own, (_, p) in zip(mine, parts, strict=True)
                ]
                rows.append([*row, 0.0])
                most.append(0.0)
        if found.most is not None:
            rows.append([*map(float, mine), 0.0])
            most.append(found.most * 1.15)
    return float(linprog(cost, A_ub=rows, b_ub=most).fun)


@pytest.mark.parametrize("frank", FRANKS)
def test_real_frankfurters_can_be_made_of_what_they_name(frank: str) -> None:
    meats, *numbers = FRANKS[frank]
    values = dict(zip(("protein", "fat", "carbohydrate", "ash", "sodium", "saturated"), numbers, strict=True))
    assert least_miss(meats, values) == pytest.approx(0.0, abs=1e-6)


def test_a_fat_frankfurter_cannot_be_made_of_breast() -> None:
    """The other side of the same check: with chicken breast for beef the best mixture misses by more than a tenth."""
    _, *numbers = FRANKS["173862 beef, unheated"]
    values = dict(zip(("protein", "fat", "carbohydrate", "ash", "sodium", "saturated"), numbers, strict=True))
    assert least_miss(("chicken_breast",), values) > 0.1
