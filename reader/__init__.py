"""Reads sausage labels: ingredient statement and nutrition panel in, one honest reading out.

    from reader import read_label
    report = read_label("Pork, water, salt", "Sodium 480 mg, serving 45 g")

`reader.pipeline` shows the stages in order.
"""

from reader.pipeline import read_label
from reader.report import Report

__all__ = ["Report", "read_label"]
