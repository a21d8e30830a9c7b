"""Exposure: the running integral of a rate over readings, and what one stay took."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.rates import Floats, RateLaw, floats
from lidclock.kinetics.running import BLOCK, Indices, RunningSum, areas_of

# Readings with one pace, and how often a guess by it is moved before a search.
_STRETCH = 32_768
_CORRECTIONS = 4


class Exposure:
    """The exposure at every instant covered by the readings of one place.

    Parameters
    ----------
    times_h : (n,) float64, strictly rising, n >= 2; kept, not copied  [h]
    temps_c : (n,) float64 or float32, linear between readings; kept, not copied  [°C]
    law : the rate law
    block : runs summed in one go, a multiple of 8

    Raises
    ------
    ValueError
        If the arrays do not match, times do not rise, or any value is no number: a gap
        is filled or split by the caller, never bridged silently here.

    Notes
    -----
    Built once in O(n), with 9 bytes a reading beside the readings themselves; a stay
    then costs two look-ups.
    """

    __slots__ = ("_scale", "_sum", "law", "temps_c", "times_h")

    def __init__(
        self,
        times_h: ArrayLike,
        temps_c: ArrayLike,
        law: RateLaw,
        *,
        block: int = BLOCK,
    ) -> None:
        self.times_h = floats(times_h)
        temps = np.asarray(temps_c)
        self.temps_c = temps if temps.dtype == np.float32 else floats(temps)
        shapes = self.times_h.shape, self.temps_c.shape
        if self.times_h.ndim != 1 or shapes[0] != shapes[1] or self.times_h.size < 2:
            raise ValueError(
                "need two equal one-dimensional arrays, n >= 2; got shapes "
                f"{shapes[0]} and {shapes[1]}"
            )
        self.law = law
        areas = areas_of(law, block)
        self._sum = RunningSum(self.times_h, self.temps_c, areas, block)
        self._scale = areas.scale

    @property
    def total(self) -> float:
        """The exposure over all readings  [ln units]."""
        return self._sum.total * self._scale

    def between(self, starts_h: ArrayLike, ends_h: ArrayLike) -> Floats:
        """The exposure of each stay: the running integral's difference over it.

        Parameters
        ----------
        starts_h, ends_h : arrays of one shape, start <= end, within the readings  [h]

        Returns
        -------
        array of that shape, >= 0  [ln units]

        Raises
        ------
        ValueError
            If a stay ends before it begins, or reaches beyond the readings: what was
            not measured is not known, and not 0.
        """
        starts, ends = np.broadcast_arrays(floats(starts_h), floats(ends_h))
        if not (starts <= ends).all():
            raise ValueError("a stay must not end before it begins")
        first, last = self.times_h[0], self.times_h[-1]
        if starts.size and not (starts.min() >= first and ends.max() <= last):
            raise ValueError(f"a stay reaches beyond the readings, {first} to {last} h")
        then, now = self._parts(starts.ravel()), self._parts(ends.ravel())
        # Part by part, before they are added: that is where digits would be lost.
        total = np.zeros(starts.size)
        for earlier, later in zip(then, now, strict=True):
            total += later - earlier
        return np.maximum(total * self._scale, 0.0).reshape(starts.shape)

    def _parts(self, moments: Floats) -> tuple[Floats, ...]:
        """The running integral at each moment, in parts, each divided by scale."""
        # In order, neighbours touch the same memory: many times faster on long records.
        order = np.argsort(moments)
        ordered = moments[order]
        reading = self._find(ordered)
        found = (*self._sum.before(reading), self._since(reading, ordered))
        parts = tuple(np.empty_like(moments) for _ in found)
        for part, values in zip(parts, found, strict=True):
            part[order] = values
        return parts

    def _find(self, ordered: Floats) -> Indices:
        """The last reading at or before each moment; the moments must not fall.

        Loggers read at an even pace: a guess from the pace of a stretch and a step or
        two of correction touch far less memory than halving does. What these do not
        find is searched for.
        """
        last = self.times_h.size - 1
        stretch = np.searchsorted(self.times_h[:-1:_STRETCH], ordered, "right") - 1
        first = stretch * _STRETCH
        end = np.minimum(first + _STRETCH, last)
        began = self.times_h[first]
        pace = (end - first) / (self.times_h[end] - began)
        reading = np.minimum(first + ((ordered - began) * pace).astype(np.intp), last)
        left = np.arange(ordered.size)
        for _ in range(_CORRECTIONS):
            guess, moment = reading[left], ordered[left]
            at, then = self.times_h[guess], self.times_h[np.minimum(guess + 1, last)]
            is_early = (then <= moment) & (guess < last)
            is_wrong = is_early | (at > moment)
            if not is_wrong.any():
                return reading
            step = np.floor((moment - at) * pace[left]).astype(np.intp)
            step[is_early] = np.maximum(step[is_early], 1)
            left = left[is_wrong]
            reading[left] = np.clip((guess + step)[is_wrong], 0, last)
        reading[left] = np.searchsorted(self.times_h, ordered[left], "right") - 1
        return reading

    def _since(self, reading: Indices, moments: Floats) -> Floats:
        """The exposure from a reading to a moment before the next, divided by scale."""
        after = np.minimum(reading + 1, self.times_h.size - 1)
        began = self.times_h[reading]
        gone, step = moments - began, self.times_h[after] - began
        share = np.zeros_like(moments)
        np.divide(gone, step, out=share, where=step > 0)
        start = floats(self.temps_c[reading])
        end = start + share * (floats(self.temps_c[after]) - start)
        part: Floats = self.law.mean_rate(start, end) * (gone / self._scale)
        return part
