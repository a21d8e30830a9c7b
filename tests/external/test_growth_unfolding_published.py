"""Published doubling times, met along a history in legs as they were printed.

Yersinia enterocolitica: 53 h at 0 °C and 1.3 h at 25 °C (Hanna 1977, as quoted in a
food pathogen data summary, seen). Listeria monocytogenes: the shortest of 62 to 131 h
at 0 °C and of 13 to 24 h at 5 °C (Walker 1990, abstract seen). The laws that ship go
through these points, so the first doubling of the middle figure comes at the printed
hour, whatever time in a freezer lies between.
"""

import numpy as np
import pytest

from lidclock.kinetics.load import load_library
from lidclock.kinetics.predict import Conditions
from lidclock.kinetics.unfolding import Leg, Unfolding

ORGANISMS = load_library().organisms
PUBLISHED = [
    ("yersinia-enterocolitica", 0.0, 53.0),
    ("yersinia-enterocolitica", 25.0, 1.3),
    ("listeria-monocytogenes", 0.0, 62.0),
    ("listeria-monocytogenes", 5.0, 13.0),
]


@pytest.mark.parametrize(("organism", "temp_c", "hours"), PUBLISHED)
def test_a_doubling_comes_at_its_printed_hour(organism, temp_c, hours):
    half = hours / 2
    legs = [
        Leg(np.array([0.0, half]), np.full(2, temp_c)),
        Leg(np.array([half, half + 48]), np.full(2, -18.0)),
        Leg(np.array([half + 48, hours + 60]), np.full(2, temp_c)),
    ]
    high, middle = Unfolding(legs, ORGANISMS[organism], Conditions()).passes(1)

    assert middle == pytest.approx(hours + 48, rel=1e-9)
    assert high == pytest.approx(half, rel=1e-9)
