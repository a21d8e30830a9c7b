"""A place beside what was scanned in it: each container stands in one part."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.events import Event
from lidclock.domain.kitchens import Place
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.stock_takes import (
    check_stock_takes,
    compare,
    is_time_needed,
    last_taken,
    stock_take_subject,
    stock_taken_from,
)

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
BODY = {
    "place": "Freezer",
    "seen": 1,
    "expected": 2,
    "missing": ["4F7K2M0"],
    "unknown": 0,
}


def box(code, place="Freezer", standing="paused", **more):
    state = {"Freezer": "freezer", "Fridge": "fridge"}.get(place, "")
    return Snapshot(code, "stew", standing, place=place, state=state, **more)


def ended(code, kind):
    return Snapshot(code, "stew", "ended", end_kind=kind, ended_at=NOON)


def codes(found):
    return [one.code for one in found]


def test_what_was_not_scanned_is_missing():
    found = compare("Freezer", [box("A"), box("B")], ["B"])

    assert (codes(found.seen), codes(found.missing)) == (["B"], ["A"])
    assert codes(found.expected) == ["A", "B"]


def test_what_stands_elsewhere_is_neither_seen_nor_missing():
    known = [box("A"), box("B", "Fridge", "dated"), box("C", "", "dated")]

    found = compare("Freezer", known, ["A", "B", "C"])

    assert codes(found.elsewhere) == ["B", "C"]
    assert (codes(found.seen), found.missing) == (["A"], ())


def test_what_turns_up_again_was_elsewhere_and_what_was_used_had_ended():
    known = [ended("A", "missing"), ended("B", "used"), ended("C", "discarded")]

    found = compare("Freezer", known, ["A", "B", "C"])

    assert codes(found.elsewhere) == ["A"]
    assert codes(found.ended) == ["B", "C"]
    assert found.expected == ()


def test_what_ended_in_the_place_is_not_expected_there():
    gone = Snapshot("A", "stew", "ended", place="Freezer", end_kind="used")

    assert compare("Freezer", [gone], []).missing == ()


def test_what_nobody_knows_is_counted_once_each():
    found = compare("Freezer", [], ["X", "X", "Y"], ["scrawl", "scrawl"])

    assert (found.strangers, found.unread) == (("X", "Y"), ("scrawl",))
    assert found.unknown_count == 3


def test_what_is_in_the_place_without_a_last_day_is_unmarked_seen_or_not():
    known = [box("A", standing="unknown", is_unmarked=True), box("B")]

    assert codes(compare("Freezer", known, []).unmarked) == ["A"]
    assert codes(compare("Freezer", known, ["A"]).unmarked) == ["A"]


def test_boxes_are_listed_by_food_batch_and_number():
    known = [
        Snapshot("A", "stew", "paused", place="Freezer", batch_number=1, index=2),
        Snapshot("B", "stew", "paused", place="Freezer", batch_number=1, index=1),
        Snapshot("C", "Dough", "paused", place="Freezer", batch_number=2, index=1),
    ]

    assert codes(compare("Freezer", known, []).missing) == ["C", "B", "A"]


@pytest.mark.parametrize(
    ("state", "where", "needed"),
    [
        ("freezer", "fridge", True),
        ("freezer", "counter", True),
        ("freezer", "hot", True),
        ("fridge", "counter", True),
        ("fridge", "hot", True),
        ("hot", "fridge", True),
        ("hot", "freezer", True),
        ("hot", "counter", True),
        ("hot", "hot", False),
        ("freezer", "freezer", False),
        ("fridge", "freezer", False),
        ("fridge", "fridge", False),
        ("counter", "fridge", False),
        ("counter", "freezer", False),
        ("counter", "hot", False),
        ("", "fridge", False),
        ("", "counter", False),
    ],
)
def test_what_left_a_kinder_place_needs_its_time(state, where, needed):
    """Taken as moved now, days in a warmer place would count as days in the cold."""
    one = Snapshot("A", "stew", "dated", place=state, state=state)

    assert is_time_needed(one, Place("Here", where)) is needed


def test_a_stock_take_reads_back_as_it_was_written():
    assert stock_taken_from(BODY).as_dict() == BODY


@pytest.mark.parametrize(
    "change",
    [
        {"place": ""},
        {"place": 3},
        {"seen": -1},
        {"seen": True},
        {"seen": 1.0},
        {"seen": "1"},
        {"expected": 3},
        {"unknown": None},
        {"missing": "4F7K2M0"},
        {"missing": ["4F7K2M1"]},
        {"missing": [4]},
        {"missing": ["4F7K2M0", "4F7K2M0"], "expected": 3},
    ],
)
def test_a_malformed_stock_take_is_refused(change):
    with pytest.raises(ValueError, match="stock-take"):
        stock_taken_from({**BODY, **change})


@pytest.mark.parametrize("lacking", sorted(BODY))
def test_a_stock_take_that_lacks_something_is_refused(lacking):
    with pytest.raises(KeyError, match=lacking):
        stock_taken_from({key: BODY[key] for key in BODY if key != lacking})


def noted(number, place="Freezer", hours=0.0, kind="noted", **body):
    at = NOON + timedelta(hours=hours)
    return Event(
        f"e{number}", kind, stock_take_subject(place), at, at, "UTC", body=body or BODY
    )


def test_the_latest_stock_take_of_each_place_counts_in_any_order():
    events = [noted(1, hours=5), noted(2, hours=2), noted(3, "Fridge", hours=1)]

    assert last_taken(events) == last_taken(reversed(events))
    assert last_taken(events) == {
        "freezer": NOON + timedelta(hours=5),
        "fridge": NOON + timedelta(hours=1),
    }


def test_one_that_was_taken_back_does_not_count():
    events = [noted(1, hours=5), noted(2, hours=2)]
    undo = noted(3, hours=6, kind="corrected", event="e1", void=True)

    assert last_taken([*events, undo]) == {"freezer": NOON + timedelta(hours=2)}
    assert last_taken([events[0], undo]) == {}


def test_other_plans_and_other_facts_are_no_stock_takes():
    plan = Event("p", "noted", "plan/kitchen", NOON, NOON, "UTC", body={"choices": {}})
    stray = noted(1, kind="measured", temp_c=4.0)

    assert last_taken([plan, stray]) == {}
    check_stock_takes([plan, stray])


def test_a_stock_take_stands_under_its_own_place():
    check_stock_takes([noted(1)])

    with pytest.raises(ValueError, match="stands under"):
        check_stock_takes([noted(1, "Fridge")])


def test_a_correction_that_spoils_a_stock_take_is_refused():
    spoilt = noted(2, kind="corrected", event="e1", set={"seen": 7})

    with pytest.raises(ValueError, match="add up"):
        check_stock_takes([noted(1), spoilt])
