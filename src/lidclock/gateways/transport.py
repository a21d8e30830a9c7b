"""Reaching a printer: its address, and IPP over HTTP as in RFC 8010, section 4."""

from __future__ import annotations

import http.client
import socket
import ssl
from dataclasses import dataclass
from urllib.parse import SplitResult, urlsplit

from lidclock.domain.sentences import Wording, sentence
from lidclock.errors import InputError, PrinterError
from lidclock.gateways.ipp_message import IppFormatError, Message, decode, encode

DEFAULT_PORT = 631  # the port registered for ipp
USUAL_PATH = "/ipp/print"  # where printers that need no driver are found
_MOST_OCTETS = 4_000_000
_TYPE = "application/ipp"


@dataclass(frozen=True, slots=True)
class Address:
    """Where IPP is spoken: host, port and path; `socket` is a file instead of a host.

    `path` is where requests go, `uri` what the printer calls itself there.
    """

    uri: str
    host: str
    port: int
    path: str
    is_encrypted: bool = False
    socket: str = ""

    def __str__(self) -> str:
        return self.uri


def read_address(text: str) -> Address:
    """`ipp://host:port/path` or `ipps://...`; InputError says how to write it."""
    try:
        parts = urlsplit(text.strip())
        port = parts.port or DEFAULT_PORT
    except ValueError as error:
        raise _bad_address(text) from error
    is_plain = text.isascii() and text.isprintable() and " " not in text.strip()
    if parts.scheme not in ("ipp", "ipps") or not parts.hostname or not is_plain:
        raise _bad_address(text)
    if _has_more(parts):
        raise _bad_address(text)
    path = parts.path if parts.path not in ("", "/") else USUAL_PATH
    host = f"[{parts.hostname}]" if ":" in parts.hostname else parts.hostname
    uri = f"{parts.scheme}://{host}:{port}{path}"
    return Address(uri, parts.hostname, port, path, parts.scheme == "ipps")


def _has_more(parts: SplitResult) -> bool:
    """Whether the address holds what has no place in it, a password for one."""
    return bool(parts.query or parts.fragment or parts.username or parts.password)


def _bad_address(text: str) -> InputError:
    return InputError(
        sentence(
            "{text} is no printer's address; write {form}, such as {example}, or "
            "{queue}",
            text=repr(text),
            form="ipp://HOST:PORT/PATH",
            example="ipp://192.0.2.7/ipp/print",
            queue="cups:QUEUE",
        )
    )


@dataclass(frozen=True, slots=True)
class Line:
    """A line to one printer, called `name`; each request is a connection of its own."""

    name: str
    address: Address
    connect_s: float = 5.0
    answer_s: float = 30.0

    def ask(self, message: Message, answer_s: float | None = None) -> Message:
        """The answer to one request; PrinterError says what is in the way."""
        try:
            status, kind, body = self._post(encode(message), answer_s or self.answer_s)
        # A line that is cut is both kinds of error: it tells nothing about HTTP.
        except (OSError, UnicodeError) as error:
            raise self._unreachable(error) from error
        except http.client.HTTPException as error:
            raise self.not_ipp("it does not speak HTTP") from error
        if status != http.client.OK:
            raise self._refused(status)
        if kind.partition(";")[0].strip().lower() != _TYPE:
            raise self.not_ipp(f"it answers with {kind or 'nothing'}")
        try:
            answer = decode(body)
        except IppFormatError as error:
            raise self.not_ipp(str(error)) from error
        if answer.request_id != message.request_id:
            raise self.not_ipp("it answers another request")
        return answer

    def _post(self, body: bytes, answer_s: float) -> tuple[int, str, bytes]:
        connection = self._connection()
        try:
            connection.connect()
            if connection.sock is not None:
                connection.sock.settimeout(answer_s)
            head = {"Content-Type": _TYPE, "User-Agent": "lidclock IPP/2.0"}
            connection.request("POST", self.address.path, body, head)
            answer = connection.getresponse()
            kind = answer.getheader("Content-Type", "")
            return answer.status, kind, answer.read(_MOST_OCTETS)
        finally:
            connection.close()

    def _connection(self) -> http.client.HTTPConnection:
        at = self.address
        if at.socket:
            return _SocketFile(at.socket, self.connect_s)
        if at.is_encrypted:
            return http.client.HTTPSConnection(
                at.host, at.port, timeout=self.connect_s, context=_encrypting()
            )
        return http.client.HTTPConnection(at.host, at.port, timeout=self.connect_s)

    def _unreachable(self, error: OSError | UnicodeError) -> PrinterError:
        why = getattr(error, "strerror", None) or str(error) or type(error).__name__
        return PrinterError(
            sentence(
                "{printer} is not reachable at {address} ({why}); switch it on, check "
                "the network and the address",
                printer=self.name,
                address=str(self.address),
                why=Wording(why.lower()),
            ),
            "not-reachable",
        )

    def not_ipp(self, why: str) -> PrinterError:
        """What to say of something else that answers there."""
        return PrinterError(
            sentence(
                "{printer}: what answers at {address} is not an IPP printer ({why}); "
                "correct the address",
                printer=self.name,
                address=str(self.address),
                why=Wording(why),
            ),
            "not-ipp",
        )

    def wrong_path(self) -> PrinterError:
        """What to say where the host is right and the path is not."""
        return PrinterError(
            sentence(
                "{printer}: {host} has no printer at {path}; correct the address (the "
                "usual path is {usual})",
                printer=self.name,
                host=self.address.host,
                path=self.address.path,
                usual=USUAL_PATH,
            ),
            "wrong-path",
        )

    def _refused(self, status: int) -> PrinterError:
        if status == http.client.NOT_FOUND:
            return self.wrong_path()
        if status in (http.client.UNAUTHORIZED, http.client.FORBIDDEN):
            return PrinterError(
                sentence(
                    "{printer} lets only people with a password print; allow printing "
                    "without one in its settings",
                    printer=self.name,
                ),
                "not-allowed",
            )
        if status == http.client.UPGRADE_REQUIRED:
            return PrinterError(
                sentence(
                    "{printer} wants an encrypted line; write its address with "
                    "{scheme}",
                    printer=self.name,
                    scheme="ipps://",
                ),
                "not-encrypted",
            )
        return self.not_ipp(f"HTTP status {status}")


def _encrypting() -> ssl.SSLContext:
    """Encrypts without asking who is there: printers sign their own certificates."""
    context = ssl.create_default_context()
    context.check_hostname = False
    context.verify_mode = ssl.CERT_NONE
    return context


class _SocketFile(http.client.HTTPConnection):
    """HTTP over a socket in the file system, as CUPS listens on."""

    def __init__(self, path: str, timeout: float) -> None:
        super().__init__("localhost", timeout=timeout)
        self._path = path

    def connect(self) -> None:
        """Connect to the file."""
        self.sock = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
        self.sock.settimeout(self.timeout)
        self.sock.connect(self._path)
