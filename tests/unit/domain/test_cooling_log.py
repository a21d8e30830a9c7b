"""`cooled` events with a phase folded into logs; two boxes, C1 and C2, of batch b1."""

import random
from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.events import Event
from lidclock.domain.fold import fold

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)


class Log:
    """Writes events ten minutes apart, with ids in order."""

    def __init__(self):
        self.events = []

    def add(self, kind, subject, **body):
        number = len(self.events)
        at = NOON + timedelta(minutes=10 * number)
        event = Event(f"e{number:03}", kind, subject, at, at, "UTC", body=body)
        self.events.append(event)
        return event

    def cool(self, subject, phase, **body):
        return self.add("cooled", subject, phase=phase, **body)

    def box(self, code="C1"):
        return fold(self.events).containers[code]


@pytest.fixture
def log():
    log = Log()
    log.add("made", "b1", number=1, food="soup", count=2)
    log.add("filled", "C1", batch="b1", index=1, of=2, mass_g=900.0)
    log.add("filled", "C2", batch="b1", index=2, of=2, mass_g=900.0)
    return log


def test_a_fact_without_a_phase_keeps_its_meaning(log):
    """Its end unmeasured is a reading without a temperature, and no log."""
    done = log.add("cooled", "C1")

    assert log.box().coolings == [(done.happened_at, None)]
    assert log.box().cooling is None


def test_a_start_opens_a_log_with_what_was_said(log):
    began = log.cool("C1", "start", depth_mm=50.0, covered=False, medium_c=3.0)
    found = log.box().cooling

    assert (found.began, found.subject, found.is_open) == (
        began.happened_at,
        "C1",
        True,
    )
    assert (found.depth_mm, found.is_covered) == (50.0, False)
    assert found.medium == (began.happened_at, 3.0)
    assert log.box().cooling_since == began.happened_at


def test_a_start_without_a_temperature_is_no_reading(log):
    """A reading without a temperature would count as cold."""
    log.cool("C1", "start")

    assert log.box().coolings == []


@pytest.mark.parametrize("phase", ["start", "read", "finish"])
def test_a_temperature_is_a_reading_in_every_phase(log, phase):
    event = log.cool("C1", phase, temp_c=34.0)

    assert log.box().coolings == [(event.happened_at, 34.0)]


def test_an_entry_of_a_batch_is_one_of_each_of_its_boxes(log):
    log.cool("b1", "start")
    event = log.cool("b1", "read", temp_c=34.0)

    for code in ("C1", "C2"):
        assert log.box(code).coolings == [(event.happened_at, 34.0)]
        assert log.box(code).cooling.subject == "b1"


def test_a_box_that_is_gone_is_read_no_more(log):
    log.cool("b1", "start")
    log.add("used", "C1")
    log.cool("b1", "read", temp_c=34.0)

    assert log.box("C1").coolings == []
    assert log.box("C1").after_end == []
    assert log.box("C1").cooling_since is None
    assert len(log.box("C2").coolings) == 1


def test_a_box_read_on_its_own_is_read_no_more_with_its_batch(log):
    log.cool("b1", "start")
    own = log.cool("C1", "read", temp_c=40.0)
    log.cool("b1", "read", temp_c=20.0)

    assert log.box("C1").coolings == [(own.happened_at, 40.0)]
    assert [c for _, c in log.box("C2").coolings] == [20.0]
    assert (log.box("C1").cools_alone, log.box("C2").cools_alone) == (True, False)


def test_once_its_own_log_is_closed_a_new_start_of_the_batch_takes_it_in(log):
    log.cool("C1", "start")
    log.cool("C1", "finish", temp_c=4.0)
    log.cool("b1", "read", temp_c=20.0)
    again = log.cool("b1", "start")
    log.cool("b1", "read", temp_c=18.0)

    assert [c for _, c in log.box("C1").coolings] == [4.0, 18.0]
    assert log.box("C1").cooling.began == again.happened_at


def test_finishing_closes_the_log(log):
    log.cool("b1", "start")
    done = log.cool("b1", "finish", temp_c=4.5)

    assert log.box().cooling.closed_at == done.happened_at
    assert log.box().cooling_since is None


def test_a_reading_after_the_close_is_a_fact_and_opens_nothing(log):
    log.cool("C1", "start")
    log.cool("C1", "finish", temp_c=4.5)
    log.cool("C1", "read", temp_c=4.0)

    assert [c for _, c in log.box().coolings] == [4.5, 4.0]
    assert log.box().cooling_since is None


def test_a_reading_that_nobody_started_opens_a_log(log):
    event = log.cool("C1", "read", temp_c=34.0)

    assert log.box().cooling.began == event.happened_at


def test_a_reheating_is_remembered_by_the_open_log_only(log):
    log.cool("b1", "start")
    heated = log.add("reheated", "C1", temp_c=75.0)
    log.cool("b1", "finish", temp_c=4.0)
    log.add("reheated", "C2", temp_c=75.0)

    assert log.box("C1").cooling.reheated_at == heated.happened_at
    assert log.box("C2").cooling.reheated_at is None


def test_what_is_split_off_keeps_the_start_and_cools_otherwise_since(log):
    began = log.cool("b1", "start", depth_mm=100.0)
    log.cool("b1", "read", temp_c=50.0)
    log.add("filled", "C3", parent="C1", mass_g=400.0)
    split = log.add("split", "C1", into={"C3": 400.0})
    later = log.cool("b1", "read", temp_c=30.0)
    child = log.box("C3")

    assert child.cooling.began == began.happened_at
    assert child.cooling.changed_at == split.happened_at
    assert [c for _, c in child.coolings] == [50.0, 30.0]
    assert child.coolings[-1][0] == later.happened_at
    assert log.box("C1").cooling.changed_at is None


@pytest.mark.parametrize(
    ("first", "second", "changes"),
    [
        ({"covered": True}, {"covered": False}, True),
        ({"depth_mm": 100.0}, {"depth_mm": 50.0}, True),
        ({"depth_mm": 50.0}, {"depth_mm": 50.0}, False),
        ({}, {"depth_mm": 50.0}, False),
        ({"medium_c": 3.0}, {"medium_c": 0.0}, True),
        ({"medium_c": 3.0}, {"medium_c": 4.0}, False),
        ({}, {"medium_c": 0.0}, False),
    ],
)
def test_a_change_of_lid_depth_or_bath_is_remembered(log, first, second, changes):
    log.cool("C1", "start", **first)
    event = log.cool("C1", "start", **second)
    expected = event.happened_at if changes else None

    assert log.box().cooling.changed_at == expected


def test_the_order_in_which_entries_arrive_changes_nothing(log):
    log.cool("b1", "start", temp_c=80.0)
    log.cool("C1", "read", temp_c=40.0)
    log.cool("b1", "read", temp_c=34.0)
    log.add("reheated", "C2", temp_c=75.0)
    log.cool("b1", "finish", temp_c=4.0)
    expected = [log.box(code) for code in ("C1", "C2")]
    for seed in range(20):
        random.Random(seed).shuffle(log.events)

        assert [log.box(code) for code in ("C1", "C2")] == expected


def test_an_entry_that_was_taken_back_counts_no_more(log):
    log.cool("b1", "start")
    wrong = log.cool("b1", "read", temp_c=3.0)
    log.add("corrected", "b1", event=wrong.id, void=True)

    assert log.box().coolings == []
    assert log.box().cooling is not None
