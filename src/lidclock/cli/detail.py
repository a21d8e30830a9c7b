"""`show`: one container whole."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from lidclock.app.container_words import fact_lines
from lidclock.app.history_words import contradiction_lines, history_lines
from lidclock.app.instants import to_second
from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.history import history_json
from lidclock.cli.options import (
    code_words,
    echo_json,
    echo_lines,
    json_option,
    one_code,
)
from lidclock.cli.show import box, limit_lines, status_line
from lidclock.domain.codes import spaced

if TYPE_CHECKING:
    from lidclock.app.session import Session, View
    from lidclock.app.values import Verdict


@click.command()
@code_words()
@json_option
@pass_desk
def show(desk: Desk, words: tuple[str, ...], as_json: bool) -> None:
    """Show one container: what it is, how it stands, why, and what happened to it.

    \b
    Example:
      lidclock show 4F7 K2M0
    """
    from lidclock.app import lists

    with desk.session() as session:
        view = lists.show(session, one_code(words))
        if as_json:
            echo_json(view_json(view, session))
        else:
            echo_lines(view_lines(view, session))


def view_lines(view: View, session: Session) -> list[str]:
    """Everything about one container, the answer first."""
    verdict, container = view.verdict, view.container
    ended = ""
    if container.end is not None:
        reason = f" ({container.end.reason})" if container.end.reason else ""
        ended = f"{container.end.kind}{reason}"
    number = box(container.index, container.of)
    lines = [
        f"{spaced(view.code)}  {view.food.name}{', ' + number if number else ''}",
        f"ended: {ended}" if ended else status_line(verdict),
        *fact_lines(view, session),
    ]
    if verdict.plan_by and not ended:
        from lidclock.domain.moments import say_day

        lines.append(f"plan to use it by {say_day(verdict.plan_by)}")
    lines += _why(verdict)
    lines += _block("warm by these readings", _charged(view, session))
    lines += _block("contradictions", contradiction_lines(view, session.kitchen.zone))
    lines += _block("not known", list(verdict.unknown))
    if verdict.next:
        lines.append(f"next: {', '.join(verdict.next)}")
    lines += _block("cautions", list(verdict.cautions))
    return lines + _block("history", history_lines(view, session.kitchen.zone))


def _why(verdict: Verdict) -> list[str]:
    """Every limit with its arithmetic and its source, the strictest first."""
    found = [line for limit in verdict.limits for line in limit_lines(limit)]
    return _block("why, the strictest first", found)


def _charged(view: View, session: Session) -> list[str]:
    from lidclock.app.charged import charged, charged_lines

    return charged_lines(charged(session, view), session)


def _block(title: str, lines: list[str]) -> list[str]:
    return [title, *(f"  {line}" for line in lines)] if lines else []


def view_json(view: View, session: Session) -> dict[str, Any]:
    """One container as JSON-ready data, its verdict and history included."""
    from lidclock.app.assess import verdict_json
    from lidclock.app.remarks import lid_remark

    container, zone = view.container, session.kitchen.zone
    batch = view.inventory.batches.get(container.batch or "")
    end = container.end
    return {
        "code": view.code,
        "food": view.food.name,
        "category": view.food.category,
        "allergens": None if view.allergens is None else list(view.allergens),
        "batch": batch.number if batch else None,
        "index": container.index,
        "of": container.of,
        "lot": container.lot or None,
        "recipe": (batch.recipe or None) if batch else None,
        "place": container.place or None,
        "state": container.state or None,
        "mass_g": container.mass_g,
        "made_at": to_second(container.made_at, zone),
        "opened_at": to_second(container.opened_at, zone),
        "labelled": container.labelled,
        "lid": lid_remark(view) or None,
        "known_allergens": list(view.known_allergens),
        "contradictions": contradiction_lines(view, zone),
        "ended": end.kind if end else None,
        "ended_at": to_second(end.at, zone) if end else None,
        "ended_reason": (end.reason or None) if end else None,
        "verdict": verdict_json(view.verdict),
        "history": history_json(view, zone),
    }
