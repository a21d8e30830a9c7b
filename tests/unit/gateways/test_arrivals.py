"""What a sensor sent, read as a value or refused with a reason; no unit is guessed."""

import json
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.errors import ReadingError
from lidclock.gateways.arrivals import read_payload

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)
TIMED = '{"temp": 4.5, "unit": "C", "at": "2026-11-02T06:59:00-05:00"}'


def read(payload, unit="c"):
    return read_payload("a", payload.encode(), NOW, unit=unit)


@pytest.mark.parametrize(
    ("payload", "unit", "temp_c"),
    [
        ("6.5", "c", 6.5),
        ("41", "f", 5.0),
        ("41 F", "c", 5.0),
        ("6,5 °C", "", 6.5),
        ('{"temp": 41, "unit": "°F"}', "c", 5.0),
        ('{"temp_f": 41}', "", 5.0),
        ('{"temperature_c": 5}', "f", 5.0),
        ('{"value": 41}', "f", 5.0),
        # (41.3 - 32) / 1.8 = 5.16666...
        ("41.3", "f", 5.1667),
    ],
)
def test_a_temperature_is_read_in_its_unit(payload, unit, temp_c):
    assert read(payload, unit).temp_c == temp_c


def test_a_reading_has_its_own_time_or_that_of_its_arrival():
    assert read(TIMED).at == datetime(2026, 11, 2, 11, 59, tzinfo=UTC)
    assert read("4.5").at == NOW


@pytest.mark.parametrize("said", ["1793620740", "1793620740000"])
def test_seconds_and_milliseconds_are_told_apart(said):
    """1793620740 s after 1970 is 2 Nov 2026, 11:59 UTC."""
    found = read('{"temp": 4.5, "ts": ' + said + "}")

    assert found.at == datetime(2026, 11, 2, 11, 59, tzinfo=UTC)


@pytest.mark.parametrize("payload", ["41", '{"temp": 41}', '{"value": 41}'])
def test_a_number_of_no_scale_is_refused(payload):
    with pytest.raises(ReadingError, match="41 of which scale") as error:
        read(payload, "")

    assert error.value.kind == "no-unit"


@pytest.mark.parametrize("payload", ["-127", '{"temp_f": -196.6}'])
def test_an_unplugged_sensor_is_told_as_such(payload):
    with pytest.raises(ReadingError, match="when it is not connected"):
        read(payload)


@pytest.mark.parametrize(
    ("payload", "said"),
    [
        ("warm", "'warm' is neither a number nor JSON"),
        ("{}", "no temperature; give one of temp_c"),
        ('{"temp": "6"}', "temp must be a number, not '6'"),
        ('{"temp": true}', "temp must be a number, not True"),
        ('{"temp": 6, "value": 6}', "both temp and value"),
        ('{"temp": 6, "unit": "K"}', "unit must be C or F"),
        ('{"temp": 6, "time": "yesterday"}', "time must be ISO 8601 or seconds"),
        ('{"temp": 6, "time": "2026-11-02T07:00"}', "has no offset"),
        ("NaN", "neither a number nor JSON|lies outside"),
        ('{"temp": 1' + "0" * 400 + "}", "is no temperature"),
        (
            '{"temp": 6, "time": "0001-01-01T00:00:00+05:00"}',
            "time must be ISO 8601 or seconds",
        ),
        ("-127.5", "the sensor may be broken"),
        ("[6.5]", "a JSON object is expected"),
        ("[" * 5000, "neither a number nor JSON"),
    ],
)
def test_what_is_no_reading_is_refused(payload, said):
    with pytest.raises(ReadingError, match=f"^a: .*({said})"):
        read(payload)


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=5,
)
FACTS = st.dictionaries(
    st.sampled_from("temp temp_c value unit at time ts".split()), VALUES, max_size=3
)


@given(st.binary() | FACTS.map(lambda one: json.dumps(one).encode()))
def test_nothing_that_is_sent_ends_the_program(payload):
    """A message that raised anything else would come again at every start."""
    try:
        found = read_payload("a", payload, NOW, unit="c")
    except ReadingError:
        return

    assert -100 <= found.temp_c <= 200
    assert found.at.tzinfo is UTC
