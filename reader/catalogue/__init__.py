"""A supplier's files → a stream of entries: whatever table comes, which column is what, and which rows are doubles."""
