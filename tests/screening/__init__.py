"""A catalogue held against a house specification."""
