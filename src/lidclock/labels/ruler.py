"""The day rule: one notch a day from making to the last day, which is filled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from lidclock.labels import fonts
from lidclock.labels.content import Ruler

NUMBER_PT = 5.4
MONTH_PT = 5.0
# Beyond a fortnight the notches thin out and only some are numbered.
THICK_DAYS = 14
# Notches closer than this run together on a 203 dpi print (five dots).
_LEAST_PITCH_MM = 0.625
_WIDEST_PITCH_MM = 6.0
_GAP_MM = 0.45
_TICK_MM = 1.5
_LINE_MM = 0.25
_DISC_MM = 1.9
# From the top: months, ticks, line, numbers.
_MONTH_ROW_MM = (fonts.CAP_HEIGHT + 0.02) * MONTH_PT * fonts.MM_PER_PT + 0.35
_NUMBER_ROW_MM = (fonts.CAP_HEIGHT + 0.04) * NUMBER_PT * fonts.MM_PER_PT + 0.45
_BODY_MM = _TICK_MM + _LINE_MM + 0.3 + _NUMBER_ROW_MM


@dataclass(frozen=True, slots=True)
class Mark:
    """A piece of text on the rule, centred on a notch or starting at it."""

    text: str
    face: str
    size_pt: float
    x: float
    baseline: float

    def span(self) -> tuple[float, float]:
        """Left and right end."""
        return self.x, self.x + fonts.width_mm(self.text, self.face, self.size_pt)


@dataclass(frozen=True, slots=True)
class Rule:
    """A drawn day rule, in mm from its own top-left corner."""

    width: float
    height: float
    line_y: float
    line: tuple[float, float]
    ticks: tuple[tuple[float, float], ...]
    tick_width: float
    disc: tuple[float, float, float]
    breaks: tuple[float, ...]
    numbers: tuple[Mark, ...]
    months: tuple[Mark, ...]


@lru_cache(maxsize=1024)
def rule(ruler: Ruler, width_mm: float, *, with_months: bool = True) -> Rule | None:
    """Lay the rule out in a width; None where it could not be read."""
    days = ruler.days()
    edge = max(_DISC_MM, _number_width(days)) / 2
    room = width_mm - 2 * edge
    pitch = min(room / max(len(days) - 1, 1), _WIDEST_PITCH_MM)
    if room <= 0 or (len(days) > 1 and pitch < _LEAST_PITCH_MM):
        return None
    centres = [edge + n * pitch for n in range(len(days))]
    top = _MONTH_ROW_MM if with_months else 0.3
    line_y = top + _TICK_MM + _LINE_MM / 2
    thin = len(days) > THICK_DAYS
    months = _months(days, centres, ruler.months, width_mm) if with_months else ()
    ends = [centres[-1] + edge, *(mark.span()[1] for mark in months)]
    return Rule(
        width=max(ends),
        height=top + _BODY_MM,
        line_y=line_y,
        line=(centres[0], centres[-1]),
        ticks=tuple((x, _tick_height(days[n], thin)) for n, x in enumerate(centres)),
        tick_width=0.2 if thin else 0.32,
        disc=(centres[-1], line_y - _DISC_MM / 2 + _LINE_MM / 2, _DISC_MM / 2),
        breaks=_breaks(days, centres),
        numbers=_numbers(days, centres, top + _BODY_MM),
        months=months,
    )


def _number_width(days: tuple[date, ...]) -> float:
    return max(
        fonts.width_mm(str(days[0].day), fonts.REGULAR, NUMBER_PT),
        fonts.width_mm(str(days[-1].day), fonts.BOLD, NUMBER_PT),
    )


def _tick_height(day: date, thin: bool) -> float:
    """On a thin rule the first of a month stands out; else all are alike."""
    if not thin:
        return _TICK_MM
    return _TICK_MM if day.day == 1 else _TICK_MM * 0.6


def _breaks(days: tuple[date, ...], centres: list[float]) -> tuple[float, ...]:
    """Midpoints between notches that are not neighbouring days."""
    one = timedelta(days=1)
    return tuple(
        (centres[n] + centres[n + 1]) / 2
        for n in range(len(days) - 1)
        if days[n + 1] - days[n] > one
    )


def _numbers(
    days: tuple[date, ...], centres: list[float], bottom: float
) -> tuple[Mark, ...]:
    """Day numbers: the last one always, then as many as stand clear of each other."""
    last = len(days) - 1
    baseline = bottom - 0.04 * NUMBER_PT * fonts.MM_PER_PT
    pitch = centres[1] - centres[0] if last else 1.0
    widest = fonts.width_mm("30", fonts.BOLD, NUMBER_PT) + _GAP_MM
    step = int(-(-widest // pitch))
    marks: list[Mark] = []
    for n in [*range(last, -1, -step), 0]:
        face = fonts.BOLD if n == last else fonts.REGULAR
        text = str(days[n].day)
        x = centres[n] - fonts.width_mm(text, face, NUMBER_PT) / 2
        mark = Mark(text, face, NUMBER_PT, x, baseline)
        if not marks or mark.span()[1] + _GAP_MM <= marks[-1].x:
            marks.append(mark)
    return tuple(reversed(marks))


def _months(
    days: tuple[date, ...],
    centres: list[float],
    words: tuple[str, ...],
    width_mm: float,
) -> tuple[Mark, ...]:
    """Month words above the first notch and above each month's first notch.

    Where two would touch, the later month is kept: the last day lies in it.
    """
    edge = centres[0]
    right = width_mm
    baseline = fonts.CAP_HEIGHT * MONTH_PT * fonts.MM_PER_PT
    marks: list[Mark] = []
    for n in range(len(days) - 1, -1, -1):
        if n and days[n].month == days[n - 1].month:
            continue
        word = words[days[n].month - 1]
        wide = fonts.width_mm(word, fonts.REGULAR, MONTH_PT)
        x = max(0.0, min(centres[n] - edge, right - wide))
        if x + wide <= right:
            marks.append(Mark(word, fonts.REGULAR, MONTH_PT, x, baseline))
            right = x - _GAP_MM
    return tuple(reversed(marks))
