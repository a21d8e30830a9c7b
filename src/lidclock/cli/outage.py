"""`outage`: after a power cut, what to keep and what to discard."""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import TYPE_CHECKING, Any, TypeVar
from zoneinfo import ZoneInfo

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import box, columns, iso, say_when
from lidclock.domain.codes import spaced
from lidclock.domain.moments import say_hours
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.outage import Decision, OutageRow

_Value = TypeVar("_Value")
_WIDTH = 80
_ORDER = ("keep", "refreeze", "discard", "check")
_NOTHING = (
    "what is kept keeps its own last day",
    "nothing was recorded: act with `lidclock scan CODE --discard 'power cut'`",
)
# A number and its unit stay together: `4.4 °C`, `2 h`.
_UNIT = re.compile(r"(?<=[0-9]) (?=°|h\b)")


@click.command()
@click.option("--began", metavar="TIME", required=True, help="When the power went.")
@click.option("--ended", metavar="TIME", help="When it came back. [now]")
@click.option(
    "--fridge",
    "fridges",
    metavar="NAME=TEMP",
    multiple=True,
    help="What a fridge measured when the power came back, e.g. 'Fridge=9C'.",
)
@click.option(
    "--freezer-full/--freezer-half",
    default=False,
    help="Whether the freezers are full. [half: the stricter]",
)
@click.option(
    "--found",
    "finds",
    metavar="NAME=icy|warm",
    multiple=True,
    help="A freezer's food: icy, or warm (thawed, above 4.4 °C for over 2 h).",
)
@json_option
@pass_desk
def outage(desk: Desk, began: str, ended: str | None, **options: Any) -> None:
    """After a power cut, say what to keep, refreeze, check or discard, and why.

    Doors are taken as kept shut. The charts are of the US. Nothing is recorded.

    \b
    Example:
      lidclock outage --began 'today 06:00' --fridge Fridge=9C --found Freezer=icy
    """
    from lidclock.app import outage as app

    with desk.session() as session:
        began_at = time_of(session, began) or session.now
        ended_at = time_of(session, ended) or session.now
        is_full = options["freezer_full"]
        rows = app.outage(
            session,
            began_at,
            ended_at,
            fridge_c=_pairs(options["fridges"], "Fridge=9C", _temp),
            freezer_full=is_full,
            found=_pairs(options["finds"], "Freezer=icy", str.lower),
        )
        zone = session.kitchen.zone
    page = _Page(rows, began_at, ended_at, is_full, app.outage_cautions(), zone)
    if options["as_json"]:
        echo_json(_page_json(page))
    else:
        echo_lines(_page_lines(page))


@dataclass(frozen=True, slots=True)
class _Page:
    """What there is to show."""

    rows: list[OutageRow]
    began: datetime
    ended: datetime
    is_full: bool
    cautions: tuple[str, ...]
    zone: ZoneInfo

    @property
    def counts(self) -> dict[str, int]:
        """How many containers have each decision."""
        return Counter(row.judged.decision for row in self.rows)

    @property
    def freezers(self) -> str:
        """How full they are taken to be."""
        return "full" if self.is_full else "half full"


def _temp(text: str) -> float:
    from lidclock.cli.when import read_temp

    return read_temp(text)


def _pairs(
    words: Iterable[str], example: str, read: Callable[[str], _Value]
) -> dict[str, _Value]:
    """`NAME=VALUE` by name; a name may hold a `=` itself."""
    found: dict[str, _Value] = {}
    for word in words:
        name, sign, value = (part.strip() for part in word.rpartition("="))
        if not (name and sign and value):
            raise InputError(f"{word!r} names no place and value; write it {example}")
        if name in found:
            raise InputError(f"{name} was given twice; say it once")
        found[name] = read(value)
    return found


def _page_lines(page: _Page) -> list[str]:
    """The answer first, then each place, then where it comes from."""
    began, ended = (say_when(at, page.zone) for at in (page.began, page.ended))
    lines = [
        f"{began} to {ended}: {say_hours(page.ended - page.began)} without power",
        f"taken as so: doors kept shut, freezers {page.freezers}",
    ]
    if not page.rows:
        return [*lines, "nothing stood in a fridge or a freezer"]
    rows, counts = page.rows, page.counts
    lines.append(", ".join(f"{x} {counts[x]}" for x in _ORDER if x in counts))
    sources = list(dict.fromkeys(x for row in rows if (x := _source(row.judged))))
    for place, group in groupby(rows, lambda row: row.place):
        lines += [place or "no place", *_place_lines(list(group), sources)]
    notes = dict.fromkeys(note for row in rows for note in row.judged.notes)
    numbered = [f"[{number}] {one}" for number, one in enumerate(sources, start=1)]
    return [
        *lines,
        *_listed("notes", notes),
        *_listed("sources", numbered),
        *_listed("cautions", page.cautions),
        *_NOTHING,
    ]


def _place_lines(rows: list[OutageRow], sources: list[str]) -> list[str]:
    """Each container, and beneath those that share it the reason."""
    cells = columns([_cells(row) for row in rows], indent=2)
    lines = []
    for position, row in enumerate(rows):
        lines.append(cells[position])
        later = rows[position + 1 : position + 2]
        if not later or later[0].judged != row.judged:
            lines += _reason(row.judged, sources)
    return lines


def _cells(row: OutageRow) -> list[str]:
    one = row.container
    number = box(one.index, one.of)
    return [spaced(one.code), one.food, number, row.judged.decision]


def _reason(judged: Decision, sources: list[str]) -> list[str]:
    lines = [line for why in judged.why for line in _wrapped(why, indent=4)]
    source = _source(judged)
    mark = f" [{sources.index(source) + 1}]" if source else ""
    return [*lines, *_wrapped(judged.row + mark, indent=4)]


def _source(judged: Decision) -> str:
    """Authority, document, section, year, and `unverified` where it is."""
    source = judged.source
    if source is None:
        return ""
    section = "" if judged.section == "-" else judged.section
    checked = "" if source.verified else "unverified"
    parts = [source.authority, source.document, section, source.year, checked]
    return ", ".join(part for part in parts if part)


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


def _page_json(page: _Page) -> dict[str, Any]:
    return {
        "began": iso(page.began, page.zone),
        "ended": iso(page.ended, page.zone),
        "doors": "shut",
        "freezers": page.freezers,
        "recorded": False,
        "summary": {word: page.counts.get(word, 0) for word in _ORDER},
        "rows": [_row_json(row) for row in page.rows],
        "cautions": list(page.cautions),
    }


def _row_json(row: OutageRow) -> dict[str, Any]:
    one, judged = row.container, row.judged
    source = judged.source
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
        "source": source
        and {
            "authority": source.authority,
            "document": source.document,
            "section": judged.section,
            "year": source.year,
            "url": source.url,
            "verified": source.verified,
            "grade": source.grade,
        },
    }
