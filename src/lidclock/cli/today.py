"""`today`, `accept`, `decline`, `put-off`: the card, and what is said to it."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import click

from lidclock.app.card_words import (
    hour_words,
    loss_words,
    overtaken_words,
    step_lines,
)
from lidclock.cli.desk import Desk, coming_time_of, pass_desk, time_of
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns, did_line, plural, say_when
from lidclock.domain.codes import spaced

if TYPE_CHECKING:
    from lidclock.app.answers import Said
    from lidclock.app.card_facts import Facts
    from lidclock.app.values import Card, Proposal

_MOST_LISTED = 6
_INDENT = 4
_WIDTH = 100


@click.command()
@click.option("--at", metavar="TIME", help="The card of another moment.")
@click.option("--all", "every", is_flag=True, help="Show what did not fit as well.")
@json_option
@pass_desk
def today(desk: Desk, at: str | None, every: bool, as_json: bool) -> None:
    """Say what to do next: a handful of proposals, what loses most first.

    Each has a number: say yes with `accept`, no with `decline`, later with `put-off`.
    The hours of the card, costs and meals are the kitchen's: `plan`, `meal`.

    \b
    Example:
      lidclock today
      lidclock accept 2
    """
    from lidclock.app.card_json import card_json
    from lidclock.app.today import numbered
    from lidclock.app.today import today as card_for

    with desk.session() as session:
        moment = coming_time_of(session, at) if at else None
        if moment is not None:
            session.now = moment
        card, facts = card_for(session, every=every)
        if as_json:
            echo_json(card_json(card, facts))
        else:
            echo_lines(_card_lines(card, facts, numbered(card, every=every)))


@click.command()
@click.argument("number", type=int)
@click.option("--at", metavar="TIME", help="When it was done; it counts as done.")
@click.option("--done", "is_done", is_flag=True, help="Done already, before its hour.")
@click.option("--to", metavar="NAME", default="", help="Who takes what is handed on.")
@click.option("--anyway", is_flag=True, help="Record it though it is odd.")
@pass_desk
def accept(desk: Desk, number: int, at: str | None, **how: Any) -> None:
    """Do what proposal NUMBER says, or agree to it for its hour.

    What is due within half an hour is recorded as done; what comes later is kept, and
    speaks again at its hour. One `undo` takes it back.

    \b
    Example:
      lidclock accept 1
      lidclock accept 3 --to "the neighbours"
    """
    from lidclock.app.answers import accept as say_yes

    with desk.session() as session:
        said = say_yes(session, number, at=time_of(session, at), **how)
        echo_lines([*_accepted_lines(said, session.kitchen.zone)])


@click.command()
@click.argument("number", type=int)
@click.argument("reason", nargs=-1)
@pass_desk
def decline(desk: Desk, number: int, reason: tuple[str, ...]) -> None:
    """Do not do what proposal NUMBER says; give a REASON if there is one.

    It does not come back while the facts stay as they are. What is to be discarded or
    looked at does at the next card: harm is not declined away.

    \b
    Example:
      lidclock decline 2 the guests have cancelled
    """
    from lidclock.app.answers import decline as say_no

    with desk.session() as session:
        said = say_no(session, number, " ".join(reason))
        click.echo(f"declined: {said.proposal.says}")


@click.command("put-off")
@click.argument("number", type=int)
@click.option("--until", metavar="TIME", help="[default: the next card]")
@pass_desk
def put_off(desk: Desk, number: int, until: str | None) -> None:
    """Leave proposal NUMBER for later: it stays away for an hour at least.

    \b
    Example:
      lidclock put-off 2 --until 18:00
    """
    from lidclock.app.answers import put_off as later

    with desk.session() as session:
        said = later(session, number, coming_time_of(session, until))
        assert said.until is not None
        when = say_when(said.until, session.kitchen.zone)
        click.echo(f"put off until {when}: {said.proposal.says}")


def _card_lines(card: Card, facts: Facts, numbers: list[Proposal]) -> list[str]:
    zone = facts.zone
    lines = [f"{say_when(card.now, zone)}, {facts.session.kitchen.name}"]
    by_key = {one.key: number for number, one in enumerate(numbers, start=1)}
    listed = [one for one in numbers if one not in card.agreed]
    for one in listed:
        lines += _proposal_lines(by_key[one.key], one, card, facts)
    if not listed:
        lines.append("nothing to do")
    if card.agreed:
        lines.append("agreed")
        lines += columns(
            [
                [str(by_key[one.key]), say_when(one.at, zone), one.says]
                for one in card.agreed
                if one.at is not None
            ],
            indent=2,
        )
        for one in card.agreed:
            for line in overtaken_words(one, facts):
                lines += _wrapped(f"{by_key[one.key]:>3}  - ", line)
    hidden = len(card.more) - (len(listed) - len(card.shown))
    return [*lines, *_last_lines(card, facts, hidden, bool(listed))]


def _last_lines(card: Card, facts: Facts, hidden: int, is_asking: bool) -> list[str]:
    lines = []
    if hidden:
        lines.append(f"{hidden} more: `lidclock today --all`")
    if card.put_off or card.declined:
        lines.append(f"put off: {len(card.put_off)}, declined: {len(card.declined)}")
    if is_asking:
        lines.append(
            "say `lidclock accept 1`, `lidclock decline 1 REASON` or "
            "`lidclock put-off 1`"
        )
    lines.append(f"next card: {say_when(card.next_at, facts.zone)}")
    return lines


def _proposal_lines(
    number: int, one: Proposal, card: Card, facts: Facts
) -> Iterator[str]:
    hour = f"{hour_words(one.at, facts)}  " if one.at else ""
    agreed = ", as agreed" if one.key in card.due else ""
    yield from _wrapped(f"{number:>2}  ", f"{hour}{one.says}{agreed}")
    pad = " " * _INDENT
    for line in step_lines(one, facts):
        yield from _wrapped(pad, line)
    yield from columns(_pick_rows(one, facts), indent=_INDENT)
    if len(one.picks) > _MOST_LISTED:
        yield f"{pad}and {len(one.picks) - _MOST_LISTED} more"
    if one.before is not None and one.at is None:
        yield f"{pad}- before {say_when(one.before, facts.zone)}"
    overtaken = overtaken_words(one, facts) if one.key in card.due else ()
    for reason in (*overtaken, *one.why, *filter(None, [one.hint])):
        yield from _wrapped(f"{pad}- ", reason)
    lost = loss_words(one, facts)
    if lost:
        yield f"{pad}- {lost}"


def _wrapped(head: str, text: str) -> list[str]:
    """A long line goes on beneath where its words begin."""
    return wrap(
        text,
        _WIDTH,
        initial_indent=head,
        subsequent_indent=" " * len(head),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _pick_rows(one: Proposal, facts: Facts) -> list[list[str]]:
    rows = []
    for pick in one.picks[:_MOST_LISTED]:
        known = facts.live[pick.code]
        part = "" if pick.is_whole else plural(pick.portions, "portion")
        place = known.place or "no place"
        rows.append([spaced(pick.code), facts.names([pick.code]), place, part])
    return rows


def _accepted_lines(said: Said, zone: Any) -> Iterator[str]:
    for done in said.done:
        yield did_line(done.view, done.did)
    for one in said.agreed:
        assert one.at is not None
        yield f"agreed for {say_when(one.at, zone)}: {one.says}"
    if not said.done and not said.agreed:
        yield f"accepted: {said.proposal.says}"
