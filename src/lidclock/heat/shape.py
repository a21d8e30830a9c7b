"""How much sooner a brick or a short cylinder is through than a slab as thick.

Cleland and others 1987 (coefficients from memory; within 7 % of nine bricks computed in
three dimensions, and of seven that the tests keep).
"""

from __future__ import annotations


def brick_factor(biot: float, ratio: float, other_ratio: float) -> float:
    """By how much a slab's time is divided for a brick.

    Parameters
    ----------
    biot : h D / k with D the **whole** of the shortest side, over 0
    ratio, other_ratio : the other sides over the shortest, 1 or more

    Raises
    ------
    ValueError
        If the Biot number is not positive or a ratio is below 1.
    """
    _check(biot, ratio, other_ratio)
    near, far = sorted((ratio, other_ratio))
    return 1 + _first(biot, near) + _second(biot, far)


def disc_factor(biot: float, ratio: float) -> float:
    """The same for a cylinder whose height is its shortest side; diameter / height."""
    _check(biot, ratio)
    return 1 + 2 * _first(biot, ratio)


def rod_factor(biot: float, ratio: float) -> float:
    """The same for a cylinder as high as it is wide or higher; height / diameter.

    The slab is as thick as the cylinder is wide; an endless cylinder has 2.
    """
    _check(biot, ratio)
    return 2 + _second(biot, ratio)


def _first(biot: float, ratio: float) -> float:
    share = _share(biot, ratio)
    return share / ratio + (1 - share) * 0.73 / float(ratio**2.50)


def _second(biot: float, ratio: float) -> float:
    share = _share(biot, ratio)
    return share / ratio + (1 - share) * 0.50 / float(ratio**3.69)


def _share(biot: float, ratio: float) -> float:
    film: float = 2.32 * ratio**-1.77
    return film / float(biot**1.34 + film)


def _check(biot: float, *ratios: float) -> None:
    if not biot > 0:
        raise ValueError(f"biot must be positive, got {biot}")
    if any(not ratio >= 1 for ratio in ratios):
        raise ValueError(f"ratios must be 1 or more, got {ratios}")
