"""Occasions that come again, such as a club's dinner: how many came, and the rest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from lidclock.domain.events import Event
from lidclock.domain.fold import corrected
from lidclock.domain.joiners import without_joiners
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError

# Events of kind `noted` under this and the casefolded name. Of what was said of one
# occasion on one day the latest that stands is what counts.
OCCASION_SUBJECT = "occasion/"
MOST_EATERS = 100_000
LONGEST_NAME = 200
_KEYS = frozenset(("name", "on", "came", "expected", "made", "wasted"))


def occasion_subject(name: str) -> str:
    """The subject under which occasions called `name` are recorded."""
    return OCCASION_SUBJECT + name.casefold()


@dataclass(frozen=True, slots=True)
class Occasion:
    """How one came out: `came` ate, out of `made` portions; None where nobody said.

    `expected` is how many were forecast beforehand, `wasted` how many portions were
    thrown away.
    """

    name: str
    on: date
    came: int
    expected: float | None = None
    made: int | None = None
    wasted: int | None = None

    @property
    def off_by(self) -> float | None:
        """How far the forecast was off."""
        return None if self.expected is None else abs(self.came - self.expected)

    @property
    def left(self) -> int | None:
        """Portions that nobody came for."""
        return None if self.made is None else max(0, self.made - self.came)

    @property
    def missing(self) -> int | None:
        """Guests for whom there was no portion."""
        return None if self.made is None else max(0, self.came - self.made)

    def as_dict(self) -> dict[str, Any]:
        """As JSON-ready data."""
        return {
            "name": self.name,
            "on": self.on.isoformat(),
            "came": self.came,
            "expected": self.expected,
            "made": self.made,
            "wasted": self.wasted,
        }


def checked_occasion(one: Occasion) -> Occasion:
    """The occasion, if every part of it can be right; else an InputError."""
    name = one.name
    if not isinstance(name, str) or not 1 <= len(name) <= LONGEST_NAME:
        raise InputError(f"an occasion has a name of at most {LONGEST_NAME} letters")
    if not without_joiners(name).isprintable() or name != " ".join(name.split()):
        raise InputError(f"{name!r:.80} is no name: write it in plain letters")
    _number("how many came", one.came, is_whole=True)
    if one.expected is not None:
        _number("how many were expected", one.expected)
    for what, number in (
        ("how many portions there were", one.made),
        ("how many portions were wasted", one.wasted),
    ):
        if number is not None:
            _number(what, number, is_whole=True)
    if one.made is not None and one.wasted is not None and one.wasted > one.made:
        raise InputError(
            sentence(
                "{wasted} wasted of {made} made cannot be: look at both numbers again",
                wasted=figure(one.wasted),
                made=figure(one.made),
            )
        )
    return one


def _number(what: str, value: Any, *, is_whole: bool = False) -> None:
    kinds = int if is_whole else int | float
    is_number = isinstance(value, kinds) and not isinstance(value, bool)
    if not is_number or not 0 <= value <= MOST_EATERS:
        raise InputError(f"{what} lies from 0 to {MOST_EATERS:,}, not {value!r:.20}")


def read_occasion_body(subject: str, body: Mapping[str, Any]) -> Occasion:
    """The occasion in the body of an event; InputError if none could be read."""
    facts = body.get("occasion")
    if not isinstance(facts, Mapping) or facts.keys() != _KEYS:
        raise InputError(f"expected an occasion with {', '.join(sorted(_KEYS))}")
    one = checked_occasion(Occasion(**{**facts, "on": date.fromisoformat(facts["on"])}))
    if subject != occasion_subject(one.name):
        raise InputError(f"{one.name!r:.80} stands under another name")
    return one


def occasions_from(events: Iterable[Event]) -> list[Occasion]:
    """What stands of the occasions in `events`, by day and then by name."""
    noted = [one for one in corrected(events) if one.kind == "noted"]
    latest: dict[tuple[str, date], Occasion] = {}
    for event in sorted(noted, key=lambda one: (one.recorded_at, one.id)):
        one = read_occasion_body(event.subject, event.body)
        latest[event.subject, one.on] = one
    return sorted(latest.values(), key=lambda one: (one.on, one.name.casefold()))
