"""Thousands of events of one device: kept in its browser, sent in pieces, told.

Twenty pieces show what a hundred do; `make long` sends those, QUEUE=10000 events.
"""

import asyncio
import os
import threading
from datetime import timedelta

import pytest
from tests.web.phones import KEPT, Phone, recorded
from tests.web.scanning import choose, open_scan, ready, scan, until

MANY = int(os.environ.get("QUEUE", "2000"))
LIDS = MANY // 20
PIECE = 100
# One second after another, so that the order in which they arrive can be looked at.
FILL = """async ([codes, count, began]) => {
    const { keep } = await import("/static/queue.js");
    const { uuid7 } = await import("/static/uuid.js");
    const places = [["Freezer", "freezer"], ["Fridge", "fridge"]];
    await keep(Array.from({ length: count }, (_, n) => {
        const [place, state] = places[Math.floor(n / codes.length) % 2];
        const at = began + n * 1000;
        return { id: uuid7(at), kind: "placed", subject: codes[n % codes.length],
            happened_at: new Date(at).toISOString(), body: { place, state },
            what: codes[n % codes.length] };
    })); }"""
WAITING = """async () => (await import("/static/queue.js")).counts()
    .then(found => found.waiting)"""
# What the page says of how much waits, each time it says something else.
WATCH = """() => {
    window.said = [];
    const told = document.getElementById("waiting");
    new MutationObserver(() => said.push(told.textContent))
        .observe(told, { childList: true }); }"""


@pytest.fixture
def phone(browser, signal, house, tmp_path):
    """A browser whose profile outlives its closing."""
    found = Phone(browser, signal, house, tmp_path / "profile")
    yield found
    found.close()


SHOWN = """() => Number(/Waiting to be sent: ([0-9]+)/.exec(
    document.getElementById("waiting").textContent)?.[1] ?? 0)"""


class Door:
    """What comes at once, each time, from the page or its worker; so much is let in."""

    def __init__(self, writer, monkeypatch):
        self.pieces, self._record = [], writer.record
        self._allowed = threading.Semaphore(0)
        monkeypatch.setattr(writer, "record", self._take)

    def let_in(self, count):
        """Let so many more pieces in; the others wait for their answer."""
        self._allowed.release(count)

    async def _take(self, parcel):
        await asyncio.to_thread(self._allowed.acquire)
        self.pieces.append(len(parcel.events))
        return await self._record(parcel)


@pytest.fixture
def door(house, monkeypatch):
    """Nobody is left standing before it when the test is over."""
    found = Door(house.app.state.writer, monkeypatch)
    yield found
    found.let_in(MANY)


def test_very_many_events_arrive_whole_in_pieces_while_the_page_works(
    house, signal, phone, door
):
    codes = house.prep("stew", count=LIDS)
    page = phone.open(200)
    ready(page)
    signal.cut()
    began = int((house.now + timedelta(minutes=1)).timestamp() * 1000)
    page.evaluate(FILL, [codes, MANY, began])
    phone.close()
    page = phone.open(200)
    open_scan(page)
    until(page, f"() => /Waiting to be sent: {MANY}/.test(document.body.innerText)")
    house.now += timedelta(minutes=200)
    page.evaluate(WATCH)
    signal.restore()
    page.evaluate("() => dispatchEvent(new Event('online'))")

    # Meanwhile a lid is looked up, and another discarded, as ever.
    door.let_in(4)
    until(page, f"async () => (await ({WAITING})()) === {MANY - 4 * PIECE}")
    scan(page, codes[0])
    until(page, "() => document.querySelectorAll('#lines li').length === 1")
    choose(page, "Discard")
    scan(page, codes[1])
    until(page, "() => document.querySelectorAll('#lines li').length === 3")
    assert page.evaluate(WAITING) == MANY - 4 * PIECE + 1
    assert f"{codes[1][:3]} {codes[1][3:]} stew" in page.inner_text("#answer")

    # The page counts down what waits, at most once a second: here at each step.
    page.evaluate("() => { said.length = 0; }")
    for left in (MANY - 8 * PIECE, MANY - 12 * PIECE, MANY - 16 * PIECE):
        door.let_in(4)
        until(page, f"() => ({SHOWN})() === {left + 1}")
    door.let_in(MANY)
    for _ in range(72):
        if page.evaluate(WAITING) == 0:
            break
        page.wait_for_timeout(5000)
    until(page, "() => /Everything was sent/.test(document.body.textContent)")

    events = recorded(house)
    assert len(events) == MANY + 1
    assert len({event.id for event in events}) == MANY + 1
    assert [event.subject for event in events[:MANY]] == [
        codes[number % LIDS] for number in range(MANY)
    ]
    assert (events[-1].kind, events[-1].subject) == ("discarded", codes[1])
    assert max(door.pieces) == PIECE
    assert sum(door.pieces) == MANY + 1
    said = page.evaluate("said")
    numbers = [int(line.rpartition(" ")[2]) for line in said if "Waiting" in line]
    assert len(numbers) >= 3
    assert numbers == sorted(numbers, reverse=True)


def test_of_very_many_that_were_not_taken_some_are_shown(house, phone):
    """Lids of another kitchen: each is kept with its reason."""
    house.prep("stew")
    page = phone.open()
    ready(page)
    page.evaluate(FILL, [["0000000"], 150, int(house.now.timestamp() * 1000)])
    page.evaluate("() => dispatchEvent(new Event('online'))")
    until(page, f"async () => (await ({WAITING})()) === 0")
    until(page, "() => /And 90 more/.test(document.body.innerText)")

    assert page.locator("#problems li").count() == 61
    assert page.inner_text('nav a[href="/scan"] .kept').strip() == "(150)"
    assert {event["state"] for event in page.evaluate(KEPT)} == {"refused"}
    page.locator("#problems button").first.click()
    until(page, "() => /And 89 more/.test(document.body.innerText)")


VERSION_1 = """() => new Promise((resolve) => {
    const opening = indexedDB.open("lidclock", 1);
    opening.onupgradeneeded = () => {
        const store = opening.result.createObjectStore(
            "events", { keyPath: "seq", autoIncrement: true });
        store.createIndex("id", "id", { unique: true });
    };
    opening.onsuccess = () => {
        const work = opening.result.transaction("events", "readwrite");
        work.objectStore("events").add(EVENT);
        work.oncomplete = () => { opening.result.close(); resolve(); };
    }; })"""


def test_a_queue_that_an_older_page_kept_is_taken_over(house, phone):
    (code,) = house.prep("stew")
    house.now += timedelta(minutes=5)
    page = phone.open(0)
    event = (
        '{id: "019a0f3e-7c00-7a11-8c21-5d0f3a9e4b77", kind: "used", '
        f'subject: "{code}", happened_at: "{house.now.isoformat()}", body: {{}}, '
        'what: "x", state: "waiting", says: ""}'
    )
    # A page of the same origin that runs none of the scripts.
    page.goto("/static/icon.svg")
    page.evaluate(VERSION_1.replace("EVENT", event))
    open_scan(page)
    until(page, f"async () => (await ({KEPT})()).length === 0")

    assert [one.subject for one in recorded(house)] == [code]
