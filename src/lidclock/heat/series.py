"""Bodies that neither freeze nor thaw: exact series, and their products for bricks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from lidclock.heat.bodies import CENTRE, CYLINDER, DIMENSIONS, SLAB
from lidclock.heat.curves import Floats

TERMS = 40
# More of them move a root by less than its last digits.
_HALVINGS = 48
# Points of the trapezium rule for Bessel's integral: exact to rounding for arguments
# below about as many; the largest root is some TERMS times pi.
_POINTS = 256


@dataclass(frozen=True, slots=True)
class Series:
    """How a body's excess over its medium dies away: sum of ``c exp(-z² a t / R²)``.

    Roots of ``z tan z = Bi`` (slab), ``z J1(z) = Bi J0(z)`` (cylinder) and
    ``1 - z cot z = Bi`` (sphere), Bi = h R / k: standard texts on conduction.
    """

    roots: Floats
    weights: Floats

    def excess(self, fourier: float) -> float:
        """The share of the first excess that is left at a Fourier number."""
        left = float(self.weights @ np.exp(-self.roots * self.roots * fourier))
        return min(1.0, left)


@lru_cache(maxsize=256)
def series_of(shape: str, biot: float, where: str = CENTRE) -> Series:
    """The series for the centre of a body, or for its mean.

    Raises
    ------
    ValueError
        If the shape is none of slab, cylinder, sphere, or the Biot number not positive.
    """
    if shape not in DIMENSIONS:
        raise ValueError(f"shape must be one of {', '.join(DIMENSIONS)}")
    if not biot > 0:
        raise ValueError(f"biot must be positive, got {biot}")
    roots = _roots(shape, biot)
    weights, averages = _weights(shape, roots)
    return Series(roots, weights if where == CENTRE else weights * averages)


@dataclass(frozen=True, slots=True)
class Direction:
    """One direction in which a body loses heat: a slab's or a cylinder's."""

    shape: str
    radius_m: float


def seconds_to(
    directions: Sequence[Direction],
    left: float,
    *,
    conductivity_w_mk: float,
    heat_capacity_j_m3k: float,
    film_w_m2k: float,
    where: str = CENTRE,
) -> float:
    """When a share of the first excess over the medium is left  [s].

    Parameters
    ----------
    directions : one for a slab, two for a finite cylinder, three for a brick: what is
        left of each multiplies
    left : over 0 and below 1

    Raises
    ------
    ValueError
        If `left` is not between 0 and 1.
    """
    if not 0 < left < 1:
        raise ValueError(f"left must lie between 0 and 1, got {left}")
    product = product_of(
        directions,
        conductivity_w_mk=conductivity_w_mk,
        heat_capacity_j_m3k=heat_capacity_j_m3k,
        film_w_m2k=film_w_m2k,
        where=where,
    )
    # One term alone passes the target at this time or later.
    early, late = 0.0, 10.0 / product.slowest * (1 - np.log(left))
    for _ in range(_HALVINGS):
        middle = (early + late) / 2
        is_early = product.left(middle) > left
        early, late = (middle, late) if is_early else (early, middle)
    return float((early + late) / 2)


@dataclass(frozen=True, slots=True)
class Product:
    """A body of several directions; each series with its Fourier numbers a second."""

    parts: tuple[tuple[Series, float], ...]

    @property
    def slowest(self) -> float:
        """How fast the first term dies away  [1/s]."""
        return sum(float(series.roots[0] ** 2) * pace for series, pace in self.parts)

    def left(self, seconds: float) -> float:
        """The share of the first excess over the medium that is left then."""
        return math.prod(series.excess(pace * seconds) for series, pace in self.parts)


def product_of(
    directions: Sequence[Direction],
    *,
    conductivity_w_mk: float,
    heat_capacity_j_m3k: float,
    film_w_m2k: float,
    where: str = CENTRE,
) -> Product:
    """The series of every direction of a body, as seconds see them."""
    diffusivity = conductivity_w_mk / heat_capacity_j_m3k
    return Product(
        tuple(
            (
                series_of(
                    one.shape, film_w_m2k * one.radius_m / conductivity_w_mk, where
                ),
                diffusivity / one.radius_m**2,
            )
            for one in directions
        )
    )


def _roots(shape: str, biot: float) -> Floats:
    """The first roots by halving; each lies alone between two known points."""
    counts = np.arange(TERMS)
    if shape == SLAB:
        low, high = counts * np.pi, (counts + 0.5) * np.pi
    elif shape == CYLINDER:
        # Zeros of J1 and of J0 take turns; both are near these points.
        zeros = _bessel_zeros()
        low, high = zeros[1][:TERMS], zeros[0][:TERMS]
    else:
        low, high = counts * np.pi, (counts + 1) * np.pi
    low, high = low.copy(), high.copy()
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        is_below = _misses(shape, middle, biot) < 0
        low, high = np.where(is_below, middle, low), np.where(is_below, high, middle)
    return (low + high) / 2


def _misses(shape: str, roots: Floats, biot: float) -> Floats:
    """Below zero before a root and above it after, between its two points."""
    sign = np.where(np.arange(TERMS) % 2 == 0, 1.0, -1.0)
    if shape == SLAB:
        missing = roots * np.sin(roots) - biot * np.cos(roots)
    elif shape == CYLINDER:
        missing = roots * bessel(1, roots) - biot * bessel(0, roots)
    else:
        missing = (1 - biot) * np.sin(roots) - roots * np.cos(roots)
    return sign * missing


def _weights(shape: str, z: Floats) -> tuple[Floats, Floats]:
    """Coefficients for the centre, and what turns them into those of the mean."""
    sine, cosine = np.sin(z), np.cos(z)
    if shape == SLAB:
        return 4 * sine / (2 * z + np.sin(2 * z)), sine / z
    if shape == CYLINDER:
        zeroth, first = bessel(0, z), bessel(1, z)
        return 2 * first / (z * (zeroth**2 + first**2)), 2 * first / z
    swing = sine - z * cosine
    return 4 * swing / (2 * z - np.sin(2 * z)), 3 * swing / z**3


def bessel(order: int, values: Floats) -> Floats:
    """Bessel's function of the first kind, of order 0 or 1, by its integral."""
    angles = (np.arange(_POINTS) + 0.5) * np.pi / _POINTS
    turned = order * angles - values[:, None] * np.sin(angles)
    found: Floats = np.cos(turned).mean(axis=1)
    return found


@cache
def _bessel_zeros() -> tuple[Floats, Floats]:
    """Zeros of J0, and of J1 from 0 on; McMahon's start, then halving."""
    counts = np.arange(1, TERMS + 1, dtype=np.float64)
    found: list[Floats] = []
    for order, shift in ((0, -0.25), (1, 0.25)):
        low: Floats = (counts + (shift - 0.2)) * np.pi
        high: Floats = (counts + (shift + 0.2)) * np.pi
        rising = np.sign(bessel(order, high))
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            is_below = bessel(order, middle) * rising < 0
            low = np.where(is_below, middle, low)
            high = np.where(is_below, high, middle)
        found.append((low + high) / 2)
    return found[0], np.concatenate([[0.0], found[1]])
