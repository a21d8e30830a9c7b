"""`make` for one occasion: how many to prepare, and afterwards how it came out."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk
from lidclock.cli.options import echo_json, echo_lines
from lidclock.cli.show import columns, plural
from lidclock.domain.moments import say_day
from lidclock.domain.screen_text import shown
from lidclock.errors import InputError

if TYPE_CHECKING:
    from datetime import date

    from lidclock.app.occasion_answer import Answer, Question
    from lidclock.app.occasions import History, Recorded
    from lidclock.app.one_off import OneOff, Outcome
    from lidclock.app.session import Session

_ASKED = ("eaters", "spread", "short", "worth", "service", "on_hand")
_ABOUT = ("eaters", "before", "occasion")
_OPTIONS = [
    click.option("--eaters", type=float, help="One occasion: how many are expected."),
    click.option("--spread", type=float, help="Their standard deviation. [0]"),
    click.option(
        "--before", metavar="LIST", help="Instead: how many came before, 112,105,118."
    ),
    click.option(
        "--occasion", metavar="NAME", help="Go by what is on record, and record."
    ),
    click.option("--short", type=float, help="What one missing portion costs."),
    click.option("--worth", type=float, help="What one wasted portion costs."),
    click.option("--service", type=float, help="How sure, without costs. [0.95]"),
    click.option("--on-hand", type=int, help="Portions that are there already. [0]"),
    click.option("--came", type=int, help="Afterwards: how many came."),
    click.option("--made", type=int, help="Afterwards: how many portions there were."),
    click.option("--wasted", type=int, help="Afterwards: how many were thrown away."),
    click.option("--on", metavar="DAY", help="Afterwards: which day it was. [today]"),
    click.option(
        "--last-time", type=int, help="Without --occasion: how many came last time."
    ),
]


def occasion_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """The options of one occasion, before and after it."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def about_one(asked: dict[str, Any]) -> bool:
    """Whether one occasion is meant; InputError for options that want one."""
    if any(asked[name] is not None for name in _ABOUT):
        return True
    given = [name for name, value in asked.items() if value is not None]
    if given:
        raise InputError(
            f"{_option(given[0])} goes with --eaters, the number expected, with "
            "--before or with --occasion"
        )
    return False


def _option(name: str) -> str:
    return "--" + name.replace("_", "-")


def show_one(desk: Desk, asked: dict[str, Any], *, as_json: bool) -> None:
    """Say how many to prepare; record how it came out where that is told."""
    _check(asked)
    if asked["occasion"] is None:
        _show_without_kitchen(asked, as_json=as_json)
        return
    with desk.session() as session:
        if asked["came"] is None:
            _show_named(session, asked, as_json=as_json)
        else:
            _record(session, asked, as_json=as_json)


def _check(asked: dict[str, Any]) -> None:
    if asked["eaters"] is not None and asked["before"] is not None:
        raise InputError("--eaters and --before both say how many come: give one")
    if asked["came"] is None:
        wanting = ("made", "wasted", "on", "last_time")
        for name in (one for one in wanting if asked[one] is not None):
            raise InputError(f"{_option(name)} goes with --came, how many came")
    if asked["occasion"] is None:
        for name in (one for one in ("wasted", "on") if asked[one] is not None):
            raise InputError(
                f"{_option(name)} is recorded: say of which --occasion NAME it was"
            )
    elif asked["last_time"] is not None:
        raise InputError("leave --last-time out: it is on record with --occasion")


def _question(asked: dict[str, Any]) -> Question:
    from lidclock.app.occasion_answer import Question, read_before

    named = {name: asked[name] for name in _ASKED if asked[name] is not None}
    before = read_before(asked["before"] or "")
    return Question(asked["occasion"] or "", before=before, **named)


def _show_without_kitchen(asked: dict[str, Any], *, as_json: bool) -> None:
    from lidclock.app.occasion_answer import answer
    from lidclock.app.one_off import one_off_json, outcome

    found = answer(_question(asked))
    came_out = None
    if asked["came"] is not None:
        came_out = outcome(
            found.found.asked, asked["came"], asked["made"], asked["last_time"]
        )
    if as_json:
        echo_json(one_off_json(found.found, came_out))
        return
    lines = _one_off_lines(found)
    if came_out is not None:
        lines += _outcome_lines(found.found, came_out)
    echo_lines(lines)


