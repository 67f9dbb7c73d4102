"""Panels as the markets print them, from amounts per 100 g as sold. Which number a true value becomes is the rule's."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import Protocol

from reader.panel import rounding

SALT_PER_SODIUM = 2.5  # g salt per g sodium: EU 1169/2011 Annex I 11
# kcal and kJ per g of protein, carbohydrate, fat and fibre: EU 1169/2011 Annex XIV; in the US 4, 4, 9 and fibre as
# carbohydrate (21 CFR 101.9(c)(1)(i)(B)). Carbohydrate of the EU, UK and Australia is without fibre.
_KCAL, _KJ = {"protein": 4, "carbohydrate": 4, "fat": 9}, {"protein": 17, "carbohydrate": 17, "fat": 37}
FULL = (
    "energy_kcal", "fat_g", "satfat_g", "cholesterol_mg", "sodium_mg", "carb_g", "fibre_g", "sugar_g", "protein_g",
    "calcium_mg", "potassium_mg",
)  # fmt: skip
SHORT = ("energy_kcal", "fat_g", "satfat_g", "cholesterol_mg", "sodium_mg", "carb_g", "sugar_g", "protein_g")
_US = {
    "energy_kcal": "Calories {}", "fat_g": "Total Fat {}g", "satfat_g": "Saturated Fat {}g", "cholesterol_mg": "Cholesterol {}mg",
    "sodium_mg": "Sodium {}mg", "carb_g": "Total Carbohydrate {}g", "fibre_g": "Dietary Fiber {}g", "sugar_g": "Total Sugars {}g",
    "protein_g": "Protein {}g", "calcium_mg": "Calcium {}mg", "potassium_mg": "Potassium {}mg",
}  # fmt: skip
_CA = {
    "energy_kcal": "Calories {}", "fat_g": "Fat {} g", "satfat_g": "Saturated {} g", "cholesterol_mg": "Cholesterol {} mg",
    "sodium_mg": "Sodium {} mg", "carb_g": "Carbohydrate {} g", "fibre_g": "Fibre {} g", "sugar_g": "Sugars {} g",
    "protein_g": "Protein {} g", "calcium_mg": "Calcium {} mg", "potassium_mg": "Potassium {} mg",
}  # fmt: skip


class Sold(Protocol):
    """Something with nutrients per 100 g as sold: g, minerals and cholesterol mg."""

    def sold(self, nutrient: str) -> float: ...


@dataclass(slots=True)
class Panel:
    """A panel before it becomes text. true: by line, per 100 g. wrong: line → factor on what is printed."""

    market: str
    true: dict[str, float]
    serving: int
    lines: tuple[str, ...]
    weight: float = 0.0  # the true grams of a serving
    seed: float = 0.0  # decides between numbers where a rule leaves the maker a choice
    wrong: dict[str, float] = field(default_factory=dict)
    serving_factor: float = 1.0

    def text(self) -> str:
        return {"US": self._us, "CA": self._ca, "AU": self._au}.get(self.market, self._eu)()

    def number(self, line: str, basis: str) -> str:
        """A line as printed: "less than 1", or a number as the market's rule has it, else to a tenth of a gram."""
        true = self.true[line] * (self.weight / 100 if basis == "serving" else 1.0) * self.wrong.get(line, 1.0)
        rule = rounding.rule_for(self.market, line, basis)
        if rule is None:
            return f"{true:.1f}" if line.endswith("_g") else f"{true:.0f}"
        value, less = random.Random(f"{self.seed} {line} {basis}").choice(rounding.printings(rule, true))
        return f"{'<' if less else ''}{value:g}" if value < 1e5 else f"{value:.0f}"

    def _us(self) -> str:
        lines = [f"Serving size 1 link ({self.serving * self.serving_factor:.0f}g)"]
        lines += [_US[line].format(self.number(line, "serving")) for line in self.lines if line in _US]
        return "\n".join(("Nutrition Facts", *lines))

    def _ca(self) -> str:
        lines = [f"Per 1 sausage ({self.serving * self.serving_factor:.0f} g)"]
        lines += [_CA[line].format(self.number(line, "serving")) for line in self.lines if line in _CA]
        return "\n".join(("Nutrition Facts", *lines))

    def _eu(self) -> str:
        names = (("Fat", "fat_g"), ("of which saturates", "satfat_g"), ("Carbohydrate", "carb_g"), ("of which sugars", "sugar_g"), ("Fibre", "fibre_g"), ("Protein", "protein_g"), ("Salt", "salt_g"))  # fmt: skip
        rows = [
            f"{words} {self.number(line, '100g')} g" for words, line in names if line in self.lines or line == "salt_g"
        ]
        energy = f"Energy {self.number('energy_kj', '100g')} kJ / {self.number('energy_kcal', '100g')} kcal"
        return "\n".join(("Nutrition information per 100 g", energy, *rows))

    def _au(self) -> str:
        names = (("Energy", "energy_kj", "kJ"), ("Protein", "protein_g", "g"), ("Fat, total", "fat_g", "g"), ("- saturated", "satfat_g", "g"), ("Carbohydrate", "carb_g", "g"), ("- sugars", "sugar_g", "g"), ("Sodium", "sodium_mg", "mg"))  # fmt: skip
        rows = [
            f"{words} {self.number(line, 'serving')} {unit} {self.number(line, '100g')} {unit}"
            for words, line, unit in names
        ]
        head = ("NUTRITION INFORMATION", "Servings per package: 6", f"Serving size: {self.serving} g", "Average quantity per serving Average quantity per 100 g")  # fmt: skip
        return "\n".join((*head, *rows))


def panel_of(recipe: Sold, market: str, serving: int, rng: random.Random, lines: tuple[str, ...] = FULL) -> Panel:
    """The panel of a product; the true weight of a serving is within half a gram of the printed one."""
    amounts = {q: recipe.sold(q) for q in ("protein", "fat", "carbohydrate", "fibre")}
    without_fibre = market in ("EU", "UK", "AU")
    energy = dict(amounts)
    if without_fibre:
        energy["carbohydrate"] = amounts["carbohydrate"] - amounts["fibre"]
    true = {
        "energy_kcal": sum(_KCAL[q] * energy[q] for q in _KCAL) + (2 * amounts["fibre"] if without_fibre else 0.0),
        "energy_kj": sum(_KJ[q] * energy[q] for q in _KJ) + (8 * amounts["fibre"] if without_fibre else 0.0),
        "fat_g": amounts["fat"],
        "satfat_g": recipe.sold("saturated"),
        "carb_g": energy["carbohydrate"],
        "sugar_g": recipe.sold("sugars"),
        "fibre_g": amounts["fibre"],
        "protein_g": amounts["protein"],
        "sodium_mg": recipe.sold("sodium"),
        "salt_g": recipe.sold("sodium") * SALT_PER_SODIUM / 1000,
        "cholesterol_mg": recipe.sold("cholesterol"),
        "calcium_mg": recipe.sold("calcium"),
        "potassium_mg": recipe.sold("potassium"),
    }
    return Panel(market, true, serving, lines, serving + rng.uniform(-0.5, 0.5), rng.random())
