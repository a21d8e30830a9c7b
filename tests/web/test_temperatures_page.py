"""Temperatures without scripts: typed, told, struck, explained, drawn; and the API."""

import re
from datetime import timedelta
from xml.etree import ElementTree

import pytest
from tests.web.pages import hidden_fields

from lidclock.app import temps
from lidclock.app.alerts_page import alerts_now

SVG = "{http://www.w3.org/2000/svg}svg"


def type_it(client, place, temp, **more):
    page = client.get("/temperatures").text
    form = hidden_fields(page, "/temperatures", f'value="{place}"')
    return client.post("/temperatures", data={**form, "temp": temp, **more})


def text(answer):
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_a_warm_fridge_is_told_with_what_is_inside(house, client):
    """Walk-through 3A.11: 9 °C at 19:00 and at 20:00 in a fridge with boxes."""
    codes = house.prep("bun dough", "soup-stew", count=2)
    house.now += timedelta(hours=11, minutes=30)
    type_it(client, "Fridge", "9")
    house.now += timedelta(hours=1)
    answer = type_it(client, "Fridge", "9,0")

    says = text(answer)
    assert "above its limit of 4.4 °C for 1 h, since Tue 3 Nov 2026 19:00" in says
    assert "Door? Power? Move the food to a colder place?" in says
    assert all(f"/c/{code}" in answer.text for code in codes)
    assert "Fridge" in [one.what for one in alerts_now(house.session())]
    assert "Inside 2" in says


def test_the_first_warm_reading_is_not_told_with_a_length_of_nothing(house, client):
    house.prep("bun dough", "soup-stew")
    house.now = house.now.replace(microsecond=0)
    says = text(type_it(client, "Fridge", "9"))

    assert "bove its limit of 4.4 °C, Tue 3 Nov 2026 07:30" in says
    (alert,) = [one for one in alerts_now(house.session()) if one.what == "Fridge"]
    assert "above 4.4 °C" in alert.says
    assert " 0 s" not in says + alert.says


def test_a_reading_moves_no_last_moment_later(house, client):
    (code,) = house.prep("stew")
    house.now += timedelta(hours=1)

    def last_moment():
        return client.get(f"/api/v1/containers/{code}").json()["last_moment"]

    before = last_moment()
    type_it(client, "Fridge", "3")
    assert last_moment() == before
    house.now += timedelta(hours=1)
    type_it(client, "Fridge", "9")
    house.now += timedelta(hours=3)
    type_it(client, "Fridge", "9")
    assert last_moment() < before
    house.now += timedelta(minutes=5)
    warm = last_moment()
    type_it(client, "Fridge", "3")
    assert last_moment() >= warm, "what stays warm counts on until it is read cold"
    assert last_moment() <= before


def test_within_its_limit_one_stays_on_the_list_for_the_next_place(client):
    answer = type_it(client, "Freezer", "-18")

    assert answer.url.path == "/temperatures"
    says = text(answer)
    assert "Recorded: Freezer , -18 °C , Tue 3 Nov 2026 07:30" in says
    assert "within its limit of 0 °C" in says


def test_an_earlier_hour_can_be_said(client):
    type_it(client, "Fridge", "3.5", at="2026-11-03T06:15")

    assert "Tue 3 Nov 2026 06:15" in client.get("/temperatures/place?name=Fridge").text


def test_what_was_mistyped_is_struck_and_stays_on_record(house, client):
    answer = type_it(client, "Fridge", "9")
    form = hidden_fields(answer.text, "/temperatures/strike")
    struck = client.post("/temperatures/strike", data=form)

    assert "struck" in text(struck)
    assert "above its limit" not in text(struck)
    assert alerts_now(house.session()) == []


def test_a_temperature_of_the_other_scale_is_asked_about(client):
    asked = type_it(client, "Fridge", "38")
    assert "38 °C is unusual for a fridge" in text(asked)
    assert "--" not in text(asked)
    assert "3.3 °C" in text(asked)

    form = hidden_fields(asked.text, "/temperatures")
    client.post("/temperatures", data={**form, "anyway": "yes"})
    assert "38 °C" in client.get("/temperatures").text


