"""What a stock-take shows at its end: seen, missing, not known, elsewhere."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from lidclock.app.instants import to_second
from lidclock.app.lists import listed
from lidclock.app.stock_take_words import eaten_late, ended, missing_head, was_where
from lidclock.cli.show import (
    box,
    columns,
    did_line,
    listed_json,
    listed_row,
    mass,
    plural,
    unmarked_reason,
)
from lidclock.domain.codes import spaced
from lidclock.domain.screen_text import shown

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.stock_take import Recorded, Report
    from lidclock.domain.snapshots import Snapshot

_DID = {
    "eaten": "eaten: recorded as used",
    "lost": "lost: recorded as missing; scan it into a place if it turns up",
    "discarded": "discarded",
    "still there": "still there: counted as seen",
}


def report_lines(report: Report, session: Session) -> list[str]:
    """The counts, each with the containers behind it."""
    found = report.found
    return [
        f"{report.place.name}: seen {len(found.seen)} of {len(found.expected)}",
        *_missing(found.missing, session),
        *_unknown(report),
        *_elsewhere(report, session),
        *_ended(found.ended, session),
        *_unmarked(found.unmarked),
    ]


def _missing(missing: tuple[Snapshot, ...], session: Session) -> list[str]:
    """`1 missing: box 5, 308 g`, then each with its last day."""
    if not missing:
        return ["0 missing"]
    rows = [listed_row(listed(session, one)) for one in missing]
    return [missing_head(missing), *columns(rows, indent=2)]


def _box(one: Snapshot) -> tuple[int | None, int | None]:
    return one.index, one.of


def _unknown(report: Report) -> list[str]:
    found = report.found
    rows = [[spaced(code), "not in this kitchen"] for code in found.strangers]
    rows += [[f"'{shown(text)}'", "no code of this kitchen"] for text in found.unread]
    hint = "what has no lid yet is taken in with `lidclock adopt`"
    head = f"not known: {found.unknown_count}"
    return [head + (f"; {hint}" if rows else ""), *columns(rows, indent=2)]


def _elsewhere(report: Report, session: Session) -> list[str]:
    lines = [f"elsewhere: {len(report.found.elsewhere)}"]
    rows = columns(
        [
            [*_cells(one), was_where(listed(session, one))]
            for one in report.found.elsewhere
        ],
        indent=2,
    )
    for one, row in zip(report.found.elsewhere, rows, strict=True):
        why = report.waiting.get(one.code)
        lines += [row, *([f"    {why}"] if why else [])]
    return lines


def _cells(one: Snapshot) -> list[str]:
    return [spaced(one.code), one.food, box(*_box(one)), mass(one.mass_g)]


def _ended(found: Iterable[Snapshot], session: Session) -> list[str]:
    rows = [[*_cells(one), ended(listed(session, one))] for one in found]
    head = [f"recorded as ended: {len(rows)}"] if rows else []
    return [*head, *columns(rows, indent=2)]


def _unmarked(found: Iterable[Snapshot]) -> list[str]:
    rows = [[*_cells(one), unmarked_reason(one)] for one in found]
    head = [f"unmarked: {len(rows)}"] if rows else []
    return [*head, *columns(rows, indent=2)]


def recorded_lines(report: Report, done: Recorded, *, is_asked: bool) -> list[str]:
    """What was recorded; where nothing was said of what is missing, how to say it."""
    lines = [did_line(one.view, one.did) for one in done.moved]
    lines += [
        f"{len(codes)} {_DID[what]}" for what, codes in done.answered.items() if codes
    ]
    lines += [eaten_late(x) for x in report.found.missing if x.code in done.refused]
    lines += _left(report, done)
    stays = len(report.movable) - len(done.moved)
    if stays > 0 and not is_asked:
        lines.append(
            f"{plural(stays, 'lid')} from elsewhere left as recorded: with --move what "
            f"was seen is in {report.place.name} from now on"
        )
    return [
        *lines,
        f"recorded: {report.place.name} was counted; `lidclock undo` takes"
        " all of it back",
    ]


def _left(report: Report, done: Recorded) -> list[str]:
    """Of what nothing is recorded, and how to say what became of it."""
    said = {code for codes in done.answered.values() for code in codes} | {
        *done.refused
    }
    left = [one.code for one in report.found.missing if one.code not in said]
    if not left:
        return []
    code = left[0] if len(left) == 1 else "CODE"
    return [
        f"nothing is recorded of {plural(len(left), 'container')} not seen; to say it:",
        f"  eaten: `lidclock scan {code} --use`; lost: `lidclock missing {code}`;",
        f"  discarded: `lidclock scan {code} --discard WHY`; still there: nothing",
    ]


def page_json(report: Report, done: Recorded, session: Session) -> dict[str, Any]:
    """The report and what was recorded as JSON-ready data."""
    found, zone = report.found, session.kitchen.zone

    def each(those: Iterable[Snapshot]) -> list[dict[str, Any]]:
        return [listed_json(listed(session, one), zone) for one in those]

    return {
        "now": to_second(session.now, zone),
        "place": report.place.name,
        "seen": done.taken.seen,
        "expected": done.taken.expected,
        "missing": each(found.missing),
        "unknown": [
            *({"code": code, "text": code} for code in found.strangers),
            *({"code": None, "text": text} for text in found.unread),
        ],
        "elsewhere": [
            {**one, "why_not_moved": report.waiting.get(one["code"])}
            for one in each(found.elsewhere)
        ],
        "ended": each(found.ended),
        "unmarked": [one.code for one in found.unmarked],
        "recorded": {
            "placed": [one.view.code for one in done.moved],
            "missing": list(done.answered.get("lost", ())),
        },
    }
