"""`make`: how much to make, for the days to come or for one occasion."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns, plural, say_when
from lidclock.errors import InputError

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from lidclock.app.amounts import Amount
    from lidclock.app.one_off import OneOff, Outcome

_METHODS = {
    "ours": "smoothed gaps and sizes",
    "last week": "same weekday last week",
    "four weeks": "mean of 4 weeks",
}
_ONE_OFF = ("spread", "short", "worth", "service", "on_hand")
_AFTERWARDS = ("came", "made", "last_time")


@click.command()
@click.argument("food", required=False)
@click.option("--days", type=int, help="How many days it has to last. [the kitchen's]")
@click.option("--eaters", type=float, help="One occasion: how many are expected.")
@click.option("--spread", type=float, help="Their standard deviation. [0]")
@click.option("--short", type=float, help="What one missing portion costs.")
@click.option("--worth", type=float, help="What one wasted portion costs.")
@click.option("--service", type=float, help="How sure, without costs. [0.95]")
@click.option("--on-hand", type=int, help="Portions that are there already. [0]")
@click.option("--came", type=int, help="Afterwards: how many came.")
@click.option("--made", type=int, help="Afterwards: how many portions there were.")
@click.option("--last-time", type=int, help="Afterwards: how many came last time.")
@json_option
@pass_desk
def make(
    desk: Desk, food: str | None, days: int | None, as_json: bool, **asked: Any
) -> None:
    """Say how many portions to make: of each food, of FOOD, or for one occasion.

    It counts what was eaten, what meals plan, and what is there and will still be good.
    With --eaters it is about one occasion, and needs no kitchen.

    \b
    Example:
      lidclock make
      lidclock make "leek soup" --days 4
      lidclock make --eaters 112 --spread 6 --short 9 --worth 3
    """
    if asked["eaters"] is not None:
        if food is not None or days is not None:
            raise InputError("--eaters is one occasion: leave FOOD and --days out")
        _show_one_off(as_json, asked)
        return
    given = [name for name in (*_ONE_OFF, *_AFTERWARDS) if asked[name] is not None]
    if given:
        option = "--" + given[0].replace("_", "-")
        raise InputError(f"{option} goes with --eaters, the number expected")
    _show_amounts(desk, food, days, as_json)


def _show_one_off(as_json: bool, given: dict[str, Any]) -> None:
    from lidclock.app.one_off import Asked, one_off, one_off_json, outcome

    named = {name: given[name] for name in _ONE_OFF if given[name] is not None}
    asked = Asked(given["eaters"], **named)
    found = one_off(asked)
    after = [given[name] for name in _AFTERWARDS]
    if after[0] is None and after != [None] * 3:
        raise InputError("--made and --last-time go with --came, how many came")
    came_out = None if after[0] is None else outcome(asked, *after)
    if as_json:
        echo_json(one_off_json(found, came_out))
    else:
        echo_lines(_one_off_lines(found, came_out))


def _one_off_lines(found: OneOff, came_out: Outcome | None) -> list[str]:
    asked = found.asked
    more = f", give or take {asked.spread:g}" if asked.spread else ""
    why = (
        f"critical ratio {found.ratio:.3g}: one too few costs {asked.short:g}, one too "
        f"many {asked.worth:g}"
        if found.by_costs
        else f"enough with {found.ratio:.3g}: no costs given"
    )
    lines = [f"prepare {plural(found.portions, 'portion')} for {asked.eaters:g}{more}"]
    if asked.on_hand:
        lines.append(f"  {asked.on_hand} are there, so make {found.to_make}")
    lines.append(f"  {why}")
    if not asked.spread:
        lines.append("  no --spread given, so exactly that many are taken to come")
    lines += _choice_lines(
        [(x.portions, x.short_odds, x.missing, x.left) for x in found.choices],
        found.portions,
    )
    return lines + ([] if came_out is None else _outcome_lines(found, came_out))


def _outcome_lines(found: OneOff, out: Outcome) -> list[str]:
    lines = [f"came {out.came}, expected {found.asked.eaters:g}: off by {out.off_by:g}"]
    if out.last_time_off_by is not None:
        better = "nearer" if out.off_by < out.last_time_off_by else "no nearer"
        lines.append(
            f"  {better} than the same as last time, which was off by "
            f"{out.last_time_off_by}"
        )
    if out.left is not None and out.missing is not None:
        lines.append(f"  {out.left} left over, {out.missing} missing")
    return lines


def _choice_lines(
    rows: list[tuple[int, float, float, float]], chosen: int, word: str = "prepare"
) -> list[str]:
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
        *_choice_lines(
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
