"""What the panel prints → rows: each line as the interval of true values it can stand for, per 100 g as sold."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reader.makeup import settings
from reader.makeup.nutrients import LINES, Totals
from reader.makeup.recipe import FINISHED, Terms
from reader.makeup.values import Reason
from reader.panel.standards import energy_factors
from reader.panel.values import PER_100G, SERVING, Amount, Panel
from reader.polytope.rows import Row
from reader.polytope.sampler import Normal
from reader.quantities import Interval, show

_IN_GRAMS = {"sodium_mg", "cholesterol_mg", "calcium_mg", "potassium_mg"}
_GIVE = 0.1  # one unit of letting go is a tenth of the printed number …
_GIVE_LEAST = 0.25  # … or this much, g per 100 g; a hundredth of it for minerals
ENERGY = "energy_kcal"
_WORKED_OUT_FROM = {"sodium_mg": "salt_g", ENERGY: "energy_kj"}
_TELLS = 0.02  # of a variance: less room than this beyond rounding tells nothing
_HALVINGS = 30


def wanted(panel: Panel | None, market: str) -> frozenset[str]:
    """Nutrients that have to be modelled for the panel's lines, besides the macronutrients."""
    if panel is None:
        return frozenset()
    stated = {nutrient for line, nutrient in LINES.items() if panel.per_100g(line) is not None}
    return frozenset(stated | ({"fibre"} if _without_fibre(market) else set()))


def _without_fibre(market: str) -> bool:
    return market in settings.raw()["carbohydrate_without_fibre"]["markets"]


@dataclass(frozen=True, slots=True)
class Usually:
    """How near a printed line usually is to the truth: it says so much of a nutrient, g per 100 g as sold, rounded
    (`exact`), and may miss it (`loose`).
    """

    terms: Terms
    exact: Interval
    loose: Interval

    def weight(self, sold: int = FINISHED) -> Normal | None:
        """The normal weight of the nutrient about the printed number; None where rounding alone says as much."""
        sd = usual_miss(self.exact, self.loose)
        if sd == math.inf:
            return None
        middle = (self.exact.low + self.exact.high) / 200
        return Normal((*self.terms, (sold, -middle)), 0.0, 0.0, ((sold, sd / 100),))


