"""How the app is served to the phones of a class: one address, one name, and all else as on the own machine."""

from __future__ import annotations

import asyncio
import json
import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

pytest.importorskip("jupyter_server")
tornado = pytest.importorskip("tornado.web")

ROOT = Path(__file__).parent.parent
SERVING = ROOT / "notebooks" / "ui" / "serving"
_LOAD = """
import json, os, sys
from traitlets.config.loader import PyFileConfigLoader
c = PyFileConfigLoader("voila.py", path=sys.argv[1]).load_config()
settings = dict(c.Voila.tornado_settings)
settings["allowed_hosts"] = sorted(settings.get("allowed_hosts", []))
print(json.dumps({"ip": c.Voila.ip, "port": c.Voila.get("port"), "settings": settings,
    "allowlist": list(c.VoilaConfiguration.file_allowlist), "address": os.environ.get("LABEL_ADDRESS", "")}))
"""


def load(folder: Path, **variables: str) -> subprocess.CompletedProcess[str]:
    kept = {k: v for k, v in os.environ.items() if not k.startswith("LABEL_")}
    return subprocess.run(
        [sys.executable, "-c", _LOAD, str(folder)],
        env={**kept, **variables},
        capture_output=True,
        text=True,
        check=False,
    )


def test_it_is_served_at_one_address_with_all_protections() -> None:
    at_home = json.loads(load(SERVING).stdout)
    in_class = json.loads(load(SERVING / "classroom", LABEL_HOST="192.0.2.7", LABEL_PORT="8900").stdout)
    assert (at_home["ip"], at_home["address"]) == ("127.0.0.1", "")
    assert (in_class["ip"], in_class["port"], in_class["address"]) == ("192.0.2.7", 8900, "http://192.0.2.7:8900/")
    assert in_class["settings"].pop("allowed_hosts") == ["192.0.2.7:8900"]
    assert in_class["settings"].pop("allow_remote_access") is True
    at_home["settings"].pop("allowed_hosts")
    assert at_home["settings"].pop("allow_remote_access") is False
    assert in_class["settings"] == at_home["settings"]
    assert in_class["allowlist"] == []


def test_a_port_that_is_none_gets_a_sentence() -> None:
    done = load(SERVING / "classroom", LABEL_HOST="192.0.2.7", LABEL_PORT="http")
    assert done.returncode != 0
    assert "a port is a number" in done.stderr and "Traceback" not in done.stderr


def visitor_of(host: str, settings: dict[str, Any]) -> Any:
    sys.path.insert(0, str(SERVING))
    try:
        from visitors import OneVisitorOneKernel
    finally:
        sys.path.remove(str(SERVING))

    class Known(OneVisitorOneKernel):
        """Without cookies: who passes the check of the name is known."""

    handler = SimpleNamespace(
        request=SimpleNamespace(host=host, path="/elsewhere", method="GET"),
        settings={"base_url": "/", "kernel_manager": {}, **settings},
        _jupyter_current_user="somebody",
    )
    return asyncio.run(Known().get_user(handler))


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:8866", "192.0.2.7", "192.0.2.7:80", "127.0.0.1:8866", ""]
)
def test_who_calls_the_page_by_another_name_is_refused(host: str) -> None:
    with pytest.raises(tornado.HTTPError) as told:
        visitor_of(host, {"allowed_hosts": frozenset({"192.0.2.7:8866"})})
    assert told.value.status_code == 403


def test_who_calls_it_by_its_name_comes_in() -> None:
    assert visitor_of("192.0.2.7:8866", {"allowed_hosts": frozenset({"192.0.2.7:8866"})}) == "somebody"
    assert visitor_of("localhost:8866", {}) == "somebody"
