"""Many short texts of one buffer at once, compared place by place."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]
Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]

ZERO = np.uint8(ord("0"))


def alike(
    buffer: Bytes,
    starts: Numbers,
    lengths: Numbers,
    example: bytes,
    free: Collection[int] = (),
) -> tuple[Flags, Bytes]:
    """Which texts equal `example`, but for any digits at the places `free` has.

    And those texts, as (width, n): one row for each place. The example itself is
    always among them, so that each turn leaves fewer.
    """
    width = len(example)
    is_alike = lengths == width
    texts = gathered(buffer, starts[is_alike], width)
    equal = np.ones(texts.shape[1], bool)
    for place, sign in enumerate(example):
        if place in free:
            equal &= texts[place] - ZERO < 10
        else:
            equal &= texts[place] == sign
    is_alike[is_alike] = equal
    return is_alike, texts if equal.all() else texts[:, equal]


def gathered(buffer: Bytes, starts: Numbers, width: int) -> Bytes:
    """(width, n): the `width` bytes from each start on."""
    every = np.ndarray((buffer.size - width + 1,), f"V{width}", buffer, strides=(1,))
    texts = every[starts].view(np.uint8).reshape(-1, width)
    return np.ascontiguousarray(texts.T)


def number_at(texts: Bytes, places: Collection[int]) -> Numbers:
    """The numbers that the digits at these places make, in their order."""
    # Nine digits fit 32 bits, and half the bytes are moved.
    kind = np.int32 if len(places) <= 9 else np.int64
    value: NDArray[Any] = np.zeros(texts.shape[1], kind)
    for place in places:
        value = value * kind(10) + (texts[place] - ZERO)
    return value.astype(np.int64)
