"""What a viewer in a browser may ask for, part by part: place, word, window, messages, pages, the code of the link."""

from __future__ import annotations

from ipaddress import ip_address
from pathlib import Path

import pytest

from tests.tui.days import WORDS
from tui.cli import main
from tui.serve.access import DAY_S, SIGNS, Access, new_access
from tui.serve.code import AS_BEFORE, BLACK_ON_WHITE, QUIET, code_of, drawn
from tui.serve.heard import Asked, Resized, heard
from tui.serve.limits import Seats, window
from tui.serve.page import board_page, heads, told_page
from tui.serve.place import Place, read_address
from tui.serve.printed import lines
from tui.serve.statics import missing

SITE = Place(ip_address("192.168.1.20"), 8765)
HERE = Place(ip_address("127.0.0.1"), 8765)
ACCESS = Access("abcd-efgh-jkmn", 1000.0 + DAY_S)
LINK = "http://192.168.1.20:8765/?word=abcd-efgh-jkmn"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("0.0.0.0", "every network"),
        ("::", "every network"),
        ("8.8.8.8", "outside the site"),  # IANA special-purpose registries: in none of them
        ("2606:4700::1", "outside the site"),
        ("224.0.0.1", "no browser"),
        ("fe80::1%eth0", "no browser"),
        ("laptop.local", "in figures"),
        ("", "in figures"),
    ],
)
def test_only_one_address_of_the_site_is_served_and_the_sentence_says_why(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        read_address(text)


@pytest.mark.parametrize("text", ["127.0.0.1", "::1", "192.168.1.20", "10.0.0.7", "172.20.10.2", "fd00::2"])
def test_addresses_of_private_networks_are_taken(text: str) -> None:
    assert str(read_address(text)) == text


@pytest.mark.parametrize(
    ("host", "origin", "must_say", "meant"),
    [
        ("192.168.1.20:8765", None, False, True),
        ("192.168.1.20:8765", "http://192.168.1.20:8765", True, True),
        ("192.168.1.20:8765", None, True, False),
        ("192.168.1.20:8765", "null", False, False),
        ("192.168.1.20:8765", "https://192.168.1.20:8765", False, False),
        ("192.168.1.20:8765", "http://192.168.1.20:8766", False, False),
        ("192.168.1.20:8765", "http://board.example", True, False),
        ("192.168.1.20", None, False, False),
        ("board.example:8765", None, False, False),
        ("127.0.0.1:8765", None, False, False),
        ("", None, False, False),
        (None, None, False, False),
    ],
)
def test_a_request_is_meant_for_this_place_and_comes_from_its_own_page(
    host: str | None, origin: str | None, must_say: bool, meant: bool
) -> None:
    assert SITE.asked_by(host, origin, must_say=must_say) is meant


def test_browsers_leave_out_port_eighty_and_bracket_long_addresses() -> None:
    assert Place(ip_address("10.0.0.7"), 80).origin == "http://10.0.0.7"
    assert Place(ip_address("fd00::2"), 8765).link("abc") == "http://[fd00::2]:8765/?word=abc"


def test_the_word_opens_for_a_day_and_nothing_else_does() -> None:
    assert ACCESS.admits("abcd-efgh-jkmn", 1000.0)
    assert not ACCESS.admits("abcd-efgh-jkmn", 1000.0 + DAY_S)
    for other in ("", "abcd-efgh-jkm", "abcd-efgh-jkmnn", "ABCD-EFGH-JKMN", "ü", "\ud800"):
        assert not ACCESS.admits(other, 1000.0)


def test_a_word_is_new_each_time_long_enough_and_never_shown_by_chance() -> None:
    words = {new_access(0.0).word for _ in range(200)}
    assert len(words) == 200
    assert all(len(word.replace("-", "")) == 12 and set(word) <= {*SIGNS, "-"} for word in words)
    assert len(SIGNS) ** 12 > 2**59
    assert ACCESS.word not in repr(ACCESS)


@pytest.mark.parametrize(
    ("width", "height", "size"),
    [
        ("48", "46", (48, 46)),
        ("99999", "99999", (200, 100)),
        ("0", "1", (20, 10)),
        ("-5", "1e9", (80, 24)),
        ("9" * 5000, "٣", (80, 24)),
        (None, True, (80, 24)),
        (10**30, -1, (200, 10)),
    ],
)
def test_a_window_is_kept_within_bounds(width: object, height: object, size: tuple[int, int]) -> None:
    assert window(width, height) == size


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ('["resize", {"width": 48, "height": 46}]', Resized((48, 46))),
        ('["resize", {"width": 99999, "height": 99999}]', Resized((200, 100))),
        ('["ping", "12"]', Asked("12")),
        ('["ping", "' + "1" * 33 + '"]', None),
        ('["stdin", "q"]', None),
        ('["focus"]', None),
        ('["resize", {"width": "48", "height": 46}]', None),
        ('["resize"]', None),
        ('{"resize": 1}', None),
        ("[" * 400, None),
        ("[" + " " * 600 + "]", None),
        ("", None),
    ],
)
def test_sizes_and_pings_are_heard_and_keys_are_not(text: str, what: object) -> None:
    assert heard(text) == what


