"""Readings over HTTP, on a real socket: stored before the answer goes out."""

import http.client
import json
from datetime import UTC, datetime

import pytest

from lidclock.errors import GatewayError, InputError, ReadingError, StoreError
from lidclock.gateways.arrivals import Arrival
from lidclock.gateways.http_intake import MOST_BYTES, Door, open_door, read_door

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)
ONE = {"sensor": "Fridge 2", "temp_c": 6.5, "at": "2026-11-02T06:59:00-05:00"}


class Book:
    """Where readings are kept."""

    def __init__(self):
        self.readings, self.error = [], None

    def keep(self, readings):
        if self.error is not None:
            raise self.error
        self.readings += [one for one in readings if isinstance(one, Arrival)]
        return [str(one) if isinstance(one, ReadingError) else "" for one in readings]


class Sensor:
    """Posts to an open door."""

    def __init__(self, host, port):
        self.host, self.port = host, port

    def ask(self, method="POST", path="/readings", body=b"", **headers):
        """Status and answer of one request."""
        line = http.client.HTTPConnection(self.host, self.port, timeout=10)
        try:
            line.request(method, path, body, headers)
            answer = line.getresponse()
            return answer.status, json.loads(answer.read())
        finally:
            line.close()

    def post(self, found, **headers):
        return self.ask(body=json.dumps(found).encode(), **headers)


@pytest.fixture
def book():
    return Book()


@pytest.fixture
def sensor(book):
    with open_door(Door("127.0.0.1", 0), book.keep, now=lambda: NOW) as where:
        yield Sensor(*where)


def test_a_reading_is_stored_and_acknowledged(sensor, book):
    assert sensor.post(ONE) == (200, {"stored": 1})

    (reading,) = book.readings
    assert (reading.sensor, reading.temp_c) == ("Fridge 2", 6.5)
    assert reading.at == datetime(2026, 11, 2, 11, 59, tzinfo=UTC)


def test_a_reading_without_a_time_is_of_now(sensor, book):
    sensor.post(
        [{"sensor": "a", "temp_f": 41}, {"sensor": "b", "value": 3, "unit": "C"}]
    )

    assert [(one.temp_c, one.at) for one in book.readings] == [(5.0, NOW), (3.0, NOW)]


def test_good_ones_are_kept_and_bad_ones_told_by_their_place(sensor, book):
    status, told = sensor.post({"readings": [ONE, {"sensor": "x"}, 7, ONE]})

    assert (status, told["stored"], told["refused"]) == (200, 2, 2)
    assert told["why"][0].startswith("[1] x: no temperature; give one of")
    assert told["why"][1] == "[2] an object is expected, not '7'"
    assert len(book.readings) == 2


@pytest.mark.parametrize(
    "body", [b"", b"[]", b"nonsense", b"\xff\xfe", b"[" * 100_000, b'{"sensor": "x"}']
)
def test_what_is_no_reading_is_a_bad_request(sensor, book, body):
    status, told = sensor.ask(body=body)

    assert status == 400
    assert told.get("error") or told["stored"] == 0
    assert book.readings == []


def test_a_reading_without_a_unit_is_not_guessed_at(sensor, book):
    status, told = sensor.post({"sensor": "a", "temp": 41})

    assert (status, book.readings) == (400, [])
    assert "41 of which scale?" in told["why"][0]


def test_nothing_is_acknowledged_that_was_not_stored(sensor, book):
    book.error = StoreError("the disk is full")

    assert sensor.post(ONE) == (503, {"error": "the disk is full"})


def test_too_large_a_body_is_refused_and_its_sender_hears_why(sensor):
    status, told = sensor.ask(body=b" " * (MOST_BYTES + 1))

    assert (status, told["error"]) == (413, "send at most 1000000 bytes at once")


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("GET", "/readings", 405), ("POST", "/", 404), ("POST", "/readings/x", 404)],
)
def test_there_is_nothing_else(sensor, method, path, status):
    assert sensor.ask(method, path)[0] == status


def test_a_door_to_the_outside_needs_a_token():
    with pytest.raises(InputError, match="can be reached from outside: give a token"):
        read_door("0.0.0.0:8089")
    assert read_door("0.0.0.0:8089", "s3cret").port == 8089


def test_only_who_knows_the_token_may_enter(book):
    door = Door("127.0.0.1", 0, "s3cret")
    with open_door(door, book.keep, now=lambda: NOW) as where:
        sensor = Sensor(*where)
        assert sensor.post(ONE)[0] == 401
        assert sensor.post(ONE, Authorization="Bearer s3cre")[0] == 401
        assert sensor.post(ONE, Authorization="Bearer s3cret")[0] == 200

    assert len(book.readings) == 1


def test_a_taken_address_is_told(book):
    with open_door(Door("127.0.0.1", 0), book.keep, now=lambda: NOW) as (host, port):
        other = open_door(Door(host, port), book.keep, now=lambda: NOW)
        with pytest.raises(GatewayError, match="choose another port"), other:
            pass


@pytest.mark.parametrize("text", ["", "host", "h:x", "h:99999", "h:-1"])
def test_what_is_no_address_is_refused(text):
    with pytest.raises(InputError, match="write it like 8089 or"):
        read_door(text)
