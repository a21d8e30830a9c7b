"""How many to prepare for an occasion, by what is said, typed or on record."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.app.occasions import History, find_history, history_of, typed_count
from lidclock.app.one_off import Asked, OneOff, one_off
from lidclock.app.session import Session
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError
from lidclock.plan.headcount import HeadCount

# Where the number expected is from: said as it is, out of numbers that were typed, or
# out of what was recorded.
SAID, TYPED, RECORD = BASES = ("said", "typed", "record")
# Under so many earlier ones the spread is a guess; common practice, without a source.
FEW = 8


@dataclass(frozen=True, slots=True)
class Question:
    """How many to prepare: for so many, or for as many as came to such ones `before`.

    Else what is on record of the occasion called `name` counts. The rest is as in
    `one_off.Asked`; a `spread` of None is that of the earlier ones.
    """

    name: str = ""
    eaters: float | None = None
    spread: float | None = None
    before: tuple[int, ...] = ()
    short: float | None = None
    worth: float | None = None
    service: float | None = None
    on_hand: int = 0


@dataclass(frozen=True, slots=True)
class Answer:
    """How many to prepare, and by what: `basis` is one of `BASES`.

    `count` is what the earlier ones say, None where the number was said.
    """

    found: OneOff
    basis: str
    count: HeadCount | None


def answer(question: Question, history: History | None = None) -> Answer:
    """How many to prepare; needs no kitchen where the question says enough.

    InputError where nobody said how many are expected, or for a number out of range.
    """
    count, basis = None, SAID
    if question.eaters is None:
        basis = TYPED if question.before else RECORD
        count = typed_count(question.before) or (history.count if history else None)
        if count is None:
            raise InputError(_NOTHING)
    eaters = question.eaters if count is None else count.mean
    spread = question.spread
    if spread is None and count is not None:
        spread = count.spread
    assert eaters is not None  # said, or counted
    asked = Asked(
        eaters,
        0.0 if spread is None else spread,
        question.short,
        question.worth,
        question.service,
        question.on_hand,
    )
    return Answer(one_off(asked), basis, count)


_NOTHING = sentence(
    "say how many are expected, or how many came to such occasions before"
)


def ask(session: Session, question: Question) -> tuple[Answer, History]:
    """The same in a kitchen, and what is on record under the question's name.

    UnknownThingError where the record has to say how many come, and has nothing.
    """
    is_told = question.eaters is not None or question.before
    if not question.name:
        history = History("")
    elif is_told:
        history = history_of(session, question.name)
    else:
        history = find_history(session, question.name)
    return answer(question, history), history


def read_before(text: str) -> tuple[int, ...]:
    """`112, 105 118` as numbers; InputError for what is none."""
    found = []
    for word in text.replace(",", " ").replace(";", " ").split():
        if not word.isascii() or not word.isdecimal() or len(word) > 6:
            raise InputError(
                sentence(
                    "{text} is not how many came; write numbers such as 112, 105, 118",
                    text=repr(word[:40]),
                )
            )
        found.append(int(word))
    return tuple(found)
