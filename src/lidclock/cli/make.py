"""`make`: how much to make, for the days to come or for one occasion."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.make_occasion import (
    about_one,
    choice_lines,
    occasion_options,
    show_one,
)
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns, plural, say_when
from lidclock.errors import InputError

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from lidclock.app.amounts import Amount

_METHODS = {
    "ours": "smoothed gaps and sizes",
    "last week": "same weekday last week",
    "four weeks": "mean of 4 weeks",
}


@click.command()
@click.argument("food", required=False)
@click.option("--days", type=int, help="How many days it has to last. [the kitchen's]")
@occasion_options
@json_option
@pass_desk
def make(
    desk: Desk, food: str | None, days: int | None, as_json: bool, **asked: Any
) -> None:
    """Say how many portions to make: of each food, of FOOD, or for one occasion.

    It counts what was eaten, what meals plan, and what is there and will still be good.
    With --eaters or --before it is about one occasion, and needs no kitchen. With
    --occasion it goes by what is on record of it; with --came as well, how it came out
    is recorded.

    \b
    Example:
      lidclock make
      lidclock make "leek soup" --days 4
      lidclock make --eaters 112 --spread 6 --short 9 --worth 3
      lidclock make --occasion "club dinner" --came 115 --made 117 --wasted 2
    """
    if about_one(asked):
        if food is not None or days is not None:
            raise InputError("this is one occasion: leave FOOD and --days out")
        show_one(desk, asked, as_json=as_json)
        return
    _show_amounts(desk, food, days, as_json)


def _show_amounts(
    desk: Desk, food: str | None, days: int | None, as_json: bool
) -> None:
    from lidclock.app.amounts import amount_json, amounts

    with desk.session() as session, session.read() as unit:
        found = amounts(unit, food, days)
        zone = session.kitchen.zone
    if as_json:
        echo_json({"amounts": [amount_json(one, zone) for one in found]})
    elif food is not None:
        echo_lines([line for one in found for line in _amount_lines(one, zone)])
    else:
        echo_lines(_list_lines(found, zone))


def _list_lines(found: list[Amount], zone: ZoneInfo) -> list[str]:
    if not found:
        return ["nothing eaten is on record and no meal is planned: nothing to go by"]
    first = found[0]
    head = ["make", "food", "wanted", "enough", "planned", "there", "frozen", "goes by"]
    rows = [_list_row(one) for one in found]
    # A heading over nothing would keep its column.
    filled = [any(cells) for cells in zip(*rows, strict=True)]
    head = [word if keep else "" for word, keep in zip(head, filled, strict=True)]
    until = say_when(first.until, zone)
    return [
        f"portions for {plural(first.days, 'day')}, until {until}",
        *columns([head, *rows]),
        "more of one: `lidclock make FOOD`",
    ]


def _list_row(one: Amount) -> list[str]:
    return [
        f"{one.make:>4}",
        one.food,
        f"{one.demand.mean:>6.1f}",
        f"{one.wanted_at_most:>6}",
        f"{_number(one.planned):>7}" if one.planned else "",
        f"{_number(_there(one)):>5}" if _there(one) else "",
        f"{one.stock.frozen:>6}" if one.stock.frozen else "",
        _basis(one),
    ]


def _number(portions: float) -> str:
    """`4`, `4.3`: portions on average, whole ones without a tail."""
    return f"{portions:.1f}".removesuffix(".0")


def _there(one: Amount) -> float:
    return max(0.0, one.stock.usable - one.stock.outdating)


def _basis(one: Amount) -> str:
    """What the figure rests on, in few words."""
    if one.chosen is None:
        return "planned meals"
    if not one.chosen.claims:
        return f"{_weeks(one)} recorded"
    return _METHODS[one.chosen.method]


def _weeks(one: Amount) -> str:
    return plural(one.weeks, "week") if one.weeks else plural(one.recorded_days, "day")


def _amount_lines(one: Amount, zone: ZoneInfo) -> list[str]:
    days, until = plural(one.days, "day"), say_when(one.until, zone)
    portions = plural(one.make, "portion") if one.make else "none"
    planned = f", {_number(one.planned)} of them planned" if one.planned else ""
    return [
        f"{one.food}: make {portions} to last {days}, until {until}",
        f"  {one.demand.mean:.1f} wanted on average{planned}",
        f"  {one.wanted_at_most} are enough with {100 * one.share:.3g} % "
        f"({_level(one)})",
        *_stock_lines(one),
        *choice_lines(
            [(x.make, x.short_odds, x.short, x.left) for x in one.options],
            one.make,
            "make",
        ),
        *_record_lines(one),
    ]


def _level(one: Amount) -> str:
    if one.short is None:
        return "the kitchen's service level"
    return f"one too few costs {one.short:g}, one too many {one.worth:g}"


def _stock_lines(one: Amount) -> list[str]:
    stock, lines = one.stock, []
    if stock.usable:
        spoils = (
            f", of which {stock.outdating:.1f} are likely to pass their last moment"
            if stock.outdating >= 0.05
            else ""
        )
        lines.append(f"  {stock.usable} there{spoils}")
    if stock.frozen:
        instead = f": take them out in time, and make {one.make_if_thawed}"
        lines.append(f"  {stock.frozen} frozen{instead if one.make else ''}")
    if stock.uncounted:
        lines.append(
            f"  {stock.uncounted} not counted: nobody can say that they may be eaten"
        )
    return lines


def _record_lines(one: Amount) -> list[str]:
    if one.chosen is None:
        return ["  nothing eaten is on record yet: planned meals only"]
    lines = []
    claims = one.chosen.claims
    head = ["forecast beyond meals", "portions", "error a day", "loss a day", ""]
    rows = []
    for method, portions in (one.forecasts or {}).items():
        errors = one.chosen.errors.get(method) if claims else None
        rows.append(
            [
                _METHODS[method],
                f"{'?' if portions is None else format(portions, '.1f'):>8}",
                f"{errors.absolute:>11.2f}" if errors else "",
                f"{errors.pinball:>10.3f}" if errors else "",
                "<-" if method == one.chosen.method else "",
            ]
        )
    lines += columns([head if claims else [*head[:2], "", "", ""], *rows], indent=2)
    return [*lines, *_honest_lines(one)]


def _honest_lines(one: Amount) -> list[str]:
    """What the record does not say."""
    assert one.chosen is not None
    lines = []
    if one.weeks < 8:
        lines.append(f"  {_weeks(one)} recorded; under 8 weeks no forecast is claimed")
    elif not one.chosen.claims:
        lines.append("  too few days with any of it there: no forecast is claimed")
    elif not one.chosen.shows_ours:
        lines.append("  our own forecast did worse over the last 4 weeks: not shown")
    if one.silent_days:
        lines.append(
            f"  {plural(one.silent_days, 'day')} with none there: what was wanted then "
            "is not known"
        )
    if one.ran_out_days:
        lines.append(
            f"  it ran out on {plural(one.ran_out_days, 'day')}: more may be wanted"
        )
    return lines
