"""What waits is sent by the worker when the browser wakes it, with no page open.

The browser's own waking takes minutes, so it is woken by its tool for developers
(Chrome DevTools Protocol, `ServiceWorker.dispatchSyncEvent`), as its sync would do.
"""

from datetime import timedelta
from time import monotonic

import pytest
from tests.web.conftest import PATIENT_S
from tests.web.phones import IS_EMPTY, KEPT, Phone, recorded
from tests.web.scanning import HAS_PROBLEMS, choose, open_scan, ready, scan, until

from lidclock.app import moves

TAGS = (
    """async () => (await navigator.serviceWorker.getRegistration()).sync.getTags()"""
)
TAG = "lidclock-send"
MOST_MS = 14_000


@pytest.fixture
def phone(browser, signal, house, tmp_path):
    """A browser that stays open when its page is closed."""
    found = Phone(browser, signal, house, tmp_path / "profile")
    yield found
    found.close()


class Waker:
    """The browser's tool for developers, on an empty page beside what is tested."""

    def __init__(self, page, origin):
        self.page, self._origin = page, origin
        self._tool = page.context.new_cdp_session(page)
        self._registrations = []
        self._tool.on(
            "ServiceWorker.workerRegistrationUpdated",
            lambda told: self._registrations.extend(told["registrations"]),
        )
        self._tool.send("ServiceWorker.enable")

    def wake(self):
        """Wake the worker as the browser does once it believes in a network."""
        (found,) = {
            one["registrationId"]
            for one in self._registrations
            if one["scopeURL"].startswith(self._origin)
        }
        event = {"registrationId": found, "tag": TAG, "lastChance": False}
        self._tool.send(
            "ServiceWorker.dispatchSyncEvent", {"origin": self._origin, **event}
        )


def use_without_signal(page, codes, cut):
    """Lids used up while nobody answers; the page leaves a wish to be woken."""
    ready(page)
    cut()
    choose(page, "Use")
    for code in codes:
        scan(page, code)
    until(page, f"async () => (await ({KEPT})()).length === {len(codes)}")
    began = page.evaluate("performance.now()")
    until(page, f"async () => (await ({TAGS})()).includes('{TAG}')")
    # Sending gives up after 15 seconds; whoever closes the page will not wait for that.
    assert page.evaluate("performance.now()") - began < MOST_MS


def arrived(house, waker, count):
    """What the kitchen has, once there is as much of it."""
    latest = monotonic() + PATIENT_S
    while len(recorded(house)) < count and monotonic() < latest:
        waker.page.wait_for_timeout(50)
    return recorded(house)


def test_the_worker_sends_what_waits_after_the_page_was_closed(house, signal, phone):
    codes = house.prep("stew", count=3)
    page = phone.open()
    waker = Waker(phone.context.new_page(), signal.address)
    use_without_signal(page, codes, signal.cut)
    page.close()
    # Woken too early, by a network without the kitchen: nothing is lost.
    waker.wake()
    waker.page.wait_for_timeout(500)
    assert recorded(house) == []

    house.now += timedelta(minutes=15)
    signal.restore()
    waker.wake()

    events = arrived(house, waker, len(codes))
    assert [event.subject for event in events] == codes
    assert {event.kind for event in events} == {"used"}
    # Sent once, and the next page knows it.
    page = phone.context.new_page()
    open_scan(page)
    until(page, IS_EMPTY)
    assert len(recorded(house)) == len(codes)


def test_a_contradiction_that_the_worker_learned_is_shown_by_the_next_page(
    house, signal, phone
):
    (code,) = house.prep("stew")
    page = phone.open(9)
    waker = Waker(phone.context.new_page(), signal.address)
    use_without_signal(page, [code], signal.cut)
    page.close()
    house.now += timedelta(minutes=5)
    with house.session().write() as unit:
        moves.discard(unit, code, "spilt")
    house.now += timedelta(minutes=10)
    signal.restore()
    waker.wake()
    arrived(house, waker, 1)

    page = phone.context.new_page()
    open_scan(page)
    until(page, HAS_PROBLEMS)
    assert "Both cannot be" in page.inner_text("#problems")


def test_a_signal_that_does_not_answer_is_not_waited_for(house, signal, phone):
    """The wish is there though the page is closed before it gave up sending."""
    (code,) = house.prep("stew")
    page = phone.open()
    waker = Waker(phone.context.new_page(), signal.address)

    def numb():
        signal.slow_s = 60

    use_without_signal(page, [code], numb)
    page.close()
    signal.cut()
    signal.slow_s = 0.0
    house.now += timedelta(minutes=15)
    signal.restore()
    waker.wake()

    assert [event.subject for event in arrived(house, waker, 1)] == [code]
