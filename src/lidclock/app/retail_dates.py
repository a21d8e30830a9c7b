"""The date of a label for sale, or why there is none to print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from lidclock.app.projection import approval_words
from lidclock.app.session import Session, View
from lidclock.app.wording import froze_on_day, is_shaky, until_hour
from lidclock.domain.codes import spaced
from lidclock.domain.moments import last_date, local_date, say_day
from lidclock.errors import InputError, RefusedError
from lidclock.labels.retail_data import Jurisdiction

HOUSE = "house rule, no authority"


@dataclass(frozen=True, slots=True)
class Dating:
    """The line with the date, its notes, and what is said of frozen food besides."""

    line: str
    note: str = ""
    frozen: str = ""
    is_house_rule: bool = False


def date_of(
    view: View, session: Session, under: Jurisdiction, best_before: date | None
) -> Dating:
    """The date in words; RefusedError where it has none, or it has passed.

    `best_before` is the kitchen's own horizon for frozen food, no authority's.
    """
    verdict, what = view.verdict, f"{spaced(view.code)} ({view.food.name})"
    if verdict.status == "over":
        raise RefusedError(f"{what} is past its last moment: it is not for sale")
    if verdict.status == "paused":
        return _frozen(view, session, under, best_before)
    if best_before is not None:
        raise InputError(
            f"{what} is not frozen: its date comes from guidance, or from the days of "
            "its own that the food has (`lidclock food add NAME --days N`)"
        )
    if verdict.last_day is None:
        reason = verdict.unknown[0] if verdict.unknown else "no last day is known"
        raise RefusedError(f"{what} has no date to print: {reason}")
    is_house_rule = verdict.is_house_rule
    word = under.words["best_before" if is_house_rule else "use_by"]
    shaky = "unverified figure" if is_shaky(view) else ""
    notes = [until_hour(view, session), shaky, approval_words(verdict)]
    note = ", ".join(note for note in notes if note)
    return Dating(
        f"{word} {say_day(verdict.last_day)}",
        HOUSE if is_house_rule else note,
        is_house_rule=is_house_rule,
    )


def _frozen(
    view: View, session: Session, under: Jurisdiction, best_before: date | None
) -> Dating:
    """The earliest of what may be its date: quality, the kitchen's own, the maker's."""
    verdict, what = view.verdict, f"{spaced(view.code)} ({view.food.name})"
    if verdict.days_left is not None and verdict.days_left < 1:
        raise RefusedError(f"{what} has no days left once it is thawed: not for sale")
    best = under.words["best_before"]
    own = [(best_before, best, HOUSE)] if best_before is not None else []
    found = own + ([(verdict.best_by, best, "")] if verdict.best_by else [])
    binding = verdict.binding
    if binding is not None and binding.over_at is not None:
        last = last_date(binding.over_at, verdict.zone)
        found.insert(0, (last, under.words["use_by"], ""))
    if not found:
        raise RefusedError(
            f"{what} is frozen, and {session.guidance.id} gives no time for its "
            "quality: give --best-before DATE, the kitchen's own"
        )
    day, word, note = min(found, key=lambda one: one[0])
    if day < local_date(session.now, session.kitchen.zone):
        raise RefusedError(f"{what}: {word.lower()} {say_day(day)} has passed")
    shaky = "unverified figure" if is_shaky(view) else ""
    notes = [note, shaky, approval_words(verdict)]
    return Dating(
        f"{word} {say_day(day)}",
        ", ".join(note for note in notes if note),
        _once_thawed(view, session, under),
    )


def _once_thawed(view: View, session: Session, under: Jurisdiction) -> str:
    """When it was frozen, and how long it keeps out of the freezer."""
    words, counting = under.words, session.guidance.counting
    froze_on = froze_on_day(view, session)
    said = [f"{words['frozen_on']} {say_day(froze_on)}."] if froze_on else []
    days = view.verdict.days_left
    if days is not None and counting.fresh_hours is not None:
        said.append(f"{words['once_thawed']} {counting.fresh_hours:g} hours.")
    elif days is not None:
        span = f"{days} day{'' if days == 1 else 's'}"
        counted = ", the day of thawing counted" if counting.thaw_day_counts else ""
        said.append(f"{words['once_thawed']} {span}{counted}.")
    return " ".join(said)
