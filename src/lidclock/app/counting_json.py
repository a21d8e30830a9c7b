"""Counts of places as JSON-ready data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from lidclock.app.container_facts import listed_facts
from lidclock.app.counting import Countable, Standing
from lidclock.app.instants import local
from lidclock.app.lists import listed
from lidclock.app.session import Session
from lidclock.app.stock_take import Recorded
from lidclock.app.stock_take_words import Heard
from lidclock.domain.snapshots import Snapshot


def countable_json(
    session: Session, found: Iterable[Countable]
) -> list[dict[str, Any]]:
    """The places, and the counts under way."""
    zone = session.kitchen.zone
    return [
        {
            "place": one.place.name,
            "expected": one.expected,
            "last_at": local(one.last_at, zone),
            "count": one.count.id if one.count else None,
        }
        for one in found
    ]


def standing_json(
    session: Session, found: Standing, heard: Iterable[Heard] = ()
) -> dict[str, Any]:
    """A count as it stands; `heard` are the answers to what was just sent."""
    report, count = found.report, found.count
    assert count is not None  # only a count that was begun is shown

    def each(those: Iterable[Snapshot]) -> list[dict[str, Any]]:
        return [listed_facts(listed(session, one)) for one in those]

    return {
        "count": count.id,
        "place": found.place.name,
        "began_at": local(count.began_at, session.kitchen.zone),
        "who": count.who or None,
        "seen": found.seen,
        "expected": found.expected,
        "missing": each(report.found.missing),
        "elsewhere": each(report.found.elsewhere),
        "undated": sorted(report.undated),
        "ended": each(report.found.ended),
        "unmarked": [one.code for one in report.found.unmarked],
        "not_known": [*report.found.strangers, *report.found.unread],
        "answers": [
            {"kind": x.kind, "says": x.says, "code": x.code or None} for x in heard
        ],
    }


def recorded_json(done: Recorded) -> dict[str, Any]:
    """What was recorded of a count; `refused` says which answers were not."""
    return {
        **done.taken.as_dict(),
        "placed": [one.view.code for one in done.moved],
        "recorded": {what: list(codes) for what, codes in done.answered.items()},
        "refused": dict(done.refused),
        "act": done.act,
    }
