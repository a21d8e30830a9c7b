"""A trace as a list: for the screen, for paper, and as data for programs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from lidclock.app.instants import local
from lidclock.app.list_words import ListPage, Row, Section, recorded_line
from lidclock.app.session import Session
from lidclock.app.trace import BATCH, PACK, Part, Traced
from lidclock.app.trace_words import Told, Words, label_rows, unknown_rows
from lidclock.domain.codes import spaced
from lidclock.domain.moments import local_date, say_day
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import Sentence, sentence, strung, typed
from lidclock.trace.graph import Link
from lidclock.trace.walk import Step

_FOOT = sentence(
    "Only what somebody recorded can be traced. What is not recorded has to be asked "
    "of those who cooked."
)
_NOTHING = sentence("nothing recorded")
_LABEL_HEAD = sentence("Labels to print anew")
_Steps = tuple[tuple[Step, Part], ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Rows under a head; `none` is what stands there without any."""

    head: Sentence
    rows: tuple[Told, ...]
    none: Sentence = _NOTHING
    has_blanks: bool = False


@dataclass(frozen=True, slots=True)
class TracePage:
    """What was asked, what to know beforehand, and the rows."""

    asked: str
    facts: tuple[str, ...]
    groups: tuple[Group, ...]
    foot: tuple[str, ...]


def trace_page(found: Traced, session: Session) -> TracePage:
    """The trace in words: what was asked about, then back, then forward."""
    words = Words(found, session.kitchen)
    starts = words.rows((part, ()) for part in found.starts)
    groups = [Group(sentence("Asked about"), starts)]
    if found.labels:
        groups.append(Group(_LABEL_HEAD, label_rows(words)))
    if found.back is not None:
        groups += _back(words, found.back)
    if found.forward is not None:
        groups += _forward(words, found.forward)
    return TracePage(
        with_commas(_asked(found)),
        (recorded_line(session), *_circles(found)),
        tuple(groups),
        (_FOOT, session.guidance.advice),
    )


def _asked(found: Traced) -> Iterable[str]:
    for one in found.asked:
        is_code = one in found.graph.inventory.containers
        yield typed(spaced(one)) if is_code else one


def _circles(found: Traced) -> Iterable[str]:
    for part in found.circles:
        yield sentence(
            "{what} is recorded as having gone into itself: one of its facts is wrong",
            what=spaced(part.key) if part.kind != BATCH else str(part.number),
        )


def _back(words: Words, steps: _Steps) -> list[Group]:
    packs = [(part, step.links) for step, part in steps if part.kind == PACK]
    others = [(part, step.links) for step, part in steps if part.kind != PACK]
    starts = words.found.starts
    gaps = [*starts, *(part for _, part in steps)]
    head = sentence("Back: batches and containers that went in")
    reached = [
        Group(sentence("Back: packs that went in"), words.rows(packs)),
        Group(head, words.rows(others)),
    ]
    # Into a bought pack nothing goes that a kitchen could record.
    is_needless = not steps and all(part.kind == PACK for part in starts)
    return [
        *([] if is_needless else reached),
        Group(
            sentence("Back: not recorded"),
            unknown_rows(words, gaps),
            sentence("nothing is missing"),
        ),
    ]


def _forward(words: Words, steps: _Steps) -> list[Group]:
    linked: list[tuple[Part, tuple[Link, ...]]]
    linked = [(part, step.links) for step, part in steps]
    batches = [one for one in linked if one[0].kind == BATCH]
    live = [one for one in linked if one[0].is_live]
    live.sort(key=lambda one: one[0].place.casefold())
    missing = [one for one in linked if one[0].end and one[0].end.kind == "missing"]
    here = [*live, *missing]
    gone = [one for one in linked if one[0].kind != BATCH and one not in here]
    groups = [
        Group(sentence("Forward: batches it went into"), words.rows(batches)),
        Group(sentence("Forward: here now"), words.rows(live), has_blanks=True),
    ]
    if missing:
        head = sentence("Forward: missing, may still be here")
        groups.append(Group(head, words.rows(missing), has_blanks=True))
    groups.append(Group(sentence("Forward: gone"), words.rows(gone)))
    return groups


def trace_list(page: TracePage, session: Session) -> ListPage:
    """The same for paper and for a terminal: a box to tick for each row."""
    day = say_day(local_date(session.now, session.kitchen.zone))
    return ListPage(
        "Trace",
        session.kitchen.name,
        day,
        (sentence("Of {what}.", what=page.asked), *page.facts),
        tuple(
            Section(
                group.head,
                tuple(_row(told) for told in group.rows),
                ("Seen", "Initials") if group.has_blanks else (),
                group.none,
            )
            for group in page.groups
        ),
        page.foot,
    )


def _row(told: Told) -> Row:
    codes = strung(" · ", [typed(spaced(code)) for code in told.codes])
    return Row(told.main, tuple(filter(None, (codes, *told.details))))


def trace_json(found: Traced, session: Session) -> dict[str, Any]:
    """The trace as JSON-ready data; what is not known is null."""
    return {
        "now": local(session.now, session.kitchen.zone),
        "asked": [str(one) for one in found.asked],
        "starts": [_part_json(part, found, session) for part in found.starts],
        "back": _steps_json(found.back, found, session),
        "forward": _steps_json(found.forward, found, session),
        "circles": [part.key for part in found.circles],
        "labels_to_print": sorted(found.labels),
    }


def _steps_json(
    steps: _Steps | None, found: Traced, session: Session
) -> list[dict[str, Any]] | None:
    if steps is None:
        return None
    return [
        {
            **_part_json(part, found, session),
            "away": step.away,
            "links": [_link_json(link) for link in step.links],
        }
        for step, part in steps
    ]


def _part_json(part: Part, found: Traced, session: Session) -> dict[str, Any]:
    zone, end = session.kitchen.zone, part.end
    return {
        "key": part.key,
        "kind": part.kind,
        "food": part.food or None,
        "batch": part.number,
        "box": part.index,
        "of": part.of,
        "lot": part.lot or None,
        "maker": part.maker or None,
        "gtin": part.gtin or None,
        "maker_use_by": part.maker_use_by.isoformat() if part.maker_use_by else None,
        "opened_at": local(part.opened_at, zone),
        "made_at": local(part.made_at, zone),
        "by": part.by or None,
        "recipe": part.recipe or None,
        "held_g": part.filled_g,
        "left_g": part.left_g,
        "left_is_at_most": part.has_unweighed,
        "taken_elsewhere_g": part.elsewhere_g,
        "place": part.place or None,
        "ended": end.kind if end else None,
        "ended_at": local(end.at, zone) if end else None,
        "ended_reason": (end.reason or None) if end else None,
        "ended_by": part.ended_by or None,
        "knows_inputs": part.knows_inputs,
        "recipe_inputs_not_recorded": list(found.recipe_inputs.get(part.key, ())),
        "label": found.labels.get(part.key),
    }


def _link_json(link: Link) -> dict[str, Any]:
    return {
        "from": link.source,
        "to": link.target,
        "how": link.how,
        "mass_g": link.mass_g,
    }
