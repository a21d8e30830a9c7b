"""The page about the replay, and the few lines about its first days."""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from replay.air import BODIES, RATES
from replay.live import EVERY_MIN
from replay.month import DAYS, EVENTS, EVERYWHERE, PROBES, SEED, local_of
from replay.tally import Answer, Outcome, Tally, limit_at
from replay.words import FOOT, HEAD, SEEDS, SHORT

_NOTHING = "-"
_HOUR_MIN = 60
_LONG_MIN = 180


def page(
    short: Outcome, month: Outcome, same: Outcome, months: Sequence[Outcome]
) -> str:
    """The whole page.

    `same` is the month again with alerts that look back a day, and the first of
    `months`, which all do.
    """
    assert month.run.ours == same.run.ours, "looking back a day changes the answers"
    head = HEAD.format(
        days=DAYS,
        seed=SEED,
        events=len(EVENTS),
        asks=f"{month.asks:,}",
        readings=f"{month.readings:,}",
        every=f"{EVERY_MIN:g}",
    )
    parts = [
        head,
        "\n".join(_summary(month)),
        "\n## Event by event\n\n" + "\n".join(_events(month)),
        "\n## False alarms\n\n" + "\n".join(_false(month)),
        SEEDS.format(count=len(months)) + "\n".join(_months(months)),
        "\n## How the places behave\n\n" + "\n".join(_bodies()),
        "\n" + "\n".join(_probes(month)),
        SHORT + "\n".join(f"    {line}" for line in short_lines(short)),
        FOOT,
    ]
    return "\n".join(parts)


def short_lines(one: Outcome) -> Iterator[str]:
    """The first days in a few lines, quick enough to be lived again by a test."""
    yield f"{one.asks} times asked, {one.readings} readings, seed {one.seed}"
    for answer in one.ours.answers:
        event, spoken = answer.event, ""
        if answer.delay_min is not None:
            spoken = f" after {answer.delay_min:.0f} min"
        wanted = event.expected or "quiet"
        yield f"{event.place}, {event.what}: {wanted}, {answer.result}{spoken}"
    yield f"false alarms: {one.ours.false_count}, plain: {one.plain.false_count}"


def _summary(one: Outcome) -> Iterator[str]:
    yield "| | lidclock | any reading beyond the limit |"
    yield "|---|---|---|"
    for kind, words in (
        ("excursion", "excursions told, of {}"),
        ("silent", "silences told, of {}"),
        ("disagree", "disagreements told, of {}"),
    ):
        cells = [_share(tally, kind) for tally in (one.ours, one.plain)]
        count = sum(answer.event.expected == kind for answer in one.ours.answers)
        yield f"| {words.format(count)} | {' | '.join(cells)} |"
    quiet = sum(not answer.event.expected for answer in one.ours.answers)
    calm = [str(tally.count("quiet")) for tally in (one.ours, one.plain)]
    yield f"| left alone what needs nobody, of {quiet} | {' | '.join(calm)} |"
    false = [str(tally.false_count) for tally in (one.ours, one.plain)]
    yield f"| false alarms in the month | {' | '.join(false)} |"
    delays = [_delays(tally) for tally in (one.ours, one.plain)]
    yield f"| told after the cause: median, longest | {' | '.join(delays)} |"
    air = [_after_air(tally) for tally in (one.ours, one.plain)]
    yield f"| after the air was beyond: median, longest | {' | '.join(air)} |"


def _share(tally: Tally, kind: str) -> str:
    found = [one.result for one in tally.answers if one.event.expected == kind]
    late = f", {found.count('late')} late" if "late" in found else ""
    return f"{found.count('hit')}{late}"


def _delays(tally: Tally) -> str:
    found = tally.delays()
    return f"{_span(statistics.median(found))}, {_span(max(found))}"


def _after_air(tally: Tally) -> str:
    found = [x.after_air_min for x in tally.answers if x.after_air_min is not None]
    return f"{_span(statistics.median(found))}, {_span(max(found))}"


def _events(one: Outcome) -> Iterator[str]:
    yield (
        "| day | place | what happens | wanted | lidclock | after the cause | after "
        "the air | a tub then | the tub passes the limit | plain alarm | after the "
        "cause |"
    )
    yield "|---" * 11 + "|"
    for ours, plain in zip(one.ours.answers, one.plain.answers, strict=True):
        event = ours.event
        cells = [
            f"{local_of(event.began):%-d %b %H:%M}",
            event.place,
            event.what,
            event.expected or "quiet",
            _result(ours),
            _span(ours.delay_min),
            _span(ours.after_air_min),
            _NOTHING if ours.tub_c is None else f"{ours.tub_c:.1f} °C",
            _tub_passes(ours),
            _result(plain),
            _span(plain.delay_min),
        ]
        yield f"| {' | '.join(cells)} |"


