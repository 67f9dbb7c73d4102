"""Families of recipes, invented after common practice of the trade; every product and number is made up.

Amounts are (least, usual, most) in percent of everything that goes in. Main items are scaled so that all add up to 100.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

Three = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Item:
    """An ingredient of a family. fat: least and most lipid of animal tissue, percent of it. before: its class word."""

    printed: str
    kind: str
    amount: Three = (0.0, 0.0, 0.0)
    fat: tuple[float, float] = (0.0, 0.0)
    main: bool = False
    chance: float = 1.0
    inside: tuple[Item, ...] = ()
    bracket: str = ""  # printed after the name and not looked into
    joined: bool = False  # to the meat before it by "and", where the two stand side by side
    choice: bool = False  # to the item before it by "and/or": one place in the list
    declared: bool = False
    before: str = ""


@dataclass(frozen=True, slots=True)
class Family:
    """What is made. loss: least and most weight lost, percent of what went in. clauses: percentages of the small-print
    clause, 0 for none. caps: (quantity, most) a lawful recipe keeps to. casing: printed words and material.
    """

    id: str
    name: str
    items: tuple[Item, ...]
    market: str = "US"
    loss: tuple[float, float] = (2.0, 10.0)
    clauses: tuple[float, ...] = (2.0, 2.0, 0.0)
    serving: tuple[int, ...] = (45, 50, 57)
    caps: tuple[tuple[str, float], ...] = ()
    casing: tuple[str, str] = ("", "")
    ratio: str = ""  # the item that is said to be so many grams per 100 g as sold
    decimals: int = 0  # of declared percentages
    inner_clause: bool = False
    lead: str = "CONTAINS {} OR LESS OF: "


def main(printed: str, kind: str, least: float, usual: float, most: float, **more: object) -> Item:
    return Item(printed, kind, (least, usual, most), main=True, **more)  # type: ignore[arg-type]


def minor(printed: str, kind: str, least: float, usual: float, most: float, **more: object) -> Item:
    return Item(printed, kind, (least, usual, most), **more)  # type: ignore[arg-type]


def _meat(
    printed: str, least: float, usual: float, most: float, fat: tuple[float, float], kind: str = "muscle"
) -> Item:
    return main(printed, kind, least, usual, most, fat=fat)


def _and(item: Item) -> Item:
    return replace(item, joined=True)


def _declared(item: Item) -> Item:
    return replace(item, declared=True)


_BEEF, _PORK, _LEAN = (20.0, 38.0), (20.0, 45.0), (5.0, 15.0)
WATER = main("WATER", "water", 12, 18, 26)
SALT = minor("SALT", "salt", 1.1, 1.8, 2.6)
SYRUP = minor("CORN SYRUP", "sweetener", 0.8, 2.0, 4.0)
DEXTROSE = minor("DEXTROSE", "sweetener", 0.3, 0.9, 1.9)
SUGAR = minor("SUGAR", "sweetener", 0.3, 0.8, 1.9)
FLAVOR = minor("FLAVORINGS", "seasoning", 0.05, 0.3, 0.9)
SPICES = minor("SPICES", "seasoning", 0.2, 0.6, 1.3)
PAPRIKA = minor("PAPRIKA", "seasoning", 0.1, 0.4, 1.0, chance=0.5)
GARLIC = minor("GARLIC POWDER", "seasoning", 0.05, 0.2, 0.45, chance=0.5)
SMOKE = minor("SMOKE FLAVORING", "seasoning", 0.05, 0.2, 0.5, chance=0.4)
PHOSPHATE = minor("SODIUM PHOSPHATES", "phosphate", 0.15, 0.33, 0.5, chance=0.7)
LACTATE = minor("POTASSIUM LACTATE", "preservative", 1.0, 2.2, 3.5, chance=0.5)
DIACETATE = minor("SODIUM DIACETATE", "preservative", 0.06, 0.12, 0.24, chance=0.4)
CURE = (
    minor("SODIUM ERYTHORBATE", "cure", 0.03, 0.05, 0.0547),
    minor("SODIUM NITRITE", "cure", 0.006, 0.013, 0.0156),
)
STARCH = minor("MODIFIED FOOD STARCH", "starchy binder", 0.8, 2.0, 3.4)
FRANK_CAPS = (("fat", 30.0), ("fat and added water", 40.0), ("binders", 3.5))
_COOKED = (SALT, SYRUP, FLAVOR, PAPRIKA, GARLIC, SMOKE, PHOSPHATE, LACTATE, DIACETATE, *CURE)
_EU_MINOR = (
    SALT, minor("DEXTROSE", "sweetener", 0.2, 0.5, 1.0), SPICES,
    minor("DIPHOSPHATES", "phosphate", 0.1, 0.3, 0.5, before="STABILISER: "),
    minor("ASCORBIC ACID", "cure", 0.02, 0.05, 0.1, before="ANTIOXIDANT: "),
    minor("SODIUM NITRITE", "cure", 0.006, 0.012, 0.015, before="PRESERVATIVE: "),
)  # fmt: skip

FAMILIES = (
    Family("all-beef frank", "Beef Franks", (_meat("BEEF", 62, 72, 82, _BEEF), WATER, *_COOKED), caps=FRANK_CAPS),
    Family(
        "pork and beef", "Hot Dogs",
        (_meat("PORK", 35, 45, 55, _PORK), _meat("BEEF", 15, 25, 35, _BEEF), WATER, *_COOKED), caps=FRANK_CAPS,
    ),
    Family(
        "meats joined by and", "Frankfurters",
        (_meat("BEEF", 25, 35, 45, _BEEF), _and(_meat("PORK", 25, 35, 45, _PORK)), WATER, *_COOKED), caps=FRANK_CAPS,
    ),
    Family(
        "separated chicken and pork", "Franks",
        (
            _meat("MECHANICALLY SEPARATED CHICKEN", 35, 45, 60, (10, 24), "separated poultry"),
            _meat("PORK", 15, 25, 35, _PORK), WATER, STARCH, *_COOKED,
        ),
    ),
    Family(
        "separated chicken and starch", "Chicken Hot Dogs",
        (
            _meat("MECHANICALLY SEPARATED CHICKEN", 60, 70, 80, (10, 24), "separated poultry"), WATER,
            minor("MODIFIED FOOD STARCH", "starchy binder", 2, 4, 6), *_COOKED,
        ),
    ),
    Family(
        "low-cost mix", "Wieners",
        (
            _meat("MECHANICALLY SEPARATED TURKEY", 30, 40, 55, (8, 22), "separated poultry"), WATER,
            _meat("PORK", 8, 15, 25, (25, 50)), _meat("BEEF", 2, 6, 12, _BEEF),
            minor("CORN SYRUP SOLIDS", "syrup solids", 1.0, 2.2, 4.0), STARCH,
            minor("SOY PROTEIN CONCENTRATE", "protein binder", 0.8, 1.8, 3.4, chance=0.6),
            minor("HYDROLYZED CORN PROTEIN", "seasoning", 0.1, 0.4, 0.9, chance=0.5), SALT, FLAVOR, PHOSPHATE, LACTATE, *CURE,
        ),
    ),
    Family(
        "separated pork and by-products", "Franks with By-Products",
        (
            _meat("PORK", 25, 33, 42, _PORK), _meat("MECHANICALLY SEPARATED PORK", 6, 10, 14, (16, 29), "separated livestock"),
            _meat("BEEF HEARTS", 5, 10, 16, (4, 19), "organ"), _meat("TRIPE", 3, 6, 10, (3, 14), "organ"),
            _meat("PORK SKIN", 1.5, 3, 5, (6, 38), "skin"), WATER, *_COOKED,
        ),
        caps=FRANK_CAPS,
    ),
    Family(
        "turkey", "Turkey Franks",
        (
            _meat("TURKEY", 30, 42, 55, (4, 20)), _meat("MECHANICALLY SEPARATED TURKEY", 15, 28, 40, (8, 22), "separated poultry"),
            WATER, *_COOKED,
        ),
    ),
    Family(
        "turkey and milk powder", "Turkey Smoked Sausage",
        (_meat("TURKEY", 60, 72, 82, (4, 20)), WATER, minor("NONFAT DRY MILK", "protein binder", 1, 2.5, 4.5), *_COOKED),
    ),
    Family(
        "premium without filler", "Uncured Beef Franks",
        (
            _meat("BEEF", 70, 80, 88, _BEEF), main("WATER", "water", 6, 12, 18),
            minor("SEA SALT", "salt", 1.2, 1.8, 2.4), minor("CULTURED CELERY POWDER", "cure", 0.1, 0.35, 0.7),
            minor("CHERRY POWDER", "cure", 0.03, 0.15, 0.35), SPICES, PAPRIKA, GARLIC,
            minor("VINEGAR", "preservative", 0.2, 0.8, 1.9, chance=0.5), minor("HONEY", "sweetener", 0.3, 0.9, 1.9, chance=0.4),
        ),
        caps=FRANK_CAPS,
    ),
    Family(
        "cheese", "Cheddar Smoked Sausage",
        (
            _meat("PORK", 55, 62, 70, _PORK), main("CHEDDAR CHEESE", "other", 6, 10, 14), main("WATER", "water", 8, 14, 20),
            *_COOKED,
        ),
    ),
    Family(
        "smoked pork", "Smoked Sausage", (_meat("PORK", 72, 80, 86, _PORK), main("WATER", "water", 5, 9, 15), *_COOKED),
        serving=(56, 76),
    ),
    Family(
        "fresh bratwurst", "Fresh Bratwurst",
        (
            _meat("PORK", 85, 92, 96, _PORK), main("WATER", "water", 1, 2, 2.9), minor("SALT", "salt", 1.1, 1.6, 2.1),
            SUGAR, SPICES, minor("NATURAL FLAVORINGS", "seasoning", 0.05, 0.3, 0.9),
            minor("LEMON JUICE CONCENTRATE", "other", 0.05, 0.2, 0.5, chance=0.4),
        ),
        loss=(0.0, 0.0), serving=(82, 113),
    ),
    Family(
        "breakfast links", "Breakfast Sausage Links",
        (
            _meat("PORK", 88, 93, 96, (25, 48)), main("WATER", "water", 1, 2, 2.9), minor("SALT", "salt", 1.1, 1.6, 2.1), SPICES,
            minor("SUGAR", "sweetener", 0.2, 0.5, 1.2), minor("MONOSODIUM GLUTAMATE", "seasoning", 0.1, 0.2, 0.5, chance=0.4),
            minor("PROPYL GALLATE", "other", 0.002, 0.005, 0.01, chance=0.4),
        ),
        loss=(0.0, 25.0), serving=(45, 56), caps=(("fat", 50.0), ("water", 3.0)),
    ),
    Family(
        "EU declared", "Frankfurters",
        (
            _declared(_meat("PORK", 50, 62, 72, _PORK)), _declared(_meat("BEEF", 6, 12, 18, _LEAN)), WATER,
            main("PORK FAT", "fat tissue", 4, 8, 12, fat=(65, 90)), *_EU_MINOR,
        ),
        market="EU", clauses=(0.0,),
    ),
    Family(
        "EU without water listed", "Krakauer",
        (
            _declared(_meat("PORK", 80, 86, 92, (15, 30))), main("WATER", "water", 2, 7, 12),
            main("PORK FAT", "fat tissue", 4, 8, 12, fat=(65, 90)), *_EU_MINOR,
        ),
        market="EU", clauses=(0.0,),
    ),
    Family(
        "UK rusk declared", "Pork Sausages",
        (
            _declared(_meat("PORK", 55, 66, 78, (15, 32))), main("WATER", "water", 8, 14, 20),
            main("RUSK", "starchy binder", 4, 8, 13, bracket="WHEAT FLOUR, SALT"), minor("SALT", "salt", 1.0, 1.5, 2.0), SPICES,
            minor("DEXTROSE", "sweetener", 0.1, 0.4, 0.9), minor("YEAST EXTRACT", "seasoning", 0.05, 0.2, 0.5, chance=0.5),
            minor("DIPHOSPHATES", "phosphate", 0.1, 0.3, 0.5, before="STABILISER: "),
            minor("SODIUM METABISULPHITE", "preservative", 0.02, 0.05, 0.08, before="PRESERVATIVE: "),
        ),
        market="UK", clauses=(0.0,), loss=(0.0, 0.0),
    ),
    Family(
        "chorizo", "Chorizo",
        (
            _meat("PORK", 80, 88, 93, (15, 35)), main("PORK FAT", "fat tissue", 3, 7, 12, fat=(65, 90)),
            minor("SALT", "salt", 1.8, 2.3, 3.0), minor("PAPRIKA", "seasoning", 0.8, 1.8, 2.8), minor("GARLIC", "other", 0.2, 0.6, 1.2),
            DEXTROSE, minor("LACTIC ACID STARTER CULTURE", "other", 0.01, 0.05, 0.1),
            minor("SODIUM NITRITE", "cure", 0.006, 0.012, 0.015, before="PRESERVATIVE: "),
        ),
        market="EU", clauses=(0.0,), loss=(22.0, 42.0), ratio="PORK",
    ),
    Family(
        "liver sausage", "Liverwurst",
        (
            _meat("PORK LIVER", 25, 35, 45, (2.5, 8), "organ"), _meat("PORK", 20, 30, 40, _PORK),
            main("PORK FAT", "fat tissue", 8, 14, 22, fat=(65, 90)), main("WATER", "water", 3, 7, 12),
            minor("SALT", "salt", 1.1, 1.7, 2.4), minor("ONION POWDER", "seasoning", 0.1, 0.4, 1.0), SPICES, SUGAR,
            minor("NONFAT DRY MILK", "protein binder", 1, 2.5, 3.5, chance=0.5), *CURE,
        ),
        serving=(28, 55, 56),
    ),
    Family(
        "dried snack stick", "Beef Snack Sticks",
        (
            _meat("BEEF", 86, 92, 95, (15, 30)), minor("SALT", "salt", 1.6, 2.1, 2.8), DEXTROSE, SPICES, PAPRIKA, GARLIC,
            minor("HYDROLYZED SOY PROTEIN", "seasoning", 0.1, 0.4, 1.0, chance=0.5),
            minor("LACTIC ACID STARTER CULTURE", "other", 0.01, 0.05, 0.1), minor("CITRIC ACID", "preservative", 0.1, 0.3, 0.6), *CURE,
        ),
        loss=(25.0, 48.0), serving=(16, 28), casing=("IN COLLAGEN CASING", "collagen"),
    ),
    Family(
        "Canadian", "Wieners",
        (
            _meat("MECHANICALLY SEPARATED CHICKEN", 30, 40, 50, (10, 24), "separated poultry"), _meat("PORK", 15, 22, 30, _PORK), WATER,
            minor("WHEAT FLOUR", "starchy binder", 2, 4, 6), SALT, minor("DEXTROSE", "sweetener", 0.3, 0.9, 1.9), SPICES, GARLIC,
            PHOSPHATE, LACTATE, DIACETATE, *CURE,
        ),
        market="CA", clauses=(0.0,), serving=(38, 75),
    ),
    Family(
        "AU rice flour", "Beef Snags",
        (
            _declared(_meat("BEEF", 55, 66, 76, (12, 30))), main("WATER", "water", 12, 18, 24),
            main("RICE FLOUR", "starchy binder", 3, 6, 9), minor("SALT", "salt", 0.9, 1.4, 1.9), minor("SUGAR", "sweetener", 0.2, 0.6, 1.2),
            SPICES, minor("ONION POWDER", "seasoning", 0.05, 0.2, 0.5),
            minor("SODIUM METABISULPHITE", "preservative", 0.02, 0.04, 0.05, before="PRESERVATIVE: "),
        ),
        market="AU", clauses=(0.0,), loss=(0.0, 0.0), serving=(75, 100),
    ),
    Family(
        "plant-based links", "Plant-Based Breakfast Links",
        (
            main("WATER", "water", 48, 56, 64), main("TEXTURED WHEAT PROTEIN", "protein binder", 8, 14, 20),
            main("COCONUT OIL", "other", 5, 9, 14), main("PEA PROTEIN", "protein binder", 3, 6, 10),
            minor("METHYLCELLULOSE", "other", 1.0, 1.6, 2.2), minor("SALT", "salt", 0.9, 1.4, 1.9), SUGAR, SPICES,
            minor("YEAST EXTRACT", "seasoning", 0.2, 0.5, 1.2),
        ),
        loss=(0.0, 12.0),
    ),
    Family(
        "seasoning in brackets", "Smoked Sausage",
        (
            _meat("PORK", 70, 78, 85, _PORK), main("WATER", "water", 6, 10, 15),
            Item(
                "SEASONING", "mixture",
                inside=(SALT, DEXTROSE, SPICES, minor("PAPRIKA", "seasoning", 0.1, 0.3, 0.8), minor("GARLIC POWDER", "seasoning", 0.05, 0.2, 0.4), PHOSPHATE),
            ),
            *CURE,
        ),
        inner_clause=True,
    ),
    Family(
        "finer clauses", "Hot Dogs",
        (_meat("PORK", 45, 55, 65, _PORK), _meat("TURKEY", 10, 16, 24, (4, 20)), WATER, STARCH, *_COOKED),
        clauses=(1.5, 1.0, 0.5), caps=FRANK_CAPS, lead="CONTAINS LESS THAN {} OF THE FOLLOWING: ",
    ),
    Family(
        "choices and odd words", "Turkey Kielbasa",
        (
            _meat("TURKEY", 65, 74, 82, (4, 20)), Item("CHICKEN", "muscle", fat=(4, 20), choice=True),
            main("CHICKEN BROTH", "broth", 8, 14, 20), minor("ZORVELIN PASTE", "other", 0.5, 1.5, 4.0),
            minor("SUGAR OR DEXTROSE", "sweetener", 0.2, 0.5, 1.0), SALT, SPICES,
            minor("POTASSIUM CHLORIDE", "salt replacer", 0.2, 0.6, 1.2, chance=0.5), *CURE,
        ),
    ),
    Family(
        "natural casing", "Beef Frankfurters",
        (_meat("BEEF", 62, 72, 82, _BEEF), WATER, *_COOKED), caps=FRANK_CAPS, casing=("IN NATURAL SHEEP CASING", "natural"),
    ),
)  # fmt: skip


def with_water(times: float) -> tuple[Family, ...]:
    """The families of meat sausages that take up water for good, with so many times of it."""

    def changed(item: Item) -> Item:
        least, usual, most = item.amount
        return replace(item, amount=(least * times, usual * times, most * times)) if item.kind == "water" else item

    return tuple(
        replace(family, items=tuple(map(changed, family.items)))
        for family in FAMILIES
        if family.id != "plant-based links" and any(i.kind == "water" and i.amount[2] > 4 for i in family.items)
    )
