"""From a container and its verdict to the words on its label."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from math import floor
from pathlib import Path

from lidclock.app.files import write_whole
from lidclock.app.projection import (
    approval_words,
    is_label_right,
    printed_dates,
    source_of,
    standing_day,
    verdict_of,
)
from lidclock.app.session import Fact, Session, Unit, View
from lidclock.clock.mark import is_mark_late
from lidclock.domain.codes import spaced
from lidclock.domain.containers import Container
from lidclock.domain.history import Placing
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import last_date, local_date, say_day, say_short_day
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import InputError, RefusedError
from lidclock.labels.content import ActionLabel, Label, Ruler
from lidclock.scan.keyboard import SET_UP_TEXT
from lidclock.scan.payload import PLACE_ACTION, action_text

_HINTS = {
    "FREEZE": "then scan lids into the freezer",
    "THAW": "then scan lids out of the freezer",
    "OPEN": "then scan what you opened",
    "USE": "then scan what you used up",
    "DISCARD": "then scan what you threw away",
    "UNDO": "takes back the last scan",
    "DONE": "back to looking only",
}


@dataclass(frozen=True, slots=True)
class Drawn:
    """Labels that were drawn and are on no lid yet; `facts` hold once they are.

    `shortened` names the part, such as `name`, once for each lid that has it cut;
    `late_marks` counts the lids whose old mark was later than their limit.
    """

    pdf: bytes
    stock: str
    labels: tuple[Label, ...]
    pages: int
    facts: tuple[Fact, ...]
    act: str = ""
    findings: tuple[str, ...] = ()
    shortened: tuple[str, ...] = ()
    late_marks: int = 0


@dataclass(frozen=True, slots=True)
class Printed:
    """A label sheet: where it went, what did not read back, what was shortened."""

    path: Path | str
    labels: tuple[Label, ...]
    pages: int
    findings: tuple[str, ...] = ()
    shortened: tuple[str, ...] = ()
    late_marks: int = 0

    @classmethod
    def of(cls, drawn: Drawn, path: Path | str) -> Printed:
        """The labels of `drawn`, now at `path`: a file, or a printer's name."""
        return cls(
            path,
            drawn.labels,
            drawn.pages,
            drawn.findings,
            drawn.shortened,
            drawn.late_marks,
        )


def label_for(view: View, session: Session) -> Label:
    """What the lid of one container says.

    A lid is labelled before it is put away, so a container that was never placed is
    labelled as if it went into a fridge now; lists go on counting it as out.
    """
    if not view.container.is_placed:
        view = _as_if_in_fridge(view, session)
    word, headline, note = _headline(view, session)
    code = view.code
    return Label(
        name=view.food.name,
        code=code,
        uri=f"{session.kitchen.symbol_base}/C/{code}",
        headline_word=word,
        headline=headline,
        headline_note=note,
        lines=tuple(_lines(view, session)),
        handling=_handling(view, session),
        allergens=view.allergens,
        known_allergens=view.known_allergens,
        ruler=_ruler(view, session),
    )


def _as_if_in_fridge(view: View, session: Session) -> View:
    container = replace(
        view.container, placings=[Placing(session.now, "fridge", "fridge")]
    )
    verdict = verdict_of(view.inventory, container, session)
    return replace(view, container=container, verdict=verdict)


def _headline(view: View, session: Session) -> tuple[str, str, str]:
    """The date word, the date, and the note that belongs with it."""
    verdict = view.verdict
    if verdict.status == "paused":
        froze_on = _froze_on(view, session)
        notes = [
            _days_used(view),
            _runs_on(view),
            "unverified figure" if is_shaky(view) else "",
            approval_words(verdict),
        ]
        note = ", ".join(note for note in notes if note)
        return "FROZEN", say_day(froze_on) if froze_on else "", note
    if verdict.last_day is None:
        return "NO DATE", "ask before use", "last day not known"
    if verdict.is_house_rule:
        return "BEST BY", say_day(verdict.last_day), "house rule, no authority"
    notes = [
        _hour_note(view, session),
        "unverified figure" if is_shaky(view) else "",
        approval_words(verdict),
    ]
    note = ", ".join(note for note in notes if note)
    return "USE BY", say_day(verdict.last_day), note


def is_shaky(view: View) -> bool:
    """Whether the binding figure is an authority's that nobody checked."""
    source = source_of(view.verdict)
    return source is not None and source.grade != "kitchen" and not source.verified


