"""Readings over HTTP: a small door for sensors that speak JSON and nothing else."""

from __future__ import annotations

import hmac
import json
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from lidclock.errors import GatewayError, InputError, LidclockError, ReadingError
from lidclock.gateways.arrivals import LONGEST_NAME, Arrival, Keep, read_object

PATH = "/readings"
MOST_BYTES = 1_000_000
MOST_READINGS = 10_000
_PATIENCE_S = 10
_MOST_FAULTS = 20
_MOST_THROWN_AWAY, _PIECE = 10 * MOST_BYTES, 65_536


@dataclass(frozen=True, slots=True)
class Door:
    """Where to listen, and the word that senders have to know.

    `token` may be empty only on the computer's own address.
    """

    host: str
    port: int
    token: str = ""

    def __post_init__(self) -> None:
        if not self.token and not self.is_own:
            raise InputError(
                f"{self.host} can be reached from outside: give a token as well "
                "(--token-file)"
            )

    @property
    def is_own(self) -> bool:
        """Whether only programs on this computer reach it."""
        return self.host in ("localhost", "::1") or self.host.startswith("127.")


def read_door(text: str, token: str = "") -> Door:
    """`8089` or `192.0.2.7:8089`; InputError says how to write it."""
    host, _, port = text.strip().rpartition(":")
    if not port.isdecimal() or not 0 <= int(port) <= 65_535:
        raise InputError(
            f"{text!r} is no address; write it like 8089 or 192.0.2.7:8089"
        )
    return Door(host.strip("[]") or "127.0.0.1", int(port), token)


def read_readings(body: bytes, received_at: datetime) -> list[Arrival | ReadingError]:
    """The readings of a request; in the place of one that is wrong, what is wrong.

    One object, a list of them, or {"readings": [...]}; each names its sensor.
    InputError where it is no JSON at all, or nothing.
    """
    try:
        found = json.loads(body)
    except (ValueError, RecursionError) as error:
        raise InputError("the body is not JSON") from error
    if isinstance(found, dict) and isinstance(found.get("readings"), list):
        found = found["readings"]
    listed = found if isinstance(found, list) else [found]
    if len(listed) > MOST_READINGS:
        raise InputError(
            f"{len(listed)} readings at once; send {MOST_READINGS} at most"
        )
    if not listed:
        raise InputError("the body holds no reading")
    return [_reading_or_fault(one, received_at) for one in listed]


def _reading_or_fault(one: Any, received_at: datetime) -> Arrival | ReadingError:
    try:
        return _reading(one, received_at)
    except ReadingError as error:
        return error


def _reading(one: Any, received_at: datetime) -> Arrival:
    if not isinstance(one, dict):
        raise ReadingError(f"an object is expected, not {str(one)[:40]!r}")
    sensor = one.get("sensor")
    if not isinstance(sensor, str) or not sensor.strip():
        raise ReadingError("sensor is missing or not text")
    if len(sensor) > LONGEST_NAME or not sensor.isprintable():
        raise ReadingError(f"sensor must be one line of at most {LONGEST_NAME} letters")
    return read_object(sensor.strip(), one, received_at)


@contextmanager
def open_door(
    door: Door, keep: Keep, *, now: Callable[[], datetime]
) -> Iterator[tuple[str, int]]:
    """Listen in the background; yields the host and port in use.

    GatewayError if the address is taken. Readings are stored before the answer goes
    out, one request after the other.
    """
    turn = threading.Lock()

    class Handler(_Handler):
        def keep(self, readings: Sequence[Arrival | ReadingError]) -> Sequence[str]:
            with turn:
                return keep(readings)

        def token(self) -> str:
            return door.token

        def now(self) -> datetime:
            return now()

    try:
        server = ThreadingHTTPServer((door.host, door.port), Handler)
    except OSError as error:
        raise GatewayError(
            f"cannot listen on {door.host}:{door.port}: {error.strerror or error}; "
            "choose another port"
        ) from error
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield door.host, int(server.server_address[1])
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


class _Handler(BaseHTTPRequestHandler):
    """Answers POST /readings, and says plainly what else is not here."""

    protocol_version = "HTTP/1.1"
    server_version = "lidclock"
    sys_version = ""
    timeout = _PATIENCE_S

    def keep(self, readings: Sequence[Arrival | ReadingError]) -> Sequence[str]:
        raise NotImplementedError

    def token(self) -> str:
        raise NotImplementedError

    def now(self) -> datetime:
        raise NotImplementedError

    def do_POST(self) -> None:
        """Store the readings in the body; those that are wrong are listed."""
        self.close_connection = True
        if self.path.split("?")[0] != PATH:
            self._refuse(HTTPStatus.NOT_FOUND, {"error": f"post readings to {PATH}"})
            return
        if not self._may():
            self._refuse(HTTPStatus.UNAUTHORIZED, {"error": "the token is wrong"})
            return
        body = self._body()
        if body is None:
            return
        try:
            answers = self.keep(read_readings(body, self.now()))
        except InputError as error:
            self._say(HTTPStatus.BAD_REQUEST, {"error": str(error)})
            return
        except LidclockError as error:
            self._say(HTTPStatus.SERVICE_UNAVAILABLE, {"error": str(error)})
            return
        faults = [f"[{place}] {why}" for place, why in enumerate(answers) if why]
        stored = len(answers) - len(faults)
        told: dict[str, Any] = {"stored": stored}
        if faults:
            told["refused"] = len(faults)
            told["why"] = faults[:_MOST_FAULTS]
        self._say(HTTPStatus.OK if stored else HTTPStatus.BAD_REQUEST, told)

    def do_GET(self) -> None:
        """There is nothing to read here."""
        self.close_connection = True
        self._say(HTTPStatus.METHOD_NOT_ALLOWED, {"error": f"post readings to {PATH}"})

    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing: what was stored stands in the kitchen's database."""

    def _may(self) -> bool:
        if not self.token():
            return True
        said = self.headers.get("Authorization", "")
        return hmac.compare_digest(
            said.encode("latin-1", "replace"), f"Bearer {self.token()}".encode()
        )

    def _body(self) -> bytes | None:
        length = self.headers.get("Content-Length", "")
        if not length.isdecimal():
            self._say(HTTPStatus.LENGTH_REQUIRED, {"error": "give a Content-Length"})
            return None
        if int(length) > MOST_BYTES:
            self._refuse(
                HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
                {"error": f"send at most {MOST_BYTES} bytes at once"},
            )
            return None
        return self.rfile.read(int(length))

    def _refuse(self, status: HTTPStatus, told: dict[str, Any]) -> None:
        """Answer without having looked at the body.

        It is thrown away first, up to a limit: who is cut off while sending never
        reads why.
        """
        length = self.headers.get("Content-Length", "")
        left = min(int(length), _MOST_THROWN_AWAY) if length.isdecimal() else 0
        while left > 0 and (piece := self.rfile.read(min(left, _PIECE))):
            left -= len(piece)
        self._say(status, told)

    def _say(self, status: HTTPStatus, told: dict[str, Any]) -> None:
        body = json.dumps(told).encode() + b"\n"
        self.send_response(status)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Connection", "close")
        self.end_headers()
        self.wfile.write(body)
