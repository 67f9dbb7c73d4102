"""Options of the test run."""

from __future__ import annotations

import pytest
from hypothesis import settings

# The same examples in every run, so that a red run can be repeated; look for new ones with another profile.
settings.register_profile("fixed", derandomize=True, deadline=None)
settings.load_profile("fixed")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--write-expected", action="store_true", help="write tests/labels/*/expected.json anew; then read the diff"
    )