class PanelLines:
    """The rows of a panel with a reason for each line, and what is usual of those that may miss the truth."""

    def __init__(self, panel: Panel, totals: Totals, market: str, tolerance: float, sold: int = FINISHED) -> None:
        self.rows: list[Row] = []
        self.reasons: dict[str, Reason] = {}
        self.usually: list[Usually] = []
        self.panel, self.totals, self.sold = panel, totals, sold
        self.without_fibre = _without_fibre(market)
        for line, nutrient in LINES.items():
            true = panel.per_100g(line)
            if true is not None and totals.knows(nutrient):
                self.line(line, nutrient, self.widened(line, true), tolerance)
        energy = panel.per_100g(ENERGY)
        if energy is not None:
            self.energy(_loosened(energy, tolerance + float(settings.raw()["energy_slack"]["percent"])), market)

    def widened(self, line: str, true: Interval) -> Interval:
        """The interval with room for the several ways in which calcium is printed."""
        if line != "calcium_mg":
            return true
        serving = self.panel.serving_g or 100.0
        half = float(settings.raw()["calcium_half"]["mg"]) * 100 / max(serving, 1.0)
        middle = self.panel.stated_per_100g(line) or 0.0
        return Interval(max(0.0, min(true.low, middle - half)), max(true.high, middle + half))

    def line(self, line: str, nutrient: str, true: Interval, tolerance: float) -> None:
        """One line; its two ends are one fact."""
        exact = true.times(0.001) if line in _IN_GRAMS else true
        grams = _loosened(exact, tolerance)
        terms = self.totals.of(nutrient)
        if nutrient == "carbohydrate" and self.without_fibre:
            terms = (*terms, *((c, -v) for c, v in self.totals.of("fibre")))
        self.add(line, terms, grams, _GIVE_LEAST * (0.01 if line in _IN_GRAMS else 1.0))
        self.usually.append(Usually(terms, exact, grams))

    def energy(self, true: Interval, market: str) -> None:
        """Energy by the factors of the market; fibre may count in full, in part or not at all, so that without a line
        of its own it leaves open how much less than by the factors the energy may be.
        """
        factors = next((f for f in energy_factors(market) if f.energy == ENERGY), None)
        if factors is None:
            return
        fat, carbohydrate, protein = (factors.values[k] for k in ("fat_g", "carb_g", "protein_g"))
        most = (
            *_times(self.totals.of("fat"), fat),
            *_times(self.totals.of("carbohydrate"), carbohydrate),
            *_times(self.totals.of("protein"), protein),
        )
        self.add(ENERGY, most, Interval(true.low, float("inf")), 5.0)
        if self.totals.knows("fibre"):
            least = (*most, *_times(self.totals.of("fibre"), -carbohydrate))
            self.add(ENERGY, least, Interval(0.0, true.high), 5.0)

    def add(self, line: str, terms: Terms, true: Interval, least_give: float) -> None:
        fact = f"panel {line}"
        stated = self.amount(line)
        give = max(_GIVE * (true.low + min(true.high, 1e6)) / 2 if true.high < 1e6 else _GIVE * true.low, least_give)
        if true.low > 0:
            self.rows.append(Row(fact, (*terms, (self.sold, -true.low / 100)), low=0.0, give=give))
        if true.high < 1e6:
            self.rows.append(Row(fact, (*terms, (self.sold, -true.high / 100)), high=0.0, give=give))
        self.reasons[fact] = Reason(
            fact,
            "panel",
            f"why_{line}",
            (("line", line), *_as_printed(stated)),
            stated.span if stated else None,
            "panel",
        )

    def amount(self, line: str) -> Amount | None:
        """The printed number, for the reason: of the line itself, or of the one it was worked out from."""
        for nutrient in (line, _WORKED_OUT_FROM.get(line, "")):
            for basis in (PER_100G, SERVING):  # the order in which the panel takes them
                column = self.panel.column(basis)
                found = column.get(nutrient) if column else None
                if found is not None:
                    return found
        return None


def _as_printed(amount: Amount | None) -> tuple[tuple[str, str], ...]:
    if amount is None:
        return ()
    less = (("less_than", "yes"),) if amount.less_than else ()
    return (("printed", show(amount.printed, 2)), ("stated", amount.nutrient), *less)


def _loosened(true: Interval, percent: float) -> Interval:
    return Interval(true.low * (1 - percent / 100), true.high * (1 + percent / 100))


def usual_miss(exact: Interval, loose: Interval) -> float:
    """The sd of a normal weight for what stands behind a printed number, inside the loosened range.

    Rounding alone makes every value of the exact range as likely as any other; a miss beyond it is normal, and the
    tolerance holds two of its standard deviations. The weight has the sd that gives the loosened range the variance of
    both together; infinite, which is no weight, where the range has hardly more than that by itself.
    """
    half, room = (exact.high - exact.low) / 2, (loose.high - loose.low) / 2
    wanted = half**2 / 3 + ((room - half) / 2) ** 2
    if wanted >= room**2 / 3 * (1 - _TELLS):
        return math.inf
    low, high = math.sqrt(wanted), 10 * room
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _cut_variance(middle, room) < wanted else (low, middle)
    return high


def _cut_variance(sd: float, room: float) -> float:
    """The variance of a normal variable about 0 that is cut off at so much on either side (textbook)."""
    end = room / sd
    density = math.exp(-(end**2) / 2) / math.sqrt(2 * math.pi)
    return sd**2 * (1 - 2 * end * density / math.erf(end / math.sqrt(2)))


def _times(terms: Sequence[tuple[int, float]], factor: float) -> Terms:
    return tuple((column, value * factor) for column, value in terms)
