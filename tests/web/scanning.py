"""What a scanner does to a page, and what the tests of scanning look at."""

from datetime import timedelta
from time import monotonic

from tests.web.conftest import PATIENT_S

from lidclock.app.now import now

WEDGE_MS = 8
READ_MS = 900
HAS_LINES = "count => document.querySelectorAll('#lines li').length >= count"
HAS_PROBLEMS = "() => document.querySelectorAll('#problems li').length > 0"
_TELLS = """count => [...document.querySelectorAll('#lines .state')]
    .filter(one => !/kept/.test(one.textContent)).length >= count"""


# The browser tool's own clock would also change the times that keys bear.
_HOLD = """(at) => {
    const before = globalThis.heldAt;
    globalThis.heldAt = at;
    if (before !== undefined) return;
    const True = Date;
    globalThis.Date = class extends True {
        constructor(...given) { given.length ? super(...given) : super(heldAt); }
        static now() { return heldAt; }
    }; }"""


def prep(house, **how):
    """Containers of stew, and then five minutes."""
    codes = house.prep("stew", **how)
    house.now += timedelta(minutes=5)
    return codes


def hold_clock(page, moment):
    """Have the device's clock stand at a moment, on this page and those to come."""
    at = int(moment.timestamp() * 1000)
    page.context.add_init_script(f"({_HOLD})({at})")
    page.evaluate(_HOLD, at)


def scan(page, text):
    """What a scanner types: key after key, Enter at the end, no field chosen.

    The keys bear their times, so that a busy machine does not slow the scanner down.
    """
    tool = page.context.new_cdp_session(page)
    begun = now().timestamp()
    for number, key in enumerate([*text, "Enter"]):
        sign = "\r" if key == "Enter" else key
        at = begun + number * WEDGE_MS / 1000
        event = {"key": key, "text": sign, "timestamp": at}
        # No key is let go: nobody listens for it, and it would take as long again.
        tool.send("Input.dispatchKeyEvent", {"type": "keyDown", **event})
    tool.detach()


def scan_again(page, text):
    """Answer a question by the same lid, as somebody does who has read it by then.

    Twice at once is a scanner's habit and no answer.
    """
    page.wait_for_timeout(READ_MS)
    scan(page, text)


def open_scan(page):
    """Until its scripts run the page is a plain form, which works another way."""
    page.goto("/scan")
    page.wait_for_selector("html[data-ready] #scan")


def ready(page):
    """The page as it is after a first visit: its worker in charge, the shelf seen."""
    open_scan(page)
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    until(page, "() => Boolean(navigator.serviceWorker.controller)")
    open_scan(page)
    until(page, "async () => Boolean(await caches.match('/api/v1/shelf'))")


def choose(page, label):
    """Choose an action by its name on the page."""
    page.get_by_role("radio", name=label, exact=True).check(force=True)


def until(page, script, arg=None):
    """Wait for a script; the page's own policy forbids the usual way of doing so."""
    latest = monotonic() + PATIENT_S
    while monotonic() < latest:
        if page.evaluate(script, arg):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never: {script}; {page.inner_text('main')}")


def settled(page, count):
    """Wait until the kitchen has answered to so many lines."""
    until(page, _TELLS, count)