def _runs_on(view: View) -> str:
    """The date that the freezer does not move, where there is one."""
    binding = view.verdict.binding
    if binding is None or binding.over_at is None:
        return ""
    return f"never after {say_day(last_date(binding.over_at, view.verdict.zone))}"


def _hour_note(view: View, session: Session) -> str:
    """The hour, where an hour clock binds and the day alone would allow more."""
    binding = view.verdict.binding
    if binding is None or not binding.includes_moment or not binding.last_moment:
        return ""
    return f"until {binding.last_moment.astimezone(session.kitchen.zone):%H:%M}"


def _froze_on(view: View, session: Session) -> date | None:
    frozen = [at for at in view.container.placings if at.state == "freezer"]
    return local_date(frozen[-1].at, session.kitchen.zone) if frozen else None


def _days_used(view: View) -> str:
    """How many of its days went before it was frozen."""
    counted = [limit for limit in view.verdict.limits if limit.days_left is not None]
    if not counted:
        return ""
    tightest = min(counted, key=lambda limit: limit.days_left or 0)
    allowed = next((s[2] for s in tightest.steps if s[0] == "days"), None)
    if allowed is None:
        return ""
    return f"{allowed - (tightest.days_left or 0)} of {allowed} days used"


def _lines(view: View, session: Session) -> Iterable[str]:
    container = view.container
    zone = session.kitchen.zone
    facts = []
    if container.made_at is not None:
        local = container.made_at.astimezone(zone)
        facts.append(f"made {say_short_day(local.date())} {local:%H:%M}")
    elif container.opened_at is not None:
        local = container.opened_at.astimezone(zone)
        facts.append(f"opened {say_short_day(local.date())} {local:%H:%M}")
    else:
        facts.append("making time not recorded")
    if container.mass_g is not None:
        facts.append(say_mass(container.mass_g, session.kitchen.units))
    facts += _numbers(container)
    yield " · ".join(facts)


def _numbers(container: Container) -> list[str]:
    """`box 2 of 6`, where there is more than one; the lot, where there is one."""
    found = []
    if container.index is not None and container.of is not None and container.of > 1:
        found.append(f"box {container.index} of {container.of}")
    if container.lot:
        found.append(f"lot {container.lot}")
    return found


def _handling(view: View, session: Session) -> str:
    """Where to keep it, and the food's own handling line."""
    cold_c = session.guidance.cold_c
    category = session.guidance.categories.get(view.food.category)
    own = view.food.handling or (category.handling if category else "")
    if category is not None and category.tcs == "no":
        return own
    keep = f"Keep at {_cold_words(cold_c, session.kitchen.units)} or colder."
    if view.verdict.status == "paused":
        keep = "Keep frozen. Thaw in the fridge."
    return f"{keep} {own}".strip()


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


def views_to_label(
    unit: Unit,
    codes: Sequence[str] = (),
    *,
    batch: int | None = None,
    unlabelled: bool = False,
) -> list[View]:
    """The containers meant: by code, by batch, or all that have no label yet."""
    chosen = [_still_there(unit.find(code)) for code in codes]
    if batch is not None:
        found = unit.snapshots.find(batch=batch)
        if not found:
            raise InputError(f"no live container of batch {batch}; see `lidclock list`")
        if len({one.batch_id for one in found}) > 1:
            raise RefusedError(
                f"two devices numbered a batch {batch} at the same time; "
                "name the codes instead (`lidclock list --json` tells them apart)"
            )
        found.sort(key=lambda one: (one.index or 0, one.code))
        chosen += [one.code for one in found]
    if unlabelled:
        bare = [one for one in unit.snapshots.find() if not one.is_labelled]
        bare.sort(key=lambda one: (one.batch_number or 0, one.index or 0, one.code))
        chosen += [one.code for one in bare]
    if not chosen:
        what = "every container has a label" if unlabelled else "no container named"
        raise InputError(f"{what}; name codes, --batch N or --unlabelled")
    return [unit.view(code) for code in dict.fromkeys(chosen)]


def _still_there(known: Snapshot) -> str:
    if not known.is_live:
        raise RefusedError(
            f"{spaced(known.code)} ({known.food}) was {known.end_kind}: "
            "there is nothing left to label"
        )
    return known.code


