"""A whole class at work on a real server, and what it keeps: `python -m tests.load`."""
