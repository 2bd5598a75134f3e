"""One line of the log. Expected bytes and hashes: built here with `json` and `hashlib` alone."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from log_samples import line

from engine.clock import Stamp
from engine.record.lines import FIRST_HASH, HASH_DIGITS, LONGEST_LINE, Line, decode, encode

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
NUMBERS = st.integers(-(2**70), 2**70) | st.floats(allow_nan=False, allow_infinity=False)
PLAIN: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXT,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=8,
)
STAMPS = st.builds(
    Stamp,
    wall=st.floats(0.0, 7.0e9),  # to the year 2191
    boot=st.floats(-1e9, 1e9),
    mark=TEXT,
)
LINES = st.builds(
    Line,
    seq=st.integers(1, 10**9),
    stamp=STAMPS,
    kind=TEXT,
    v=st.integers(1, 99),
    who=TEXT,
    at=st.none() | st.floats(-1e12, 1e12),
    how=st.sampled_from(["pressed", "shifted", "assumed", "corrected"]),
    data=st.dictionaries(TEXT, PLAIN, max_size=4),
    assumed=st.booleans(),
)


@settings(deadline=None)
@given(LINES, st.sampled_from([FIRST_HASH, "0123456789abcdef" * 2]))
def test_a_line_comes_back_exactly_to_the_last_bit_of_every_number(written: Line, previous_hash: str) -> None:
    raw, digest = encode(written, previous_hash)
    read, read_digest = decode(raw, previous_hash, written.seq)
    assert read == written
    assert read_digest == digest
    assert encode(read, previous_hash) == (raw, digest)
    assert raw.count(b"\n") == 1


def test_the_bytes_are_compact_json_in_a_fixed_order_with_utc_time_to_the_microsecond() -> None:
    written = line(
        3, data={"depth_m": 0.05, "note": "°"}, stamp=Stamp(1762355640.25, 81.5, "b1"), assumed=True
    )
    raw, _ = encode(written, FIRST_HASH)
    expected = (
        '{"seq":3,"kind":"water added","v":1,"who":"F","wall":"2025-11-05T15:14:00.250000Z","boot":81.5,'
        '"mark":"b1","at":1794000021.0,"how":"shifted","assumed":true,"data":{"depth_m":0.05,"note":"°"},"hash":"'
    )
    assert raw.decode().startswith(expected)
    assert raw.endswith(b'"}\n')


def test_what_is_at_its_plain_value_is_left_out() -> None:
    assert list(json.loads(encode(line(1), FIRST_HASH)[0])) == [
        *("seq", "kind", "v", "who", "wall", "boot", "mark", "how", "data", "hash")
    ]


def test_the_hash_is_sha256_of_the_hash_before_and_the_line_without_its_hash() -> None:
    raw, digest = encode(line(2), "ab" * 16)
    record = json.loads(raw)
    assert record.pop("hash") == digest
    body = json.dumps(record, ensure_ascii=False, separators=(",", ":")).encode()
    assert digest == hashlib.sha256(b"ab" * 16 + body).hexdigest()[:HASH_DIGITS]
    assert HASH_DIGITS >= 16


def test_every_single_changed_byte_is_noticed() -> None:
    raw, _ = encode(line(3), FIRST_HASH)
    for place in range(len(raw)):
        for flip in (0x01, 0x20, 0x80):
            changed = bytearray(raw)
            changed[place] ^= flip
            with pytest.raises(ValueError, match=r"hash|cut short"):
                decode(bytes(changed), FIRST_HASH, 3)


def test_a_line_cut_anywhere_is_noticed() -> None:
    raw, _ = encode(line(3), FIRST_HASH)
    for size in range(len(raw)):
        with pytest.raises(ValueError, match="cut short"):
            decode(raw[:size], FIRST_HASH, 3)


def test_a_line_after_another_line_than_its_own_is_noticed() -> None:
    raw, _ = encode(line(2), "ab" * 16)
    with pytest.raises(ValueError, match="does not follow"):
        decode(raw, "ac" * 16, 2)


def test_a_wrong_number_is_named_with_the_one_expected() -> None:
    raw, _ = encode(line(7), FIRST_HASH)
    with pytest.raises(ValueError, match="numbered 7 where 6 was expected"):
        decode(raw, FIRST_HASH, 6)


NESTED = {"readings": [1.0, {"air_c": math.nan}]}


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"data": {"x": math.inf}}, r"data\.x is inf, not a finite number"),
        ({"data": NESTED}, r"data\.readings\[1\]\.air_c is nan"),
        ({"at": -math.inf}, "at is -inf"),
        ({"stamp": Stamp(0.0, math.nan, "b")}, "boot is nan"),
        ({"stamp": Stamp(math.nan, 0.0, "b")}, "wall is nan, not a time"),
        ({"stamp": Stamp(1e18, 0.0, "b")}, "not a time"),
        ({"data": {"x": (1, 2)}}, r"data\.x is a tuple, not plain JSON"),
        ({"data": {1: 2}}, "which is not text"),
        ({"data": {"x": b""}}, "bytes, not plain JSON"),
        ({"who": None}, "who is None, not str"),
        ({"v": True}, "v is True, not int"),
        ({"how": "guessed"}, "none of pressed, shifted, assumed, corrected"),
        ({"data": {"x": "x" * LONGEST_LINE}}, rf"takes \d+ bytes; a line holds {LONGEST_LINE}"),
        ({"who": "\ud800"}, "surrogates not allowed"),
    ],
)
def test_what_could_not_be_read_back_is_not_written(changes: dict[str, Any], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        encode(line(1, **changes), FIRST_HASH)


def sealed(body: str) -> bytes:
    """Bytes with a good hash around any content, as a faulty program might write them."""
    digest = hashlib.sha256(body.encode()).hexdigest()[:HASH_DIGITS]
    return f'{body[:-1]},"hash":"{digest}"}}\n'.encode()


GOOD = (
    '{"seq": 1, "kind": "k", "v": 1, "who": "", "wall": "2026-11-05T15:14:00.000000Z", '
    '"boot": 1.0, "mark": "b", "how": "pressed", "data": {}}'
)


@pytest.mark.parametrize(
    ("spoil", "why"),
    [
        (lambda s: s.replace('"who": "", ', ""), "lacks who"),
        (lambda s: s.replace('"data": {}', '"data": {"x": NaN}'), "NaN is not a finite number"),
        (lambda s: s.replace('"data": {}', '"data": {"x": [1e999]}'), "1e999 is not a finite number"),
        (lambda s: s.replace("1.0", "-Infinity"), "-Infinity is not a finite number"),
        (lambda s: s.replace('"boot": 1.0', '"boot": "1"'), "boot is '1', not int or float"),
        (lambda s: s.replace('"mark"', '"more": 1, "mark"'), "unknown key 'more'"),
        (lambda s: s.replace("000Z", "000+01:00"), "not a UTC time"),
        (lambda s: s.replace("2026-11", "2026-31"), "month"),
        (lambda s: s.replace("pressed", "guessed"), "how is 'guessed'"),
        (lambda s: s.replace('"data": {}', '"data": {,}'), "Expecting"),
    ],
)
def test_a_well_sealed_line_of_another_make_is_refused_with_its_reason(
    spoil: Callable[[str], str], why: str
) -> None:
    assert decode(sealed(GOOD), FIRST_HASH, 1)[0].seq == 1
    with pytest.raises(ValueError, match=why):
        decode(sealed(spoil(GOOD)), FIRST_HASH, 1)
