"""Readings put into a history: each stay in pieces of the temperature it had."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime

from lidclock.domain.history import MELTING_C, History, Stay
from lidclock.guidance.model import Rule
from lidclock.templog.bands import Band, bands
from lidclock.templog.course import Course

Find = Callable[[Stay], Course | None]
SILENT = "silent"


def limits_of(rules: Iterable[Rule], cold_c: float) -> tuple[float, ...]:
    """Every temperature on which something hangs: where pieces have to be cut."""
    found = {cold_c, MELTING_C}
    for rule in rules:
        for limit in (rule.above_c, rule.below_c, rule.ceiling_c):
            found |= {limit} if limit is not None else set()
    return tuple(sorted(found))


def measured(
    history: History,
    find: Find,
    limits_c: Iterable[float],
    cold_c: float,
    now: datetime,
) -> History:
    """The history with every stay cut where its place crossed one of `limits_c`.

    `find` gives what a stay's place did, or None. Air counts as the food's
    temperature, which is the worse reading. Time in which nobody measured stays what
    it was; but between readings of which one was above `cold_c`, and after a last one
    that was, it counts as that warm. What went into a mixture is charged for its own
    stays.
    """
    limits = tuple(limits_c)
    stays = tuple(
        piece
        for stay in history.stays
        for piece in _pieces(stay, find(stay), limits, cold_c, now)
    )
    parts = tuple(
        replace(part, history=measured(part.history, find, limits, cold_c, now))
        for part in history.components
    )
    if stays == history.stays and parts == history.components:
        return history
    return replace(history, stays=stays, components=parts)


def _pieces(
    stay: Stay,
    course: Course | None,
    limits: tuple[float, ...],
    cold_c: float,
    now: datetime,
) -> list[Stay]:
    if course is None or not stay.recorded:
        return [stay]
    found = bands(course, stay.began, stay.ended or max(now, stay.began), limits)
    if not any(band.temp_c is not None for band in found):
        return [stay]
    pieces = [_piece(stay, found, n, cold_c) for n in range(len(found))]
    if stay.ended is not None:
        return pieces
    # A stay that lasts: a place that was warm last is taken to be warm on.
    return [*pieces[:-1], replace(pieces[-1], ended=None)]


def _piece(stay: Stay, found: list[Band], n: int, cold_c: float) -> Stay:
    """One piece; silence after or between warm readings counts as the warmer of them.

    What was before the first reading, nobody can tell from it.
    """
    band = found[n]
    whole = replace(stay, began=band.began, ended=band.ended)
    if band.temp_c is not None:
        return replace(whole, temp_c=band.temp_c)
    if n == 0:
        return whole
    beside = [one.temp_c for one in (found[n - 1], *found[n + 1 : n + 2])]
    warmest = max(cold_c if temp_c is None else temp_c for temp_c in beside)
    if warmest <= cold_c:
        return whole
    place = f"{stay.place or stay.state}, {SILENT}"
    return replace(whole, temp_c=warmest, place=place)
