"""The kitchen page on a free port in this process, and a browser without scripts."""

import re
import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import httpx
import uvicorn
from fastapi import FastAPI

_BRIEFLY = 0.01
# Reading the authorities that the world trusts takes 35 ms; nothing here asks for them.
NOBODY_TRUSTED = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
_TOKEN = re.compile(r'name="csrf" value="([^"]+)"')


@contextmanager
def served(app: FastAPI) -> Iterator[str]:
    """The address of `app` while it is served; it ends a little later by itself."""
    listener = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(
        uvicorn.Config(app, log_level="critical", lifespan="on", proxy_headers=False)
    )
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
    thread.start()
    while not server.started and thread.is_alive():
        thread.join(_BRIEFLY)
    try:
        yield f"http://127.0.0.1:{listener.getsockname()[1]}"
    finally:
        server.should_exit = True


class Visitor(httpx.Client):
    """Somebody at a browser: keeps cookies, fills in forms as they were served."""

    def __init__(self, **more: Any) -> None:
        # Hashing a password takes its time, on purpose.
        super().__init__(**{"timeout": 60, "verify": NOBODY_TRUSTED, **more})

    def submit(self, path: str, action: str, **fields: Any) -> httpx.Response:
        """Open the page at `path` and send its form to `action`."""
        return self.post(action, data={"csrf": self.token_at(path), **fields})

    def token_at(self, path: str) -> str:
        """What the forms of a page bear."""
        page = self.get(path)
        found = _TOKEN.search(page.text)
        assert found, f"{path} has no form ({page.status_code})"
        return found[1]
