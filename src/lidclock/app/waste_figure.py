"""What was wasted, as a figure: by cause, week by week, and the share it was."""

from __future__ import annotations

from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from lidclock.app.cooling_figure import kind_of
from lidclock.app.files import write_whole
from lidclock.domain.moments import local_date, say_day
from lidclock.plan.causes import CAUSES

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.waste import WasteReport
    from lidclock.plan.amounts import Amount
    from lidclock.reports.waste import WasteFigure


def draw_waste(session: Session, found: WasteReport, path: Path) -> None:
    """Draw it to a file; InputError for a file of another kind."""
    from lidclock.reports.waste import draw_waste_weeks

    kind = kind_of(path)
    write_whole(path, [draw_waste_weeks(_figure(session, found), kind)])


# What draws keeps its settings for the whole process: one figure after the other.
_ONE_AT_A_TIME = Lock()


def waste_svg(session: Session, found: WasteReport) -> bytes:
    """The same as an SVG document."""
    from lidclock.reports.waste import draw_waste_weeks

    with _ONE_AT_A_TIME:
        return draw_waste_weeks(_figure(session, found), "svg")


def _figure(session: Session, found: WasteReport) -> WasteFigure:
    from lidclock.reports.waste import WasteFigure, WasteWeek

    zone = session.kitchen.zone
    wasted = found.whole.of("wasted")
    # Where nobody weighed what was wasted, portions are all there is to draw.
    is_in_portions = not wasted.mass and bool(wasted.portions)
    unit = "portions" if is_in_portions else "grams"

    def size(amount: Amount) -> float:
        return amount.portion_count if is_in_portions else amount.mass_g

    weeks = [
        WasteWeek(
            local_date(one.began, zone),
            {cause: size(amount) for cause, amount in one.causes.items()},
            one.share,
        )
        for one in found.weeks
    ]
    causes = [cause for cause in CAUSES if cause in found.whole.causes]
    name = found.whole.food or session.kitchen.name
    span = f"{say_day(found.first_on)} to {say_day(found.last_on)}"
    return WasteFigure(
        f"{name}: wasted, {span}", weeks, causes, unit, tuple(_notes(found, unit))
    )


def _notes(found: WasteReport, unit: str) -> list[str]:
    wasted, notes = found.whole.of("wasted"), []
    if unit == "grams" and wasted.unweighed:
        count = wasted.unweighed
        what = "container" if count == 1 else "containers"
        notes.append(f"{count} {what} that nobody weighed: in no bar")
    last = (found.last_on - found.first_on).days % 7 + 1
    if last < 7:
        notes.append(f"the last week has {last} day{'' if last == 1 else 's'}")
    return notes
