"""The server of the board: every request is checked before anything is done for it, and nothing about it is logged."""

from __future__ import annotations

import asyncio
import contextlib
import logging
from collections.abc import AsyncIterator, Awaitable, Callable
from typing import Any, Protocol

from aiohttp import WSMsgType, web

from engine.clock import Clock
from engine.words import Say, Words, say
from tui.serve.access import DAY_S, Access
from tui.serve.heard import LONGEST, Asked, Resized, heard
from tui.serve.limits import Seats, Size, window
from tui.serve.page import AGAIN_S, board_page, heads, told_page
from tui.serve.place import Place
from tui.serve.statics import Statics

HEARTBEAT_S = 10.0  # half of it later a silent viewer is gone
SLOW_S = 5.0  # a picture older than this is no picture
CLOSING_S = 0.5
FULL, UNREAD, ENDED = 4001, 4002, 1001  # why a socket is closed; the page has a sentence for each
KEPT_NOT, KEPT = "no-store", "private, max-age=3600"
QUIET = logging.Logger("bagcall.serve", logging.CRITICAL + 1)
RUNNING: dict[str, Any] = {
    "access_log": None,
    "logger": QUIET,
    "shutdown_timeout": CLOSING_S,
    "keepalive_timeout": 15.0,
}
Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


class Viewer(Protocol):
    """What draws the board for one window."""

    def pictures(self) -> AsyncIterator[bytes]: ...
    def resize(self, size: Size) -> None: ...
    async def failed(self) -> bool: ...
    async def stop(self) -> None: ...
    def kill(self) -> None: ...


class BoardServer:
    """The board of one log at one place. `start` starts what draws for one window."""

    def __init__(
        self,
        place: Place,
        access: Access,
        clock: Clock,
        start: Callable[[Size], Awaitable[Viewer]],
        statics: Statics,
        said: Words,
        *,
        title: str,
        look: str,
        language: str,
    ) -> None:
        self.place, self.seats = place, Seats()
        self._access, self._clock, self._start, self._statics = access, clock, start, statics
        self._said, self._title, self._language = said, title, language
        self._page = board_page(place, title, look, said, language)
        self._heads = heads(place)
        self._sockets: set[web.WebSocketResponse] = set()
        self._viewers: set[Viewer] = set()
        self._cookie = f"board-{place.port}"

    def app(self) -> web.Application:
        """All there is to ask for."""
        app = web.Application(middlewares=[self._guard], logger=QUIET)
        app.add_routes(
            [
                web.get("/", self._index),
                web.get("/ws", self._watch),
                web.get("/static/{name}", self._static),
            ]
        )
        app.on_response_prepare.append(self._with_heads)
        app.on_shutdown.append(self._close)
        return app

    async def _with_heads(self, request: web.Request, response: web.StreamResponse) -> None:  # noqa: ARG002
        kept = response.headers.get("Cache-Control", KEPT_NOT)
        response.headers.update(self._heads | {"Cache-Control": kept})

    @web.middleware
    async def _guard(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Meant for this place, from no other page, with the word; what goes wrong behind that is told in a sentence."""
        heads, socket = request.headers, request.path == "/ws"
        if not self.place.asked_by(heads.get("Host"), heads.get("Origin"), must_say=socket):
            return self._told(say("serve.foreign"), 403)
        word = request.query.get("word") if request.path == "/" else None
        if word is not None and self._admits(word):
            return self._let_in()
        if not self._admits(request.cookies.get(self._cookie, "")):
            return self._told(say("serve.word"), 403)
        try:
            return await handler(request)
        except web.HTTPException as known:
            return self._told(say("serve.nothing"), known.status)
        except Exception:
            return self._told(say("serve.wrong"), 500)

    def _admits(self, shown: str) -> bool:
        return self._access.admits(shown, self._clock.stamp().wall)

    def _let_in(self) -> web.Response:
        """The word goes from the link into a cookie, by a page of ours: a strict cookie is not sent along a redirect."""
        response = self._told(say("serve.began"), 200, again="0;url=/")
        response.set_cookie(
            self._cookie, self._access.word, max_age=DAY_S, path="/", httponly=True, samesite="Strict"
        )
        return response

    def _told(self, sentence: Say, status: int, again: str = "") -> web.Response:
        page = told_page(sentence, self._title, self._said, self._language, again=again)
        return web.Response(text=page, status=status, content_type="text/html")

    async def _index(self, request: web.Request) -> web.StreamResponse:  # noqa: ARG002
        if self.seats.full:
            return self._told(say("serve.full"), 503, again=str(AGAIN_S))
        return web.Response(text=self._page, content_type="text/html")

    async def _static(self, request: web.Request) -> web.StreamResponse:
        path, kind = self._statics.get(request.match_info["name"], (None, ""))
        if path is None:
            raise web.HTTPNotFound
        return web.FileResponse(path, headers={"Content-Type": kind, "Cache-Control": KEPT})

    async def _watch(self, request: web.Request) -> web.StreamResponse:
        """One viewer, for as long as there is a seat and a window."""
        socket = web.WebSocketResponse(heartbeat=HEARTBEAT_S, timeout=CLOSING_S, max_msg_size=4 * LONGEST)
        seated = self.seats.take()
        try:
            await socket.prepare(request)
            if seated:
                self._sockets.add(socket)
                await self._show(socket, window(request.query.get("width"), request.query.get("height")))
            else:
                await socket.close(code=FULL)
        finally:
            self._sockets.discard(socket)
            if seated:
                self.seats.free()
        return socket

    async def _show(self, socket: web.WebSocketResponse, size: Size) -> None:
        viewer = await self._start(size)
        self._viewers.add(viewer)
        drawing = asyncio.create_task(_draw(viewer, socket))
        try:
            await _listen(viewer, socket)
        finally:
            drawing.cancel()
            await asyncio.shield(asyncio.create_task(self._end(viewer)))

    async def _end(self, viewer: Viewer) -> None:
        """By itself, so that whoever breaks off a request does not leave its viewer behind."""
        await viewer.stop()
        self._viewers.discard(viewer)

    async def _close(self, app: web.Application) -> None:  # noqa: ARG002
        closing = [socket.close(code=ENDED) for socket in self._sockets]
        ending = [viewer.stop() for viewer in self._viewers]
        await asyncio.gather(*closing, *ending, return_exceptions=True)

    def kill(self) -> None:
        """End what has not ended yet."""
        for viewer in self._viewers:
            viewer.kill()


async def _draw(viewer: Viewer, socket: web.WebSocketResponse) -> None:
    """Every picture goes out, and the socket closes after the last; a viewer too slow for them is let go."""
    with contextlib.suppress(ConnectionError, TimeoutError):
        async for drawn in viewer.pictures():
            await asyncio.wait_for(socket.send_bytes(drawn), SLOW_S)
    await socket.close(code=UNREAD if await viewer.failed() else ENDED)


async def _listen(viewer: Viewer, socket: web.WebSocketResponse) -> None:
    """Sizes go to the viewer, a ping is answered; keys and all else are dropped here."""
    async for message in socket:
        if message.type is not WSMsgType.TEXT:
            continue
        match heard(message.data):
            case Resized(size):
                viewer.resize(size)
            case Asked(mark):
                await socket.send_json(["pong", mark])
