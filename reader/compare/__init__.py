"""Packs side by side: `pack` and `measures` the values, `table` all of them, `ranking`, `differences` of two."""
