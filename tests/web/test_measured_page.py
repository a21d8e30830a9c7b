"""A box that is measured on arrival: walk-through 3B.10."""

import re
from datetime import timedelta

from tests.web.pages import hidden_fields


def measure(client, code, temp, **more):
    page = client.get(f"/c/{code}").text
    (form,) = [
        found
        for found in re.findall(r"<form.*?</form>", page, re.S)
        if 'name="do" value="measure"' in found
    ]
    sent = hidden_fields(form, f"/c/{code}", "measure")
    return client.post(f"/c/{code}", data={**sent, "temp": temp, **more})


def text(answer):
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_a_warm_box_is_told_with_what_is_not_known_and_what_is_left(house, client):
    (code,) = house.prep("bean salad")
    house.now += timedelta(hours=1)
    before = client.get(f"/api/v1/containers/{code}").json()
    answer = measure(client, code, "8.3")

    says = text(answer)
    assert "It measured 8.3 °C, which is too warm." in says
    assert "Since when it was that warm, nobody knows." in says
    assert "It counts as that warm since Tue 3 Nov 2026 07:30" in says
    assert "cool it at once and measure it again, use it within the limit above" in says
    assert 'href="/cooling"' in answer.text
    assert "allergens: none recorded" in says
    after = client.get(f"/api/v1/containers/{code}").json()
    assert after["last_moment"] < before["last_moment"]
    assert any("since when, is not known" in x for x in after["verdict"]["unknown"])


def test_measured_cold_nothing_is_asked_and_nothing_moves(house, client):
    (code,) = house.prep("bean salad")
    house.now += timedelta(hours=1)
    before = client.get(f"/api/v1/containers/{code}").json()["last_moment"]
    answer = measure(client, code, "3.5")

    assert "It measured" not in text(answer)
    assert "measured at 3.5 °C" in text(answer)
    after = client.get(f"/api/v1/containers/{code}").json()["last_moment"]
    assert after == before


def test_after_too_long_only_discarding_is_left(house, client):
    (code,) = house.prep("bean salad")
    house.now += timedelta(hours=5)
    answer = measure(client, code, "8.3")

    assert "Its time is over: discard it." in text(answer)
    assert "use it within the limit" not in text(answer)


def test_a_slip_is_asked_about_and_undo_takes_a_measurement_back(house, client):
    (code,) = house.prep("bean salad")
    house.now += timedelta(hours=1)
    asked = measure(client, code, "47")
    assert "47 °C is unusual for a fridge" in text(asked)
    form = hidden_fields(asked.text, f"/c/{code}")
    done = client.post(f"/c/{code}", data={**form, "anyway": "yes"})
    assert "It measured 47 °C" in text(done)

    undone = client.post("/undo", data=hidden_fields(done.text, "/undo"))
    assert "It measured 47 °C" not in text(undone)


def test_a_device_measures_a_box_without_a_signal(house, client):
    (code,) = house.prep("bean salad")
    house.now += timedelta(hours=1)
    event = {
        "id": "019a0000-0000-7000-8000-000000000001",
        "kind": "measured",
        "subject": code,
        "happened_at": "2026-11-03T08:00:00-05:00",
        "body": {"temp_c": 8.3},
    }
    sent = {"events": [event], "sent_at": "2026-11-03T08:30:00-05:00"}
    first, again = (client.post("/api/v1/events", json=sent).json() for _ in range(2))

    assert first["results"][0]["result"] == "recorded"
    assert again["results"][0]["result"] == "known"
    assert "It measured 8.3 °C" in text(client.get(f"/c/{code}"))
