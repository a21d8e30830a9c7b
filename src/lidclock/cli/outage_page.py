"""What `outage` shows: places first, then every container, then where it comes from."""

from __future__ import annotations

import math
import re
import textwrap
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import timedelta
from itertools import groupby
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lidclock.app.outage import say_degrees
from lidclock.cli.outage_json import page_json
from lidclock.cli.show import box, columns, plural, say_when
from lidclock.domain.codes import spaced
from lidclock.domain.moments import say_hours

if TYPE_CHECKING:
    from lidclock.app.outage import Cited, Decision, Model, Outage, OutageRow, PlaceOut

__all__ = ["Page", "page_json", "page_lines"]

_WIDTH = 80
# The strictest first, as the rows come.
ORDER = ("discard", "check", "refreeze", "keep")
_HEADS = {
    "discard": "discard",
    "check": "check: nobody knows",
    "refreeze": "refreeze or use at once",
    "keep": "keep: its own last day holds",
}
_NOTHING = "nothing was recorded"
_TYPE = "to record what is thrown away, type"
# A number and its unit stay together: `4.4 °C`, `2 h`.
_UNIT = re.compile(r"(?<=[0-9]) (?=°|h\b|W/K|kg\b)")
_LONG_SILENCE_H = 1.0


@dataclass(frozen=True, slots=True)
class Page:
    """What there is to show."""

    found: Outage
    is_still_out: bool
    cautions: tuple[str, ...]
    zone: ZoneInfo

    @property
    def counts(self) -> dict[str, int]:
        """How many containers have each decision."""
        return Counter(row.judged.decision for row in self.found.rows)

    @property
    def freezers(self) -> str:
        """How full they are taken to be."""
        return "full" if self.found.is_full else "half full"


@dataclass(slots=True)
class _Sources:
    """Each source once, by number."""

    known: list[str] = field(default_factory=list)

    def mark(self, source: str) -> str:
        """` [2]`, or nothing where there is none."""
        if not source:
            return ""
        if source not in self.known:
            self.known.append(source)
        return f" [{self.known.index(source) + 1}]"


def page_lines(page: Page) -> list[str]:
    """The answer first, then what is known, each container, and the sources."""
    found, sources = page.found, _Sources()
    began, ended = (say_when(at, page.zone) for at in (found.began, found.ended))
    hours = say_hours(found.ended - found.began)
    out = ", still out" if page.is_still_out else ""
    lines = [
        f"{began} to {ended}: {hours} without power{out}",
        f"taken as so: doors kept shut, freezers {page.freezers}",
    ]
    rows, counts = found.rows, page.counts
    lines.append(", ".join(f"{x} {counts[x]}" for x in ORDER if x in counts))
    if not rows:
        lines[-1] = "nothing recorded stood in a fridge or a freezer"
    lines.append("what is known")
    for place in found.places:
        lines += _place_lines(place, page, sources)
    for decision, group in groupby(rows, lambda row: row.judged.decision):
        lines += _group_lines(decision, list(group), page, sources)
    notes = dict.fromkeys(note for row in rows for note in row.judged.notes)
    numbered = [f"[{number}] {one}" for number, one in enumerate(sources.known, 1)]
    return [
        *lines,
        *_listed("notes", notes),
        *_listed("sources", numbered),
        *_listed("cautions", page.cautions),
        _NOTHING,
        *_commands(rows),
    ]


def _place_lines(place: PlaceOut, page: Page, sources: _Sources) -> list[str]:
    """What is known of one fridge or freezer."""
    hold = f"a shut door holds for {place.hold.hours:g} h"
    if page.is_still_out:
        hold = f"a shut door holds until {say_when(place.hold_ends, page.zone)}"
    said = [words for words in (_found_words(place), _end_words(place)) if words]
    if place.is_measured and place.readings is not None:
        said += _reading_words(place, sources)
    elif not said:
        said.append("not measured")
    if not (place.found or (place.seen and place.seen.above_h)):
        said.append(hold + sources.mark(say_source(place.hold.cited)))
    lines = _wrapped(f"{place.place.name}: {'; '.join(said)}", indent=2)
    if place.model is not None and place.model.load.is_any:
        lines += _wrapped(_model_words(place, place.model), indent=4)
    return lines


def _found_words(place: PlaceOut) -> str:
    return f"found {place.found}" if place.found else ""


def _end_words(place: PlaceOut) -> str:
    return "" if place.end_c is None else f"{say_degrees(place.end_c)} at the end"


