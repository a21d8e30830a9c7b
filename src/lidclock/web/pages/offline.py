"""What a browser needs to keep some pages: their worker, and what to install."""

from __future__ import annotations

import json
from functools import cache

from fastapi import Request
from fastapi.responses import JSONResponse, Response

from lidclock.web.files import STATIC, address, run, version
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.words import language_of, translate

router = Pages()

SCAN = "/scan"
# What opens without a signal, as it was last seen.
KEPT = (SCAN, "/temperatures", "/cooling")
# The worker runs these, in this order; it is no module, since not every browser that
# has workers has them as modules.
_PARTS = ("queue.js", "worker.js")


@router.get("/worker.js")
def worker() -> Response:
    """The service worker, at the root so that it answers for every page.

    A browser fetches it anew whenever a byte of it changes, and it bears the version.
    """
    return Response(
        worker_text(),
        media_type="text/javascript",
        headers={"Cache-Control": "no-cache", "Service-Worker-Allowed": "/"},
    )


@router.get("/manifest.webmanifest")
def manifest(request: Request, session: Kitchen) -> Response:
    """What an installed page is called, and where it opens."""
    say = translate(language_of(request))
    return JSONResponse(
        {
            "name": f"lidclock, {session.kitchen.name}",
            "short_name": "lidclock",
            "description": say("Every lid gets a clock."),
            "id": "/",
            "start_url": SCAN,
            "scope": "/",
            "display": "standalone",
            "background_color": "#f7f5f0",
            "theme_color": "#14304a",
            "icons": [
                {
                    "src": f"{address()}/icon.svg",
                    "sizes": "any",
                    "type": "image/svg+xml",
                }
            ],
        },
        media_type="application/manifest+json",
        headers={"Cache-Control": "no-cache"},
    )


@cache
def worker_text() -> str:
    """The worker with the files it keeps and their version, made once."""
    kept = [
        f"{address()}/{path.relative_to(STATIC).as_posix()}"
        for path in run(STATIC)
        if path.name != "worker.js"
    ]
    head = (
        f"const VERSION = {json.dumps(version())};\n"
        f"const PAGES = {json.dumps(KEPT)};\n"
        f"const FILES = {json.dumps([*KEPT, *kept])};\n"
    )
    return head + "".join(_plain((STATIC / name).read_text("utf-8")) for name in _PARTS)


def _plain(module: str) -> str:
    """A module's text as a plain script: what it exports is simply there."""
    return module.replace("\nexport ", "\n")
