"""A headless Chromium driven by its own protocol: pages opened at the size of a phone, looked at, cut off and joined again.

Needs a `chromium` on the path and the extra `serve`; no test uses it.
"""

from __future__ import annotations

import asyncio
import base64
import json
import shutil
import subprocess
import tempfile
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import aiohttp

SWITCHES = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--force-device-scale-factor=2",  # not by emulation: it tells a canvas the wrong size
    "--remote-debugging-port=0",
    "about:blank",
)
PATIENCE_S = 60.0
LOOK_S = 0.1


@dataclass
class Page:
    """One tab."""

    socket: aiohttp.ClientWebSocketResponse
    sent: int = 0

    async def ask(self, method: str, **values: object) -> Any:
        """What a method of the protocol answers. Raises `RuntimeError` with what went wrong."""
        self.sent += 1
        await self.socket.send_json({"id": self.sent, "method": method, "params": values})
        while True:
            message = json.loads((await self.socket.receive()).data)
            if message.get("id") == self.sent:
                if "error" in message:
                    raise RuntimeError(message["error"]["message"])
                return message["result"]

    async def size(self, width: int, height: int) -> None:
        """As on a phone of this size, in CSS pixels."""
        await self.ask(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=0,
            mobile=True,
        )

    async def value(self, script: str) -> Any:
        """What a script on the page comes to."""
        found = await self.ask("Runtime.evaluate", expression=script, returnByValue=True)
        return found["result"].get("value")

    async def until(self, script: str) -> float:
        """Seconds until a script comes true. Raises `TimeoutError`."""
        loop = asyncio.get_running_loop()
        began = loop.time()
        while not await self.value(script):
            if loop.time() - began > PATIENCE_S:
                raise TimeoutError(script)
            await asyncio.sleep(LOOK_S)
        return loop.time() - began

    async def picture(self, path: Path) -> None:
        """What the page looks like, as PNG."""
        shot = await self.ask("Page.captureScreenshot", format="png")
        path.write_bytes(base64.b64decode(shot["data"]))


@dataclass
class Browser:
    """A running browser."""

    at: str
    client: aiohttp.ClientSession

    @asynccontextmanager
    async def page(self, width: int, height: int) -> AsyncIterator[Page]:
        """A tab of a size, closed at the end."""
        async with self.client.put(f"{self.at}/json/new?about:blank") as answer:
            tab = json.loads(await answer.text())
        async with self.client.ws_connect(tab["webSocketDebuggerUrl"], max_msg_size=1 << 26) as socket:
            page = Page(socket)
            await page.size(width, height)
            yield page
        await self.client.get(f"{self.at}/json/close/{tab['id']}")


@asynccontextmanager
async def browser() -> AsyncIterator[Browser]:
    """Start one with a profile of its own, and end it."""
    folder = Path(tempfile.mkdtemp())
    process = subprocess.Popen(
        ["chromium", f"--user-data-dir={folder}", *SWITCHES],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        async with aiohttp.ClientSession() as client:
            yield Browser(f"http://127.0.0.1:{await _port(folder)}", client)
    finally:
        process.terminate()
        process.wait()
        shutil.rmtree(folder, ignore_errors=True)


async def _port(folder: Path) -> int:
    told = folder / "DevToolsActivePort"
    while not told.exists() or not told.read_text():
        await asyncio.sleep(LOOK_S)
    return int(told.read_text().split()[0])