def _reading_words(place: PlaceOut, sources: _Sources) -> list[str]:
    """Its readings against the chart's temperature, and its own limit."""
    readings, seen, own = place.readings, place.seen, place.own_seen
    assert readings is not None
    assert seen is not None
    limit = f"{say_degrees(place.row.limit_c)}{sources.mark(say_source(place.cited))}"
    words = [plural(readings.count, "reading")]
    if readings.peak_c is not None:
        words[0] += f", at most {say_degrees(readings.peak_c)}"
    words.append(_above(seen.above_h, limit))
    if own is not None and place.limit is not None:
        mark = sources.mark(place.limit.source)
        words.append(
            _above(own.above_h, f"its own {say_degrees(place.limit.limit_c)}{mark}")
        )
    if place.place.state == "freezer" and seen.worst_h == 0:
        words.append("it counts as still icy")
    if seen.unknown_h > 0:
        words.append(f"not measured in the last {_hours(seen.unknown_h)}: not known")
    elif readings.silent_h > _LONG_SILENCE_H:
        words.append(f"silent for up to {_hours(readings.silent_h)} between")
    return words


def _above(above_h: float, limit: str) -> str:
    return f"above {limit} for {_hours(above_h)}" if above_h else f"never above {limit}"


def _model_words(place: PlaceOut, model: Model) -> str:
    """The estimate where it comes to less than the door's hours, with what it takes."""
    hours = f"{place.hold.hours:g} h"
    what = f"be above {say_degrees(model.to_c)}"
    if place.place.state == "freezer":
        what = f"hold no ice (above {say_degrees(model.to_c)})"
    low, high = model.ua_w_k
    start = "as last read" if model.is_read else "assumed"
    load = f"{model.load.mass_kg:.1f} kg of recorded food"
    if not model.load.mass_kg:
        load = "no recorded food that was weighed, so none is counted"
    elif model.load.unweighed:
        load += f" ({model.load.unweighed} not weighed, counted as none)"
    taken = (
        f"(no authority: from {say_degrees(model.from_c)} {start}, {load}, a room "
        f"of {say_degrees(model.room_c)}, {low:g} to {high:g} W/K let in as by a "
        "household cabinet, assumed)"
    )
    if not place.is_warned:
        return f"estimate: not sooner than those {hours}, which stand {taken}"
    late = "or never" if math.isinf(model.late_h) else f"to {_hours(model.late_h)}"
    return (
        f"warning: after {_hours(model.early_h)} {late} it may {what}, before those "
        f"{hours} are over: measure before you rely on them {taken}"
    )


def _group_lines(
    decision: str, rows: list[OutageRow], page: Page, sources: _Sources
) -> list[str]:
    """Each container of one decision, and beneath those that share it the reason."""
    head = _HEADS[decision]
    if decision == "keep" and page.is_still_out:
        head = "keep for now: its own last day holds"
    if decision == "check":
        doubt = page.found.doubt
        head += f"; {doubt.says}{sources.mark(say_source(doubt.cited))}"
    cells = columns([_cells(row) for row in rows], indent=2)
    lines = _wrapped(head)
    for position, row in enumerate(rows):
        lines.append(cells[position])
        later = rows[position + 1 : position + 2]
        if not later or later[0].judged != row.judged or later[0].place != row.place:
            lines += _reason(row.judged, sources)
    return lines


def _cells(row: OutageRow) -> list[str]:
    one = row.container
    number = box(one.index, one.of)
    return [spaced(one.code), one.food, number, row.place or "no place"]


def _reason(judged: Decision, sources: _Sources) -> list[str]:
    lines = [line for why in judged.why for line in _wrapped(why, indent=4)]
    mark = sources.mark(say_source(judged.cited))
    return [*lines, *_wrapped(judged.row + mark, indent=4)]


def _commands(rows: Iterable[OutageRow]) -> list[str]:
    """What to type for each container to throw away."""
    lost = [row.container.code for row in rows if row.judged.decision == "discard"]
    if not lost:
        return []
    return [_TYPE, *(f"  lidclock scan {code} --discard 'power cut'" for code in lost)]


def say_source(cited: Cited | None) -> str:
    """Authority, document, section, year, and `unverified` where it is."""
    if cited is None:
        return ""
    source = cited.source
    section = "" if cited.section == "-" else cited.section
    checked = "" if source.verified else "unverified"
    parts = [source.authority, source.document, section, source.year, checked]
    return ", ".join(part for part in parts if part)


def _hours(hours: float) -> str:
    return say_hours(timedelta(hours=hours))


def _listed(title: str, words: Iterable[str]) -> list[str]:
    lines = [line for one in words for line in _wrapped(one, indent=2)]
    return [title, *lines] if lines else []


def _wrapped(text: str, indent: int = 0) -> list[str]:
    margin = " " * indent
    lines = textwrap.wrap(
        _UNIT.sub("\N{NO-BREAK SPACE}", text),
        _WIDTH,
        initial_indent=margin,
        subsequent_indent=f"{margin}  ",
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]
