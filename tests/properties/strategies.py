"""What the laws are tried on: any text, label-like text, and labels made of known names."""

from __future__ import annotations

from hypothesis import strategies as st

from reader import tables

ENTRIES = tables.entries()
NAMES = sorted({w for e in ENTRIES for w in (e.name, *e.also) if "," not in w and len(w) < 50})
MEATS = sorted(e.name for e in ENTRIES if e.role == "meat" and e.kind in ("muscle", "cut"))
FILLERS = sorted(e.name for e in ENTRIES if e.role == "binder" and not e.in_clause)
PASTES = sorted(e.name for e in ENTRIES if e.role == "mechanically_separated")

anything = st.text(max_size=400)
pieces = st.sampled_from(
    ["PORK", "water", "salt", ",", ", ", ". ", "(", ")", "[", "]", "contains 2% or less of", "less than 2% of:", "and", "&",
     "and/or", "*", ":", "80%", "0,5 %", "in a natural pork casing", "E250", "&amp;", "<b>", "\n", "- ", "Ã©", "SODIUM NITRITE",
     "preservative", "(from milk)", "Contains: milk, soy.", "Keep refrigerated.", "INGREDIENTS:", "BATTER:", "nitrtite",
     "or", "of", "including", "/ porc", "min.", "no. 5", "EST. 12", "1.", "2.", "hydrolyzed", "protein", "spices", "smoked",
     "mechanically separated", "chicken", "[with", "to protect flavor:", "uncured", "<= 2%", "This is fine.", "casing", "starch",
     "modified", "colored with", "E 450 (i)", "Ingrédients:", "-", ".", "per 100 g", "Sodium 480 mg", "Total Fat 11g 14%",
     "Serving size 1 link (45g)", "blorp"]
)  # fmt: skip
label_like = st.lists(pieces, max_size=40).map(" ".join)
names = st.sampled_from(NAMES)
name_lists = st.lists(names, min_size=1, max_size=12).map(", ".join)