def _result(one: Answer) -> str:
    words = {"missed": "**missed**", "false": "**false**", "late": "**late**"}
    often = f", in {one.pieces} pieces" if one.pieces > 1 else ""
    return words.get(one.result, one.result) + often


def _tub_passes(one: Answer) -> str:
    if one.tub_c is None:
        return _NOTHING
    if one.tub_min is None:
        return "never"
    if one.tub_min < 0:
        return f"{_span(-one.tub_min)} before"
    return f"{_span(one.tub_min)} later"


def _false(one: Outcome) -> Iterator[str]:
    yield "| kind | place | lidclock | any reading beyond the limit |"
    yield "|---|---|---|---|"
    ours, plain = (
        Counter((alarm.kind, alarm.place) for alarm in tally.false)
        for tally in (one.ours, one.plain)
    )
    for kind, place in sorted({*ours, *plain}):
        yield f"| {kind} | {place} | {ours[kind, place]} | {plain[kind, place]} |"
    yield ""
    yield "Each false alarm of lidclock's:"
    yield ""
    for alarm in one.ours.false:
        during = next(
            (
                f", {x.event.what}"
                for x in one.ours.answers
                if x.event.place in (alarm.place, EVERYWHERE)
                and x.event.began <= alarm.began <= x.event.ended + x.event.settles
            ),
            "",
        )
        yield (
            f"- {local_of(alarm.began):%-d %b %H:%M}, {alarm.place}: {alarm.kind} for "
            f"{_span(alarm.ended - alarm.began + EVERY_MIN)}{during}"
        )


def _months(months: Sequence[Outcome]) -> Iterator[str]:
    yield "| | lidclock | any reading beyond the limit |"
    yield "|---|---|---|"
    rows = {
        "excursions told": lambda x: _hits(x, "excursion"),
        "silences told": lambda x: _hits(x, "silent"),
        "disagreements told": lambda x: _hits(x, "disagree"),
        "left alone what needs nobody": lambda x: x.count("quiet"),
        "false alarms in the month": lambda x: x.false_count,
        "median delay after the cause [min]": lambda x: statistics.median(x.delays()),
        "longest delay after the cause [min]": lambda x: max(x.delays()),
    }
    for words, figure in rows.items():
        cells = [
            _spread([figure(x) for x in tallies])
            for tallies in ([x.ours for x in months], [x.plain for x in months])
        ]
        yield f"| {words} | {' | '.join(cells)} |"
    yield ""
    yield "| event | place | told or left alone as wanted, of " + f"{len(months)} |"
    yield "|---|---|---|"
    for row in zip_longest(*(x.ours.answers for x in months)):
        right = sum(answer.result in ("hit", "quiet") for answer in row)
        if right < len(months):
            yield f"| {row[0].event.what} | {row[0].event.place} | {right} |"


def _hits(tally: Tally, kind: str) -> int:
    return sum(x.result == "hit" and x.event.expected == kind for x in tally.answers)


def _spread(values: Sequence[float]) -> str:
    mean = statistics.mean(values)
    return f"{mean:.1f} ({min(values):g} to {max(values):g})"


def _bodies() -> Iterator[str]:
    yield (
        "| place | limit | thermostat | plate | air to plate | to the room | to the "
        "contents | contents to air | to the room, door wide | openings an hour |"
    )
    yield "|---" * 10 + "|"
    for place, body in BODIES.items():
        limit = limit_at(place)
        assert limit is not None
        cells = [
            place,
            f"{limit.limit_c:g} °C",
            f"{body.set_c:g} ± {body.band_c:g} °C",
            f"{body.plate_c:g} °C",
            *(
                f"{minutes:g} min"
                for minutes in (
                    *(body.plate_min, body.walls_min, body.air_min),
                    *(body.contents_min, body.door_min),
                )
            ),
            f"{RATES[place].per_hour:g} of some {RATES[place].typical_s:g} s",
        ]
        yield f"| {' | '.join(cells)} |"


def _probes(one: Outcome) -> Iterator[str]:
    """Which probe measures what, and how wrong it is."""
    yield "| probe | place | every | behind the air | noise | always says too much by |"
    yield "|---" * 6 + "|"
    for probe in PROBES:
        cells = [
            probe.name,
            probe.place,
            f"{probe.every_min:g} min",
            f"{probe.lag_min:g} min",
            f"{probe.noise_c:g} °C",
            f"{one.offs_c[probe.name]:+.2f} °C",
        ]
        yield f"| {' | '.join(cells)} |"


def _span(minutes: float | None) -> str:
    """`15 min`, `12 h 45 min`; a dash for none."""
    if minutes is None:
        return _NOTHING
    whole = round(minutes)
    if abs(whole) < _LONG_MIN:
        return f"{whole} min"
    hours, rest = divmod(whole, _HOUR_MIN)
    return f"{hours} h {rest:02} min"
