"""Headings and cells → what a column is, as tables of cases; corrections; units, bases, decimal marks."""

from __future__ import annotations

import pytest

from reader.catalogue.cell_words import decimal_mark, market_of, values_of
from reader.catalogue.column_content import is_gtin
from reader.catalogue.column_names import heading
from reader.catalogue.trouble import TableError
from reader.catalogue.values import Entry
from tests.catalogue.files import catalogue_of

# heading → role, unit, basis; all wordings are common practice (no published source)
HEADINGS = [
    ("Ingredients", "statement", "", ""),
    ("INGREDIENT DECLARATION", "statement", "", ""),
    ("Ingredeints", "statement", "", ""),
    ("Full ingredient list (EN)", "statement", "", ""),
    ("Zutaten", "statement", "", ""),
    ("Zutatenverzeichnis", "statement", "", ""),
    ("Liste des ingrédients", "statement", "", ""),
    ("Ingredientes", "statement", "", ""),
    ("Nutrition facts", "panel", "", ""),
    ("Nährwerte je 100 g", "panel", "", "per100g"),
    ("Product name", "name", "", ""),
    ("product_name", "name", "", ""),
    ("Artikelbezeichnung", "name", "", ""),
    ("Désignation", "name", "", ""),
    ("Denominación", "name", "", ""),
    ("Vendor", "supplier", "", ""),
    ("Lieferant", "supplier", "", ""),
    ("Fournisseur", "supplier", "", ""),
    ("Proveedor", "supplier", "", ""),
    ("Supplier code", "code", "", ""),
    ("Art.-Nr.", "code", "", ""),
    ("EAN13", "code", "", ""),
    ("Código de barras", "code", "", ""),
    ("Vertriebsland", "market", "", ""),
    ("Preis", "price", "", ""),
    ("Prix unitaire", "price", "", ""),
    ("Netto-Gewicht (g)", "net_weight", "g", ""),
    ("Poids net", "net_weight", "", ""),
    ("Peso neto kg", "net_weight", "kg", ""),
    ("Sodium (mg/100g)", "sodium_mg", "mg", "per100g"),
    ("sodiumMgPer100g", "sodium_mg", "mg", "per100g"),
    ("Fat per serving g", "fat_g", "g", "serving"),
    ("Salt g", "salt_g", "g", ""),
    ("Salz (g) pro Portion", "salt_g", "g", "serving"),
    ("Energy kJ", "energy_kj", "kj", ""),
    ("Energie (kcal) je 100 g", "energy_kcal", "kcal", "per100g"),
    ("Brennwert", "energy", "", ""),
    ("kcal/100g", "energy_kcal", "kcal", "per100g"),
    ("of which saturates", "satfat_g", "", ""),
    ("davon gesättigte Fettsäuren", "satfat_g", "", ""),
    ("dont acides gras saturés (g)", "satfat_g", "g", ""),
    ("Carbohydrate, of which sugars", "sugar_g", "", ""),
    ("Glucides", "carb_g", "", ""),
    ("Hidratos de carbono", "carb_g", "", ""),
    ("Ballaststoffe", "fibre_g", "", ""),
    ("Eiweiß", "protein_g", "", ""),
    ("Protien", "protein_g", "", ""),
    ("Portionsgröße", "serving_size_g", "", ""),
    ("Serving size (g)", "serving_size_g", "g", ""),
    ("Nutrition basis", "basis", "", ""),
    ("Trans fat", "kept", "", ""),
    ("Calories from fat", "kept", "", ""),
    ("Allergens", "kept", "", ""),
    ("%DV sodium", "kept", "", ""),
    ("Supplier category", "kept", "", ""),
    ("Ingredients / allergens in bold", "statement", "", ""),
    ("Item #", "code", "", ""),
    ("PVP", "price", "", ""),
    ("Colour of lorry", "", "", ""),
    ("", "", "", ""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "role", "unit", "basis"), HEADINGS, ids=[h[0] for h in HEADINGS])
def test_headings(text: str, role: str, unit: str, basis: str) -> None:
    found = heading(text)
    assert (found.role, found.unit, found.basis) == (role, unit, basis)


# cell, decimal mark of the sheet → numbers with unit and "less than"
NUMBERS = [
    ("12,5", "", [("12.5", "", False)]),
    ("1.050", ",", [("1050", "", False)]),
    ("1.050", ".", [("1.050", "", False)]),
    ("1,050", "", [("1050", "", False)]),
    ("0,900", "", [("0.9", "", False)]),
    ("1.234,5", "", [("1234.5", "", False)]),
    ("1'234.5", "", [("1234.5", "", False)]),
    ("1 050 mg", ",", [("1050", "mg", False)]),
    ("< 0,5 g", ",", [("0.5", "g", True)]),
    ("less than 1g", "", [("1", "g", True)]),
    ("1120 kJ / 269 kcal", "", [("1120", "kj", False), ("269", "kcal", False)]),
    ("21 g (30%)", "", [("21", "g", False)]),
    ("about five", "", []),
    ("12 boxes", "", []),
    ("1.2.3", "", []),
    ("1e400", "", []),
    ("", "", []),
]


