"""A real server with the configuration we ship, and a real browser. Both are needed or the tests are skipped."""

from __future__ import annotations

import importlib.util
import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
REQUIRED = os.environ.get("LABEL_READER_BROWSER") == "required"
FAULT = "PROVOKE A FAULT"
# A kernel that meets these words fails inside the reader, as a fault of ours would.
_FAULTY = f"""
try:
    from reader import pipeline
except ImportError:
    pass
else:
    honest = pipeline.read_label

    def read_label(statement, *rest, **more):
        if {FAULT!r} in statement:
            raise RuntimeError("inner words that nobody should see")
        return honest(statement, *rest, **more)

    pipeline.read_label = read_label
"""


def lacking(what: str) -> None:
    """Skip, or fail where a browser is required."""
    message = (
        f"{what}; the browser tests need Voila, playwright and Chromium (set LABEL_READER_BROWSER=required to fail)"
    )
    if REQUIRED:
        pytest.fail(message)
    pytest.skip(message)


@pytest.fixture(scope="package")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a warm server of the app."""
    folder = tmp_path_factory.mktemp("served")
    (folder / "sitecustomize.py").write_text(_FAULTY, encoding="utf-8")
    with serving("label_reader.ipynb", folder) as address:
        yield address


@contextmanager
def serving(notebook: str, folder: Path, config: str = "notebooks/ui/serving") -> Iterator[str]:
    """The address of a warm server of a notebook; `folder` is searched first for Python modules."""
    if importlib.util.find_spec("voila") is None:
        lacking("Voila is not installed")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    log = (folder / "server.log").open("w+", encoding="utf-8")
    command = [sys.executable, "-m", "voila", f"notebooks/{notebook}", f"--port={port}", "--no-browser"]
    command.append(f"--Voila.config_file_paths={config}")
    place = {"PYTHONPATH": str(folder), "LABEL_SHELF": str(folder / "shelf.sqlite3")}
    environment = {**os.environ, **place, "LABEL_HOST": "127.0.0.1", "LABEL_PORT": str(port)}
    server = subprocess.Popen(command, cwd=ROOT, env=environment, stdout=log, stderr=subprocess.STDOUT)
    try:
        _wait_until_warm(server, Path(log.name))
        yield f"http://127.0.0.1:{port}/"
    finally:
        server.terminate()
        server.wait(timeout=20)
        log.close()


def _wait_until_warm(server: subprocess.Popen[bytes], log: Path) -> None:
    deadline = time.monotonic() + 90
    while "is filled" not in log.read_text(encoding="utf-8", errors="replace"):
        if server.poll() is not None or time.monotonic() > deadline:
            pytest.fail("The server did not come up:\n" + log.read_text(encoding="utf-8", errors="replace")[-3000:])
        time.sleep(0.2)
    time.sleep(6)  # the kernels finish warming up behind the page


def processes_of(kernel: str) -> list[int]:
    """The processes that run a kernel, by its id."""
    listed = subprocess.run(["ps", "-axww", "-o", "pid=,command="], capture_output=True, text=True, check=True).stdout
    return [int(line.split()[0]) for line in listed.splitlines() if kernel in line]


@pytest.fixture(scope="package")  # no longer: while it lasts its event loop passes for one that runs in this thread
def browser() -> Iterator[Any]:
    """Chromium, of the system where there is one, else of playwright."""
    try:
        from playwright.sync_api import Error, sync_playwright
    except ImportError:
        lacking("playwright is not installed")
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    with sync_playwright() as tools:
        try:
            opened = tools.chromium.launch(executable_path=found, args=["--no-sandbox"])
        except Error as error:
            lacking(f"No Chromium could be started ({str(error).splitlines()[0]})")
        yield opened
        opened.close()


@pytest.fixture
def page(browser: Any, served: str) -> Iterator[Any]:
    """A visitor's page, ready, that notes every request and every fault of a script."""
    context = browser.new_context(accept_downloads=True)
    page = context.new_page()
    page.requested, page.faults = [], []
    page.on("request", lambda request: page.requested.append(request.url))
    page.on("pageerror", lambda error: page.faults.append(str(error)))
    page.goto(served)
    page.get_by_role("button", name="Read the label").wait_for()
    yield page
    page.close(run_before_unload=True)  # lets the page end its kernel
    context.close()
