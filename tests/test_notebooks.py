"""The notebooks run from top to bottom (nbval), as Voila runs them."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

NOTEBOOKS = Path(__file__).parent.parent / "notebooks"


def test_notebooks_run() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--nbval-lax", "-q", "-p", "no:cacheprovider", "-c", "/dev/null", "label_reader.ipynb"],
        cwd=NOTEBOOKS, env={**os.environ, "PYTHONPATH": str(NOTEBOOKS.parent)}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]
    assert "1 passed" in done.stdout
