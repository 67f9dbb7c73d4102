"""Tests of reader/catalogue: files in, columns, entries, doubles."""
