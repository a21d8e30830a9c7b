"""Readings put into a history: each stay in pieces of the temperature it had."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime

from lidclock.domain.history import MELTING_C, History, Stay
from lidclock.guidance.model import Rule
from lidclock.templog.bands import Band, bands
from lidclock.templog.series import Series, instant

Find = Callable[[Stay], Series | None]
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

    `find` gives the readings of a stay's place, or None. Air counts as the food's
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
    series: Series | None,
    limits: tuple[float, ...],
    cold_c: float,
    now: datetime,
) -> list[Stay]:
    if series is None or not len(series) or not stay.recorded:
        return [stay]
    began = stay.began.timestamp()
    ended = (stay.ended or max(now, stay.began)).timestamp()
    found = bands(series, began, ended, limits)
    if not any(band.temp_c is not None for band in found):
        return [stay]
    pieces = [
        _piece(stay, band, found[n - 1] if n else None, _after(found, n), cold_c)
        for n, band in enumerate(found)
    ]
    pieces[0] = replace(pieces[0], began=stay.began)
    if stay.ended is None:
        return _open_ended(stay, pieces, cold_c)
    pieces[-1] = replace(pieces[-1], ended=stay.ended)
    return pieces


def _after(found: list[Band], n: int) -> Band | None:
    return found[n + 1] if n + 1 < len(found) else None


def _piece(
    stay: Stay, band: Band, before: Band | None, after: Band | None, cold_c: float
) -> Stay:
    """One piece; silence after or between warm readings counts as the warmer of them.

    What was before the first reading, nobody can tell from it.
    """
    whole = replace(stay, began=instant(band.began), ended=instant(band.ended))
    if band.temp_c is not None:
        return replace(whole, temp_c=band.temp_c)
    if before is None:
        return whole
    warm = [one.temp_c or cold_c for one in (before, after) if one is not None]
    if max(warm) <= cold_c:
        return whole
    place = f"{stay.place or stay.state}, {SILENT}"
    return replace(whole, temp_c=max(warm), place=place)


def _open_ended(stay: Stay, pieces: list[Stay], cold_c: float) -> list[Stay]:
    """A stay that lasts: a place that was warm last is taken to be warm on."""
    last = pieces[-1]
    is_cold = last.temp_c is not None and last.temp_c <= cold_c
    if not is_cold:
        return [*pieces[:-1], replace(last, ended=None)]
    rest = replace(stay, began=last.ended or last.began, temp_c=last.temp_c)
    return [*pieces, rest]
