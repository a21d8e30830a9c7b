"""What comes over the line before anybody is known: it may not go on without end."""

import socket

import pytest

from lidclock.web.wire import MOST_UNREAD

REQUEST = b"GET /worker.js HTTP/1.1\r\nHost: 127.0.0.1\r\n"
_PIECE = b"x" * 1000


def _answer(address: str, start: bytes, piece: bytes, pieces: int) -> bytes:
    """What the server says to `start` and then so many pieces, until it hangs up.

    Nothing, where it hung up while we went on; TimeoutError where it never does.
    """
    port = int(address.rpartition(":")[2])
    said = b""
    with socket.create_connection(("127.0.0.1", port), timeout=20) as line:
        try:
            line.sendall(start)
            for _ in range(pieces):
                line.sendall(piece)
        except ConnectionError:
            pass  # it hung up on us: what it said before is still there
        try:
            while found := line.recv(65536):
                said += found
        except ConnectionError:
            pass
    return said


@pytest.mark.parametrize(
    ("start", "piece"),
    [
        (b"GET /", _PIECE),
        (REQUEST + b"X-Long: ", _PIECE),
        (REQUEST, b"X-Many: " + _PIECE + b"\r\n"),
    ],
    ids=["an address", "a header", "many headers"],
)
def test_what_never_becomes_a_request_is_cut(house, start, piece):
    answer = _answer(house.address, start, piece, 200 * MOST_UNREAD // len(piece))

    assert answer == b"" or answer.startswith(b"HTTP/1.1 400 ")


def test_trailers_without_end_are_cut(house):
    start = (
        b"POST /api/v1/events HTTP/1.1\r\nHost: 127.0.0.1\r\n"
        b"Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n"
    )
    line = b"X-Many: " + _PIECE + b"\r\n"
    answer = _answer(house.address, start, line, 200 * MOST_UNREAD // len(line))

    assert answer == b"" or answer.startswith(b"HTTP/1.1 400 ")


def test_a_request_of_ordinary_size_is_answered(house):
    head = REQUEST + b"X-Long: " + b"x" * (MOST_UNREAD - 1000) + b"\r\n"
    answer = _answer(house.address, head + b"Connection: close\r\n\r\n", b"", 0)

    assert answer.startswith(b"HTTP/1.1 200 ")


def test_many_requests_on_one_line_are_all_answered(house):
    """Each begins to be counted anew."""
    one = REQUEST + b"X-Long: " + b"x" * 2000 + b"\r\n"
    last = one + b"Connection: close\r\n\r\n"
    answer = _answer(house.address, (one + b"\r\n") * 39 + last, b"", 0)

    assert answer.count(b"HTTP/1.1 200 ") == 40
