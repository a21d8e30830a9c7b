"""From a container and its verdict to the words on its label."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from math import ceil, floor

from lidclock.app.projection import (
    approval_words,
    label_kind,
    source_of,
    verdict_of,
)
from lidclock.app.session import Session, View
from lidclock.domain.containers import Container
from lidclock.domain.history import Placing
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import last_date, local_date, say_day, say_short_day
from lidclock.labels.content import Label, Ruler
from lidclock.labels.kinds import Kind, load_kind

# Where nobody said when it will be thawed, the label leaves room for a pen.
_BY_PEN = "________"


def label_for(view: View, session: Session) -> Label:
    """What the lid of one container says.

    A lid is labelled before it is put away, so a container that was never placed is
    labelled as if it went into a fridge now; lists go on counting it as out.
    """
    view = as_placed(view, session)
    kind = load_kind(label_kind(view.container, view.food, view.verdict))
    word, headline, note = _headline(view, session, kind)
    return Label(
        name=view.food.name,
        code=view.code,
        uri=address_of(view, session),
        headline_word=word,
        headline=headline,
        headline_note=note,
        lines=tuple(_lines(view, session, kind)),
        handling=_handling(view, session, kind),
        allergens=view.allergens,
        known_allergens=view.known_allergens,
        ruler=_ruler(view, session) if kind.has_day_rule else None,
    )


def address_of(view: View, session: Session) -> str:
    """What the QR symbol holds: the code, and from the second label on its number."""
    number = view.container.next_label
    tail = f"/{number}" if number > 1 else ""
    return f"{session.kitchen.symbol_base}/C/{view.code}{tail}"


def as_placed(view: View, session: Session) -> View:
    """The container where it is; in a fridge from now on if nobody put it anywhere."""
    if view.container.is_placed:
        return view
    container = replace(
        view.container, placings=[Placing(session.now, "fridge", "fridge")]
    )
    # Nobody has read yet how warm it is from now on.
    history = view.inventory.history_of(container)
    verdict = verdict_of(view.food, history, session)
    return replace(view, container=container, verdict=verdict)


def is_shaky(view: View) -> bool:
    """Whether the binding figure is an authority's that nobody checked."""
    source = source_of(view.verdict)
    return source is not None and source.grade != "kitchen" and not source.verified


def _headline(view: View, session: Session, kind: Kind) -> tuple[str, str, str]:
    """The date word, the date, and the note that belongs with it."""
    notes = [_NOTES[name](view, session) for name in kind.note]
    word = kind.word
    if view.verdict.is_house_rule and view.verdict.last_day is not None:
        word, notes = "BEST BY", ["house rule, no authority"]
    else:
        notes.append("unverified figure" if is_shaky(view) else "")
        notes.append(approval_words(view.verdict))
    note = ", ".join(note for note in notes if note)
    return word, _HEADLINES[kind.headline](view, session), note


def _last_day(view: View, _: Session) -> str:
    return say_day(view.verdict.last_day) if view.verdict.last_day else ""


def _last_hour(view: View, session: Session) -> str:
    """`14:30 Thu 2 Jul`, or the day where no hour binds."""
    hour = _binding_hour(view, session)
    if not hour or view.verdict.last_day is None:
        return _last_day(view, session)
    return f"{hour} {say_short_day(view.verdict.last_day)}"


def _frozen_on(view: View, session: Session) -> str:
    day = froze_on_day(view, session)
    return say_day(day) if day else ""


def froze_on_day(view: View, session: Session) -> date | None:
    """The day on which it went into a freezer last; None if it never did."""
    froze = [at for at in view.container.placings if at.state == "freezer"]
    return local_date(froze[-1].at, session.kitchen.zone) if froze else None


def _binding_hour(view: View, session: Session) -> str:
    """The hour, where an hour clock binds and the day alone would allow more."""
    binding = view.verdict.binding
    if binding is None or not binding.includes_moment or not binding.last_moment:
        return ""
    return f"{binding.last_moment.astimezone(session.kitchen.zone):%H:%M}"


def until_hour(view: View, session: Session) -> str:
    """`until 14:30`, where an hour binds."""
    hour = _binding_hour(view, session)
    return f"until {hour}" if hour else ""


def _days_used(view: View, _: Session) -> str:
    """How many of its days went before it was frozen."""
    counted = [limit for limit in view.verdict.limits if limit.days_left is not None]
    if not counted:
        return ""
    tightest = min(counted, key=lambda limit: limit.days_left or 0)
    allowed = next((s[2] for s in tightest.steps if s[0] == "days"), None)
    if allowed is None:
        return ""
    return f"{allowed - (tightest.days_left or 0)} of {allowed} days used"


def _never_after(view: View, _: Session) -> str:
    """The date that the freezer does not move, where there is one."""
    binding = view.verdict.binding
    if binding is None or binding.over_at is None:
        return ""
    return f"never after {say_day(last_date(binding.over_at, view.verdict.zone))}"


def _lines(view: View, session: Session, kind: Kind) -> list[str]:
    """The kind's lines, with the facts that this container has."""
    lines = ([_FACTS[fact](view, session) for fact in line] for line in kind.lines)
    return [" · ".join(fact for fact in line if fact) for line in lines]


def _made(view: View, session: Session) -> str:
    if view.container.made_at is not None:
        return f"made {_say(view.container.made_at, session)}"
    return "" if view.container.opened_at else "making time not recorded"


