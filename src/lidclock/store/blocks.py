"""Readings packed into bytes, and back without a digit lost.

Times are differences in the largest unit that divides them all. Temperatures are whole
numbers of the last decimal place that any of them has, as differences; where one has
more than nine places, all stay as they are. Bytes of equal weight lie together, which
makes them small under zlib.
"""

from __future__ import annotations

import struct
import zlib
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lidclock.errors import StoreError

Micros = NDArray[np.int64]
Floats = NDArray[np.float64]

_VERSION = 1
_UNITS_US = (1_000_000, 1_000, 1)
_MOST_PLACES = 9
_AS_THEY_ARE = 255
# Beyond this a product with 10 ** places may not be a whole float64.
_LARGEST_WHOLE = 2.0**53
# Version, unit of time in µs, bytes a time, decimal places, bytes a temperature, count,
# first time, first temperature; little-endian.
_HEAD = struct.Struct("<BIBBBIqq")
_WIDTHS = ((1, np.int8), (2, np.int16), (4, np.int32), (8, np.int64))
_DTYPES = {width: np.dtype(kind).newbyteorder("<") for width, kind in _WIDTHS}
_FLOAT = np.dtype(np.float64).newbyteorder("<")
_QUICK = 1  # zlib's level: higher ones take five times as long and save a tenth


def pack(times_us: Micros, temps_c: Floats) -> bytes:
    """Bytes for n >= 1 readings; times strictly rise, temperatures are numbers."""
    unit = next(unit for unit in _UNITS_US if not (times_us % unit).any())
    times = _differences(times_us // unit)
    places, whole = _as_whole(temps_c)
    if whole is None:
        first, width = 0, _FLOAT.itemsize
        temps = _shuffled(temps_c.astype(_FLOAT))
    else:
        first, differences = int(whole[0]), _differences(whole)
        width, temps = differences.itemsize, _shuffled(differences)
    head = _HEAD.pack(
        *(_VERSION, unit, times.itemsize, places, width),
        *(times_us.size, int(times_us[0]), first),
    )
    return head + zlib.compress(_shuffled(times) + temps, _QUICK)


def unpack(packed: bytes) -> tuple[Micros, Floats]:
    """The readings in a block; StoreError if the bytes are damaged."""
    try:
        head = _HEAD.unpack_from(packed)
        version, unit, time_width, places, width, count, first_us, first = head
        if version != _VERSION:
            raise ValueError(f"version {version}")
        body = zlib.decompress(packed[_HEAD.size :])
        split = (count - 1) * time_width
        times = _summed(0, _unshuffled(body[:split], _DTYPES[time_width]))
        times_us = first_us + times * unit
        if places == _AS_THEY_ARE:
            temps: Floats = _unshuffled(body[split:], _FLOAT).astype(np.float64)
        else:
            whole = _summed(first, _unshuffled(body[split:], _DTYPES[width]))
            temps = whole / 10.0**places
        if not times_us.size == temps.size == count:
            raise ValueError("wrong length")
    except (struct.error, zlib.error, ValueError, KeyError) as error:
        raise StoreError(
            f"a block of readings is damaged ({error}): restore the latest backup"
        ) from error
    return times_us, temps


def _as_whole(temps_c: Floats) -> tuple[int, Micros | None]:
    """The fewest decimal places that hold every temperature, and them as whole."""
    for places in range(_MOST_PLACES + 1):
        scale = 10.0**places
        with np.errstate(over="ignore"):
            scaled = np.rint(temps_c * scale)
        if np.abs(scaled).max() > _LARGEST_WHOLE:
            break
        # A number of few places is the float64 nearest to this quotient.
        if (scaled / scale == temps_c).all():
            return places, scaled.astype(np.int64)
    return _AS_THEY_ARE, None


def _differences(whole: Micros) -> NDArray[Any]:
    """Each less the one before, in as few bytes as hold them all."""
    steps = np.diff(whole)
    if not steps.size:
        return steps.astype(np.int8)
    low, high = int(steps.min()), int(steps.max())
    for width, kind in _WIDTHS:
        limits = np.iinfo(kind)
        if limits.min <= low and high <= limits.max:
            return steps.astype(_DTYPES[width])
    raise ValueError("differences beyond 64 bits")


def _summed(first: int, steps: NDArray[Any]) -> Micros:
    whole = np.empty(steps.size + 1, dtype=np.int64)
    whole[0] = first
    np.cumsum(steps, dtype=np.int64, out=whole[1:])
    whole[1:] += first
    return whole


def _shuffled(values: NDArray[Any]) -> bytes:
    """All first bytes, then all second bytes, and so on."""
    as_bytes = np.ascontiguousarray(values).view(np.uint8)
    return as_bytes.reshape(values.size, values.itemsize).T.tobytes()


def _unshuffled(body: bytes, dtype: np.dtype[Any]) -> NDArray[Any]:
    as_bytes = np.frombuffer(body, dtype=np.uint8).reshape(dtype.itemsize, -1)
    return np.ascontiguousarray(as_bytes.T).view(dtype).reshape(-1)
