"""Serving the page until somebody stops it."""

from __future__ import annotations

import logging
import signal
import socket
import ssl
import threading
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import FastAPI

from lidclock.app.serving import Certificates, Serving, addresses_of, renewed
from lidclock.errors import GatewayError, InputError, LidclockError
from lidclock.web.app import Settings, create_app
from lidclock.web.house import Clock, House
from lidclock.web.wire import Wire

# Who has not finished by then is cut off.
GRACE_S = 5
_DAY_S = 24 * 60 * 60.0
_BACKLOG = 128
# Where the server's own warnings go.
_LOG = logging.getLogger("uvicorn.error")


class Server(uvicorn.Server):
    """A server that says nothing but warnings, and ends within a few seconds.

    It ends the streams of changes first: they would never end by themselves.
    """

    def __init__(self, app: FastAPI, **options: Any) -> None:
        super().__init__(
            uvicorn.Config(
                app,
                http=Wire,
                ws="none",
                log_level="warning",
                server_header=False,
                timeout_graceful_shutdown=GRACE_S,
                # Whoever sends a request could write these.
                proxy_headers=False,
                **options,
            )
        )
        self._app = app

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Listen; what is accepted answers at once, in however small pieces.

        asyncio sees to it only on sockets that it made itself; else an answer waits
        40 ms for the other side. Linux hands it on to what is accepted (seen there).
        """
        for one in sockets or ():
            one.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, True)
        await super().startup(sockets)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Let go of every connection, and of the kitchen."""
        self._app.state.changes.close()
        await super().shutdown(sockets)


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens; GatewayError if the port is taken or the host not ours."""
    host = host.strip("[]")
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    except (OSError, UnicodeError) as error:
        raise InputError(
            f"{host[:80]!r} is no address of this machine: give --host one of its own, "
            "or 0.0.0.0 for all of them"
        ) from error
    family, address = found[0], str(found[4][0])
    # Everything of both kinds, where everything is asked for.
    is_both = host == "::" and socket.has_dualstack_ipv6()
    try:
        return socket.create_server(
            (address, port), family=family, backlog=_BACKLOG, dualstack_ipv6=is_both
        )
    except OSError as error:
        why = (error.strerror or str(error)).casefold().partition(" (while")[0]
        raise GatewayError(
            f"cannot listen on {host} port {port} ({why}): stop what uses it, "
            "or choose others with --host and --port"
        ) from error


def serve(path: Path, serving: Serving, listener: socket.socket, clock: Clock) -> None:
    """Serve the kitchen in the database at `path` on a socket that listens already.

    It ends, with what was begun finished, on SIGINT or SIGTERM.
    """
    found = serving.certificates
    address = addresses_of(serving, listener.getsockname()[1])[0]
    shown = "" if serving.is_open else address
    settings = Settings(serving.hosts, serving.is_open, shown, found)
    server = Server(
        create_app(path, settings, clock=clock),
        ssl_certfile=str(found.certificate) if found else None,
        ssl_keyfile=str(found.key) if found else None,
    )
    server.config.load()
    stop = threading.Event()
    watch = Renewal(path, serving, clock, server.config.ssl)
    # What uvicorn has caught it sends once more when it is done: that is no mistake.
    for one in (signal.SIGINT, signal.SIGTERM):
        signal.signal(one, lambda _number, _frame: None)
    threading.Thread(target=watch.until, args=(stop,), daemon=True).start()
    try:
        server.run(sockets=[listener])
    finally:
        stop.set()
        listener.close()


class Renewal:
    """Looks once a day whether the certificate comes to its end."""

    def __init__(
        self, path: Path, serving: Serving, clock: Clock, context: ssl.SSLContext | None
    ) -> None:
        self._path, self._serving, self._clock = path, serving, clock
        self._context = context

    def until(self, stop: threading.Event) -> None:
        """Look, day after day, until it is stopped; what fails is tried the next day.

        There are some sixty of them before a certificate ends.
        """
        found = self._serving.certificates
        while found and self._context and not stop.wait(_DAY_S):
            try:
                self._look(found, self._context)
            except (LidclockError, OSError) as error:
                _LOG.warning("the certificate could not be looked after: %s", error)

    def _look(self, found: Certificates, context: ssl.SSLContext) -> None:
        house = House.open(self._path, self._clock)
        try:
            if renewed(house.session(), self._serving, self._path):
                # Visits from now on get the new one; no restart is needed.
                context.load_cert_chain(found.certificate, found.key)
        finally:
            house.close()