@pytest.mark.parametrize(("cell", "decimal", "expected"), NUMBERS, ids=[f"{n[0]}|{n[1]}" for n in NUMBERS])
def test_numbers_of_cells(cell: str, decimal: str, expected: list[tuple[str, str, bool]]) -> None:
    assert [tuple(v) for v in values_of(cell, decimal)] == expected


def test_the_decimal_mark_is_told_by_what_can_be_read_in_one_way() -> None:
    assert decimal_mark(["1,5", "2", "1.200"]) == ","
    assert decimal_mark(["1.5", "2", "1,200"]) == "."
    assert decimal_mark(["1.200", "3", ""]) == ""


def test_markets() -> None:
    assert [market_of(w) for w in ("USA", "Deutschland", "u.k.", "NZ", "Mars")] == ["US", "EU", "", "AU", ""]


def test_article_numbers_have_their_check_digit() -> None:
    """4006381333931 and 73513537 are the usual examples of EAN-13 and EAN-8 (from memory, GS1 General Specifications)."""
    assert is_gtin("4006381333931")
    assert is_gtin("73513537")
    assert not is_gtin("4006381333932")
    assert not is_gtin("12345")


# -- whole tables -------------------------------------------------------------------------------------------


def entry_of(text: str) -> Entry:
    return next(catalogue_of("x.csv", text).entries())


def roles_of(text: str) -> list[str]:
    return [c.role for c in catalogue_of("x.csv", text).sheets[0].columns]


def test_a_german_list_with_decimal_commas_and_a_basis_above() -> None:
    entry = entry_of(
        "Lieferliste;;;;;;\nNährwerte je 100 g;;;;;;\nArtikelbezeichnung;Zutaten;Brennwert kJ;Fett;davon gesättigte Fettsäuren;Salz;Preis €/kg\n"
        'Küstenwurst;"Schweinefleisch, Wasser, Salz";1.120;24,5;<0,5;1,9;12,90\n'
    )  # fmt: skip
    assert dict(entry.typed) == {"energy_kj": "1120", "fat_g": "24.5", "satfat_g": "<0.5", "salt_g": "1.9"}
    assert (entry.basis, entry.price) == ("per100g", "12,90 EUR / kg")


def test_units_of_headings_and_cells_are_led_to_those_of_the_roles() -> None:
    entry = entry_of(
        'ingredients,Sodium (g),Fat mg,Protein,Net weight kg,Serving size\n"Pork, salt",0.9,21500,13 g,0.4,2 oz (56 g)\n'
    )
    assert dict(entry.typed) == {"sodium_mg": "900", "fat_g": "21.5", "protein_g": "13", "serving_size_g": "56"}
    assert entry.net_weight == "0.4 kg"


def test_numbers_per_serving_and_per_100_g_are_not_mixed() -> None:
    text = 'ingredients,Fat per serving,Fat per 100g,Salt per serving,Salt per 100g\n"Pork, salt",10,20,0.9,1.8\n'
    (sheet,) = catalogue_of("x.csv", text).sheets
    assert sheet.basis == "per100g"
    assert [c.role for c in sheet.columns] == ["statement", "", "fat_g", "", "salt_g"]
    assert "per 100 g" in sheet.columns[1].why
    other = catalogue_of("x.csv", text).corrected("x.csv", basis="serving")
    assert dict(next(other.entries()).typed) == {"fat_g": "10", "salt_g": "0.9"}
    assert next(other.entries()).basis == "serving"


def test_a_unit_row_and_a_group_row_belong_to_the_heading() -> None:
    entry = entry_of(
        'Product,,Per serving,,\nName,Ingredients,Energy,Sodium,Fat\n,,kJ,mg,g\nHarbour,"Pork, salt",500,400,9\nMeadow,"Beef, salt",510,420,8\n'
    )
    assert dict(entry.typed) == {"energy_kj": "500", "sodium_mg": "400", "fat_g": "9"}
    assert (entry.basis, entry.row) == ("serving", 4)


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("1120 kJ / 269 kcal", {"energy_kj": "1120", "energy_kcal": "269"}),
        ("269 kcal", {"energy_kcal": "269"}),
        ("450", {"energy_kj": "450"}),  # 2 g fat and 20 g protein hold 98 kcal, 410 kJ
        ("105", {"energy_kcal": "105"}),
    ],
)
def test_energy_without_a_unit_is_told_by_fat_and_protein(cell: str, expected: dict[str, str]) -> None:
    entry = entry_of(f'ingredients,energy,fat,protein\n"Turkey, salt",{cell},2,20\n')
    assert {k: v for k, v in entry.typed if k.startswith("energy")} == expected


