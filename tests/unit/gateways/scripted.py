"""A printer that answers what a test has written down: for what no real one can show.

Answers are built byte by byte here, by RFC 8010, section 3.1, and not by the code that
is tested.
"""

from __future__ import annotations

import struct
import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import TracebackType
from typing import Any, Self

OPERATION, JOB, PRINTER, UNSUPPORTED = 0x01, 0x02, 0x04, 0x05
INTEGER, BOOLEAN, ENUM, KEYWORD, TEXT, MIME = 0x21, 0x22, 0x23, 0x44, 0x41, 0x49
NO_VALUE = 0x10
PRINT_JOB, VALIDATE_JOB, CANCEL_JOB = 0x0002, 0x0004, 0x0008
GET_JOB, GET_PRINTER = 0x0009, 0x000B
IDLE, STOPPED = 3, 5
PENDING, PROCESSING, CANCELED, ABORTED, COMPLETED = 3, 5, 7, 8, 9


@dataclass(frozen=True)
class Reply:
    """What is answered: an IPP status and attributes, or something else entirely."""

    status: int = 0
    attributes: tuple[bytes, ...] = ()
    http_status: int = 200
    content_type: str = "application/ipp"
    body: bytes | None = None
    wrong_id: bool = False

    def octets(self, request_id: int) -> bytes:
        """The body, as an answer to that request."""
        if self.body is not None:
            return self.body
        number = request_id + 1 if self.wrong_id else request_id
        head = struct.pack(">BBHI", 2, 0, self.status, number)
        opening = group(
            OPERATION,
            one(0x47, "attributes-charset", "utf-8"),
            one(0x48, "attributes-natural-language", "en"),
        )
        return head + opening + b"".join(self.attributes) + b"\x03"


HANG_UP = Reply(http_status=0)


def group(tag: int, *attributes: bytes) -> bytes:
    """A group of attributes."""
    return bytes([tag]) + b"".join(attributes)


def one(tag: int, name: str, *values: str | int | bool | None) -> bytes:
    """An attribute with its values."""
    parts = []
    for number, value in enumerate(values):
        label = b"" if number else name.encode()
        if isinstance(value, bool):
            octets = bytes([value])
        elif isinstance(value, int):
            octets = struct.pack(">i", value)
        else:
            octets = (value or "").encode()
        parts.append(struct.pack(">BH", tag, len(label)) + label)
        parts.append(struct.pack(">H", len(octets)) + octets)
    return b"".join(parts)


def printer_is(state: int = IDLE, *reasons: str, **more: bytes) -> Reply:
    """An answer to Get-Printer-Attributes; `more` are further attributes."""
    facts = {
        "state": one(ENUM, "printer-state", state),
        "reasons": one(KEYWORD, "printer-state-reasons", *(reasons or ("none",))),
        "accepting": one(BOOLEAN, "printer-is-accepting-jobs", True),
        "formats": one(MIME, "document-format-supported", "application/pdf"),
        **more,
    }
    return Reply(attributes=(group(PRINTER, *facts.values()),))


def job_is(state: int, *reasons: str, said: str = "", printed: int = 0) -> Reply:
    """An answer to Print-Job or Get-Job-Attributes."""
    facts = [
        one(INTEGER, "job-id", 7),
        one(ENUM, "job-state", state),
        one(KEYWORD, "job-state-reasons", *(reasons or ("none",))),
        one(INTEGER, "job-impressions-completed", printed),
    ]
    if said:
        facts.append(one(TEXT, "job-state-message", said))
    return Reply(attributes=(group(JOB, *facts),))


def refuses(status: int, *names: str, said: str = "") -> Reply:
    """A refusal that names attributes as unsupported."""
    groups = [group(OPERATION, one(TEXT, "status-message", said))] if said else []
    if names:
        groups.append(
            group(UNSUPPORTED, *(one(NO_VALUE, name, None) for name in names))
        )
    return Reply(status, tuple(groups))


@dataclass
class Scripted:
    """Plays `script`: for each operation the answers in turn, the last one for ever."""

    script: dict[int, Sequence[Reply]] = field(default_factory=dict)
    asked: list[tuple[int, bytes]] = field(default_factory=list)

    def __enter__(self) -> Self:
        printer = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["Content-Length"]))
                printer._answer(self, body)

            def log_message(self, *_: Any) -> None:
                """Keep quiet."""

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._thread = threading.Thread(
            target=self._server.serve_forever, args=(0.02,), daemon=True
        )
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()

    @property
    def address(self) -> str:
        """Where it is."""
        return f"ipp://127.0.0.1:{self._server.server_address[1]}/ipp/print"

    def operations(self) -> list[int]:
        """What it was asked to do, in order."""
        return [operation for operation, _ in self.asked]

    def bodies(self, operation: int) -> list[bytes]:
        """The requests for one operation, octet by octet."""
        return [body for asked, body in self.asked if asked == operation]

    def _answer(self, handler: BaseHTTPRequestHandler, body: bytes) -> None:
        operation, request_id = struct.unpack(">HI", body[2:8])
        turn = self.operations().count(operation)
        self.asked.append((operation, body))
        answers = self.script[operation]
        reply = answers[min(turn, len(answers) - 1)]
        if reply is HANG_UP:
            handler.close_connection = True
            return
        octets = reply.octets(request_id)
        handler.send_response(reply.http_status)
        handler.send_header("Content-Type", reply.content_type)
        handler.send_header("Content-Length", str(len(octets)))
        handler.end_headers()
        handler.wfile.write(octets)
