"""A report as a page: HTML, figures in words, charts. Nothing here decides anything."""
