"""A page without a browser: its widgets as the kernel behind it tells of them, changed and pressed over the same
websocket and with the same messages as a browser uses (Jupyter messaging protocol 5.3, ipywidgets protocol 2.1).

In a class the pages run on phones; thirty browsers on the machine that serves them would measure the browsers.
"""

from __future__ import annotations

import asyncio
import html
import json
import re
import struct
import uuid
from collections.abc import Awaitable, Callable, Iterator
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlsplit

from tornado.httpclient import AsyncHTTPClient
from tornado.websocket import WebSocketClientConnection, websocket_connect

from tests.load.lesson import WAIT_S

_KERNEL = re.compile(r'"kernelId":\s*"([0-9a-f-]+)"')
_LARGEST = 1 << 28  # bytes of a page or message
_REFERENCE = "IPY_MODEL_"


class DeadPageError(Exception):
    """Nothing came from the kernel for too long."""


class WirePage:
    """The widgets of one page. `keys` are kept as a browser keeps them, beyond the page."""

    def __init__(self, address: str, keys: dict[str, str]) -> None:
        self.address, self.keys = address.rstrip("/"), keys
        self.kernel = ""
        self._widgets: dict[str, dict[str, Any]] = {}
        self._changed = asyncio.Event()
        self._line: WebSocketClientConnection | None = None
        self._listening: asyncio.Task[None] | None = None

    async def open(self, ready: str, within_s: float) -> None:
        """Load the page, until a button called `ready` is there, and hand it the keys. DeadPageError after too
        long."""
        got = await AsyncHTTPClient(max_body_size=_LARGEST).fetch(
            self.address, request_timeout=300, connect_timeout=300
        )
        found = _KERNEL.search(got.body.decode())
        assert found is not None, "the page names no kernel"
        self.kernel = found[1]
        at = f"ws://{urlsplit(self.address).netloc}/api/kernels/{self.kernel}/channels?session_id={uuid.uuid4().hex}"
        self._line = await websocket_connect(at, max_message_size=_LARGEST)
        self._listening = asyncio.create_task(self._listen())
        control = uuid.uuid4().hex
        opening = {"comm_id": control, "target_name": "jupyter.widget.control", "data": {}, "target_module": None}
        await self._send("comm_open", opening, {"version": "1.0.0"})
        await self._send("comm_msg", {"comm_id": control, "data": {"method": "request_states"}})
        await self.until(lambda: self.find(ready), within_s)
        await self.put(self._of_class("keys-in"), json.dumps({"lasting": True, **self.keys}))

    async def close(self) -> None:
        """Leave the page; its kernel ends, if it still lives."""
        if self._listening is not None:
            self._listening.cancel()
        if self._line is not None:
            self._line.close()
        with suppress(Exception):
            ending = f"{self.address}/voila/api/shutdown/{self.kernel}"
            await AsyncHTTPClient().fetch(ending, method="POST", body=b"", request_timeout=10)

    # -- what is there ------------------------------------------------------------------------------------------

    def find(self, called: str, inside: str = "") -> str | None:
        """The first visible widget whose description begins so, inside the first visible one of a class if that is
        given.
        """
        return next(
            (one for one in self._inside(inside) if str(self._widgets[one].get("description", "")).startswith(called)),
            None,
        )

    def labels(self, widget: str | None) -> list[str]:
        """The options of a list, as read."""
        return [str(one) for one in self._widgets[widget].get("_options_labels", ())] if widget else []

    def shows(self, text: str, inside: str) -> bool:
        """Whether a visible text inside the first visible widget of a class holds this."""
        return any(text in str(self._widgets[one].get("value", "")) for one in self._inside(inside))

    def seen(self, cls: str, inside: str) -> bool:
        """Whether a widget of a class is visible inside the first visible one of another."""
        return any(cls in self._widgets[one].get("_dom_classes", ()) for one in self._inside(inside))

    def _inside(self, cls: str) -> Iterator[str]:
        if not cls:
            return self._every_visible()
        within = self._of_class(cls)
        return self._visible(within) if within else iter(())

    def _of_class(self, cls: str) -> str | None:
        return next((one for one in self._every_visible() if cls in self._widgets[one].get("_dom_classes", ())), None)

    def _every_visible(self) -> Iterator[str]:
        roots = (one for one, state in list(self._widgets.items()) if "desk" in state.get("_dom_classes", ()))
        for root in roots:
            yield from self._visible(root)

    def _visible(self, widget: str) -> Iterator[str]:
        state = self._widgets.get(widget)
        if state is None:
            return
        layout = self._widgets.get(_id(state.get("layout")), {})
        if layout.get("display") == "none":
            return
        yield widget
        for child in state.get("children", ()):
            yield from self._visible(_id(child))

    # -- what is done ---------------------------------------------------------------------------------------------

    async def put(self, widget: str | None, value: Any, trait: str = "value") -> None:
        """Set what a widget holds. DeadPageError if it is not there."""
        if widget is None:
            raise DeadPageError
        self._widgets[widget][trait] = value
        state = {"method": "update", "state": {trait: value}, "buffer_paths": []}
        await self._send("comm_msg", {"comm_id": widget, "data": state})

    async def press(self, widget: str | None) -> None:
        """Press a button. DeadPageError if it is not there."""
        if widget is None:
            raise DeadPageError
        await self._send("comm_msg", {"comm_id": widget, "data": {"method": "custom", "content": {"event": "click"}}})

    async def until(self, there: Callable[[], Any], within_s: float = WAIT_S) -> None:
        """Wait for something to be so. DeadPageError after too long."""

        async def wait() -> None:
            while not there():
                self._changed.clear()
                await self._changed.wait()

        try:
            await asyncio.wait_for(wait(), within_s)
        except TimeoutError as error:
            raise DeadPageError from error

    # -- the line -------------------------------------------------------------------------------------------------

    async def _send(self, kind: str, content: dict[str, Any], metadata: dict[str, Any] | None = None) -> None:
        header = {
            "msg_id": uuid.uuid4().hex, "msg_type": kind, "username": "", "session": self.kernel,
            "date": datetime.now(UTC).isoformat(), "version": "5.3",
        }  # fmt: skip
        message = {"header": header, "parent_header": {}, "metadata": metadata or {}, "content": content}
        assert self._line is not None
        sent: Awaitable[None] = self._line.write_message(json.dumps(message | {"channel": "shell", "buffers": []}))
        with suppress(Exception):  # a line that broke is noticed by what does not come
            await sent

    async def _listen(self) -> None:
        assert self._line is not None
        while (raw := await self._line.read_message()) is not None:
            message = json.loads(raw if isinstance(raw, str) else _first_of(raw))
            content = message.get("content", {})
            if message["header"]["msg_type"] == "comm_open":
                self._widgets[content["comm_id"]] = dict(content["data"].get("state", {}))
            elif message["header"]["msg_type"] == "comm_msg":
                self._take(content["comm_id"], content["data"])
            self._changed.set()

    def _take(self, comm: str, data: dict[str, Any]) -> None:
        if data.get("method") == "update_states":
            for widget, found in data["states"].items():
                self._widgets[widget] = dict(found["state"])
        elif data.get("method") == "update":
            state = self._widgets.setdefault(comm, {})
            state.update(data["state"])
            if "keys-out" in state.get("_dom_classes", ()) and data["state"].get("value"):
                for name, key in json.loads(html.unescape(data["state"]["value"])).items():
                    self.keys.pop(name, None) if key is None else self.keys.update({name: key})


def _id(reference: Any) -> str:
    return str(reference or "").removeprefix(_REFERENCE)


def _first_of(raw: bytes) -> bytes:
    """The JSON of a message with buffers: a count, where each begins, then each (Jupyter's first websocket protocol)."""
    count = struct.unpack_from("!i", raw)[0]
    starts = struct.unpack_from(f"!{count}I", raw, 4)
    return raw[starts[0] : starts[1] if count > 1 else len(raw)]
