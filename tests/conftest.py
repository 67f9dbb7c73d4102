"""Options of the test run."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--write-expected", action="store_true", help="write tests/labels/*/expected.json anew; then read the diff"
    )
