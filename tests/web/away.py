"""A phone that goes where there is no signal, and what waits on it meanwhile."""

from datetime import timedelta

from tests.web.conftest import CHROMIUM, ZONE
from tests.web.scanning import hold_clock

KEPT = """async () => (await import("/static/queue.js")).kept()"""
IS_EMPTY = f"async () => (await ({KEPT})()).length === 0"
SEND = """async () => {
    try { await (await import("/static/queue.js")).send() } catch {} }"""


class Phone:
    """A browser whose profile outlives its closing."""

    def __init__(self, browser, signal, house, folder):
        self._kind, self._signal, self.house = browser.browser_type, signal, house
        self._folder, self.context = str(folder), None

    def open(self, minutes=5):
        """A page on a phone whose clock is so much later than the kitchen's was."""
        self.context = self._kind.launch_persistent_context(
            self._folder,
            executable_path=CHROMIUM,
            args=["--no-sandbox", "--disable-gpu"],
            base_url=self._signal.address,
            viewport={"width": 390, "height": 844},
            timezone_id=ZONE,
        )
        (page,) = self.context.pages
        hold_clock(page, self.house.now + timedelta(minutes=minutes))
        return page

    def close(self):
        if self.context is not None:
            self.context.close()
            self.context = None
