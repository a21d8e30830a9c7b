"""Promise 7 for devices: the same events, however often and in whatever order."""

from __future__ import annotations

import itertools
import shutil
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidclock.app import prep, setup, transfer
from lidclock.app.devices import receive, take_in
from lidclock.app.parcels import Parcel
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen

MADE = datetime(2026, 11, 3, 17, tzinfo=UTC)
NOW = MADE + timedelta(hours=6)
KINDS = ("placed", "opened", "used", "discarded", "taken", "cooled", "reheated")
NUMBERS = itertools.count()
# Each example opens databases of its own, so there are fewer than elsewhere.
FEW = settings(max_examples=settings().max_examples // 5)


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    """A kitchen with three boxes, to be copied; and their codes."""
    path = tmp_path_factory.mktemp("devices") / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test", "America/New_York"))
    session = Session.open(path, now=MADE)
    order = prep.Order(
        Food("stew", "soup-stew", ()), 3, portion_g=300, place=session.place("Fridge")
    )
    with session.write() as unit:
        codes = prep.prep(unit, order).codes
    session.close()
    return path, codes


def _body(kind, chance):
    if kind == "placed":
        return {"place": ("Fridge", "Freezer", "Counter")[chance % 3]}
    if kind == "taken":
        return {"mass_g": 40 + chance}
    return {}


@st.composite
def queues(draw, device):
    """What one device recorded, in its order: some before the making, some to come."""
    queue = []
    for number in range(draw(st.integers(1, 12))):
        event_id = f"019a0000-0000-7000-8000-{device:04x}{number:08x}"
        at = MADE + timedelta(minutes=draw(st.integers(-20, 380)))
        earlier = [x for x in queue if x["kind"] != "corrected"]
        event = {
            "id": event_id,
            "kind": "corrected",
            "subject": draw(st.integers(0, 2)),
            "happened_at": at.isoformat(),
        }
        if earlier and draw(st.integers(0, 4)) == 0:
            target = draw(st.sampled_from(earlier))
            event["subject"] = target["subject"]
            event["body"] = {"event": target["id"], "void": True}
        else:
            event["kind"] = draw(st.sampled_from(KINDS))
            event["body"] = _body(event["kind"], draw(st.integers(0, 200)))
        queue.append(event)
    return queue


def _coded(queue, codes):
    return [{**event, "subject": codes[event["subject"]]} for event in queue]


class Copy:
    """A copy of the kitchen that devices send to."""

    def __init__(self, base, folder, name):
        # Under a name of its own: what a failed example left open lies in side files.
        self.path = folder / f"{name}-{next(NUMBERS)}.db"
        shutil.copy(base[0], self.path)
        self.codes = base[1]
        self.session = Session.open(self.path, now=NOW)

    def send(self, queue, device):
        self.session.device = device
        return receive(self.session, _coded(queue, self.codes), NOW).results

    def state(self):
        """Every projected row, proved to be what the ledger folds to."""
        with self.session.write() as unit:
            assert transfer.rebuild(unit)
            dump = unit.snapshots.dump()
        self.session.close()
        self.path.unlink()
        return dump


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("copies")


@FEW
@given(queues(1), st.lists(st.integers(0, 12), max_size=6), st.randoms())
def test_replaying_any_prefixes_in_any_order_is_the_same(
    base, folder, queue, prefixes, chance
):
    once = Copy(base, folder, "once")
    answers = once.send(queue, "a")
    again = Copy(base, folder, "again")
    for length in [*prefixes, len(queue)]:
        some = queue[:length]
        chance.shuffle(some)
        again.send(some, "a")
    last = again.send(queue, "a")

    assert again.state() == once.state()
    assert [x.result for x in last] == [
        "known" if x.result == "recorded" else x.result for x in answers
    ]


@FEW
@given(queues(1), queues(2))
def test_two_queues_in_both_orders_are_the_same(base, folder, mine, theirs):
    one, other = Copy(base, folder, "one"), Copy(base, folder, "other")
    first = [*one.send(mine, "a"), *one.send(theirs, "b")]
    second = [*other.send(theirs, "b"), *other.send(mine, "a")]

    assert one.state() == other.state()
    assert {x.id: x.result for x in first} == {x.id: x.result for x in second}


@FEW
@given(queues(1), queues(2))
def test_two_queues_in_one_transaction_are_the_same(base, folder, mine, theirs):
    one, both = Copy(base, folder, "one"), Copy(base, folder, "both")
    first = [one.send(mine, "a"), one.send(theirs, "b")]
    parcels = [
        Parcel(_coded(mine, both.codes), device="a"),
        Parcel(_coded(theirs, both.codes), device="b"),
    ]
    second = take_in(both.session, parcels)

    assert one.state() == both.state()
    assert [[x.result for x in some] for some in first] == [
        [x.result for x in some] for some in second
    ]
