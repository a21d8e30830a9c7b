"""A kitchen's settings, and two owners who change them at once."""

import pytest
from tests.web.pages import hidden_fields

from lidclock.app import transfer
from lidclock.app.lids import action_labels
from lidclock.app.session import Session

PLACES = ("Fridge", "Freezer", "Counter")


def settings(page):
    """The form as it was sent out, with what it showed."""
    form = hidden_fields(page, "/kitchen", "was_name")
    shown = {
        name.removeprefix("was_"): value
        for name, value in form.items()
        if name.startswith("was_")
    }
    return {**form, **shown}


def choices(house):
    from lidclock.app.planning import choices_of

    session = house.session()
    with session.read() as unit:
        return session.kitchen, choices_of(unit)


def test_hours_and_costs_are_saved_and_the_rest_stays(house, client):
    form = settings(client.get("/kitchen").text)
    page = client.post(
        "/kitchen", data={**form, "card_hours": "16:00, 7:30", "lead_h": "24"}
    )
    assert page.status_code == 422
    assert "is not an hour such as 07:30" in page.text
    changed = {**form, "card_hours": "07:30, 16:00", "lead_h": "24", "money": "EUR"}
    assert "Saved." in client.post("/kitchen", data=changed).text

    kitchen, chosen = choices(house)
    assert kitchen.lead_h == 24
    assert [f"{hour:%H:%M}" for hour in chosen.card_hours] == ["07:30", "16:00"]
    assert (chosen.money, chosen.worth, chosen.cover_days) == ("EUR", 3.0, 3)


def test_the_second_of_two_owners_is_told_what_changed_and_loses_nothing(house, client):
    first = settings(client.get("/kitchen").text)
    second = dict(first)
    client.post("/kitchen", data={**first, "worth": "4.5"})
    answer = client.post("/kitchen", data={**second, "name": "Galley", "worth": "2"})

    assert answer.status_code == 409
    assert "What a wasted portion costs: it was 3, it is 4.5 now" in answer.text
    # What the second typed is still in the form, and nothing of it is saved.
    assert 'name="name" value="Galley"' in answer.text
    assert 'name="worth" value="2"' in answer.text
    kitchen, chosen = choices(house)
    assert (kitchen.name, chosen.worth) == ("Test kitchen", 4.5)

    again = {**settings(answer.text), "name": "Galley", "worth": "2"}
    assert client.post("/kitchen", data=again).status_code == 200
    kitchen, chosen = choices(house)
    assert (kitchen.name, chosen.worth) == ("Galley", 2.0)


@pytest.mark.parametrize("hours", ["0", "337", "1e2", "00000199999", "1" * 5000])
def test_hours_ahead_that_nobody_plans_are_refused(house, client, hours):
    """Noughts in front must not hide how many there are."""
    form = settings(client.get("/kitchen").text)
    answer = client.post("/kitchen", data={**form, "lead_h": hours})

    assert answer.status_code == 422
    assert "hours ahead lie from 1 to 336" in answer.text
    assert choices(house)[0].lead_h == int(form["lead_h"])


def test_two_owners_with_the_same_place(client):
    first = hidden_fields(client.get("/kitchen").text, "/kitchen/places", "state")
    second = dict(first)
    client.post("/kitchen/places", data={**first, "name": "Cellar", "state": "fridge"})
    answer = client.post(
        "/kitchen/places", data={**second, "name": "Attic", "state": "counter"}
    )

    assert answer.status_code == 409
    assert "it is Fridge, Freezer, Counter, Cellar now" in answer.text
    assert 'value="Attic"' in answer.text
    form = hidden_fields(answer.text, "/kitchen/places", "state")
    twin = client.post(
        "/kitchen/places", data={**form, "name": "cellar", "state": "hot"}
    )
    assert "there is a place" in twin.text


def test_a_printed_symbol_means_its_place_when_places_are_moved(house, client):
    """A lid that is scanned into the freezer must not count as in the fridge."""
    (code,) = house.prep("stew")
    before = {x.word: x.code for x in action_labels(house.session())}
    form = hidden_fields(client.get("/kitchen").text, "/kitchen/places", "state")
    client.post("/kitchen/places", data={**form, "up": "Freezer"})
    session = house.session()
    scan = hidden_fields(client.get("/scan").text, "/scan")
    page = client.post(
        "/scan",
        data={**scan, "line": code, "action": before["Freezer"]},
        files={"photo": ("", b"")},
    ).text

    assert [one.name for one in session.places] == ["Freezer", "Fridge", "Counter"]
    assert {x.word: x.code for x in action_labels(session)} == before
    assert {name: session.place(before[name][3:]).name for name in PLACES} == {
        name: name for name in PLACES
    }
    assert "frozen" in page
    with session.read() as unit:
        assert unit.find(code).place == "Freezer"


def test_numbers_of_places_come_along_into_another_database(house, client, tmp_path):
    form = hidden_fields(client.get("/kitchen").text, "/kitchen/places", "state")
    client.post("/kitchen/places", data={**form, "up": "Counter"})
    session = house.session()
    there = tmp_path / "there.db"
    with session.read() as unit:
        lines = [*transfer.export_lines(unit)]
    transfer.ensure_kitchen(there, transfer.read_lines(lines, "kitchen"))
    other = Session.open(there, now=house.now)
    found = [(one.name, one.number) for one in other.places]
    other.close()

    assert found == [("Fridge", 1), ("Counter", 3), ("Freezer", 2)]


def test_a_place_moves_up_and_is_then_the_one_that_a_tap_means(house, client):
    form = hidden_fields(client.get("/kitchen").text, "/kitchen/places", "state")
    client.post("/kitchen/places", data={**form, "name": "Chest", "state": "freezer"})
    for _ in range(2):
        form = hidden_fields(client.get("/kitchen").text, "/kitchen/places", "state")
        client.post("/kitchen/places", data={**form, "up": "Chest"})

    assert house.session().place_in_state("freezer").name == "Chest"
    assert [one.name for one in house.session().places] == [
        *("Fridge", "Chest", "Freezer", "Counter")
    ]
