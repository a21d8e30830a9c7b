"""What became of what was made, as rows of a page: accounts that add up, causes, foods.

A row says what it is by a key; whoever shows it has the words.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from lidclock.app.session import Session
from lidclock.app.waste import WasteReport, waste_report
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import local_date
from lidclock.domain.sentences import Figure, figure, joined, sentence, sentences
from lidclock.errors import InputError
from lidclock.plan.amounts import Amount
from lidclock.plan.waste import Balance

_CAME = ("made", "opened", "taken in", "found")
_WENT = ("eaten", "cooked", "given", "wasted", "missing")
# Shown even where there is nothing of it.
_ALWAYS = frozenset({"made", "eaten", "wasted", "frozen", "there"})
_MONTHS = 12


@dataclass(frozen=True, slots=True)
class Row:
    """One line: its mass, portions and money as they are shown.

    `unweighed` counts containers that nobody weighed; `is_priced` is not so where
    nobody knows the worth of some portions.
    """

    key: str
    mass: str
    portions: Figure
    money: Figure
    unweighed: int = 0
    is_priced: bool = True


@dataclass(frozen=True, slots=True)
class FoodRow:
    """One food in brief, each figure in mass; containers where none was weighed."""

    name: str
    came: str
    eaten: str
    wasted: str
    there: str


@dataclass(frozen=True, slots=True)
class WeekRow:
    """A week from its first day on: what was wasted, and the share of what left."""

    first_on: date
    wasted: str
    share: Figure | None


@dataclass(frozen=True, slots=True)
class Month:
    """The whole page; `came` and `went` end with the same sum.

    `month` is the calendar month asked for, as ISO text, empty for the last days;
    `before` and `after` are those beside it.
    """

    report: WasteReport
    month: str
    before: str
    after: str
    came: tuple[Row, ...]
    went: tuple[Row, ...]
    causes: tuple[Row, ...]
    foods: tuple[FoodRow, ...]
    weeks: tuple[WeekRow, ...]
    share: Figure | None
    money: str
    has_money: bool
    unfilled: str = ""


def month_report(session: Session, month: str, food: str = "") -> WasteReport:
    """The books of a calendar month up to today, or of the last 28 days.

    InputError for a text that is no month, or for one to come.
    """
    if not month:
        return waste_report(session, food=food or None)
    first_on = _first_of(month)
    today = local_date(session.now, session.kitchen.zone)
    last_on = min(_next(first_on) - timedelta(days=1), today)
    if first_on > today:
        raise InputError(
            sentence(
                "{month} is in the future; give a month up to this one", month=month
            )
        )
    return waste_report(session, since=first_on, until=last_on, food=food or None)


def month_page(session: Session, month: str, food: str = "") -> Month:
    """The page of a month; errors as for `month_report`."""
    found = month_report(session, month, food)
    today = local_date(session.now, session.kitchen.zone).replace(day=1)
    first_on = _first_of(month) if month else today
    after = _next(first_on)
    whole, units = found.whole, session.kitchen.units
    has_money = any(x.money for x in (whole.came, whole.went, whole.closing))
    return Month(
        found,
        month,
        _before(session, first_on) if month else _iso(today),
        _iso(after) if month and after <= today else "",
        tuple(_came(whole, units)),
        tuple(_went(whole, units)),
        tuple(_causes(whole, units)),
        tuple(_food(one, units) for one in found.foods),
        tuple(_weeks(found, session)),
        _percent(whole.waste_share),
        found.money,
        has_money,
        say_mass(found.unfilled / 10, units) if found.unfilled > 0 else "",
    )


def _first_of(month: str) -> date:
    try:
        first_on = date.fromisoformat(f"{month}-01")
    except ValueError as error:
        raise InputError(
            sentence("{month} is not a month such as 2026-11", month=repr(month))
        ) from error
    if not 2000 <= first_on.year <= 2100:
        raise InputError(
            sentence("the year {year} cannot be right", year=figure(first_on.year))
        )
    return first_on


def _next(first_on: date) -> date:
    year, month = divmod(first_on.year * _MONTHS + first_on.month, _MONTHS)
    return date(year, month + 1, 1)


def _before(session: Session, first_on: date) -> str:
    """The month before, if anything is known to have happened by then."""
    with session.read() as unit:
        first = next(iter(unit.ledger.all()), None)
    is_known = first is not None and (
        local_date(first.happened_at, session.kitchen.zone) < first_on
    )
    return _iso(first_on - timedelta(days=1)) if is_known else ""


def _iso(first_on: date) -> str:
    return first_on.isoformat()[:7]


def _came(whole: Balance, units: str) -> Iterable[Row]:
    """What was there and came in, and the sum of it."""
    if not whole.opening.is_nothing:
        yield _row("opening", whole.opening, units)
    yield from _accounts(whole, _CAME, units)
    if not whole.moved.is_nothing:
        yield _row("moved" if whole.food else "weighed anew", whole.moved, units)
    yield _row("together", whole.came, units)


def _went(whole: Balance, units: str) -> Iterable[Row]:
    """Where it went, what is still there, and the same sum."""
    yield from _accounts(whole, _WENT, units)
    yield _row("frozen", whole.frozen, units)
    yield _row("there", whole.closing - whole.frozen, units)
    yield _row("together", whole.went + whole.closing, units)


def _accounts(whole: Balance, named: Iterable[str], units: str) -> Iterable[Row]:
    for account in named:
        amount = whole.of(account)
        if account in _ALWAYS or not amount.is_nothing:
            yield _row(account, amount, units)


def _causes(whole: Balance, units: str) -> Iterable[Row]:
    """The most first."""
    ordered = sorted(
        whole.causes.items(), key=lambda one: (-one[1].mass, -one[1].portions)
    )
    return (_row(cause, amount, units) for cause, amount in ordered)


def _row(key: str, amount: Amount, units: str) -> Row:
    return Row(
        key,
        _mass(amount, units),
        _tenths(amount.portion_count),
        Figure(f"{amount.money / 100:.2f}"),
        amount.unweighed,
        is_priced=not amount.unpriced,
    )


def _food(one: Balance, units: str) -> FoodRow:
    came = one.came - one.opening
    cells = [came, one.of("eaten"), one.of("wasted"), one.closing]
    return FoodRow(one.food, *(_brief(cell, units) for cell in cells))


def _brief(amount: Amount, units: str) -> str:
    if amount.is_nothing:
        return ""
    if amount.mass or not amount.unweighed:
        return _mass(amount, units)
    count = amount.unweighed
    return sentences("{count} not weighed", "{count} not weighed", count)


def _weeks(found: WasteReport, session: Session) -> Iterable[WeekRow]:
    zone, units = session.kitchen.zone, session.kitchen.units
    for one in found.weeks:
        day = local_date(one.began, zone)
        yield WeekRow(day, _mass(one.wasted, units), _percent(one.share))


def _percent(share: float | None) -> Figure | None:
    return None if share is None else Figure(f"{100 * share:.1f}")


def _mass(amount: Amount, units: str) -> str:
    """Grams or ounces; a figure below zero with its sign in front."""
    mass = say_mass(abs(amount.mass_g), units)
    return joined("-{mass}", mass=mass) if amount.mass < 0 else mass


def _tenths(figure: float) -> Figure:
    return Figure(f"{figure:.1f}".removesuffix(".0"))
