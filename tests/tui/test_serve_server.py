"""The server of the board, asked as browsers and strangers ask it, with made-up viewers behind it. Nothing sleeps."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from html import escape
from ipaddress import ip_address
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

pytest.importorskip("aiohttp")
pytest.importorskip("textual_serve")

from aiohttp import WSMsgType, WSServerHandshakeError
from aiohttp.test_utils import TestClient, TestServer

from engine.clock import HandClock
from tests.tui.days import WORDS
from tui.serve.access import DAY_S, Access
from tui.serve.limits import SEATS
from tui.serve.place import Place
from tui.serve.server import ENDED, FULL, RUNNING, UNREAD, BoardServer
from tui.serve.statics import statics

if TYPE_CHECKING:
    from tui.serve.limits import Size

BEGAN = 1_000_000.0
PLACE = Place(ip_address("192.168.1.20"), 8765)
WORD = "abcd-efgh-jkmn"
OWN = {"Host": PLACE.host}
PAGE = OWN | {"Origin": PLACE.origin}
Drawn = tuple[bytes | None, ...]
SEATED = {"Cookie": f"board-8765={WORD}"}


class FakeViewer:
    """Draws what it is given, notes what it is told."""

    def __init__(self, size: Size, drawn: Drawn, failed: bool) -> None:
        self.unreadable = failed
        self.sizes = [size]
        self.ended = False
        self.drawn: asyncio.Queue[bytes | None] = asyncio.Queue()
        for picture in drawn:
            self.drawn.put_nowait(picture)

    async def pictures(self) -> AsyncIterator[bytes]:
        while (picture := await self.drawn.get()) is not None:
            yield picture

    def resize(self, size: Size) -> None:
        self.sizes.append(size)

    async def failed(self) -> bool:
        return self.unreadable

    async def stop(self) -> None:
        self.ended = True

    def kill(self) -> None:
        self.ended = True


class House:
    """A server with made-up viewers, and a client that may say it is anybody."""

    def __init__(self, drawn: Drawn, failed: bool) -> None:
        self.drawn, self.failed = drawn, failed
        self.clock = HandClock(BEGAN)
        self.viewers: list[FakeViewer] = []
        access = Access(WORD, BEGAN + DAY_S)
        self.server = BoardServer(
            PLACE, access, self.clock, self._start, statics(), WORDS, title="day", look="sun", language="en"
        )
        self.client = TestClient(TestServer(self.server.app()))

    async def _start(self, size: Size) -> FakeViewer:
        self.viewers.append(FakeViewer(size, self.drawn, self.failed))
        return self.viewers[-1]

    async def get(self, path: str, **heads: str) -> tuple[int, str, Any]:
        async with self.client.get(path, headers=OWN | heads, allow_redirects=False) as answer:
            return answer.status, await answer.text(), answer.headers

    async def emptied(self) -> None:
        """Once the server has noticed that everybody left."""
        async with asyncio.timeout(2.0):
            while self.server.seats.taken:
                await asyncio.sleep(0)

    def watch(self, size: str = "width=48&height=46", heads: dict[str, str] | None = None) -> Any:
        return self.client.ws_connect(f"/ws?{size}", headers=PAGE | SEATED if heads is None else heads)


@asynccontextmanager
async def house(drawn: Drawn = (b"first picture",), failed: bool = False) -> AsyncIterator[House]:
    made = House(drawn, failed)
    await made.client.server.start_server(**RUNNING)
    async with made.client:
        yield made


async def test_the_word_of_the_link_becomes_a_strict_cookie_and_leaves_the_address() -> None:
    async with house() as h:
        status, text, heads = await h.get(f"/?word={WORD}")
        cookie = heads["Set-Cookie"]
        assert status == 200
        assert all(part in cookie for part in ("HttpOnly", "SameSite=Strict", "Path=/", f"Max-Age={DAY_S}"))
        assert 'content="0;url=/"' in text
        assert WORD not in text
        status, text, _ = await h.get("/", Cookie=cookie.partition(";")[0])
        assert (status, "page.js" in text) == (200, True)


@pytest.mark.parametrize(
    ("path", "cookie"),
    [
        ("/", ""),
        ("/", "board-8765=abcd-efgh-jkmx"),
        ("/", f"board-9999={WORD}"),
        ("/?word=abcd-efgh-jkmx", ""),
        ("/?word=", ""),
        (f"/static/page.js?word={WORD}", ""),
        (f"/ws?word={WORD}", ""),
        ("/static/textual.js", ""),
        ("/nothing", ""),
    ],
)
async def test_without_the_word_there_is_a_sentence_and_nothing_else(path: str, cookie: str) -> None:
    async with house() as h:
        heads = {"Cookie": cookie, "Origin": PLACE.origin}
        status, text, told = await h.get(path, **heads)
        assert status == 403
        assert escape(WORDS("serve.word")) in text
        assert "Set-Cookie" not in told
        assert h.viewers == []


async def test_yesterdays_word_opens_nothing() -> None:
    async with house() as h:
        h.clock.advance(DAY_S)
        assert (await h.get(f"/?word={WORD}"))[0] == 403
        assert (await h.get("/", **SEATED))[0] == 403


@pytest.mark.parametrize(
    "heads",
    [
        {"Host": "board.example"},
        {"Host": "127.0.0.1:8765"},
        {"Host": "192.168.1.20"},
        {"Origin": "http://board.example"},
        {"Origin": "null"},
        {"Origin": "http://192.168.1.20:8766"},
    ],
)
@pytest.mark.parametrize("path", ["/", f"/?word={WORD}", "/static/page.js", "/ws"])
async def test_a_foreign_name_or_page_gets_nothing_even_with_the_word(
    heads: dict[str, str], path: str
) -> None:
    async with house() as h:
        status, text, told = await h.get(path, **SEATED, **heads)
        assert status == 403
        assert WORDS("serve.foreign") in text
        assert "Set-Cookie" not in told
        assert h.viewers == []


@pytest.mark.parametrize(
    "heads", [OWN | SEATED, PAGE, OWN | SEATED | {"Origin": "http://board.example"}, PAGE | {"Cookie": "x=y"}]
)
async def test_no_socket_opens_without_word_and_own_page(heads: dict[str, str]) -> None:
    async with house() as h:
        with pytest.raises(WSServerHandshakeError) as refused:
            await h.watch(heads=heads)
        assert refused.value.status == 403
        assert h.viewers == []


async def test_a_viewer_gets_pictures_and_its_window_is_kept_within_bounds() -> None:
    async with house() as h, h.watch("width=99999&height=99999") as socket:
        assert await socket.receive_bytes() == b"first picture"
        await socket.send_json(["resize", {"width": 1, "height": 10**9}])
        await socket.send_json(["ping", "1"])
        assert await socket.receive_json() == ["pong", "1"]
        assert h.viewers[0].sizes == [(200, 100), (20, 100)]


async def test_keys_are_dropped_in_the_server() -> None:
    async with house() as h, h.watch() as socket:
        await socket.receive_bytes()
        before = dict(vars(h.viewers[0]))
        for message in ('["stdin", "q"]', '["focus"]', "q", "[", '["blur"]'):
            await socket.send_str(message)
        await socket.send_bytes(b"q")
        await socket.send_json(["ping", "2"])
        assert await socket.receive_json() == ["pong", "2"]
        assert vars(h.viewers[0]) == before


async def test_fifty_viewers_are_four_processes_and_the_others_get_a_sentence() -> None:
    async with house() as h:
        sockets = [await h.watch() for _ in range(50)]
        first = [await socket.receive() for socket in sockets]
        assert sum(message.type is WSMsgType.BINARY for message in first) == SEATS == len(h.viewers)
        assert sum(message.data == FULL for message in first) == 50 - SEATS
        status, text, _ = await h.get("/", **SEATED)
        assert status == 503
        assert WORDS("serve.full") in text
        for socket in sockets:
            await socket.close()
        await h.emptied()
        status, _, _ = await h.get("/", **SEATED)
        assert status == 200
        assert all(viewer.ended for viewer in h.viewers)


async def test_a_seat_comes_back_when_a_viewer_goes() -> None:
    async with house() as h:
        for _ in range(3 * SEATS):
            async with h.watch() as socket:
                assert await socket.receive_bytes() == b"first picture"
            await h.emptied()
        assert len(h.viewers) == 3 * SEATS


@pytest.mark.parametrize(("failed", "code"), [(False, ENDED), (True, UNREAD)])
async def test_a_process_that_ends_closes_its_socket_and_says_whether_the_log_was_the_reason(
    failed: bool, code: int
) -> None:
    async with house((b"a frame", None), failed) as h, h.watch() as socket:
        assert await socket.receive_bytes() == b"a frame"
        message = await socket.receive()
        assert (message.type, message.data) == (WSMsgType.CLOSE, code)


async def test_a_message_too_long_closes_the_socket_and_nothing_more() -> None:
    async with house() as h:
        async with h.watch() as socket:
            await socket.receive_bytes()
            await socket.send_str("x" * 5000)
            assert (await socket.receive()).type is WSMsgType.CLOSE
        assert (await h.get("/", **SEATED))[0] == 200


async def test_the_end_closes_every_socket_and_ends_every_viewer() -> None:
    async with house() as h:
        sockets = [await h.watch() for _ in range(SEATS)]
        for socket in sockets:
            await socket.receive_bytes()
        closing = asyncio.create_task(h.client.server.close())
        messages = [await socket.receive() for socket in sockets]
        await asyncio.wait_for(closing, 2.0)
        assert {message.data for message in messages} == {ENDED}
        assert all(viewer.ended for viewer in h.viewers)


@pytest.mark.parametrize("name", ["textual.js", "xterm.css", "font.ttf", "page.js", "page.css"])
async def test_files_are_had_by_name_with_their_kind(name: str) -> None:
    async with house() as h, h.client.get(f"/static/{name}", headers=OWN | SEATED) as answer:
        assert answer.status == 200
        assert answer.headers["Content-Type"] == statics()[name][1]
        assert await answer.read() == statics()[name][0].read_bytes()


@pytest.mark.parametrize(
    "path",
    [
        "/static/",
        "/static",
        "/static/../server.py",
        "/static/%2e%2e/server.py",
        "/static/js/textual.js",
        "/x",
    ],
)
async def test_no_folder_is_listed_and_no_other_file_is_had(path: str) -> None:
    async with house() as h:
        status, text, _ = await h.get(path, **SEATED)
        assert status == 404
        assert WORDS("serve.nothing") in text


@pytest.mark.parametrize("path", ["/", f"/?word={WORD}", "/static/page.js", "/nothing"])
@pytest.mark.parametrize("heads", [{}, SEATED])
async def test_every_answer_carries_the_heads_that_keep_it_to_itself(
    path: str, heads: dict[str, str]
) -> None:
    async with house() as h:
        _, _, told = await h.get(path, **heads)
        assert "default-src 'none'" in told["Content-Security-Policy"]
        assert told["X-Content-Type-Options"] == "nosniff"
        assert told["Referrer-Policy"] == "no-referrer"
        assert "Python" not in told["Server"]


async def test_a_fault_is_a_sentence_and_no_log_tells_word_or_query(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    async with house() as h:
        h.server._statics = {"page.js": (Path("/none/page.js"), "text/javascript"), "page.css": None}  # type: ignore[dict-item]
        for name in ("page.js", "page.css"):
            status, text, _ = await h.get(f"/static/{name}", **SEATED)
            assert status in (404, 500)
            assert "Traceback" not in text
        await h.get(f"/?word={WORD}")
        async with h.watch() as socket:
            await socket.receive_bytes()
    told = "\n".join(record.getMessage() for record in caplog.records if record.name != "asyncio")
    assert told == ""
