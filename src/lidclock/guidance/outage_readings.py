"""What the charts say of food whose fridge or freezer was measured meanwhile: pure.

Readings are of the air, which warms before the food: they err early. Time that nobody
measured counts as too warm, unless an authority's hours for a shut door cover it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from lidclock.domain.moments import say_hours
from lidclock.guidance.outage import (
    Decision,
    decided,
    differences,
    held,
    say_out,
    thawed,
    unseen,
)
from lidclock.guidance.outage_chart import FRIDGE, ICY, WARM, load_charts, say_degrees

# Water ice melts here; food freezes and thaws a little below.
_MELTING_C = 0.0


@dataclass(frozen=True, slots=True)
class Seen:
    """What readings tell of a time without power, against one temperature.

    `above_h` hours count as above it, `unknown_h` are those after the last reading.
    `peak_c` is the warmest reading, None where none fell into that time.
    """

    above_h: float
    unknown_h: float
    peak_c: float | None = None

    @property
    def worst_h(self) -> float:
        """Hours above it if what is unknown was as well."""
        return self.above_h + self.unknown_h


SeenAt = Callable[[float], Seen]


def judge_fridge_read(category: str, hours_out: float, seen_at: SeenAt) -> Decision:
    """A food in a fridge that had no power for `hours_out`, its air measured.

    `seen_at` tells what the readings come to against a temperature. A reading that is
    not too warm speaks for the time before it, since nothing cools a place without
    power; after the last one a shut door holds for some hours, but only where no
    reading was too warm.
    """
    charts = load_charts()
    row, hold = charts.rows_for(FRIDGE, category)[FRIDGE], charts.holds[FRIDGE]
    seen = seen_at(row.limit_c)
    why = f"{say_out(hours_out)}, {_read(seen, row.limit_c)}"
    if seen.above_h == 0 and seen.unknown_h > 0 and hours_out <= hold.hours:
        return held(hold, f"{why}; within {hold.hours:g} h")
    if seen.worst_h == 0:
        return decided(row, "keep", why)
    notes = differences(row, seen.worst_h)
    if seen.worst_h <= row.hours:
        return decided(row, "keep", f"{why}: not {row.condition}", notes)
    return decided(row, row.verdict, why, notes)


def judge_freezer_read(
    category: str,
    hours_out: float,
    is_full: bool,
    seen_at: SeenAt,
    own_limit_c: float | None = None,
) -> Decision:
    """A food in a freezer that had no power for `hours_out`, its air measured.

    At or below its own limit throughout, if that is one for frozen food, nothing
    happened to it. Else air that was not
    above the chart's temperature for longer than it allows leaves its food as the chart
    says of what is still icy, unless the door's hours cover air that never rose above
    0 °C. Whether it thawed is not known where nobody measured: somebody has to look.
    """
    charts = load_charts()
    rows = charts.rows_for("freezer", category)
    hold = charts.holds["freezer-full" if is_full else "freezer-half"]
    warm, icy = rows[WARM], rows[ICY]
    seen = seen_at(warm.limit_c)
    why = f"{say_out(hours_out)}, {_read(seen, warm.limit_c)}"
    if seen.above_h > warm.hours:
        return thawed(warm, icy, seen.above_h, why)
    is_frozen = own_limit_c is not None and own_limit_c < _MELTING_C
    if own_limit_c is not None and is_frozen and seen_at(own_limit_c).worst_h == 0:
        why = f"{say_out(hours_out)}, {_read(seen_at(own_limit_c), own_limit_c)}"
        return decided(icy, "keep", f"{why}, its own limit")
    if hours_out <= hold.hours and seen_at(_MELTING_C).above_h == 0:
        return held(hold, f"{why}; within {hold.hours:g} h")
    if seen.worst_h > warm.hours:
        return unseen(warm, icy, why)
    if seen.above_h > icy.hours:
        return thawed(warm, icy, seen.above_h, why)
    return decided(icy, icy.verdict, why)


def _read(seen: Seen, limit_c: float) -> str:
    """`read: above 4.4 °C (40 °F) for 2 h, at most 9 °C (48 °F)`."""
    if seen.peak_c is None and seen.above_h == 0 and seen.unknown_h > 0:
        return "not measured"
    limit = say_degrees(limit_c)
    words = f"read: never above {limit}"
    if seen.above_h > 0:
        words = f"read: above {limit} for {_hours(seen.above_h)}"
    if seen.peak_c is not None:
        words += f", at most {say_degrees(seen.peak_c)}"
    if seen.unknown_h > 0:
        words += f"; then {_hours(seen.unknown_h)} not measured"
    return words


def _hours(hours: float) -> str:
    return say_hours(timedelta(hours=hours))
