"""What a file was found to hold, for a person to read before it is recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidclock.app.temp_source import say_zone
from lidclock.domain.readings import say_temp
from lidclock.templog.logger_csv.headings import named_column
from lidclock.templog.logger_csv.order import ORDER_WORDS
from lidclock.templog.logger_csv.words import say_moment, say_step

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temp_import import Plan
    from lidclock.app.temp_targets import Target

_KIND_WORDS = {
    "epoch": "counts since 1970, in UTC",
    "serial": "a spreadsheet's days",
}


def plan_lines(session: Session, plan: Plan) -> list[str]:
    """Times, temperatures, sensors, counts; then every finding."""
    lines = [f"  times: {_times(plan)}"]
    if plan.clock.shift_us:
        lines.append(f"  times are moved by {_shift(plan.clock.shift_us)}")
    lines += [f"  temperatures: {line}" for line in _temperatures(plan)]
    lines += [f"  {line}" for one in plan.targets for line in _target(session, one)]
    lines += [f"  note: {note}" for note in plan.notes]
    for doubt in plan.doubts:
        lines.append(f"  doubtful: {doubt}")
    refused = [one.say() for one in plan.findings if one.is_refusal]
    told = [one.say() for one in plan.findings if not one.is_refusal]
    lines += [f"  left out: {line}" for line in refused]
    lines += [f"  note: {line}" for line in told]
    return lines


def _times(plan: Plan) -> str:
    columns = [named_column(plan.guess.labels, index) for index, _ in plan.layout.times]
    parts = [" and ".join(columns)]
    kind = plan.layout.times[0][1]
    if kind in _KIND_WORDS:
        parts.append(_KIND_WORDS[kind])
    if plan.order_reason != "plain":
        parts.append(f"{ORDER_WORDS[plan.layout.order]} {plan.order_reason}")
    if kind != "epoch":
        parts.append(f"in {say_zone(plan.zone.zone)} {plan.zone.reason}")
    return ", ".join(parts)


def _shift(shift_us: int) -> str:
    from datetime import timedelta

    from lidclock.domain.moments import say_hours

    sign = "-" if shift_us < 0 else "+"
    return f"{sign}{say_hours(timedelta(microseconds=abs(shift_us)))}"


def _temperatures(plan: Plan) -> list[str]:
    return [
        f"{named_column(plan.guess.labels, column.index)}, in °{column.unit} {reason}"
        for column, reason in zip(plan.layout.temps, plan.guess.units_from, strict=True)
    ]


def _target(session: Session, one: Target) -> list[str]:
    """Whose readings they are, and what they are like."""
    span, zone = one.span, session.kitchen.zone
    is_new = "new sensor" if one.sensor_id is None else "sensor"
    where = f" in {one.place}" if one.place else ""
    first, last = (say_moment(at, zone) for at in (span.first_us, span.last_us))
    step = f", {say_step(span.step_us)}" if span.step_us else ""
    units = session.kitchen.units
    coldest, warmest = (
        say_temp(round(temp_c, 1), units) for temp_c in (span.coldest_c, span.warmest_c)
    )
    return [
        f"{is_new} {one.sensor}{where} ({one.reason}): {span.count:,} readings, "
        f"{first} to {last}{step}, {coldest} to {warmest}"
    ]