def test_a_row_may_say_itself_what_its_numbers_are_for() -> None:
    rows = catalogue_of(
        "x.csv", 'ingredients,salt,basis\n"Pork, salt",1.8,per serving\n"Pork, salt",1.8,100g\n"Pork, salt",1.8,box\n'
    )
    first, second, third = rows.corrected("x.csv", roles={"basis": "basis"}).entries()
    assert (first.basis, second.basis, third.basis) == ("serving", "per100g", "per100g")
    assert "“box”" in third.problems[0]


def test_a_group_says_nothing_of_prices_beside_it() -> None:
    entry = entry_of(
        'Spring range,,,,\n,,Nutrition per 100g,,\nProduct,Ingredients,Fat (g),Salt (g),RRP\nA,"Pork, rusk, salt",20,1.45,£3.20\n'
    )
    assert (entry.price, entry.basis) == ("£3.20", "per100g")


def test_a_statement_in_another_language_is_taken_where_there_is_no_english_one() -> None:
    text = 'Wiener;"Schweinefleisch, Wasser, Salz, Gewürze";3,99 €\nBock;"Rindfleisch, Wasser, Salz, Pfeffer";4,99 €\n'
    assert roles_of(text) == ["name", "statement", "price"]


def test_the_english_column_is_preferred_and_the_other_named() -> None:
    catalogue = catalogue_of("x.csv", 'name,Ingredients FR,Ingredients EN\na,"Porc, eau, sel","Pork, water, salt"\n')
    columns = catalogue.sheets[0].columns
    assert [c.role for c in columns] == ["name", "", "statement"]
    assert "“Ingredients EN” fits better" in columns[1].why
    assert next(catalogue.entries()).statement == "Pork, water, salt"


def test_the_filled_of_two_columns_with_one_role_is_used() -> None:
    text = "ingredients,ingredient list\n" + '"","Pork, water, salt"\n' * 5
    assert roles_of(text) == ["", "statement"]


def test_a_heading_its_cells_deny_is_offered_only() -> None:
    catalogue = catalogue_of(
        "x.csv", 'Product,Ingredients,Text on pack\na,7,"Pork, water, salt, spices"\nb,5,"Beef, water, salt, garlic"\n'
    )
    columns = catalogue.sheets[0].columns
    assert [c.role for c in columns] == ["name", "", "statement"]
    assert columns[1].alternatives[0].role == "statement"


def test_columns_are_known_by_their_cells_where_headings_say_nothing() -> None:
    rows = [
        ("Harbour Frankfurter", "Pork, water, salt, spices", "4006381333931", "4.99 USD", "340 g", "USA", "Serving size 50 g. Calories 150, Total Fat 13 g, Sodium 450 mg, Protein 6 g"),
        ("Meadow Wiener", "Beef, water, salt, dextrose", "73513537", "5.49 USD", "12 oz", "USA", "Serving size 45 g. Calories 140, Total Fat 12 g, Sodium 480 mg, Protein 5 g"),
    ]  # fmt: skip
    text = "A,B,C,D,E,F,G\n" + "".join(",".join(f'"{c}"' for c in row) + "\n" for row in rows)
    assert roles_of(text) == ["name", "statement", "code", "price", "net_weight", "market", "panel"]


def test_a_guess_can_be_corrected_and_a_wrong_correction_is_refused() -> None:
    catalogue = catalogue_of("x.csv", 'name,ingredients,other\na,"Pork, salt","Beef, salt"\n')
    corrected = catalogue.corrected("x.csv", roles={"statement": "other", "name": ""})
    entry = next(corrected.entries())
    assert (entry.statement, entry.name) == ("Beef, salt", "")
    assert corrected.sheets[0].columns[2].why == "Chosen as ingredient statement."
    for wrong in ({"statement": "none such"}, {"colour": "name"}):
        with pytest.raises(TableError, match=r"must be one of|no column"):
            catalogue.corrected("x.csv", roles=wrong)
    with pytest.raises(TableError, match="cannot be for"):
        catalogue.corrected("x.csv", basis="per ton")
    with pytest.raises(TableError, match="no sheet"):
        catalogue.corrected("y.csv")


def test_every_column_says_why() -> None:
    for text in ("name,ingredients,x\na,Pork,1\n", "zzz\n1\n2\n"):
        for column in catalogue_of("x.csv", text).sheets[0].columns:
            assert column.why.endswith(".")


def test_what_is_no_number_or_no_market_is_told_and_kept() -> None:
    entry = entry_of('ingredients,market,salt,fat\n"Pork, salt",Mars,traces,12\n"Pork, salt",US,1.8,12\n')
    assert entry.market == "Mars"
    assert dict(entry.typed) == {"fat_g": "12"}
    assert any("“Mars”" in p for p in entry.problems)
    assert any("salt “traces”" in p for p in entry.problems)


def test_the_basis_of_a_row_may_stand_in_a_sentence() -> None:
    text = 'ingredients,salt,basis\n"Pork, salt",1.8,per 100 g of product as sold\n"Pork, salt",1.8,amount per serving (56 g)\n'
    assert [e.basis for e in catalogue_of("x.csv", text).entries()] == ["per100g", "serving"]
