"""The exercise of reading a whole label: five questions, and the reader's own reading to hold the answers against."""

from __future__ import annotations

from dataclasses import dataclass

from reader import tables
from reader.facts import ANIMAL, NOT_STATED, value, walk
from reader.ingredient_tree import Ingredient
from reader.makeup.values import ORDER
from reader.makeup_words import joined
from reader.page.terms import role_word
from reader.pipeline import read_label
from reader.quantities import show
from reader.report import Report
from reader.wording import say
from ui.lesson.exercises import NO, NOT_YET, RIGHT, YES, Exercise, Question, Remark, not_yet, numeric, right

_SODIUM = "sodium_mg"


def exercise(statement: str, panel: str, *, name: str = "", market: str = "US") -> Exercise:
    """Five questions on a label. Raises ValueError where its panel states no sodium or no weight of a serving."""
    report = read_label(statement, panel, name=name, market=market, depth=ORDER)
    if report.panel.per_100g(_SODIUM) is None or not report.panel.serving_g:
        raise ValueError("The panel of this exercise has to state sodium and what a serving weighs.")
    pack = _Pack(report)
    materials = next(r["kinds"] for r in tables.load_raw()["roles"] if r["id"] == "casing")
    return Exercise(
        (
            Question("first", say("lesson_pack_first_asks"), pack.first),
            Question("fillers", say("lesson_pack_fillers_asks"), pack.fillers),
            Question("cure", say("lesson_pack_cure_asks"), pack.cure, (YES, NO)),
            Question("casing", say("lesson_pack_casing_asks"), pack.casing, (*materials, NOT_STATED)),
            Question("sodium", say("lesson_pack_sodium_asks"), numeric(pack.sodium, "mg")),
        )
    )


@dataclass(frozen=True, slots=True)
class _Pack:
    report: Report

    def first(self, given: str) -> Remark:
        tissues = [i for i in self._read(given) if i.role in ANIMAL]
        facts = self.report.facts
        if not tissues:
            return not_yet("pack_first_none", words=given)
        names = [value(i) for i in tissues]
        if names == [facts.first_meat]:
            return right("pack_first_right", name=facts.first_meat)
        if len(names) > 1:
            return not_yet("pack_first_several")
        key = "pack_first_later" if names[0] in facts.meat_sources else "pack_first_absent"
        return not_yet(key, name=names[0])

    def fillers(self, given: str) -> Remark:
        wanted = self.report.facts.binders
        told = [] if given.casefold() == say("lesson_none") else self._read(given)
        names = {value(i) for i in told}
        said, hits = [], [w for w in wanted if w in names]
        on_list = {value(i): i for i in self._all()}
        for item in told:
            if value(item) in wanted:
                continue
            listed = on_list.get(value(item))
            if listed is None:
                said.append(say("lesson_pack_fillers_absent", name=value(item)))
            else:
                why = f" {listed.entry.why}" if listed.entry else ""
                said.append(say("lesson_pack_fillers_other", name=value(item), role=role_word(listed.role)) + why)
        missing = len(wanted) - len(hits)
        if missing:
            said.append(
                say("lesson_pack_fillers_one_more" if missing == 1 else "lesson_pack_fillers_more", count=missing)
            )
        if not said:
            key = "lesson_pack_fillers_right" if wanted else "lesson_pack_fillers_right_none"
            return Remark(RIGHT, say(key, names=joined(wanted)))
        if hits:
            said.insert(0, say("lesson_pack_fillers_so_far", names=joined(hits)))
        return Remark(NOT_YET, " ".join(said))

    def cure(self, chosen: str) -> Remark:
        sources = [i for i in self._all() if i.role == "cure"]
        answer = "right" if (chosen == YES) == bool(sources) else "not_yet"
        made = right if answer == "right" else not_yet
        if not sources:
            return made(f"pack_cure_{answer}_none")
        remark = made(f"pack_cure_{answer}", words=" ".join(sources[0].printed.split()))
        what = sources[0].entry.what if sources[0].entry else ""
        return Remark(remark.verdict, f"{remark.says} {what}".strip())

    def casing(self, chosen: str) -> Remark:
        casing = self.report.facts.casing
        answer = "right" if chosen == (casing.material or NOT_STATED) else "not_yet"
        made = right if answer == "right" else not_yet
        if casing.span is None:
            return made(f"pack_casing_{answer}_silent")
        return made(f"pack_casing_{answer}", words=self.report.pasted(casing.span))

    def sodium(self, mg: float) -> Remark:
        panel = self.report.panel
        true, weight = panel.per_100g(_SODIUM), panel.serving_g or 0.0
        printed = panel.stated_per_serving(_SODIUM)
        assert true is not None and printed is not None  # `exercise` saw to it
        if true.holds(mg):
            low, high = show(true.low, 0), show(true.high, 0)
            return right("pack_sodium_right", printed=show(printed, 0), weight=show(weight), low=low, high=high)
        if mg == printed:
            return not_yet("pack_sodium_serving", value=show(mg), weight=show(weight))
        return not_yet("pack_sodium_not_yet", value=show(mg))

    def _read(self, given: str) -> list[Ingredient]:
        """What the reader makes of an answer; the same words as on the label are the same ingredients."""
        listed = read_label(given, market=self.report.market, depth=ORDER).listed
        return [i for section in listed.sections for i in walk(section.ingredients)]

    def _all(self) -> list[Ingredient]:
        return [i for section in self.report.listed.sections for i in walk(section.ingredients)]
