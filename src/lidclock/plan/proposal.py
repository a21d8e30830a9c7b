"""Proposals: one next action each, with its hour, its reason, and what is lost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lidclock.domain.sentences import as_data, from_data

USE, USE_UP, FREEZE, TAKE_OUT = "use", "use-up", "freeze", "take-out"
MAKE, CHECK, DISCARD, HAND_ON = "make", "check", "discard", "hand-on"
KINDS = (DISCARD, CHECK, USE_UP, USE, TAKE_OUT, FREEZE, HAND_ON, MAKE)


@dataclass(frozen=True, slots=True)
class Loss:
    """What goes if nobody acts: expected portions and money.

    `is_harm` where somebody may eat what guidance no longer allows, or where nobody
    knows what it allows: that comes before any money.
    """

    portions: float = 0.0
    money: float = 0.0
    is_harm: bool = False


@dataclass(frozen=True, slots=True)
class Picked:
    """So many portions out of one container; all of it where `is_whole`."""

    code: str
    portions: int = 1
    is_whole: bool = True


@dataclass(frozen=True, slots=True)
class Step:
    """Something to do on the way, at its hour: a container from one place to another.

    `ready_at` is when it will be ready there.
    """

    at: datetime
    code: str
    to: str
    ready_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Proposal:
    """One next action; `key` stays the same while the facts behind it do.

    `says` and `why` are sentences that other languages can say as well.
    `at` is the hour to do it, None for now; `before` the instant at which it is too
    late. `picks` are the containers in the order in which to take them. `why` are the
    reasons, one fact each; `hint` says how it is done at a keyboard. `meal` names the
    meal it is for; `wants` are the foods and portions of a meal that it would add, or
    that it would make. `to` is the place where things go.
    """

    kind: str
    key: str
    says: str
    at: datetime | None = None
    before: datetime | None = None
    picks: tuple[Picked, ...] = ()
    steps: tuple[Step, ...] = ()
    to: str = ""
    meal: str = ""
    wants: tuple[tuple[str, int], ...] = ()
    loss: Loss = Loss()
    why: tuple[str, ...] = ()
    hint: str = ""

    @property
    def codes(self) -> tuple[str, ...]:
        """The containers it is about, each once."""
        steps = (step.code for step in self.steps)
        return tuple(dict.fromkeys([*(one.code for one in self.picks), *steps]))

    def as_dict(self) -> dict[str, Any]:
        """As JSON-ready data: what it says in English, and what that is made of."""
        return {
            "kind": self.kind,
            "key": self.key,
            "says": str(self.says),
            "at": _text(self.at),
            "before": _text(self.before),
            "picks": [[one.code, one.portions, one.is_whole] for one in self.picks],
            "steps": [
                [_text(one.at), one.code, one.to, _text(one.ready_at)]
                for one in self.steps
            ],
            "to": self.to,
            "meal": self.meal,
            "wants": [list(one) for one in self.wants],
            "loss": [self.loss.portions, self.loss.money, self.loss.is_harm],
            "why": [str(one) for one in self.why],
            "hint": self.hint,
            "made_of": {
                "says": as_data(self.says),
                "why": [as_data(one) for one in self.why],
            },
        }


def proposal_from(facts: Mapping[str, Any]) -> Proposal:
    """The proposal that `as_dict` described.

    Sentences count where they say in English what is written beside them.
    """
    made_of = facts.get("made_of") or {}
    whys = made_of.get("why") or ()
    if len(whys) != len(facts["why"]):
        whys = facts["why"]
    return Proposal(
        kind=facts["kind"],
        key=facts["key"],
        says=_sentence(made_of.get("says", ""), facts["says"]),
        at=_instant(facts["at"]),
        before=_instant(facts["before"]),
        picks=tuple(Picked(*one) for one in facts["picks"]),
        steps=tuple(
            Step(datetime.fromisoformat(at), code, to, _instant(ready_at))
            for at, code, to, ready_at in facts["steps"]
        ),
        to=facts["to"],
        meal=facts["meal"],
        wants=tuple((food, portions) for food, portions in facts["wants"]),
        loss=Loss(*facts["loss"]),
        why=tuple(map(_sentence, whys, facts["why"])),
        hint=facts["hint"],
    )


def _sentence(data: Any, english: str) -> str:
    """What the English is made of, or the English alone where that was not kept."""
    found = from_data(data)
    return found if found == english else english


def _text(instant: datetime | None) -> str | None:
    return None if instant is None else instant.isoformat()


def _instant(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)
