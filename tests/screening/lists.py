"""Suppliers' lists made up for tests: generated labels (tests/estimate), a few doubles, a few rows nobody can read."""

from __future__ import annotations

import csv
from pathlib import Path

from tests.estimate.labels import labels

HEADER = ("Supplier", "Article no.", "Product", "Market", "Ingredients", "Nutrition", "Price", "Colour of the box")
BROKEN = (("", "", "", ""), ("Nowhere", "Mars", "Pork, salt", ""), ("Blank", "US", "", "Sodium 500 mg per serving"))


def write_list(path: Path, count: int, *, distinct: int = 60, seed: int = 5) -> Path:
    """A list of `count` rows; after `distinct` labels the same ones come again under other names. Every 20th row lacks
    something.
    """
    made = labels(min(count, distinct), seed)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=";")
        writer.writerow(HEADER)
        for number in range(count):
            label = made[number % len(made)]
            row = [f"{label.family.name} {number}", label.family.market, label.statement, label.panel.text()]
            if number % 20 == 19:
                row = list(BROKEN[number // 20 % len(BROKEN)])
            price = f"{3 + number % 7}.{number % 90 + 10} / 400 g"
            writer.writerow([f"Supplier {number % 5}", f"A{number:05}", *row, price, "=1+1"])
    return path
