"""Phones that lose the signal and are closed meanwhile, and what they keep."""

from datetime import timedelta

from tests.web.conftest import CHROMIUM, FLAGS, PATIENT_S, ZONE
from tests.web.scanning import hold_clock

# Everything in the browser's database, in the order recorded.
KEPT = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open("lidclock");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
        const all = opening.result.transaction("events").objectStore("events").getAll();
        all.onsuccess = () => { opening.result.close(); resolve(all.result); };
    }; })"""
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
            args=FLAGS,
            base_url=self._signal.address,
            viewport={"width": 390, "height": 844},
            timezone_id=ZONE,
        )
        self.context.set_default_timeout(PATIENT_S * 1000)
        (page,) = self.context.pages
        hold_clock(page, self.house.now + timedelta(minutes=minutes))
        return page

    def close(self):
        if self.context is not None:
            self.context.close()
            self.context = None


def recorded(house):
    """What the kitchen has from devices: id, kind and subject."""
    kinds = ("placed", "opened", "used", "discarded", "corrected")
    with house.session().read() as unit:
        events = [one for one in unit.ledger.all() if one.kind in kinds]
    return [one for one in events if one.device != "test"]
