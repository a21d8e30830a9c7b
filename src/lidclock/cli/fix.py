"""`correct` and `undo`: further facts; what was recorded stays visible."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.foods import allergens_in
from lidclock.cli.options import MASS, code_words, echo_lines, food_option, one_code
from lidclock.cli.show import plural, reason_lines
from lidclock.domain.codes import spaced

if TYPE_CHECKING:
    from lidclock.app.corrections import Corrected
    from lidclock.app.session import Session
    from lidclock.domain.events import Event

_EVENT_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.I)


@click.command()
@code_words()
@click.option("--made", metavar="TIME", help="When it was really made.")
@click.option("--placed", metavar="TIME", help="When it was really put there.")
@click.option("--opened", metavar="TIME", help="When it was really opened.")
@click.option("--mass", type=MASS, metavar="MASS", help="What it really held.")
@food_option
@click.option(
    "--allergens", metavar="LIST", help='What is really in it, e.g. "wheat, milk".'
)
@click.option(
    "--no-allergens", is_flag=True, help="None are in it, and somebody knows."
)
@click.option("--at", metavar="TIME", help="For an event id: when it really happened.")
@click.option("--void", is_flag=True, help="For an event id: it did not happen.")
@pass_desk
def correct(
    desk: Desk,
    words: tuple[str, ...],
    made: str | None,
    placed: str | None,
    opened: str | None,
    **options: object,
) -> None:
    """Correct what was recorded about a container, or one event by its id.

    With --food or --allergens, the live lids of all that has some of it in it are
    named where their labels say other allergens. `lidclock show CODE --json` lists the
    event ids.

    \b
    Example:
      lidclock correct 4F7 K2M0 --placed 'today 17:30'
    """
    from lidclock.app import corrections

    at, is_void = options["at"], bool(options["void"])
    allergens = allergens_in(_text(options["allergens"]), options["no_allergens"])
    of_container = [made, placed, opened, options["mass"], options["food"], allergens]
    is_event = _EVENT_ID.fullmatch(words[0]) is not None
    if is_event and any(x is not None for x in of_container):
        raise click.UsageError("an event id takes --at TIME or --void only")
    if not is_event and (at is not None or is_void):
        raise click.UsageError("--at and --void go with an event id, not with a code")
    if is_event and at is not None and is_void:
        raise click.UsageError("give --at or --void, not both")
    with desk.session() as session:
        if is_event:
            _correct_event(session, words[0], _text(at), is_void)
            return
        change = corrections.Change(
            made_at=time_of(session, made),
            placed_at=time_of(session, placed),
            opened_at=time_of(session, opened),
            mass_g=_number(options["mass"]),
            food=_text(options["food"]),
            allergens=allergens,
        )
        with session.write() as unit:
            done = corrections.correct_container(unit, one_code(words), change)
        from lidclock.app.scanning import look_line

        lines = [
            look_line(done.view),
            *reason_lines(done.view.verdict),
        ]
        echo_lines([*lines, *done.remarks, *_label_lines(done)])


def _label_lines(done: Corrected) -> list[str]:
    """The lids that want a new label now, and how to print them."""
    from lidclock.app.remarks import allergen_remark

    if not done.labels:
        return []
    known = [
        f"  {spaced(x.code)} {x.food.name}: {allergen_remark(x)}" for x in done.labels
    ]
    codes = " ".join(view.code for view in done.labels)
    return [
        f"{plural(len(known), 'lid')} to label anew:",
        *known,
        f"print them: `lidclock label {codes} --out FILE.pdf`",
    ]


def _correct_event(session: Session, event_id: str, at: str | None, void: bool) -> None:
    from lidclock.app import corrections
    from lidclock.app.scanning import undone_line

    when = time_of(session, at)
    with session.write() as unit:
        event = corrections.correct_event(unit, event_id, at=when, void=void)
        now = undone_line(unit, event.subject).removeprefix("undone").lstrip("; ")
    did = "taken back" if void else "moved to another time"
    click.echo(f"{event.kind}: {did}" + (f"; {now}" if now else ""))


def _text(value: object) -> str | None:
    return None if value is None else str(value)


def _number(value: object) -> float | None:
    return value if isinstance(value, float) else None


def _what(event: Event) -> str:
    """What was taken back: by its kind, and a note by what it is about."""
    from lidclock.domain.alert_answers import ALERT_SUBJECT
    from lidclock.domain.counting import COUNT_PREFIX
    from lidclock.domain.stock_takes import STOCK_TAKE_SUBJECT

    if event.subject.startswith((STOCK_TAKE_SUBJECT, COUNT_PREFIX)):
        return "stock-take"
    is_alert = event.subject.startswith(ALERT_SUBJECT)
    return "the answer to an alert" if is_alert else event.kind


@click.command()
@pass_desk
def undo(desk: Desk) -> None:
    """Take back what was recorded last; the facts stay visible, marked.

    \b
    Example:
      lidclock undo
    """
    from lidclock.app import corrections
    from lidclock.app.scanning import undone_line
    from lidclock.domain.codes import is_code
    from lidclock.domain.planning_checks import is_planning_subject

    with desk.session() as session, session.write() as unit:
        events = corrections.undo(unit)
        subjects = list(dict.fromkeys(event.subject for event in events))
        kinds = ", ".join(dict.fromkeys(_what(event) for event in events))
        lines = [
            undone_line(unit, subject)
            for subject in subjects
            if (is_code(subject) and unit.snapshots.get(subject) is not None)
            or is_planning_subject(subject)
        ]
    echo_lines(lines or [f"undone: {kinds}"])
