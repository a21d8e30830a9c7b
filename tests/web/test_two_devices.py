"""Two devices without a signal, back in either order: the kitchen is the same."""

import re
import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta

import httpx
import pytest
from tests.web.conftest import House, serve
from tests.web.phones import KEPT, Phone, recorded
from tests.web.radio_signal import Signal
from tests.web.scanning import choose, hold_clock, open_scan, ready, scan, until

# What each did at which minute, and to which lids by number: 25 actions each.
DONE = {
    "first": [
        (6, "Freeze", range(8)),
        (10, "Open", range(8, 11)),
        (14, "Use", range(4, 10)),
        (20, "Discard", range(10, 13)),
        (24, "Thaw", range(3)),
        (26, "Use", [13]),
        (27, "UNDO", []),
    ],
    "second": [
        (7, "Freeze", range(10, 14)),
        (12, "Use", range(4)),
        (16, "Discard", range(4, 9)),
        (18, "Use", range(10, 13)),
        (21, "Freeze", range(14, 21)),
        (22, "Open", [13]),
        (23, "To Counter", [9]),
    ],
}
# Thawed after it was used; used and then discarded; placed after it was used; discarded
# after it was used. Number 3 was frozen before it was used, which can be.
IMPOSSIBLE = [*range(3), *range(4, 9), 9, *range(10, 13)]
CODE = re.compile(r"Both cannot be: (\w{3} \w{4}) ")
HAS = "async (count) => (await ({KEPT})()).length === count".replace("{KEPT}", KEPT)
IS_SETTLED = f"""async () => (await ({KEPT})())
    .every(event => event.state !== "waiting")"""


class Devices:
    """Two phones, each with a signal and a folder of its own."""

    def __init__(self, browser, house, folder):
        self._browser, self.house, self.folder = browser, house, folder
        self.signals = {name: Signal(house.address) for name in DONE}

    def phone(self, name):
        """The phone as its folder has it, though it was closed or copied."""
        folder = self.folder / name
        return Phone(self._browser, self.signals[name], self.house, folder)

    def back_to(self, house, folder):
        """The same two, as copied to another folder, come back to another kitchen."""
        for name in DONE:
            shutil.copytree(self.folder / name, folder / name, symlinks=True)
            self.signals[name].lead_to(house.address)
        self.house, self.folder = house, folder


@pytest.fixture
def devices(browser, house, tmp_path):
    found = Devices(browser, house, tmp_path / "phones")
    yield found
    for signal in found.signals.values():
        signal.cut()


def day_without_signal(devices, name, codes):
    """Record what a device does, none of which reaches the kitchen."""
    phone, begun = devices.phone(name), devices.house.now
    page = phone.open()
    ready(page)
    devices.signals[name].cut()
    open_scan(page)
    count = 0
    for minute, action, numbers in DONE[name]:
        hold_clock(page, begun + timedelta(minutes=minute))
        if action == "UNDO":
            scan(page, action)
            count += 1
        else:
            choose(page, action)
        for number in numbers:
            scan(page, codes[number])
        count += len(numbers)
        until(page, HAS, count)
    phone.close()
    return count


def come_back(devices, name):
    """The device has a signal again; what its page then says somebody must see to."""
    phone = devices.phone(name)
    devices.signals[name].restore()
    page = phone.open(40)
    open_scan(page)
    until(page, IS_SETTLED)
    until(
        page,
        "count => document.querySelectorAll('#problems li').length === count",
        len(page.evaluate(KEPT)),
    )
    says = page.locator("#problems li").all_inner_texts()
    devices.signals[name].cut()
    phone.close()
    return says


def copied(path, target):
    """A kitchen's database as it stands, what lies in its journal included."""
    with closing(sqlite3.connect(path)) as old, closing(sqlite3.connect(target)) as new:
        old.backup(new)
    return target


def kitchen_as_it_is(house, codes):
    """What the API tells of the shelf and of each container, and every fact."""
    with httpx.Client(base_url=f"{house.address}/api/v1") as client:
        shelf = client.get("/shelf").json()
        verdicts = [client.get(f"/containers/{code}").json() for code in codes]
    facts = {
        (one.id, one.kind, one.subject, one.happened_at, str(sorted(one.body.items())))
        for one in recorded(house)
    }
    return shelf, verdicts, facts


def test_two_devices_in_either_order_make_the_same_kitchen(devices, house, tmp_path):
    codes = house.prep("stew", count=21)
    counts = [day_without_signal(devices, name, codes) for name in DONE]
    assert counts == [25, 25]
    assert recorded(house) == []
    begun = house.now
    house.now += timedelta(minutes=40)
    twin = House(copied(house.path, tmp_path / "copied.db"), now=house.now)
    kept_as_they_were = tmp_path / "as-they-were"
    shutil.copytree(devices.folder, kept_as_they_were, symlinks=True)

    told = {name: come_back(devices, name) for name in DONE}
    found = kitchen_as_it_is(house, codes)

    with serve(twin):
        devices.folder = kept_as_they_were
        devices.back_to(twin, tmp_path / "twins")
        told_twin = {name: come_back(devices, name) for name in reversed(DONE)}
        found_twin = kitchen_as_it_is(twin, codes)

    assert found == found_twin
    assert len(found[2]) == 50
    assert {at for *_, at, _ in found[2]} == {
        begun + timedelta(minutes=minute)
        for minutes in DONE.values()
        for minute, *_ in minutes
    }
    contradicted = [one["code"] for one in found[1] if one["contradictions"]]
    assert contradicted == [codes[number] for number in IMPOSSIBLE]
    # Who comes second is told, once for each; before that there was nothing to tell.
    assert told["first"] == told_twin["second"] == []
    for says in (told["second"], told_twin["first"]):
        named = [CODE.match(line)[1].replace(" ", "") for line in says]
        assert sorted(named) == sorted(contradicted)
