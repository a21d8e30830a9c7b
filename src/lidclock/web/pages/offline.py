"""What a browser needs to keep some pages: their worker, and what to install."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache
from hashlib import sha256
from pathlib import Path

from fastapi import Request
from fastapi.responses import JSONResponse, Response

from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import TEMPLATES
from lidclock.web.words import language_of, translate

router = Pages()

STATIC = Path(__file__).parents[1] / "static"
SCAN = "/scan"
# What opens without a signal, as it was last seen.
KEPT = (SCAN, "/temperatures", "/cooling")
_KEPT_BY = (
    *("base.html", "scan.html", "temperatures.html", "cooling.html"),
    *("cooling_parts.html", "temp_parts.html", "queue_box.html", "queue_words.html"),
)
# The worker runs these, in this order; it is no module, since not every browser that
# has workers has them as modules.
_PARTS = ("queue.js", "worker.js")


@router.get("/worker.js")
def worker() -> Response:
    """The service worker, at the root so that it answers for every page.

    A browser fetches it anew whenever a byte of it changes, and it bears the version.
    """
    return Response(
        worker_text(STATIC, TEMPLATES),
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
                {"src": "/static/icon.svg", "sizes": "any", "type": "image/svg+xml"}
            ],
        },
        media_type="application/manifest+json",
        headers={"Cache-Control": "no-cache"},
    )


@cache
def worker_text(static: Path, templates: Path) -> str:
    """The worker with the files it keeps and their version, made once."""
    files = sorted(path for path in static.rglob("*") if _is_run(path))
    kept = [
        f"/static/{path.relative_to(static).as_posix()}"
        for path in files
        if path.name != "worker.js"
    ]
    version = version_of([*files, *(templates / name for name in _KEPT_BY)])
    head = (
        f"const VERSION = {json.dumps(version)};\n"
        f"const PAGES = {json.dumps(KEPT)};\n"
        f"const FILES = {json.dumps([*KEPT, *kept])};\n"
    )
    return head + "".join(_plain((static / name).read_text("utf-8")) for name in _PARTS)


def _is_run(path: Path) -> bool:
    """Whether a browser runs or shows it: licences and the like need not be kept."""
    return path.suffix in (".js", ".wasm", ".css", ".svg")


def version_of(paths: Iterable[Path]) -> str:
    """A version that changes when a file changes, comes, goes or is renamed."""
    found = sha256()
    for path in paths:
        content = path.read_bytes()
        found.update(f"{path.name} {len(content)}\n".encode() + content)
    return found.hexdigest()[:16]


def _plain(module: str) -> str:
    """A module's text as a plain script: what it exports is simply there."""
    return module.replace("\nexport ", "\n")
