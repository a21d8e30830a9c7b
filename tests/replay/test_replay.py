"""The page about the replayed month says what comes of it, and counts it rightly."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from lidclock.templog.limits import PlaceLimit
from replay.air import BODIES, STEP_MIN, Driven, air_of, smoothed
from replay.live import Alarm, Heard
from replay.month import EVENTS, SEED, Event, Script, minute
from replay.page import short_lines
from replay.run import SHORT_DAYS, Order, play
from replay.sensing import World, make_world
from replay.tally import since_beyond, tally

PAGE = Path(__file__).parents[2] / "docs" / "temperature-replay.md"


def test_the_first_days_come_out_as_the_page_says():
    lines = list(short_lines(play(Order(SEED, SHORT_DAYS))))

    on_page = re.findall(r"^    (.+)$", PAGE.read_text("utf-8"), re.MULTILINE)
    assert len(lines) > 5
    assert on_page == lines


def test_the_page_tells_every_event():
    text = PAGE.read_text("utf-8")
    rows = re.findall(r"^\| \d+ (?:Oct|Nov) [\d:]+ \|(.+)\|$", text, re.MULTILINE)
    told = [tuple(cell.strip() for cell in row.split("|")[:3]) for row in rows]

    assert told == [(x.place, x.what, x.expected or "quiet") for x in EVENTS]


def test_the_summary_counts_what_the_table_tells():
    text = PAGE.read_text("utf-8")
    rows = [
        [cell.strip() for cell in row.split("|")[1:-1]]
        for row in text.splitlines()
        if re.match(r"\| \d+ (Oct|Nov)", row)
    ]
    for kind, words in (("excursion", "excursions told"), ("silent", "silences told")):
        of_kind = [row for row in rows if row[3] == kind]
        for column, place in ((4, 0), (9, 1)):
            hits = sum(row[column].startswith("hit") for row in of_kind)
            found = re.search(
                rf"^\| {words}, of {len(of_kind)} \| (\d+).* \| (\d+).* \|$",
                text,
                re.MULTILINE,
            )
            assert found is not None
            assert int(found[place + 1]) == hits


def test_the_same_seed_makes_the_same_month_and_another_does_not():
    script = Script(1)
    first, second, other = (make_world(script, seed) for seed in (1, 1, 2))

    said = [one.said["Prep probe"].temps_c.tolist() for one in (first, second, other)]
    assert said[0] == said[1]
    assert said[0] != said[2]


def test_air_without_power_goes_to_the_room_and_never_beyond_it():
    body = BODIES["Prep fridge"]
    acts = Driven.quiet(20_000)
    acts.power[:] = 0.0
    air = air_of(body, np.full(20_000, 20.0), acts)

    assert air[0] < 4
    assert (np.diff(air) > -1e-9).all()
    assert 19.5 < air[-1] <= 20.0


def test_what_follows_a_step_is_63_percent_of_the_way_after_its_lag():
    """1 - 1/e = 0.632 of a step from 0 to 10 after one time constant."""
    found = smoothed(np.full(200, 10.0), 30, start=0.0)

    assert found[round(30 / STEP_MIN) - 1] == pytest.approx(6.321, abs=1e-3)


def test_clocks_go_back_within_the_script():
    """A day of 25 hours: 25 October 2026 in Dublin."""
    assert minute(22, "00:00") - minute(21, "00:00") == 25 * 60
    assert minute(21, "00:00") - minute(20, "00:00") == 24 * 60


def test_alarms_asked_one_after_another_are_one_until_they_stop():
    heard = Heard()
    for at in (5.0, 10.0, 20.0):
        heard.tell(at, {("excursion", "Walk-in")})

    assert heard.alarms == [
        Alarm("excursion", "Walk-in", 5.0, 10.0),
        Alarm("excursion", "Walk-in", 20.0, 20.0),
    ]


def a_world(beyond_from, beyond_to):
    """Two hours of a walk-in at 3 °C, and at 9 °C between two minutes."""
    minutes = np.arange(0, 240) * STEP_MIN
    air = np.where((minutes >= beyond_from) & (minutes < beyond_to), 9.0, 3.0)
    return World({"Walk-in": air}, {"Walk-in": np.full(air.size, 3.0)}, {})


EVENT = Event("door ajar", "Walk-in", 20, 60, "excursion", settles=30)


@pytest.mark.parametrize(
    ("alarm", "result", "false"),
    [
        (Alarm("excursion", "Walk-in", 35, 50), "hit", 0),
        (Alarm("excursion", "Walk-in", 60, 65), "hit", 0),
        (Alarm("excursion", "Walk-in", 65, 70), "late", 0),
        (Alarm("excursion", "Walk-in", 95, 99), "missed", 1),
        (Alarm("excursion", "Walk-in", 20, 60), "missed", 1),  # before it began
        (Alarm("excursion", "Freezer", 35, 50), "missed", 1),
        (Alarm("silent", "Walk-in", 35, 50), "missed", 1),
    ],
)
def test_an_alarm_is_for_the_event_it_begins_in(alarm, result, false):
    found = tally(Script(1, (EVENT,)), a_world(25, 60), [alarm])

    assert found.answers[0].result == result
    assert found.false_count == false


def test_delays_are_counted_from_the_cause_and_from_the_air():
    """The door at 20, the air at 25, the alarm at 35: 15 and 10 minutes."""
    alarm = Alarm("excursion", "Walk-in", 35, 50)
    answer = tally(Script(1, (EVENT,)), a_world(25, 60), [alarm]).answers[0]

    assert (answer.delay_min, answer.after_air_min) == (15, 10)
    assert (answer.tub_c, answer.tub_min) == (3.0, None)


def test_an_alarm_in_an_event_that_needs_nobody_is_false():
    quiet = replace(EVENT, expected="")
    alarms = [Alarm("excursion", "Walk-in", at, at + 5) for at in (30, 50)]
    found = tally(Script(1, (quiet,)), a_world(25, 60), alarms)

    assert found.answers[0].result == "false"
    assert found.false_count == 1  # 15 min apart are one


def test_kinds_that_an_event_brings_along_are_neither_hits_nor_false():
    event = replace(EVENT, expected="disagree", also=("excursion",))
    alarm = Alarm("excursion", "Walk-in", 35, 50)
    found = tally(Script(1, (event,)), a_world(25, 60), [alarm])

    assert found.answers[0].result == "missed"
    assert found.false_count == 0


def test_air_that_crosses_the_limit_for_less_than_ten_minutes_is_not_yet_beyond():
    limit = PlaceLimit(5.0)

    assert since_beyond(a_world(30, 38).air["Walk-in"], EVENT, limit) is None
    assert since_beyond(a_world(30, 41).air["Walk-in"], EVENT, limit) == 30
