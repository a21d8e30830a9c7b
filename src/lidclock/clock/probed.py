"""The temperature of the food itself: a warm one counts while nobody knows better."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from lidclock.domain.history import MELTING_C, History, Stay
from lidclock.domain.moments import say_moment
from lidclock.domain.sentences import figure, sentence


@dataclass(frozen=True, slots=True)
class WarmTime:
    """It measured `temp_c` at `at`, and counts as that warm from `began` to `ended`."""

    at: datetime
    temp_c: float
    began: datetime
    ended: datetime | None


def probed(history: History, cold_c: float) -> History:
    """The history with its cold stays as warm as the container itself measured.

    When it got warm nobody knows. So it counts as that warm since it was put there, or
    since it last measured cold there, and until it measures cold or goes elsewhere. A
    cold measurement takes away nothing that a place's readings say.
    """
    stays = history.stays
    for warm in warm_times(history, cold_c):
        stays = tuple(piece for stay in stays for piece in _pieces(stay, warm))
    parts = tuple(
        replace(part, history=probed(part.history, cold_c))
        for part in history.components
    )
    if stays == history.stays and parts == history.components:
        return history
    return replace(history, stays=stays, components=parts)


def warm_times(history: History, cold_c: float) -> Iterator[WarmTime]:
    """Each warm measurement in a fridge or freezer, and for how long it counts."""
    if not history.probes:
        return
    known = [*history.probes, *((at, c) for at, c in history.coolings if c is not None)]
    for whole in _whole_stays(history):
        warm_from = _LIMITS.get(whole.state, cold_c)
        cold = [at for at, temp_c in known if temp_c <= warm_from]
        for at, temp_c in history.probes:
            is_there = whole.began <= at and (whole.ended is None or at < whole.ended)
            if not is_there or temp_c <= warm_from:
                continue
            before = [x for x in cold if whole.began <= x <= at]
            after = [x for x in cold if x > at]
            ends = [x for x in (min(after, default=None), whole.ended) if x is not None]
            began = max(before, default=whole.began)
            yield WarmTime(at, temp_c, began, min(ends, default=None))


_LIMITS = {"freezer": MELTING_C}


def probe_lines(history: History, cold_c: float, zone: ZoneInfo) -> list[str]:
    """What nobody knows about each warm measurement, and what it counts as."""
    return [
        sentence(
            "it measured {temp} °C on {at}: since when, is not known; counted as that "
            "warm from {began}",
            temp=figure(round(one.temp_c, 1)),
            at=say_moment(one.at, zone),
            began=say_moment(one.began, zone),
        )
        for one in warm_times(history, cold_c)
    ]


def _whole_stays(history: History) -> list[Stay]:
    """Stays in fridges and freezers, the pieces that readings cut put together."""
    found: list[Stay] = []
    for stay in history.stays:
        last = found[-1] if found else None
        is_same = last is not None and (last.state, last.place, last.ended) == (
            *(stay.state, stay.place),
            stay.began,
        )
        if last is not None and is_same:
            found[-1] = replace(last, ended=stay.ended)
        else:
            found.append(stay)
    return [one for one in found if one.state in ("fridge", "freezer")]


def _pieces(stay: Stay, warm: WarmTime) -> Iterator[Stay]:
    """The stay cut where the warm time begins and ends, the middle as warm as that."""
    began = max(stay.began, warm.began)
    ends = [x for x in (stay.ended, warm.ended) if x is not None]
    ended = min(ends, default=None)
    if ended is not None and ended <= began:
        yield stay
        return
    if stay.began < began:
        yield replace(stay, ended=began)
    temp_c = warm.temp_c if stay.temp_c is None else max(stay.temp_c, warm.temp_c)
    yield replace(stay, began=began, ended=ended, temp_c=temp_c)
    if ended is not None and (stay.ended is None or ended < stay.ended):
        yield replace(stay, began=ended)
