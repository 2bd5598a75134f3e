"""How a viewer's process and the server talk over its pipes: packets as the framework's web driver frames them."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator

from tui.serve.limits import Size

GREETING = b"__GANGLION__\n"
PICTURE, TOLD = b"D", b"M"
BIGGEST = 1 << 22  # bytes


def resized(size: Size) -> bytes:
    """That the window has another size."""
    return _told({"type": "resize", "width": size[0], "height": size[1]})


def _told(what: dict[str, object]) -> bytes:
    written = json.dumps(what).encode()
    return TOLD + len(written).to_bytes(4, "big") + written


async def pictures(pipe: asyncio.StreamReader) -> AsyncIterator[bytes]:
    """What the screen draws, until the process ends; nothing else that it says goes to a viewer."""
    try:
        await pipe.readuntil(GREETING)
        while True:
            kind = await pipe.readexactly(1)
            size = int.from_bytes(await pipe.readexactly(4), "big")
            if size > BIGGEST:
                return
            drawn = await pipe.readexactly(size)
            if kind == PICTURE:
                yield drawn
    except (asyncio.IncompleteReadError, asyncio.LimitOverrunError, ConnectionError):
        return
