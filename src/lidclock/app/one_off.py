"""How much to make for one occasion, and how it came out; needs no kitchen."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from lidclock.domain.sentences import sentence
from lidclock.errors import InputError
from lidclock.plan.demand import MOST
from lidclock.plan.newsvendor import NormalDemand, critical_ratio, to_add

SERVICE = 0.95
_MOST_MONEY = 1e9
_BOTH = sentence(
    "say both: what one missing portion costs, and what one wasted portion costs"
)
_FREE = sentence(
    "costs must be more than 0: where one of them costs nothing no number is too small "
    "or too large"
)


@dataclass(frozen=True, slots=True)
class Asked:
    """So many eaters, more or less; one too few costs `short`, one too many `worth`.

    `service` is how sure it should be that there is enough, where nobody knows costs.
    """

    eaters: float
    spread: float = 0.0
    short: float | None = None
    worth: float | None = None
    service: float | None = None
    on_hand: int = 0


@dataclass(frozen=True, slots=True)
class Choice:
    """So many prepared: how likely that is too few, and what is missing and left."""

    portions: int
    short_odds: float
    missing: float
    left: float


@dataclass(frozen=True, slots=True)
class OneOff:
    """The answer: `ratio` is how likely `portions` should be enough, `exact` before
    rounding up; `choices` has one fewer and one more beside it.
    """

    asked: Asked
    ratio: float
    exact: float
    portions: int
    to_make: int
    choices: tuple[Choice, ...]

    @property
    def by_costs(self) -> bool:
        """Whether costs decided it, not a service level."""
        return self.asked.short is not None


@dataclass(frozen=True, slots=True)
class Outcome:
    """How it came out, on no record; a number that nobody told is None."""

    came: int
    off_by: float
    left: int | None = None
    missing: int | None = None
    last_time_off_by: int | None = None


def one_off(asked: Asked) -> OneOff:
    """The smallest whole number that is enough with probability Cu/(Cu + Co).

    InputError for a number that is none, out of range, or a cost without the other.
    """
    _check(asked)
    ratio = _ratio(asked)
    demand = NormalDemand(asked.eaters, asked.spread)
    portions = demand.portions(ratio)
    return OneOff(
        asked=asked,
        ratio=ratio,
        exact=max(0.0, demand.amount(ratio)),
        portions=portions,
        to_make=to_add(portions, asked.on_hand),
        choices=tuple(
            Choice(
                number,
                1 - demand.enough(number),
                demand.lost(number),
                demand.left(number),
            )
            for number in (portions - 1, portions, portions + 1)
            if number >= 0
        ),
    )


def outcome(
    asked: Asked, came: int, made: int | None = None, last_time: int | None = None
) -> Outcome:
    """How far the expected number was off, and what `made` left or lacked.

    `last_time` is how many came the time before: the forecast to beat.
    """
    for name, number in (("came", came), ("made", made), ("last time", last_time)):
        if number is not None and not 0 <= number <= MOST:
            raise InputError(f"{name} lies from 0 to {MOST}, not {number}")
    return Outcome(
        came=came,
        off_by=abs(came - asked.eaters),
        left=None if made is None else max(0, made - came),
        missing=None if made is None else max(0, came - made),
        last_time_off_by=None if last_time is None else abs(came - last_time),
    )


def one_off_json(found: OneOff, came_out: Outcome | None = None) -> dict[str, Any]:
    """The answer as JSON-ready data."""
    asked = found.asked
    answer: dict[str, Any] = {
        "eaters": round(asked.eaters, 3),
        "spread": round(asked.spread, 3),
        "short": asked.short,
        "worth": asked.worth,
        "ratio": round(found.ratio, 6),
        "exact": round(found.exact, 3),
        "prepare": found.portions,
        "on_hand": asked.on_hand,
        "make": found.to_make,
        "choices": [
            {
                "portions": one.portions,
                "runs_short": round(one.short_odds, 6),
                "missing": round(one.missing, 3),
                "left": round(one.left, 3),
            }
            for one in found.choices
        ],
    }
    if came_out is not None:
        answer["outcome"] = {
            name: getattr(came_out, name) for name in Outcome.__slots__
        }
    return answer


def _check(asked: Asked) -> None:
    for name, number, most in (
        ("eaters", asked.eaters, MOST),
        ("the spread", asked.spread, MOST),
        ("on hand", asked.on_hand, MOST),
        ("short", asked.short, _MOST_MONEY),
        ("worth", asked.worth, _MOST_MONEY),
    ):
        if number is not None and not (math.isfinite(number) and 0 <= number <= most):
            raise InputError(f"{name} lies from 0 to {most:,.0f}, not {number}")


def _ratio(asked: Asked) -> float:
    if asked.short is None and asked.worth is None:
        service = SERVICE if asked.service is None else asked.service
        if not 0.01 <= service <= 0.999:
            raise InputError(
                f"a service level lies from 0.01 to 0.999, not {service}; 0.95 means "
                "enough nineteen times out of twenty"
            )
        return service
    if asked.short is None or asked.worth is None:
        raise InputError(f"give both --short and --worth; {_BOTH}", _BOTH)
    if asked.service is not None:
        raise InputError(
            "give costs or --service, not both: costs make a level",
            sentence("give costs or how sure it should be, not both"),
        )
    if not (asked.short > 0 and asked.worth > 0):
        raise InputError(f"--short and --worth: {_FREE}", _FREE)
    return critical_ratio(asked.short, asked.worth)
