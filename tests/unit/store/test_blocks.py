"""Readings in bytes and back: every digit, every microsecond, and damage told."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.errors import StoreError
from lidclock.store.blocks import pack, unpack

START_US = 1_793_606_400_000_000
MINUTE_US = 60_000_000


def there_and_back(times_us, temps_c):
    times, temps = np.array(times_us, dtype=np.int64), np.array(temps_c, dtype=float)
    back_times, back_temps = unpack(pack(times, temps))
    return (times, temps), (back_times, back_temps)


def test_what_was_typed_is_printed_back():
    typed = ["6.5", "4.2", "6.4375", "-18", "0.1", "85", "3.141592", "-0.3"]
    times = [START_US + n for n in range(len(typed))]
    back = unpack(pack(np.array(times), np.array([*map(float, typed)])))[1].tolist()

    assert [repr(value).removesuffix(".0") for value in back] == typed


@given(
    st.dictionaries(
        st.integers(0, 4 * 10**15),
        st.one_of(
            st.integers(-400, 2000).map(lambda n: n / 16),
            st.decimals(-100, 200, places=4).map(float),
            st.floats(allow_nan=False, allow_infinity=False),
        ),
        min_size=1,
        max_size=40,
    )
)
def test_nothing_is_lost(readings):
    times = sorted(readings)
    given_in, back = there_and_back(times, [readings[at] for at in times])

    assert np.array_equal(given_in[0], back[0])
    assert np.array_equal(given_in[1], back[1])


@pytest.mark.parametrize("unit", [1, 1_000, 1_000_000, MINUTE_US])
def test_times_survive_in_every_unit(unit):
    times = START_US // unit * unit + np.cumsum(np.arange(1, 300)) * unit
    given_in, back = there_and_back(times, np.full(times.size, 4.0))

    assert np.array_equal(given_in[0], back[0])


def test_a_day_at_one_a_minute_takes_few_bytes():
    """The promise is 150 MB for 10.5 M readings: 14 bytes each, rows and all."""
    random = np.random.default_rng(7)
    times = (
        START_US + np.arange(1440) * MINUTE_US + random.integers(0, 900, 1440) * 1000
    )
    temps = np.round(4 + random.normal(0, 0.5, 1440), 2)

    assert len(pack(times, temps)) < 5 * 1440


@pytest.mark.parametrize(
    "harm",
    [
        lambda packed: packed[:10],
        lambda packed: packed[:-3],
        lambda packed: b"\x07" + packed[1:],
        lambda packed: packed[:40] + b"\x00" + packed[41:],
        lambda packed: packed[:5] + b"\x03" + packed[6:],
        lambda packed: packed[:8] + b"\x05" + packed[9:],
        lambda _: b"",
    ],
)
def test_damage_is_told(harm):
    packed = pack(np.arange(9) * 1_000_001 + START_US, np.arange(9) / 8)

    with pytest.raises(StoreError, match="a block of readings is damaged"):
        unpack(harm(packed))