def test_seats_are_taken_while_there_are_any() -> None:
    seats = Seats(2)
    assert [seats.take() for _ in range(3)] == [True, True, False]
    seats.free()
    assert not seats.full


def test_the_page_loads_from_its_own_place_alone_and_takes_no_text_for_markup() -> None:
    page = board_page(SITE, '<b>"day"', "sun", WORDS, "en")
    assert "<b>" not in page
    assert 'data-session-websocket-url="ws://192.168.1.20:8765/ws"' in page
    assert 'name="viewport"' in page
    for other in ("http:", "https:", "style=", "onclick", "{", "}"):
        assert other not in page.replace('data-seen="Last picture at {clock}"', "")
    policy = heads(SITE)["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self';" in policy


def test_a_page_with_a_sentence_says_it_and_where_to_go_next() -> None:
    page = told_page("serve.full", "a<b", WORDS, "en", again="20")
    assert WORDS("serve.full") in page
    assert "a<b" not in page
    assert '<meta http-equiv="refresh" content="20">' in page
    assert "refresh" not in told_page("serve.word", "day", WORDS, "en")


def squares_of(lines: tuple[str, ...]) -> list[list[int]]:
    """The squares a terminal shows, read back."""
    rows: list[list[int]] = []
    for line in lines:
        signs = line.removeprefix(BLACK_ON_WHITE).removesuffix(AS_BEFORE)
        rows += [[int(sign in "▀█") for sign in signs], [int(sign in "▄█") for sign in signs]]
    return rows


def test_the_code_is_drawn_square_by_square_with_white_around_it() -> None:
    shown = squares_of(drawn([[1, 0, 1], [0, 1, 0], [1, 1, 1]]))
    assert [row[QUIET:-QUIET] for row in shown[QUIET : QUIET + 3]] == [[1, 0, 1], [0, 1, 0], [1, 1, 1]]
    assert sum(map(sum, shown)) == 6
    assert {len(row) for row in shown} == {3 + 2 * QUIET}
    assert len(shown) >= 3 + 2 * QUIET


def test_the_code_holds_the_whole_link() -> None:
    """Its three corners are those of ISO/IEC 18004, and it fits a terminal of 80x24 with the sentences below it."""
    segno = pytest.importorskip("segno")
    shown = squares_of(code_of(LINK))
    symbol = segno.make_qr(LINK, error="m")
    inner = [row[QUIET:-QUIET] for row in shown[QUIET : QUIET + len(symbol.matrix)]]
    assert inner == [[int(bool(one)) for one in row] for row in symbol.matrix]
    corner = [row[:7] for row in inner[:7]]
    assert corner[0] == [1] * 7
    assert corner[3] == [1, 0, 1, 1, 1, 0, 1]
    assert len(shown[0]) <= 80


def test_what_is_printed_names_link_cautions_and_end() -> None:
    printed = "\n".join(lines("day.jsonl", SITE, ACCESS, WORDS, coded=False))
    assert LINK in printed
    assert "No encryption" in printed
    assert "ctrl-c" in printed
    alone = "\n".join(lines("day.jsonl", HERE, ACCESS, WORDS, coded=False))
    assert "Only this machine" in alone


@pytest.mark.parametrize(
    "wrong",
    [("--address", "0.0.0.0"), ("--port", "0"), ("--port", "70000"), ("--port", "x"), ("--look", "x")],
)
def test_the_command_line_refuses_with_a_sentence(
    wrong: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["serve", "day.jsonl", *wrong])
    assert ended.value.code == 2
    assert wrong[1] in capsys.readouterr().err


def test_a_log_that_is_not_there_is_said_before_anything_is_served(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if missing():
        pytest.skip("without the extra")
    assert main(["serve", str(tmp_path / "none.jsonl")]) == 2
    assert "none.jsonl" in capsys.readouterr().err


def test_without_the_extra_the_verb_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("tui.serve.statics.find_spec", lambda _name: None)
    assert main(["serve", "day.jsonl"]) == 2
    assert "bagcall[serve]" in capsys.readouterr().err
