"""Reads sausage labels."""
