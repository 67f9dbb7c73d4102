"""One pass over panel tokens: what stands beside what. Numbers are still as printed here.

Grammar:  panel = (title | serving line | column heading | row | note)*;  row = name [unit] number+, or number name
("0g Trans Fat", "Includes 1g Added Sugars"). A word that is no part of a panel ends a row, so "sodium nitrite" is no
row, and a name without a number is none either. What belongs to the panel is claimed, token by token.
"""

from __future__ import annotations

from reader.panel.parts import CLAIMED, ENERGY, ENERGY_ROWS, WALL, Heading, Parts, Row, Serving
from reader.panel.text import Token


class Walk:
    """One pass over the tokens. Each method takes the index of a token and returns the next one to look at."""

    def __init__(self, text: str, tokens: list[Token]) -> None:
        self.text = text
        self.tokens = tokens
        self.parts = Parts(text, tokens, bytearray(len(tokens)))
        self.row: Row | None = None
        self.less = False
        self.note = False
        self.day_table = False
        self.kinds = {
            "number": self.number, "name": self.name, "unit": self.unit, "word": self.word, "heading": self.title,
            "serving_size": self.serving, "servings": self.servings, "per": self.per, "portion": self.portion,
            "less": self.less_than, "zero": self.zero, "note": self.begin_note, "day_table": self.begin_day_table,
            "other_part": self.other_part, "includes": self.close, "pack": self.word, "filler": self.filler,
        }  # fmt: skip

    def run(self) -> Parts:
        """Walks to the end."""
        i, size = 0, len(self.tokens)
        while i < size:
            i = self.kinds[self.tokens[i].kind](i)
        return self.parts

    def claim(self, first: int, last: int) -> None:
        for i in range(max(0, first), min(last + 1, len(self.tokens))):
            self.parts.claims[i] = CLAIMED

    def number(self, i: int) -> int:
        token = self.tokens[i]
        if self.less:
            token, self.less = token._replace(less=True), False
            self.tokens[i] = token
        row = self.row
        if self.note or self.day_table:
            self.parts.noted.add(i)
        if row is None or self.day_table:
            return self.gram_heading(i)
        if token.unit == "%" and row.nutrient in ENERGY_ROWS and not row.cells:  # "Calories 130 % Daily Value"
            token = token._replace(unit="", end=token.start + len(token.value))
        if token.unit == "%":
            row.percents.append((token, len(row.cells)))
        else:
            row.cells.append(self._with_unit(row, token) if row.units else token)
        row.last = i
        return i + 1

    @staticmethod
    def _with_unit(row: Row, token: Token) -> Token:
        """The number with the unit beside the name. In "kJ 1198 kcal 289" the unit after it is the next one's."""
        label = row.units[(len(row.cells) - row.units_from) % len(row.units)]
        if not token.unit:
            return token._replace(unit=label)
        if row.nutrient in ENERGY_ROWS and len(row.units) == 1 and token.unit != label and token.unit in ("kj", "kcal"):
            row.units, row.units_from = [token.unit], len(row.cells) + 1
            return token._replace(unit=label)
        return token

    def gram_heading(self, i: int) -> int:
        """A bare "100 g" over a column."""
        token = self.tokens[i]
        if not self.day_table and not self.note and token.unit in ("g", "ml") and token.value == "100":
            self.parts.headings.append(Heading("100g", i, i))
            self.claim(i, i)
        return i + 1

    def name(self, i: int) -> int:
        token = self.tokens[i]
        if self.day_table or (self.note and not self._number_follows(i)):
            self.row = None
            self.parts.claims[i] = self.note
            return i + 1
        self.note = False
        self.row = Row(token.value, i, i)
        self.parts.rows.append(self.row)
        return i + 1

    def _number_follows(self, i: int) -> bool:
        return i + 1 < len(self.tokens) and self.tokens[i + 1].kind in ("number", "less", "unit")

    def unit(self, i: int) -> int:
        unit = self.tokens[i].unit
        if unit in ("kj", "kcal") and (self.row is None or self.row.nutrient not in ENERGY_ROWS):
            if not self._number_follows(i) or self.note or self.day_table:
                return self.word(i)
            self.row = Row(ENERGY, i, i)
            self.parts.rows.append(self.row)
        if self.row is not None:
            self._label(self.row, unit, after_number=self.tokens[i - 1].kind == "number")
            self.row.last = i
        return i + 1

    @staticmethod
    def _label(row: Row, unit: str, *, after_number: bool) -> None:
        """A unit that stands with the name, for the numbers to come; "1198/289 kJ/kcal" has it after them."""
        cells = row.cells
        if after_number and len(cells) > 1 and cells[-1].unit == "kj" and not cells[-2].unit:
            cells[-2:] = [cells[-2]._replace(unit="kj"), cells[-1]._replace(unit=unit)]
        elif after_number and cells:
            row.units, row.units_from = [unit], len(cells)
        else:
            row.units.append(unit)

    def word(self, i: int) -> int:
        if self.note:
            ended = "." in self.text[self.tokens[i - 1].end : self.tokens[i].start] if i else False
            self.note = not ended
            self.parts.claims[i] = not ended
        self.row = None
        self.less = False
        return i + 1

    def filler(self, i: int) -> int:
        if self.note:
            self.parts.claims[i] = CLAIMED
        return i + 1

    def close(self, i: int) -> int:
        self.row = None
        return i + 1

    def less_than(self, i: int) -> int:
        self.less = True
        if self.note or self.day_table:
            self.parts.noted.add(i)
        return i + 1

    def zero(self, i: int) -> int:
        """ "nil" in place of a number."""
        token = self.tokens[i]
        if self.row is not None and not self.row.cells:
            self.row.cells.append(Token("number", token.start, token.end, "0", self._usual_unit(self.row)))
            self.row.last = i
        return i + 1

    @staticmethod
    def _usual_unit(row: Row) -> str:
        return row.nutrient.rsplit("_", 1)[-1] if row.nutrient != ENERGY else "kj"

    def title(self, i: int) -> int:
        self.row, self.note, self.day_table = None, False, False
        self.parts.titles.append(i)
        self.claim(i, i)
        token = self.tokens[i]
        if token.wording.endswith("per serving"):
            self.parts.headings.append(Heading("serving", i, i))
        elif token.wording.endswith(" per"):
            return self.per(i)
        return i + 1

    def begin_note(self, i: int) -> int:
        cells = self.row.cells if self.row else []
        if cells and self.tokens[i].wording.startswith("calorie") and cells[-1] is self.tokens[i - 1]:
            cells.pop()  # "2,000" of "2,000 calories a day"
        self.row, self.note = None, True
        first = i - 1 if i and self.tokens[i - 1].kind == "number" else i
        self.parts.noted.add(first)
        self.claim(first, i)
        return i + 1

    def begin_day_table(self, i: int) -> int:
        self.row, self.note, self.day_table = None, True, True
        self.claim(i, i)
        return i + 1

    def other_part(self, i: int) -> int:
        self.row, self.note, self.day_table, self.less = None, False, False, False
        self.parts.claims[i] = WALL
        return i + 1

    def serving(self, i: int) -> int:
        """ "Serving size 1 link (45g)": up to the grams, or to the next thing a panel says."""
        self.row = None
        found = Serving(i, i)
        for j in range(i + 1, min(i + 12, len(self.tokens))):
            token = self.tokens[j]
            if token.kind in ("name", "heading", "servings", "serving_size", "per", "note", "other_part"):
                break
            if token.kind == "number":
                found.last = j
                if token.unit == "g" or (token.unit == "oz" and found.weight is None):
                    found.weight = token
                elif self._grams_misread(j):
                    found.weight = token._replace(value=token.value[:-1], unit="g", fixed=True)
                if found.weight is not None and found.weight.unit == "g":
                    found.last += self._ounces_follow(j)
                    break
        if found.last > i and (self.parts.serving is None or self.parts.serving.weight is None):
            self.parts.serving = found
            self.claim(i, found.last)
        return found.last + 1

    def _ounces_follow(self, i: int) -> bool:
        """ "(68 g/2.4 oz)"."""
        return i + 1 < len(self.tokens) and self.tokens[i + 1].unit == "oz" and self.tokens[i + 1].kind == "number"

    def _grams_misread(self, i: int) -> bool:
        """ "(459)": a bracketed number without unit that ends in 9."""
        token = self.tokens[i]
        value = token.value
        bracketed = self.text[token.start - 1 : token.start] == "(" and self.text[token.end : token.end + 1] == ")"
        return bracketed and not token.unit and len(value) > 2 and value[-1] == "9" and value.isdigit()

    def servings(self, i: int) -> int:
        """The number after "servings per container", else the one before."""
        self.row = None
        j = i + 1
        while j < len(self.tokens) and self.tokens[j].kind == "filler":
            j += 1
        after = self.tokens[j] if j < len(self.tokens) else None
        before = self.tokens[i - 1] if i else None
        if after is not None and after.kind == "number" and not after.unit and j <= i + 2:
            self.parts.servings, first, last = after, i, j
        elif before is not None and before.kind == "number" and not before.unit:
            self.parts.servings, first, last = before, i - 1, i
        else:
            return i + 1
        self.claim(first, last)
        return last + 1

    def per(self, i: int) -> int:
        """A column heading: "per 100 g", "per 2 links (85 g)", "per pack". Without a basis it is a word."""
        heading, j, size = Heading("", i, i), i + 1, len(self.tokens)
        while j < size and j <= i + 6 and self._in_heading(heading, self.tokens[j]):
            j += 1
            if heading.weight is not None or heading.basis == "100g":
                break
        if not heading.basis:
            return self.word(i)
        self.row, self.day_table = None, False
        heading.last = j - 1
        if self.note:
            self.parts.noted.update(range(i, j))
        else:
            self.parts.headings.append(heading)
        self.claim(i, heading.last)
        return j

    def _in_heading(self, heading: Heading, token: Token) -> bool:
        """Whether the token still belongs to the heading, which learns from it."""
        if token.kind == "number":
            return self._number_in_heading(heading, token)
        if token.kind in ("portion", "pack"):
            if not heading.basis or token.kind == "portion":
                heading.basis = "serving" if token.kind == "portion" or heading.counted > 1 else "pack"
            return True
        return token.kind in ("word", "filler") and not heading.basis

    def _number_in_heading(self, heading: Heading, token: Token) -> bool:
        bracketed = "(" in self.text[max(0, token.start - 2) : token.start]
        if token.unit == "%" or (heading.basis and token.unit != "g"):
            return False
        if token.unit in ("g", "ml"):
            if token.value == "100" and not bracketed:
                if heading.basis:
                    return False  # "per serving 100 g": another column
                heading.basis = "100g"
            else:
                heading.basis, heading.weight = heading.basis or "serving", token
        else:
            heading.counted += 1
        return True

    def portion(self, i: int) -> int:
        """ "Serving: 1 link (45g)", or "Portion" right beside another column heading, without "per"."""
        if self.text[self.tokens[i].end : self.tokens[i].end + 1] == ":" and self.tokens[i].wording in (
            "serving",
            "portion",
        ):
            return self.serving(i)
        before = self.parts.headings[-1] if self.parts.headings else None
        if (
            self.row is None
            and not self.note
            and before is not None
            and before.basis == "100g"
            and before.last == i - 1
        ):
            return self.per(i - 1)
        return self.word(i)
