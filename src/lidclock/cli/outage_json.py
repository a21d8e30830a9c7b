"""What `outage --json` prints."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from lidclock.app.instants import to_second

if TYPE_CHECKING:
    from lidclock.app.outage import Cited, OutageRow, PlaceOut
    from lidclock.cli.outage_page import Page

_DECISIONS = ("keep", "refreeze", "discard", "check")


def page_json(page: Page) -> dict[str, Any]:
    """The whole answer."""
    found = page.found
    return {
        "began": to_second(found.began, page.zone),
        "ended": to_second(found.ended, page.zone),
        "still_out": page.is_still_out,
        "doors": "shut",
        "freezers": page.freezers,
        "recorded": False,
        "summary": {word: page.counts.get(word, 0) for word in _DECISIONS},
        "places": [_place_json(place, page) for place in found.places],
        "rows": [_row_json(row) for row in found.rows],
        "doubt": {"says": found.doubt.says, "source": _source_json(found.doubt.cited)},
        "cautions": list(page.cautions),
    }


def _place_json(place: PlaceOut, page: Page) -> dict[str, Any]:
    return {
        "place": place.place.name,
        "state": place.place.state,
        "measured": place.is_measured,
        "end_c": place.end_c,
        "found": place.found,
        "readings": _readings_json(place) if place.is_measured else None,
        "hold_h": place.hold.hours,
        "hold_ends": to_second(place.hold_ends, page.zone),
        "hold_source": _source_json(place.hold.cited),
        "estimate": _model_json(place),
    }


def _readings_json(place: PlaceOut) -> dict[str, Any] | None:
    readings, seen, own, limit = (
        place.readings,
        place.seen,
        place.own_seen,
        place.limit,
    )
    if readings is None or seen is None:
        return None
    return {
        "count": readings.count,
        "peak_c": readings.peak_c,
        "longest_silence_h": _round(readings.silent_h),
        "chart_c": _round(place.row.limit_c),
        "above_chart_h": _round(seen.above_h),
        "unknown_h": _round(seen.unknown_h),
        "chart_source": _source_json(place.cited),
        "own_limit_c": _round(limit.limit_c) if limit else None,
        "above_own_limit_h": _round(own.above_h) if own else None,
        "own_limit_source": limit.source or None if limit else None,
    }


def _model_json(place: PlaceOut) -> dict[str, Any] | None:
    model = place.model
    if model is None:
        return None
    hours = [
        None if math.isinf(one) else _round(one)
        for one in (model.early_h, model.late_h)
    ]
    return {
        "advisory": True,
        "warns": place.is_warned,
        "to_c": _round(model.to_c),
        "hours": hours,
        "from_c": model.from_c,
        "from_is_read": model.is_read,
        "room_c": model.room_c,
        "ua_w_k": list(model.ua_w_k),
        "mass_kg": _round(model.load.mass_kg),
        "unweighed": model.load.unweighed,
    }


def _row_json(row: OutageRow) -> dict[str, Any]:
    one, judged = row.container, row.judged
    return {
        "place": row.place or None,
        "state": row.state or None,
        "code": one.code,
        "food": one.food,
        "index": one.index,
        "of": one.of,
        "decision": judged.decision,
        "row": judged.row,
        "record": judged.record or None,
        "why": list(judged.why),
        "notes": list(judged.notes),
        "source": _source_json(judged.cited),
    }


def _source_json(cited: Cited | None) -> dict[str, Any] | None:
    if cited is None:
        return None
    source = cited.source
    return {
        "authority": source.authority,
        "document": source.document,
        "section": cited.section,
        "year": source.year,
        "url": source.url,
        "verified": source.verified,
        "grade": source.grade,
    }


def _round(number: float) -> float:
    return round(number, 3)
