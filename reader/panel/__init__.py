"""Nutrition panels: pasted text → rows and columns → printed numbers → the intervals they stand for."""