def draw_labels(
    unit: Unit,
    views: Sequence[View],
    *,
    stock: str | None = None,
    start: int = 1,
    check: bool = True,
    act: str = "",
) -> Drawn:
    """Draw the labels and read them back; nothing is recorded until they are out."""
    from lidclock.labels import arrange_all, draw_figures, load_stock, verify

    session = unit.session
    kind = load_stock(stock or session.kitchen.stock)
    labels = tuple(label_for(view, session) for view in views)
    figures = arrange_all(labels, kind)
    pdf = draw_figures(figures, kind, start)
    return Drawn(
        pdf=pdf,
        stock=kind.name,
        labels=labels,
        pages=_pages(len(labels), kind.across * kind.down, start),
        facts=tuple(_labelled(view, session, kind.name) for view in views),
        act=act,
        findings=tuple(verify(pdf, labels, stock=kind)) if check else (),
        shortened=tuple(part for figure in figures for part in figure.shortened),
        late_marks=sum(1 for view in views if has_late_mark(view)),
    )


def print_labels(
    unit: Unit,
    views: Sequence[View],
    path: Path,
    *,
    stock: str | None = None,
    start: int = 1,
    check: bool = True,
    act: str = "",
) -> Printed:
    """Write the label sheet, read it back, and record that the lids are labelled.

    With `act` the labelling is undone together with the filling it belongs to.
    """
    drawn = draw_labels(unit, views, stock=stock, start=start, check=check, act=act)
    write_whole(path, [drawn.pdf])
    unit.record(drawn.facts, act)
    return Printed.of(drawn, path)


def _pages(count: int, per_page: int, start: int) -> int:
    return -(-(count + start - 1) // per_page)


def print_actions(
    session: Session, path: Path, *, stock: str | None = None
) -> tuple[ActionLabel, ...]:
    """Write the sheet of action codes."""
    actions, pdf = draw_action_sheet(session, stock or session.kitchen.stock)
    write_whole(path, [pdf])
    return actions


def draw_action_sheet(
    session: Session, stock: str
) -> tuple[tuple[ActionLabel, ...], bytes]:
    """Every action code on a stock, and the pages."""
    from lidclock.labels import draw_actions, load_stock

    actions = action_labels(session)
    return actions, draw_actions(actions, load_stock(stock))


def action_list(session: Session) -> str:
    """The same as lines to type from, or to copy by hand."""
    from lidclock.labels import plain_actions

    return plain_actions(action_labels(session))


def action_labels(session: Session) -> tuple[ActionLabel, ...]:
    """Every action that a scan can choose, one for each place as well."""
    base = session.kitchen.symbol_base
    words = [(word, word, hint) for word, hint in _HINTS.items()]
    words += [
        (place.name, action_text(PLACE_ACTION, str(number)), "then scan lids into it")
        for number, place in enumerate(session.places, start=1)
    ]
    actions = [
        ActionLabel(word, code, f"{base}/A/{code}", hint) for word, code, hint in words
    ]
    # Every symbol that a code or an address can hold: what comes of them tells the
    # keyboard's layout. Far too long for bars.
    hint = "after lidclock scan --set-up"
    return (*actions, ActionLabel("SET UP", "", SET_UP_TEXT, hint))


def tape_list(unit: Unit, views: Sequence[View], *, act: str = "") -> str:
    """The same labels as lines to copy onto tape by hand; the lids count as done."""
    from lidclock.labels import plain

    text = plain([label_for(view, unit.session) for view in views])
    unit.record([_labelled(view, unit.session, "tape") for view in views], act)
    return text


def _labelled(view: View, session: Session, stock: str) -> Fact:
    """What the lid says from now on, so that a later change can be told from it."""
    shown = view if view.container.is_placed else _as_if_in_fridge(view, session)
    body = {"stock": stock, **printed_dates(shown.verdict)}
    return Fact("labelled", view.code, body)


def lid_remark(view: View) -> str:
    """What is wrong with the label on the lid; nothing where it is right."""
    printed = view.container.printed
    if printed is None or is_label_right(view.container, view.verdict):
        return ""
    day = printed["last_day"]
    says = say_day(date.fromisoformat(day)) if day else "frozen, or no date"
    if has_late_mark(view):
        limit = standing_day(view.verdict)
        until = say_day(limit) if limit else "its limit"
        return (
            f"the mark is a fault: the lid says {says}, guidance ends with {until}; "
            "print a new label"
        )
    return f"the lid still says {says}: print a new label"


def has_late_mark(view: View) -> bool:
    """Whether its lid bears a mark that is later than its limit."""
    printed = view.container.printed
    day = printed.get("last_day") if printed is not None else None
    if printed is None or not day:
        return False
    moment = printed.get("last_moment")
    at = datetime.fromisoformat(moment) if moment else None
    return is_mark_late(view.verdict, date.fromisoformat(day), at)
