"""Several bodies of one food, all of them one step of time on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from lidclock.heat.bodies import Case, grid_of
from lidclock.heat.curves import Curve, Floats, Tangents

# Error allowed in a step, as a share of all the heat there is to exchange.
TOLERANCE = 1e-3
# How far around a node the steepest slope is looked for, as a share of that heat: from
# 0.003 to 0.01 takes the fewest steps (2,400 become 160 for thin broth in a fridge);
# no answer moves by more than 0.01 %.
REACH = 0.005

# ROS2 of Verwer, Spee, Blom and Hundsdorfer 1999, SIAM J. Sci. Comput. 20:1456 (from
# memory; tests find an error of the second order): of that order whatever slopes are
# taken, two products a step, no iteration, no heat lost between nodes.
_GAMMA = 1 - math.sqrt(0.5)
# A node that begins or ends to freeze makes the error jump, so steps are chosen with
# room to spare: fewer are refused (found by trial on five cases).
_SPARE, _NARROWEST, _WIDEST = 0.7, 0.2, 3.0
_LEAST_ERROR = 1e-9

Flags: TypeAlias = npt.NDArray[np.bool_]


class Bodies:
    """The equations of several bodies of one food; a row of heat for each."""

    def __init__(self, curve: Curve, cases: Sequence[Case], nodes: int) -> None:
        grids = [grid_of(one.shape, one.radius_m, nodes) for one in cases]
        films = [
            one.film_w_m2k * grid.face_area / grid.volumes[-1]
            for one, grid in zip(cases, grids, strict=True)
        ]
        starts = np.array([curve.heat_at(one.start_c) for one in cases])
        ends = np.array([curve.heat_at(one.medium_c) for one in cases])
        self.curve = curve
        self.starts = np.repeat(starts[:, None], nodes + 1, axis=1)
        self.spans = np.abs(ends - starts)
        self.shares = np.array([grid.volumes / grid.volumes.sum() for grid in grids])
        self._flows = np.array([grid.flows for grid in grids])
        self._films = np.array(films)
        self._mediums = np.array([one.medium_c for one in cases])
        self._tangents = Tangents(curve, REACH * float(self.spans.max()))

    def only(self, keep: Flags) -> None:
        """Go on with some of the bodies."""
        self.spans, self.shares = self.spans[keep], self.shares[keep]
        self._flows, self._films = self._flows[keep], self._films[keep]
        self._mediums = self._mediums[keep]

    def first_step_s(self) -> Floats:
        """A step in which no node changes by more than a hundredth of the span."""
        rate, _ = self._rate(*self._tangents.values(self.starts))
        step: Floats = 0.01 * self.spans / np.abs(rate).max(axis=1)
        return step

    def tried(self, heat: Floats, step_s: Floats) -> Trial:
        """Every body one step on."""
        potential, face_c, conducting, warming = self._tangents.values_and_slopes(heat)
        rate, inflow = self._rate(potential, face_c)
        span, warming = _GAMMA * step_s, self._films * warming
        inverse = np.linalg.inv(self._matrix(span, conducting, warming))
        first = np.matmul(inverse, rate[:, :, None])[:, :, 0]
        first_in = inflow - span * warming * first[:, -1]
        ahead = self._tangents.values(heat + step_s[:, None] * first)
        rate, inflow = self._rate(*ahead)
        second = np.matmul(inverse, (rate - 2 * first)[:, :, None])[:, :, 0]
        second_in = inflow - 2 * first_in - span * warming * second[:, -1]
        error = 0.5 * step_s * np.abs(first + second).max(axis=1)
        return Trial(
            heat + step_s[:, None] * (1.5 * first + 0.5 * second),
            step_s * (1.5 * first_in + 0.5 * second_in) * self.shares[:, -1],
            error / (TOLERANCE * self.spans),
        )

    def _rate(self, potential: Floats, face_c: Floats) -> tuple[Floats, Floats]:
        """How fast each node's heat changes, and the film's part in the last node's."""
        rate: Floats = np.matmul(self._flows, potential[:, :, None])[:, :, 0]
        inflow = self._films * (self._mediums - face_c)
        rate[:, -1] += inflow
        return rate, inflow

    def _matrix(self, span: Floats, conducting: Floats, warming: Floats) -> Floats:
        """The identity less span times the derivative of the rates."""
        matrix: Floats = self._flows * (-span[:, None] * conducting)[:, None, :]
        matrix[:, -1, -1] += span * warming
        count, size, _ = matrix.shape
        matrix.reshape(count, size * size)[:, :: size + 1] += 1.0
        return matrix


@dataclass(slots=True)
class Trial:
    """One step of every body still under way, whether or not it is kept.

    `error` is in shares of what is allowed, `inflow` is for a cubic metre of body.
    """

    heat: Floats
    inflow: Floats
    error: Floats

    def factor(self, is_cautious: Flags) -> Floats:
        """By how much the next step may differ; not wider after one was refused."""
        widest = np.where(is_cautious, 1.0, _WIDEST)
        wanted = _SPARE * np.maximum(self.error, _LEAST_ERROR) ** -0.5
        found: Floats = np.clip(wanted, _NARROWEST, widest)
        return found
