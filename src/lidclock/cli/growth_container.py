"""Words for what a growth model makes of one container: it warns, it never permits."""

from __future__ import annotations

from datetime import timedelta
from itertools import groupby
from typing import TYPE_CHECKING, Any

from lidclock.app.instants import to_second
from lidclock.cli.show import columns, say_when, status_line
from lidclock.domain.moments import say_hours

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lidclock.app.food_course import Stretch
    from lidclock.app.growth_container import Foretold
    from lidclock.app.session import Session
    from lidclock.app.values import Limit

NO_PERMISSION = "that permits nothing: the last moment stands"
# The best known first.
_ORDER = ("food", "measured", "said", "assumed")
SPORES = (
    "a cooling log is on it: the cool, and spores in it, are judged by the stages of "
    "the guidance set (`lidclock show`), never by this figure, which leaves them out"
)


def foretold_lines(told: Foretold, session: Session) -> list[str]:
    """The answer first, then what it comes from."""
    from lidclock.app.growth_container import name_of

    lines = [name_of(told), status_line(told.view.verdict)]
    lines += _answer(told, session)
    lines += _block("temperatures", columns(list(_stay_rows(told, session))))
    lines += _block("limits, which no model moves", list(_limit_lines(told, session)))
    lines += _block("log10 increase", _increase_lines(told, session))
    lines += _block("model", list(_model_lines(told)))
    lines += _block("not known", list(told.unknown))
    return lines + _block("cautions", list(told.cautions))


def _block(title: str, lines: list[str]) -> list[str]:
    return [title, *(f"  {line}" for line in lines)] if lines else []


def _answer(told: Foretold, session: Session) -> Iterator[str]:
    """What the model warns of; what it does not warn of is no permission."""
    if not told.is_known:
        yield f"model: unknown: {told.unknown[0]}"
    zone, many = session.kitchen.zone, f"{told.asked.doublings:g} doublings"
    if told.unfolding is not None:
        name = told.unfolding.organism.name
        sure = "" if told.is_known else ", as far as it goes"
        for one in told.passings:
            if one.early is not None:
                yield (
                    f"warning: by model{sure}, {say_hours(one.early)} before the last "
                    f"moment: {name} passes {many} by the {one.figure} figure, "
                    f"{say_when(one.at, zone)}"
                )
            elif told.last_moment is None:
                yield (
                    f"by model{sure}: {name} passes {many} by the {one.figure} figure, "
                    f"{say_when(one.at, zone)}; there is no last moment to compare with"
                )
        if told.warning is None:
            yield f"model: no warning of {many}; {NO_PERMISSION}"
    if told.view.container.cooling is not None:
        yield SPORES


def _stay_rows(told: Foretold, session: Session) -> Iterator[list[str]]:
    """A row for each stay: where, from when to when, and how warm it was."""
    zone = session.kitchen.zone
    for stay, group in groupby(told.stretches, key=lambda one: one.stay):
        found = list(group)
        place = stay.place or stay.state
        if not stay.recorded:
            place = f"{place}, not recorded"
        ended = found[-1].ended
        until = "foreseen to " if ended > session.now else "to "
        yield [
            f"{say_when(found[0].began, zone)} {until}{say_when(ended, zone)}",
            place,
            "; ".join(_known_words(found, session)),
        ]
    if told.part:
        yield ["", "", f"the past of {told.part}, which went into it"]


def _known_words(found: Iterable[Stretch], session: Session) -> Iterator[str]:
    order = sorted(found, key=lambda one: _ORDER.index(one.known))
    for known, group in groupby(order, key=lambda one: one.known):
        same = list(group)
        length = sum((one.ended - one.began for one in same), timedelta())
        low = min(float(one.course.temps.min()) for one in same)
        high = max(float(one.course.temps.max()) for one in same)
        span = _span(low, high, session)
        yield f"{span} {_how(known, same[0].stay.state, session)} ({say_hours(length)})"


def _span(low: float, high: float, session: Session) -> str:
    from lidclock.app.cooling_watch import temp_words

    first, last = temp_words(low, session), temp_words(high, session)
    return first if first == last else f"{first} to {last}"


def _how(known: str, state: str, session: Session) -> str:
    if known == "measured":
        return "measured in its air"
    if known == "food":
        return "measured in the food"
    if known == "said":
        return "by its thermometer when it was put there"
    why = {
        "fridge": f"the cold limit of {session.guidance.id}",
        "freezer": "no growth there",
        "hot": f"the hot limit of {session.guidance.id}",
    }.get(state, "room temperature, common practice, no source")
    return f"assumed, nobody measured: {why}"


def _limit_lines(told: Foretold, session: Session) -> Iterator[str]:
    for limit in told.view.verdict.limits:
        yield f"{_when_words(limit, session)}: {limit.rule.says} ({limit.id})"


def _when_words(limit: Limit, session: Session) -> str:
    if limit.last_moment is not None:
        return say_when(limit.last_moment, session.kitchen.zone)
    if limit.days_left is not None:
        return f"{limit.days_left} days left after thawing"
    return "no moment"


def _increase_lines(told: Foretold, session: Session) -> list[str]:
    if told.by_now is None:
        return []
    rows = [["", "low", "middle", "high"]]
    moments = [("now", told.by_now), ("at the last moment", told.by_last)]
    if told.last_moment is not None and told.last_moment < session.now:
        moments.reverse()
    for when, band in moments:
        if band is not None:
            rows.append([when, *(f"{x:.1f}" for x in (band.low, band.mid, band.high))])
    return columns(rows)


def _model_lines(told: Foretold) -> Iterator[str]:
    if told.unfolding is None:
        return
    one = told.unfolding.organism
    yield f"{one.name}: {one.says}"
    yield told.validity
    source = one.source
    parts = [source.authority, source.document, source.section, source.year]
    if not source.is_verified:
        parts.append("unverified")
    yield f"source: {', '.join(part for part in parts if part)}"


def foretold_json(told: Foretold, session: Session) -> dict[str, Any]:
    """The same as JSON-ready data."""
    from lidclock.app.assess import verdict_json

    zone = session.kitchen.zone
    organism = told.unfolding.organism if told.unfolding else None
    return {
        "code": told.view.code,
        "food": told.view.food.name,
        "organism": organism.id if organism else None,
        "name": organism.name if organism else None,
        "doublings": told.asked.doublings,
        "is_known": told.is_known,
        "last_moment": to_second(told.last_moment, zone),
        "passes": [
            {
                "figure": one.figure,
                "at": to_second(one.at, zone),
                "hours_before_last_moment": None
                if one.early is None
                else one.early / timedelta(hours=1),
            }
            for one in told.passings
        ],
        "log10_increase": {
            "now": _band_json(told.by_now),
            "last_moment": _band_json(told.by_last),
        },
        "temperatures": [
            {
                "place": one.stay.place or None,
                "state": one.stay.state,
                "recorded": one.stay.recorded,
                "from": to_second(one.began, zone),
                "to": to_second(one.ended, zone),
                "known": one.known,
                "lowest_c": float(one.course.temps.min()),
                "highest_c": float(one.course.temps.max()),
            }
            for one in told.stretches
        ],
        "part": told.part or None,
        "validity": told.validity or None,
        "spores_by_stages": told.view.container.cooling is not None,
        "unknown": list(told.unknown),
        "cautions": list(told.cautions),
        "permits": None,
        "verdict": verdict_json(told.view.verdict),
    }


def _band_json(band: Any) -> dict[str, float] | None:
    if band is None:
        return None
    return {"low": band.low, "mid": band.mid, "high": band.high}
