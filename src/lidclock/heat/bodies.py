"""A slab, a cylinder or a ball in a medium, cut into finite volumes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from lidclock.heat.curves import Floats

SLAB, CYLINDER, SPHERE = "slab", "cylinder", "sphere"
DIMENSIONS = {SLAB: 0, CYLINDER: 1, SPHERE: 2}
CENTRE, MEAN = "centre", "mean"
NODES = 12


@dataclass(frozen=True, slots=True)
class Case:
    """A body in a medium: half thickness or radius, start, film coefficient."""

    shape: str
    radius_m: float
    start_c: float
    medium_c: float
    film_w_m2k: float

    def __post_init__(self) -> None:
        if self.shape not in DIMENSIONS:
            raise ValueError(f"shape must be one of {', '.join(DIMENSIONS)}")
        for name in ("radius_m", "film_w_m2k"):
            value = getattr(self, name)
            if not (value > 0 and math.isfinite(value)):
                raise ValueError(f"{name} must be positive, got {value}")


@dataclass(frozen=True, slots=True)
class Grid:
    """Where heat is kept: nodes from the centre to the face, with their volumes."""

    volumes: Floats
    flows: Floats
    face_area: float

    def mean(self, heat: Floats) -> Floats:
        """The mean enthalpy of the body."""
        average: Floats = heat @ (self.volumes / self.volumes.sum())
        return average


def grid_of(shape: str, radius_m: float, nodes: int = NODES) -> Grid:
    """Nodes in equal steps, the first at the centre and the last on the face."""
    power = DIMENSIONS[shape]
    step = radius_m / nodes
    faces = np.concatenate([[0.0], (np.arange(nodes) + 0.5) * step, [radius_m]])
    volumes = np.diff(faces ** (power + 1)) / (power + 1)
    conductances = faces[1:-1] ** power / step
    flows = np.zeros((nodes + 1, nodes + 1))
    inner = np.arange(nodes)
    flows[inner, inner] -= conductances
    flows[inner, inner + 1] += conductances
    flows[inner + 1, inner + 1] -= conductances
    flows[inner + 1, inner] += conductances
    return Grid(volumes, flows / volumes[:, None], radius_m**power)
