"""One contract for logs in files and in memory. Expected: what was put in, byte for byte."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from log_samples import encoded, lines

from engine.errors import BadInput, LogDamaged
from engine.record.lines import FIRST_HASH
from engine.record.store import (
    FileStore,
    MemoryStore,
    Store,
    open_for_append,
)

Opener = Callable[[bytes], Store]


def in_memory(_folder: Path) -> tuple[Opener, Callable[[Store], bytes]]:
    def whole(store: Store) -> bytes:
        assert isinstance(store, MemoryStore)
        return store.whole()

    return MemoryStore, whole


def in_a_file(folder: Path) -> tuple[Opener, Callable[[Store], bytes]]:
    def open_(given_bytes: bytes) -> Store:
        path = folder / f"{len(list(folder.iterdir()))}.jsonl"
        path.write_bytes(given_bytes)
        return open_for_append(path)

    return open_, lambda store: Path(store.name).read_bytes()


@pytest.fixture(params=[in_memory, in_a_file])
def kind(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Opener, Callable[[Store], bytes]]:
    chosen: tuple[Opener, Callable[[Store], bytes]] = request.param(tmp_path)
    return chosen


class TestEveryStore:
    def test_starts_empty_from_nothing(self, kind: tuple[Opener, Callable[[Store], bytes]]) -> None:
        open_, whole = kind
        store = open_(b"")
        assert (store.contents.lines, store.contents.hash, store.set_aside) == ((), FIRST_HASH, "")
        store.close()
        assert whole(store) == b""

    def test_keeps_chunks_in_order_and_gives_them_back(
        self, kind: tuple[Opener, Callable[[Store], bytes]]
    ) -> None:
        open_, whole = kind
        store = open_(b"")
        chunks = encoded(lines(5))
        store.append(chunks[0])
        store.append(chunks[1] + chunks[2])
        store.close()
        again = open_(whole(store))
        assert list(again.contents.lines) == lines(3)
        again.append(chunks[3] + chunks[4])
        again.close()
        last = open_(whole(again))
        assert list(last.contents.lines) == lines(5)
        assert last.contents.hash.encode() in chunks[4]
        assert last.contents.whole == b"".join(chunks)
        last.close()

    @pytest.mark.parametrize("tail", [b'{"seq":3,"ki', b"\0" * 64, b"\0" * 64 + b"\n", b"\n", b"{}\n", b"x"])
    def test_sets_a_torn_tail_aside_and_goes_on_behind_the_last_good_line(
        self, kind: tuple[Opener, Callable[[Store], bytes]], tail: bytes
    ) -> None:
        open_, whole = kind
        chunks = encoded(lines(3))
        store = open_(chunks[0] + chunks[1] + tail)
        assert list(store.contents.lines) == lines(2)
        assert store.contents.tail == b""
        assert store.set_aside
        store.append(chunks[2])
        store.close()
        assert whole(store) == b"".join(chunks)

    def test_refuses_damage_inside_and_what_is_no_log(
        self, kind: tuple[Opener, Callable[[Store], bytes]]
    ) -> None:
        open_, _ = kind
        chunks = encoded(lines(3))
        with pytest.raises(LogDamaged, match="line 2"):
            open_(chunks[0] + chunks[1].replace(b"P1.2", b"P1.9") + chunks[2])
        with pytest.raises(BadInput, match="does not begin as one"):
            open_(b"time,what,which,who,value\n")


def test_a_file_store_is_a_store_and_so_is_a_memory_store(log: Path) -> None:
    stores: list[Store] = [open_for_append(log), MemoryStore()]
    assert isinstance(stores[0], FileStore)
    assert [store.name for store in stores] == [str(log), "memory"]
    stores[0].close()


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"
