"""A whole class at work on a real server, with real browsers: `python -m tests.load`."""
