"""What was agreed for an hour, and a lid that is over before it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from tests.web.pages import hidden_fields

from lidclock.app import sensors, temps
from lidclock.app.card_words import hour_words
from lidclock.app.today import look
from lidclock.domain.moments import from_local, zone_of
from lidclock.store import Kitchens
from lidclock.templog.series import micros

ZONE = zone_of("America/New_York")


@pytest.fixture
def agreed(house, client):
    """On its last day at 07:30, stew is agreed to be used up at 18:30."""
    codes = house.prep("stew", count=2, days_ago=3)
    form = hidden_fields(client.get("/").text, "/card", "Yes")
    page = client.post("/card", data={**form, "answer": "accept"}).text
    assert "over by then" not in section(page)
    return codes


def section(page):
    """What stands under "Agreed"."""
    return page.split("Agreed</h2>")[1].split("</section>")[0]


def warm(house, moment):
    house.now = moment
    temps.type_reading(house.session(), "Fridge", 20.0, anyway=True)


def test_the_card_says_of_what_was_agreed_that_it_is_over_by_then(
    house, client, agreed
):
    warm(house, house.now)
    _, facts = look(house.session())
    ends = {hour_words(facts.live[code].last_moment, facts) for code in agreed}
    (hour,) = ends
    assert hour < "18:30"

    told = f"over by then, at {hour}: stew box 1 and 2"
    assert told in section(client.get("/").text)
    (one,) = client.get("/api/v1/card").json()["agreed"]
    assert one["why"][0] == told


@pytest.mark.usefixtures("agreed")
def test_at_its_hour_it_still_says_so(house, client):
    warm(house, house.now)
    house.now = from_local(house.now.replace(hour=18, minute=20, tzinfo=None), ZONE)

    page = client.get("/").text

    assert "As agreed." in page
    assert "over by then, at " in page


@pytest.mark.usefixtures("agreed")
def test_what_nobody_can_tell_any_more_is_named_as_unknown(house, client):
    """A kitchen whose places want readings, and the fridge's probe fell silent."""
    session = house.session()
    probe = sensors.add_sensor(session, "Probe A", "Fridge", since=house.now)
    with session.write() as unit:
        times = micros(house.now) + np.arange(6) * 600_000_000
        temps.keep_readings(unit, probe, times, [3.0] * 6)
        wants = replace(session.kitchen, accepts_unmeasured=False)
        Kitchens(unit.connection).update(wants)
    house.now += timedelta(hours=8)

    assert "unknown by now: stew box 1 and 2" in section(client.get("/").text)
