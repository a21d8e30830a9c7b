"""Answers packed on their way out."""

from __future__ import annotations

from starlette.middleware.gzip import GZipMiddleware
from starlette.types import Receive, Scope, Send


class Packed(GZipMiddleware):
    """Packs what is looked at; the answer to what is sent is short, and in a hurry."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        is_sent = scope["type"] == "http" and scope["method"] == "POST"
        packer = self.app if is_sent else super().__call__
        await packer(scope, receive, send)
