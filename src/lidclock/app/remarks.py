"""What is wrong with the label on a lid, and which of several counts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from lidclock.app.guidance_words import allergen_names
from lidclock.app.projection import (
    are_allergens_right,
    are_dates_right,
    is_label_right,
    label_kind,
    standing_day,
)
from lidclock.app.session import View
from lidclock.clock.mark import is_mark_late
from lidclock.domain.moments import say_day, say_moment
from lidclock.domain.phrases import with_semicolons
from lidclock.domain.sentences import figure, sentence

_FROZEN, _NO_DATE = "freezer", "no-date"
_ANEW = ("freezer", "thaw", "opened")


def lid_remark(view: View) -> str:
    """What is wrong with the label on the lid; nothing where it is right."""
    printed = view.container.printed
    if printed is None or needs_no_label(view):
        return ""
    return with_semicolons([_date_remark(view, printed), allergen_remark(view)])


def _date_remark(view: View, printed: Mapping[str, Any]) -> str:
    if are_dates_right(view.inventory, view.container, view.verdict):
        return ""
    if has_late_mark(view):
        limit = standing_day(view.verdict)
        return sentence(
            "the mark is a fault: the lid says {mark}, guidance ends with {until}; "
            "print a new label",
            mark=_says(printed),
            until=say_day(limit) if limit else sentence("its limit"),
        )
    return sentence("the lid still says {mark}: print a new label", mark=_says(printed))


def allergen_remark(view: View) -> str:
    """That the allergens on the lid are no longer those of what is in it."""
    printed = view.container.printed
    if printed is None or are_allergens_right(view.inventory, view.container):
        return ""
    unsaid = [x for x in view.known_allergens if x not in printed["allergens"]]
    if unsaid:
        return sentence(
            "the lid does not name {allergens}: print a new label",
            allergens=allergen_names(unsaid),
        )
    return sentence("the allergens on the lid have changed: print a new label")


def needs_no_label(view: View) -> bool:
    """Whether its lid bears a label that says how it stands."""
    return is_label_right(view.inventory, view.container, view.verdict)


def proposes_label(view: View) -> bool:
    """Whether to offer a label at once: frozen, thawed, opened, or the old one wrong.

    For an hour on the counter nobody prints one; the remark says enough.
    """
    kind = label_kind(view.container, view.food, view.verdict)
    if not are_allergens_right(view.inventory, view.container):
        return True
    return kind in _ANEW or (kind != "hour" and view.container.labelled)


def void_remark(view: View, number: int = 0) -> str:
    """That an older label is void, where the lid had more than one.

    `number` is that of the label that was scanned; 0 where the symbol does not tell.
    """
    labels = view.container.labels
    if len(labels) < 2 or number >= labels[-1].number:
        return ""
    counts, zone = labels[-1], view.verdict.zone
    known = {
        "number": figure(counts.number),
        "mark": _says(counts.body),
        "when": say_moment(counts.at, zone),
    }
    if not number:
        return sentence(
            "label {number} counts, {mark} (since {when}); an older one on this lid is "
            "void",
            **known,
        )
    known["old"] = figure(number)
    scanned = next((one for one in labels if one.number == number), None)
    if scanned is None:
        return sentence(
            "label {old} is void: take it off; label {number} counts, {mark} (since "
            "{when})",
            **known,
        )
    return sentence(
        "label {old} ({shown}) is void: take it off; label {number} counts, {mark} "
        "(since {when})",
        **known,
        shown=_says(scanned.body),
    )


def has_late_mark(view: View) -> bool:
    """Whether its lid bears a mark that is later than its limit."""
    printed = view.container.printed
    day = printed.get("last_day") if printed is not None else None
    if printed is None or not day:
        return False
    moment = printed.get("last_moment")
    at = datetime.fromisoformat(moment) if moment else None
    return is_mark_late(view.verdict, date.fromisoformat(day), at)


def _says(printed: Mapping[str, Any]) -> str:
    """The date that a label shows, or what it says instead."""
    day, kind = printed.get("last_day"), printed.get("kind")
    if day:
        return say_day(date.fromisoformat(day))
    if kind in (_FROZEN, _NO_DATE):
        return sentence("frozen") if kind == _FROZEN else sentence("no date")
    return sentence("frozen, or no date")
