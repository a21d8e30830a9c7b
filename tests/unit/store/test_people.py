"""People, devices, visits and tries as rows: kitchens apart, nothing twice."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.people import Device, Person
from lidclock.errors import RefusedError
from lidclock.store.devices import Devices, Pairing, Pairings, Visit, Visits
from lidclock.store.people import Attempts, People, Secrets, Tries

NOW = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
LATER = NOW + timedelta(hours=1)


@pytest.fixture
def here(database):
    """A transaction and the kitchen in it."""
    with database.begin() as connection:
        yield connection, "home"


def visit(hash_: str, *, device: str = "", person: str = "", ends_at=LATER) -> Visit:
    return Visit(hash_, device, person, "helper", NOW, NOW, ends_at)


def test_people_are_kept_by_handle(here):
    people = People(*here)
    people.add(Person("2", "ben", "helper"), "")
    people.add(Person("1", "Ada", "owner", has_code=True), "scrypt$x")

    assert [one.handle for one in people.all()] == ["Ada", "ben"]
    assert people.get("1") == Person("1", "Ada", "owner", has_code=True)
    assert people.code_hash("1") == "scrypt$x"
    assert people.code_hash("2") == ""


def test_a_handle_is_taken_in_any_case(here):
    people = People(*here)
    people.add(Person("1", "Ada", "owner"), "")
    people.add(Person("2", "Ben", "owner"), "")

    with pytest.raises(RefusedError, match="already"):
        people.add(Person("3", "ADA", "helper"), "")
    with pytest.raises(RefusedError, match="already"):
        people.update(Person("2", "ada", "owner"), "")


def test_the_first_secret_of_two_stays(here):
    secrets = Secrets(*here)

    assert secrets.get("form-key") == ""
    assert secrets.keep_first("form-key", "a") == "a"
    assert secrets.keep_first("form-key", "b") == "a"
    secrets.put("form-key", "c")
    assert secrets.get("form-key") == "c"


def test_tries_are_kept_forgiven_and_forgotten(here):
    attempts = Attempts(*here)
    tries = Tries(5, NOW, LATER)
    attempts.put("code/1", tries)
    attempts.put("code/2", Tries(1, NOW - timedelta(days=2), NOW))
    attempts.forget_before(NOW - timedelta(days=1))

    assert attempts.get("code/1") == tries
    assert attempts.get("code/2") is None
    attempts.forgive("code/1")
    assert attempts.get("code/1") is None


def test_a_browser_is_never_found_by_an_empty_token(here):
    devices = Devices(*here)
    devices.put(Device("1", "tablet", "helper", NOW, NOW), "")
    devices.put(Device("2", "scale", "helper", NOW, NOW), "abc")

    assert devices.of_token("") is None
    assert devices.of_token("abc").name == "scale"


def test_a_device_takes_its_visits_along(here):
    devices, visits = Devices(*here), Visits(*here)
    devices.put(Device("1", "tablet", "helper", NOW, NOW), "")
    visits.add(visit("a", device="1"))
    visits.add(visit("b"))

    assert devices.remove("1")
    assert not devices.remove("1")
    assert visits.get("a") is None
    assert visits.get("b") == visit("b")


def test_visits_that_are_over_are_forgotten_when_one_begins(here):
    visits = Visits(*here)
    visits.add(visit("a", ends_at=NOW - timedelta(seconds=1)))
    visits.add(visit("b"))

    assert visits.get("a") is None
    assert visits.get("b") is not None


def test_a_pairing_is_taken_once(here):
    pairings = Pairings(*here)
    offered = Pairing("h", "helper", "", "Ada", LATER)
    pairings.add(offered, NOW)

    assert pairings.take("other") is None
    assert pairings.take("h") == offered
    assert pairings.take("h") is None


def test_one_kitchen_does_not_see_the_other(here):
    connection, kitchen = here
    People(connection, kitchen).add(Person("1", "Ada", "owner"), "")
    Visits(connection, kitchen).add(visit("a"))
    Secrets(connection, kitchen).put("password", "x")

    assert People(connection, "other").all() == []
    assert Visits(connection, "other").get("a") is None
    assert Secrets(connection, "other").get("password") == ""
