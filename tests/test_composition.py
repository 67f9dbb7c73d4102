"""lexicon/composition.yaml keeps the rules of its head; every ingredient has a class, and words beside a name count."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import pytest

from reader import tables
from reader.makeup import composition
from reader.makeup.composition import GRAMS, GROUPS, LEAN, LIPID, NUTRIENTS, WHOLE, Composition, class_of
from reader.pipeline import read_label
from reader.quantities import Interval

RAW = tables.load_raw()
DATA = RAW["composition"]
CLASSES = composition.classes()
ENTRIES = {e.id: e for e in tables.entries()}
SOURCES = {s["id"]: s for s in RAW["sources"]}
KEYS = {
    "id", "group", "tissue", "per_100g", "usual_per_100g", "mixture", "most", "usual", "source", "status", "entries", "basis",
    "__line__",
}  # fmt: skip
GROUP_OF_ROLE = {
    "meat": "meat",
    "fat": "meat_fat",
    "mechanically_separated": "mechanically_separated",
    "by_product": "by_product",
    "fish": "fish",
}
# Classes whose basis says that they take others together: they must hold them.
TOGETHER = {
    "any_animal_fat": ("beef_fat", "lamb_fat", "pork_fat", "poultry_fat", "rendered_fat"),
    "any_by_product": ("any_organ", "connective", "feet_tail", "head", "neck_back", "poultry_skin", "rind"),
    "any_cheese": ("grating_cheese", "hard_cheese", "process_cheese", "soft_cheese"),
    "any_dairy": ("butter", "cream", "milk", "milk_powder", "milk_protein", "sweet_dairy", "whey_powder"),
    "any_flour": ("wheat_flour",),
    "any_lactate": ("potassium_lactate", "sodium_lactate"),
    "any_meat": ("any_poultry", "beef", "game", "lamb", "pork", "pork_belly", "veal"),
    "any_organ": ("chitterlings", "heart", "kidney", "liver", "lung_spleen", "poultry_giblets", "stomach", "tongue"),
    "any_phosphate": ("sodium_phosphate", "sodium_tripolyphosphate"),
    "any_poultry": ("chicken", "chicken_breast", "other_poultry", "turkey", "turkey_breast"),
    "any_sugar": ("brown_sugar", "dextrose", "sugar"),
    "ascorbate": ("sodium_erythorbate",),
    "casing": ("alginate_casing", "collagen_casing", "inedible_casing", "natural_casing"),
    "ms_poultry": ("ms_chicken", "ms_turkey"),
    "spice": ("garlic_onion_powder", "mustard_seed", "paprika", "pepper"),
}


def place(raw: dict[str, Any]) -> str:
    return f"lexicon/composition.yaml:{raw['__line__']} ({raw.get('id')})"


def first(statement: str) -> Composition:
    return class_of(read_label(statement).listed.sections[0].ingredients[0])


def holds(outer: Interval, inner: Interval) -> bool:
    return outer.low <= inner.low + 1e-9 and inner.high <= outer.high + 1e-9


def test_classes_are_sorted_and_have_the_keys_of_the_head() -> None:
    faults = []
    for before, after in itertools.pairwise(DATA["classes"]):
        if before["id"] >= after["id"]:
            faults.append(f"{place(after)} should stand before {before['id']}.")
    for raw in DATA["classes"]:
        faults += [f"{place(raw)}: the key {k!r} is not explained in the head." for k in raw.keys() - KEYS]
        if ("tissue" in raw) != ("group" in raw) or ("tissue" in raw) == ("per_100g" in raw):
            faults.append(f"{place(raw)} needs either group and tissue, or per_100g.")
        tissue = raw.get("tissue", {"fat": [], "lean": {}, "lipid": {}, "__line__": 0})
        if tissue.keys() - {"usual_protein"} != {"fat", "lean", "lipid", "__line__"}:
            faults.append(f"{place(raw)}: tissue holds fat, lean and lipid, and perhaps usual_protein.")
        for given in (raw.get("per_100g", {}), tissue["lean"], tissue["lipid"]):
            faults += [f"{place(raw)}: {n!r} is no nutrient." for n in given.keys() - {*NUTRIENTS, "__line__"}]
        if {"fat", "saturated"} & tissue["lean"].keys():
            faults.append(f"{place(raw)}: fat-free tissue holds no fat.")
        if not raw["basis"].endswith("."):
            faults.append(f"{place(raw)}: the basis is a sentence, with a full stop.")
    assert not faults, "\n".join(faults)


def test_where_the_numbers_come_from_is_said() -> None:
    faults = []
    for raw in DATA["classes"]:
        source = SOURCES.get(raw["source"])
        if source is None:
            faults.append(f"{place(raw)}: source {raw['source']!r} is not in sources.yaml.")
        elif raw["status"] not in ("read", "derived", "not verified"):
            faults.append(f"{place(raw)}: the status is read, derived or not verified.")
        elif raw["status"] == "read" and not (raw.get("entries") and source["status"] == "read"):
            faults.append(f"{place(raw)}: what was read names its source's entries.")
        elif (raw["status"] == "not verified") != (raw["source"] == "memory"):
            faults.append(f"{place(raw)}: what is from memory is not verified, and nothing else is.")
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("id_", sorted(CLASSES))
def test_ranges_are_possible(id_: str) -> None:
    found = CLASSES[id_]
    for part in found.parts:
        assert 0 <= part.share.low <= part.share.high <= 100
        for nutrient in NUTRIENTS:
            low, high = part.of(nutrient)
            # 1,000 mg are a gram; no food holds 5 g of cholesterol
            most = 100 if nutrient in GRAMS else 5_000 if nutrient == "cholesterol" else 100_000
            assert 0 <= low <= high <= most, nutrient
        proximates = [part.of(n) for n in ("protein", "fat", "carbohydrate", "ash")]
        assert sum(p.low for p in proximates) <= 100
        for inside, whole in (("sugars", "carbohydrate"), ("fibre", "carbohydrate"), ("saturated", "fat")):
            assert part.of(inside).high <= part.of(whole).high, inside
            assert part.of(inside).low <= part.of(whole).high, inside
        minerals = sum(part.of(n).low for n in ("sodium", "potassium", "calcium")) / 1000
        assert minerals <= part.of("ash").high, "the least of the minerals is part of the most of the ash"


@pytest.mark.parametrize("id_", sorted(CLASSES))
def test_parts_fit_the_group(id_: str) -> None:
    found = CLASSES[id_]
    if found.group:
        lean, lipid = found.parts
        assert found.group in GROUPS
        assert (lean.kind, lipid.kind) == (LEAN, LIPID)
        assert lean.share == Interval(100 - lipid.share.high, 100 - lipid.share.low)
        assert lipid.of("fat") == Interval(100, 100)
        assert lean.of("fat") == lipid.of("protein") == Interval(0, 0)
    else:
        assert [(p.kind, p.share) for p in found.parts] == [(WHOLE, Interval(100, 100))]


@pytest.mark.parametrize("id_", sorted(CLASSES))
def test_limits_leave_room_for_the_usual_dose(id_: str) -> None:
    found = CLASSES[id_]
    assert found.most is None or 0 < found.most <= 100
    if found.usual is not None:
        assert found.usual.mean > 0
        assert found.usual.spread > 0
        assert found.most is None or found.most >= 1.3 * found.usual.mean


def test_a_name_tells_of_doses_of_classes_that_have_one() -> None:
    for rule in tables.load_raw()["estimate"]["usual_by_name"]:
        made = CLASSES[rule["class"]]
        assert made.usual is not None and made.most is not None
        assert made.most >= 1.3 * float(rule["usual"][0]), rule["class"]


@pytest.mark.parametrize("id_", sorted(CLASSES))
def test_usual_content_lies_well_inside_its_range(id_: str) -> None:
    """That of tissue, of which the protein varies little; a food that may be anything scatters beyond its mean."""
    for part in CLASSES[id_].parts:
        for nutrient, usual in part.usual.items():
            low, high = part.of(nutrient)
            assert usual.spread > 0
            assert low < usual.mean < high
            assert part.kind != LEAN or low < usual.mean - usual.spread < usual.mean + usual.spread < high


def test_a_mixture_can_be_drawn() -> None:
    """Its density is a product of powers that all fall (`usual.mixtures`)."""
    (found,) = (one for one in CLASSES.values() if one.mixture)
    assert found.id == "anything"
    assert all(0 < parameter < 1 for parameter in found.mixture.values())
    assert sum(found.mixture.values()) > 1


@pytest.mark.parametrize("id_", sorted(CLASSES))
def test_anything_holds_every_class(id_: str) -> None:
    for nutrient in NUTRIENTS:
        assert holds(CLASSES["anything"].per_100g(nutrient), CLASSES[id_].per_100g(nutrient)), nutrient


@pytest.mark.parametrize(("outer", "inner"), [(o, i) for o, inners in TOGETHER.items() for i in inners])
def test_classes_taken_together_hold_their_members(outer: str, inner: str) -> None:
    for whole, part in zip(CLASSES[outer].parts, CLASSES[inner].parts, strict=True):
        assert holds(whole.share, part.share), "share"
        for nutrient in NUTRIENTS:
            assert holds(whole.of(nutrient), part.of(nutrient)), nutrient


def test_every_entry_has_a_class_that_fits_its_role() -> None:
    faults = []
    for entry in ENTRIES.values():
        found = composition.class_of_entry(entry)
        if found.group != GROUP_OF_ROLE.get(entry.role, ""):
            faults.append(f"{entry.id} ({entry.role}) has the class {found.id} of group {found.group!r}.")
        if found.id == "anything":
            faults.append(f"{entry.id}: a known ingredient needs a class of its own kind.")
    assert not faults, "\n".join(faults)


def test_every_class_is_used_and_every_use_is_needed() -> None:
    use = DATA["use"]
    reached = {composition.class_of_entry(e).id for e in ENTRIES.values()}
    reached |= {k["class"] for k in use["kinds"]}
    becomes = {c for s in use["states"] for k, c in s["classes"].items() if k != "__line__"}
    roles = {use["roles"][r] for r in ("unknown", "class", "casing")}  # roles of what is no entry
    assert reached | becomes | roles == set(CLASSES)
    kinds = {(k["role"], k["kind"]): k["class"] for k in use["kinds"]}
    real = {(r["id"], k) for r in RAW["roles"] for k in r["kinds"]}
    faults = [f"use: {k} is no kind of roles.yaml." for k in kinds.keys() - real]
    for id_, class_ in use["entries"].items():
        if id_ == "__line__":
            continue
        entry = ENTRIES.get(id_)
        if entry is None:
            faults.append(f"use: the entry {id_} is not in the lexicon.")
        elif kinds.get((entry.role, entry.kind)) == class_:
            faults.append(f"use: {id_} has this class already by its kind.")
    for state in use["states"]:
        known = {k for k in state["classes"] if k != "__line__"}
        faults += [f"use: {k} of the states is no class." for k in known - set(CLASSES)]
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize(
    ("printed", "class_"),
    [
        ("Beef, Water", "beef"),
        ("Mutton, Water", "lamb"),
        ("Meat, Water", "any_meat"),
        ("Mechanically Separated Turkey, Water", "ms_turkey"),
        ("Pork Liver, Water", "liver"),
        ("Chicken Skin, Water", "poultry_skin"),
        ("Corn Syrup, Water", "corn_syrup"),
        ("Corn Syrup Solids, Water", "syrup_solids"),
        ("Sodium Nitrite, Water", "nitrite"),
        ("Sodium Phosphates, Water", "sodium_phosphate"),
        ("Celery Powder, Water", "vegetable_cure"),
        ("Sheep Casing, Water", "natural_casing"),
        ("Collagen Casing, Water", "collagen_casing"),
        ("Casing, Water", "casing"),
        ("Spinach, Water", "vegetable"),
        ("Dehydrated Spinach, Water", "vegetable_dried"),
        ("Cooked Beef, Water", "cooked_meat"),
        ("Soybean or Palm Oil, Water", "oil"),
        ("Zzgrumph, Water", "anything"),
    ],
)
def test_what_a_label_says_has_its_class(printed: str, class_: str) -> None:
    assert first(printed).id == class_


def test_a_choice_holds_every_choice() -> None:
    other = first("Sugar or Corn Syrup, Water")
    assert other.per_100g("sugars").low <= CLASSES["corn_syrup"].per_100g("sugars").low
    assert other.per_100g("sugars").high >= CLASSES["sugar"].per_100g("sugars").high
    assert other.most == max(CLASSES["corn_syrup"].most or 0, CLASSES["sugar"].most or 0)

    beef = read_label("Beef, Water").listed.sections[0].ingredients[0]
    or_lard = replace(beef, match=replace(beef.match, others=(ENTRIES["lard"],)))
    or_pork = replace(beef, match=replace(beef.match, others=(ENTRIES["pork"],)))
    assert class_of(or_lard).id == "anything", "meat and fat have no common shape"
    assert class_of(or_pork).parts[1].share == Interval(
        min(CLASSES[i].parts[1].share.low for i in ("beef", "pork")),
        max(CLASSES[i].parts[1].share.high for i in ("beef", "pork")),
    )


def test_the_whole_of_tissue_is_sharper_than_its_parts() -> None:
    beef = CLASSES["beef"]
    lean, lipid = beef.parts
    assert beef.per_100g("fat") == lipid.share
    assert beef.per_100g("protein").low == pytest.approx(lean.of("protein").low * lean.share.low / 100)
    assert beef.per_100g("protein").high == pytest.approx(lean.of("protein").high * lean.share.high / 100)
    assert beef.per_100g("saturated").high == pytest.approx(lipid.of("saturated").high * lipid.share.high / 100)
    with pytest.raises(ValueError, match="tuple"):
        beef.per_100g("vitamins")
