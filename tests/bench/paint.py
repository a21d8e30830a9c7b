"""When a phone shows the first of a large page: Chromium, held back by its debugger.

The profile is the "slow 4G" of Lighthouse (GoogleChrome/lighthouse, docs/throttling.md,
core/config/constants.js): 150 ms there and back, 1.6 Mbit/s down, 750 kbit/s up, a
processor four times as slow. Chromium delays whole requests and no packets, so there
Lighthouse takes 3.75 times the delay and 0.9 of the rates for one whose connection has
to be opened first: that is the second measurement. Nothing is in the cache.
"""

from __future__ import annotations

import shutil
import statistics
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any

from web import CONTAINERS, kitchen, served

CHROMIUM = shutil.which("chromium")
TURNS, GOAL_S, SLOWER = 5, 1.5, 4
# Milliseconds for a request, and bits a second down and up.
PROFILES = {
    "a slow phone": (150, 1.6e6, 0.75e6),
    "one that connects": (150 * 3.75, 1.6e6 * 0.9, 0.75e6 * 0.9),
}
_PAINTED = """() => new Promise(found => new PerformanceObserver(list => {
    const one = list.getEntriesByName("first-contentful-paint")[0]
    if (one) found(one.startTime)
}).observe({ type: "paint", buffered: true }))"""


def paint(folder: Path) -> Iterator[str]:
    """`first-contentful-paint` (W3C Paint Timing) of the card and the shelf."""
    if CHROMIUM is None:
        yield "skipped: there is no Chromium here"
        return
    from playwright.sync_api import sync_playwright

    kitchen(folder / "paint.db", days=4)  # so that the card has something to say
    with served("ours", folder / "paint.db") as server, sync_playwright() as tool:
        browser = tool.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"]
        )
        for (name, line), path in product(PROFILES.items(), ("/", "/shelf")):
            address = f"http://127.0.0.1:{server.port}{path}"
            taken = [_painted_s(browser, address, line) for _ in range(TURNS)]
            yield (
                f"{path} of {CONTAINERS:,} on {name}: first paint after "
                f"{min(taken):.2f} s at best, {statistics.median(taken):.2f} s at p50 "
                f"(goal < {GOAL_S} s)"
            )
        browser.close()


def _painted_s(browser: Any, address: str, line: tuple[float, float, float]) -> float:
    """Seconds from the tap to the first words, in a browser that knows nothing yet."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, device_scale_factor=3, has_touch=True
    )
    page = context.new_page()
    debugger = context.new_cdp_session(page)
    debugger.send("Network.enable")
    delay_ms, down_bits, up_bits = line
    conditions = {
        "offline": False,
        "latency": delay_ms,
        "downloadThroughput": down_bits / 8,
        "uploadThroughput": up_bits / 8,
    }
    debugger.send("Network.emulateNetworkConditions", conditions)
    debugger.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.goto(address, wait_until="commit", timeout=60_000)
    painted_ms: float = page.evaluate(_PAINTED)
    context.close()
    return painted_ms / 1e3