def _opened(view: View, session: Session) -> str:
    at = view.container.opened_at
    return f"opened {_say(at, session)}" if at else ""


def _mass(view: View, session: Session) -> str:
    grams = view.container.mass_g
    return say_mass(grams, session.kitchen.units) if grams is not None else ""


def _box(view: View, _: Session) -> str:
    """`box 2 of 6`, where there is more than one."""
    container = view.container
    if container.index is None or container.of is None or container.of < 2:
        return ""
    return f"box {container.index} of {container.of}"


def _lot(view: View, _: Session) -> str:
    return f"lot {view.container.lot}" if view.container.lot else ""


def _pulled(view: View, session: Session) -> str:
    """When it left the freezer."""
    pulled = _pulling(view.container)
    return f"pulled {_say(pulled.at, session)}" if pulled else ""


def _ready(view: View, session: Session) -> str:
    """When it is expected to be thawed; room for a pen where nobody said."""
    pulled = _pulling(view.container)
    ready = pulled.ready_at if pulled else None
    return f"ready {_say(ready, session)}" if ready else f"ready {_BY_PEN}"


def _pulling(container: Container) -> Placing | None:
    """The placing that took it out of the freezer last."""
    found = None
    was_frozen = False
    for placing in container.placings:
        if was_frozen and placing.state != "freezer":
            found = placing
        was_frozen = placing.state == "freezer"
    return found


def _makers_date(view: View, _: Session) -> str:
    day = view.container.maker_use_by
    return f"maker's date {say_day(day)}" if day else ""


def _best_quality(view: View, _: Session) -> str:
    """How long it is good to eat, which is no limit."""
    day = view.verdict.best_by
    return f"best by {say_day(day)} (quality)" if day else ""


def _held(view: View, session: Session) -> str:
    """Since when it stands out."""
    placings = view.container.placings
    if not placings:
        return ""
    place = placings[-1].place or placings[-1].state
    return f"{place} since {_say(placings[-1].at, session)}"


def _say(at: datetime, session: Session) -> str:
    local = at.astimezone(session.kitchen.zone)
    return f"{say_short_day(local.date())} {local:%H:%M}"


def _handling(view: View, session: Session, kind: Kind) -> str:
    """Where to keep it, and the food's own handling line."""
    guidance, units = session.guidance, session.kitchen.units
    category = guidance.categories.get(view.food.category)
    own = view.food.handling or (category.handling if category else "")
    if category is not None and category.tcs == "no":
        return own
    if kind.handling == "hot":
        return _hot_words(view, units)
    if kind.handling == "hour":
        return "Serve or throw away by then."
    keep = f"Keep at {_cold_words(guidance.cold_c, units)} or colder."
    if kind.handling == "frozen":
        keep = "Keep frozen. Thaw in the fridge."
    return f"{keep} {own}".strip()


def _hot_words(view: View, units: str) -> str:
    """How hot a hot hold has to be, in whole degrees, rounded to the hotter side."""
    rules = view.verdict.plan.exposure
    limits = [rule.below_c for rule in rules if rule.below_c is not None]
    if not limits:
        return ""
    hot_c = max(limits)
    degrees = ceil(hot_c * 9 / 5 + 32 - 0.1) if units == "us" else ceil(hot_c)
    return f"Keep at {degrees} °{'F' if units == 'us' else 'C'} or hotter."


def _cold_words(cold_c: float, units: str) -> str:
    """The cold limit in whole degrees, rounded to the colder side."""
    if units == "us":
        return f"{floor(cold_c * 9 / 5 + 32 + 0.1)} °F"
    return f"{floor(cold_c)} °C"


def _ruler(view: View, session: Session) -> Ruler | None:
    """The day rule from the first day to the last; none while paused or unknown."""
    last = view.verdict.last_day
    start = view.container.made_at or view.container.opened_at
    if last is None or start is None:
        return None
    first = local_date(start, session.kitchen.zone)
    if last < first:
        return None
    skipped = _frozen_days(view, session)
    return Ruler(first, last, tuple(day for day in skipped if first < day < last))


def _frozen_days(view: View, session: Session) -> list[date]:
    """Whole days in the freezer, which the count skips."""
    zone = session.kitchen.zone
    days: list[date] = []
    for stay in view.inventory.history_of(view.container).stays:
        if stay.state != "freezer" or stay.ended is None:
            continue
        began, ended = local_date(stay.began, zone), local_date(stay.ended, zone)
        span = range(began.toordinal() + 1, ended.toordinal())
        days += [date.fromordinal(number) for number in span]
    return days


_Word = Callable[[View, Session], str]
_HEADLINES: dict[str, _Word] = {
    "last_day": _last_day,
    "last_hour": _last_hour,
    "frozen_on": _frozen_on,
    "ask": lambda *_: "ask before use",
}
_NOTES: dict[str, _Word] = {
    "hour": until_hour,
    "days_used": _days_used,
    "never_after": _never_after,
    "last_day_unknown": lambda *_: "last day not known",
}
_FACTS: dict[str, _Word] = {
    "made": _made,
    "opened": _opened,
    "mass": _mass,
    "box": _box,
    "lot": _lot,
    "pulled": _pulled,
    "ready": _ready,
    "makers_date": _makers_date,
    "best_quality": _best_quality,
    "held": _held,
}
