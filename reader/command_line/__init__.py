"""Commands that need more than a few lines; `reader/__main__.py` puts them together."""
