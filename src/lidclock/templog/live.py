"""What is wrong with a reading the moment it comes in, from a sensor without a hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from lidclock.domain.readings import POWER_ON_C, say_temp
from lidclock.templog.logger_csv.checks import EARLIEST_US, JUMP_C

# A reading so long before another tells nothing of a jump between them (our choice).
JUMP_WITHIN_US = 3_600_000_000


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a reading is not kept; `kind` is the matter in one keyword."""

    kind: str
    words: str


def fault_of(
    temp_c: float, at_us: int, latest_us: int, before_c: Callable[[], float | None]
) -> Fault | None:
    """What speaks against a reading; None where nothing does.

    `latest_us` is the latest instant that is not in the future. `before_c` tells the
    same sensor's temperature before it, at most `JUMP_WITHIN_US` old; it is asked only
    where that matters. What a sensor shows at power-on is kept where food came close to
    it degree by degree: it would otherwise make a fridge look hot, or a hot hold hot.
    """
    if at_us > latest_us:
        return Fault("future", "its time is in the future: set its clock")
    if at_us < EARLIEST_US:
        return Fault("past", "its time is before 2001: has it lost its clock?")
    if temp_c != POWER_ON_C:
        return None
    before = before_c()
    if before is not None and abs(before - POWER_ON_C) < JUMP_C:
        return None
    return Fault(
        "power-on",
        f"{say_temp(POWER_ON_C)} at a jump is what a common sensor shows at power-on",
    )