@pytest.mark.parametrize("typed", ["", "-", "warm", "999"])
def test_what_is_no_temperature_is_refused(client, typed):
    answer = type_it(client, "Fridge", typed)

    assert answer.status_code == 422
    assert "nobody ever measured it" in client.get("/temperatures").text


def test_the_reason_is_noted_and_can_be_taken_back(client):
    answer = type_it(client, "Fridge", "9")
    form = hidden_fields(answer.text, "/temperatures/reason")
    noted = client.post(
        "/temperatures/reason", data={**form, "text": "the door stood open"}
    )
    assert "07:30 The door stood open" in text(noted)

    undone = client.post("/undo", data=hidden_fields(noted.text, "/undo"))
    assert undone.url.path == "/temperatures"
    assert "The door stood open</bdi>" not in (
        client.get("/temperatures/place?name=Fridge").text
    )


def test_a_reason_that_is_tapped_twice_is_noted_once(client):
    form = hidden_fields(type_it(client, "Fridge", "9").text, "/temperatures/reason")
    for _ in range(2):
        noted = client.post(
            "/temperatures/reason", data={**form, "text": "the power was off"}
        )
    assert text(noted).count("07:30 The power was off") == 1

    other = {**form, "text": "the door stood open"}
    assert "07:30 The door stood open" in text(
        client.post("/temperatures/reason", data=other)
    )


@pytest.mark.parametrize("span", ["day", "week"])
def test_a_place_is_drawn(client, span):
    type_it(client, "Fridge", "3")
    assert f"span={span}" in client.get("/temperatures/place?name=Fridge").text
    answer = client.get(f"/temperatures/drawing.svg?name=Fridge&span={span}")

    assert answer.headers["content-type"] == "image/svg+xml"
    assert ElementTree.fromstring(answer.content).tag == SVG


def test_what_nobody_measured_is_not_drawn(client):
    assert client.get("/temperatures/drawing.svg?name=Fridge").status_code == 409


def test_the_ways_lead_there(house, client):
    (code,) = house.prep("stew")
    house.now += timedelta(minutes=5)
    type_it(client, "Fridge", "9")

    place = 'href="/temperatures/place?name=Fridge"'
    assert place in client.get("/alerts").text
    assert place in client.get("/kitchen").text
    assert 'href="/temperatures"' in client.get("/more").text
    assert f"/c/{code}" in client.get("/temperatures/place?name=Fridge").text


def test_programs_read_and_record(house, client):
    (code,) = house.prep("stew")
    house.now += timedelta(minutes=5)
    sent = client.post(
        "/api/v1/readings",
        json={"place": "fridge", "temp_c": 9.0, "at": "2026-11-03T07:32:00-05:00"},
    )
    assert sent.status_code == 200, sent.text
    told = sent.json()
    assert (told["new"], told["beyond"]) == (True, True)
    assert told["place"]["codes"] == [code]

    (fridge, *_) = client.get("/api/v1/temperatures").json()["places"]
    assert (fridge["name"], fridge["stands"], fridge["last_c"]) == (
        *("Fridge", "excursion", 9.0),
    )
    (one,) = client.get("/api/v1/readings?place=Fridge").json()["readings"]
    assert (one["temp_c"], one["at"]) == (9.0, "2026-11-03T07:32:00-05:00")
    assert client.head("/api/v1/temperatures").status_code == 200


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        ({"place": "Attic", "temp_c": 3.0}, 404),
        ({"place": "Fridge", "temp_c": 38.0}, 409),
        ({"place": "Fridge", "temp_c": 300.0}, 422),
        ({"place": "Fridge"}, 422),
        ({"place": "Fridge", "temp_c": 3.0, "at": "noon"}, 422),
        ({"place": "Fridge", "temp_c": 3.0, "at": "2026-11-04T07:32:00-05:00"}, 422),
    ],
)
def test_programs_are_refused_in_words(client, sent, status):
    answer = client.post("/api/v1/readings", json=sent)

    assert answer.status_code == status
    assert answer.json()["error"]
    assert client.get("/api/v1/readings?place=Fridge").json()["readings"] == []


def test_who_typed_it_stands_beside_it(house, client):
    session = house.session()
    session.who = "ilse"
    temps.type_reading(session, "Fridge", 3.5)

    assert "3.5 °C ilse" in text(client.get("/temperatures/place?name=Fridge"))