def _show_named(session: Session, asked: dict[str, Any], *, as_json: bool) -> None:
    from lidclock.app.occasion_answer import ask
    from lidclock.app.occasion_json import answer_json, history_json

    found, history = ask(session, _question(asked))
    if as_json:
        echo_json({**answer_json(found), "history": history_json(history)})
    else:
        echo_lines([*_one_off_lines(found), *_history_lines(history)])


def _record(session: Session, asked: dict[str, Any], *, as_json: bool) -> None:
    from lidclock.app.occasion_answer import read_before
    from lidclock.app.occasion_json import recorded_json
    from lidclock.app.occasions import Told, tell

    told = Told(
        asked["occasion"],
        asked["came"],
        _day(session, asked["on"]),
        asked["eaters"],
        read_before(asked["before"] or ""),
        asked["made"],
        asked["wasted"],
    )
    done = tell(session, told)
    if as_json:
        echo_json(recorded_json(done))
    else:
        echo_lines(_occasion_lines(done))


def _day(session: Session, text: str | None) -> date | None:
    from lidclock.cli.when import read_past_day

    if text is None:
        return None
    return read_past_day(text, session.kitchen.zone, session.now)


def _occasion_lines(done: Recorded) -> list[str]:
    from lidclock.app.occasion_words import error_lines, next_line, occasion_lines

    one = done.occasion
    return [
        shown(f"{one.name}, {say_day(one.on)}: recorded"),
        *(f"  {line}" for line in occasion_lines(one, done.history)),
        *_history_lines(done.history),
        *error_lines(done.history.errors),
        next_line(done.history),
        "`lidclock undo` takes it back",
    ]


def _history_lines(history: History) -> list[str]:
    """Each time on record, by day."""
    if not history.occasions:
        return []
    head = ["on record", "expected", "came", "made", "wasted", "off by"]
    rows = [
        [
            say_day(one.on),
            f"{_number(one.expected):>8}",
            f"{one.came:>4}",
            f"{_number(one.made):>4}",
            f"{_number(one.wasted):>6}",
            f"{_number(one.off_by):>6}",
        ]
        for one in history.occasions
    ]
    return columns([head, *rows])


def _number(value: float | None) -> str:
    return "?" if value is None else f"{round(value, 1):g}"


def _one_off_lines(answered: Answer) -> list[str]:
    found, asked = answered.found, answered.found.asked
    more = f", give or take {round(asked.spread, 1):g}" if asked.spread else ""
    why = (
        f"critical ratio {found.ratio:.3g}: one too few costs {asked.short:g}, one too "
        f"many {asked.worth:g}"
        if found.by_costs
        else f"enough with {found.ratio:.3g}: no costs given"
    )
    portions = plural(found.portions, "portion")
    lines = [f"prepare {portions} for {round(asked.eaters, 1):g}{more}"]
    if answered.count is not None:
        times = plural(answered.count.number, "time")
        lines.append(f"  on average of {times} before")
    if asked.on_hand:
        lines.append(f"  {asked.on_hand} are there, so make {found.to_make}")
    lines.append(f"  {why}")
    if not asked.spread:
        lines.append(
            "  no --spread given, so exactly that many are taken to come"
            if answered.count is None
            else "  once does not vary, so exactly that many are taken to come"
        )
    lines += choice_lines(
        [(x.portions, x.short_odds, x.missing, x.left) for x in found.choices],
        found.portions,
    )
    return lines


def _outcome_lines(found: OneOff, out: Outcome) -> list[str]:
    expected = round(found.asked.eaters, 1)
    lines = [f"came {out.came}, expected {expected:g}: off by {round(out.off_by, 1):g}"]
    if out.last_time_off_by is not None:
        better = "nearer" if out.off_by < out.last_time_off_by else "no nearer"
        lines.append(
            f"  {better} than the same as last time, which was off by "
            f"{out.last_time_off_by}"
        )
    if out.left is not None and out.missing is not None:
        lines.append(f"  {out.left} left over, {out.missing} missing")
    return lines


def choice_lines(
    rows: list[tuple[int, float, float, float]], chosen: int, word: str = "prepare"
) -> list[str]:
    """What one fewer and one more trade, with a mark at the number chosen."""
    head = [word, "runs short", "missing", "left over", ""]
    cells = [
        [
            f"{number:>{len(word)}}",
            f"{100 * odds:>8.1f} %",
            f"{missing:>7.1f}",
            f"{left:>9.1f}",
            "<-" if number == chosen else "",
        ]
        for number, odds, missing, left in rows
    ]
    return columns([head, *cells], indent=2)
