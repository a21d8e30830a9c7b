"""The servers that tests/bench/web.py compares: ours, and a bare one of the same row.

`ours DATABASE` or `bare DATABASE`; the port is printed once it listens.
"""

from __future__ import annotations

import socket
import sqlite3
import sys
from pathlib import Path

import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lidclock.web.app import create_app
from lidclock.web.server import Server


def main() -> None:
    """Serve until stopped."""
    kind, path = sys.argv[1], Path(sys.argv[2])
    # asyncio sends at once only on a socket that says it is TCP.
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.bind(("127.0.0.1", 0))
    listener.listen()
    print(listener.getsockname()[1], flush=True)
    if kind == "ours":
        Server(create_app(path)).run(sockets=[listener])
    else:
        config = uvicorn.Config(_bare(path), log_level="warning")
        uvicorn.Server(config).run(sockets=[listener])


def _bare(path: Path) -> Starlette:
    """Starlette and sqlite3: the body goes into one row, the answer comes after it."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute(
        "CREATE TABLE event (kitchen_id TEXT, id TEXT, kind TEXT, subject TEXT,"
        " happened_us INTEGER, recorded_us INTEGER, zone TEXT, who TEXT, device TEXT,"
        " act TEXT, body TEXT, PRIMARY KEY (kitchen_id, id)) STRICT"
    )

    async def receive(request: Request) -> Response:
        (event,) = (await request.json())["events"]
        body = '{"place":"Fridge","state":"fridge"}'
        key, code = event["id"], event["subject"]
        row = ("k" * 36, key, "placed", code, 1, 2, "UTC", "", "page", key, body)
        connection.execute("INSERT INTO event VALUES (?,?,?,?,?,?,?,?,?,?,?)", row)
        answer = '{"results":[{"id":"%s","result":"recorded"}]}' % key  # noqa: UP031
        return Response(answer, media_type="application/json")

    return Starlette(routes=[Route("/api/v1/events", receive, methods=["POST"])])


if __name__ == "__main__":
    main()
