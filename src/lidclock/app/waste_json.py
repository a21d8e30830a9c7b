"""What became of what was made, as data: grams, portions and money as numbers."""

from __future__ import annotations

from typing import Any

from lidclock.app.session import Session
from lidclock.app.waste import WasteReport
from lidclock.domain.moments import local_date
from lidclock.plan.amounts import Amount
from lidclock.plan.waste import Balance

_ACCOUNTS = (
    *("made", "opened", "taken in", "found"),
    *("eaten", "cooked", "given", "wasted", "missing"),
)


def report_json(found: WasteReport, session: Session) -> dict[str, Any]:
    """The report as data: grams, portions and money as numbers."""
    zone = session.kitchen.zone
    return {
        "from": found.first_on.isoformat(),
        "until": found.last_on.isoformat(),
        "money": found.money or None,
        "total": _balance_json(found.whole),
        "foods": [
            _balance_json(one)
            | {"money_from": list(found.sources.get(one.food.casefold(), ()))}
            for one in found.foods
        ],
        "measures": _measures_json(found),
        "weeks": [
            {
                "from": local_date(one.began, zone).isoformat(),
                "wasted": _amount_json(one.wasted),
                "causes": {x: _amount_json(y) for x, y in one.causes.items()},
                "left_g": one.left / 10,
                "waste_share": one.share,
            }
            for one in found.weeks
        ],
        "in_no_container_g": found.unfilled / 10,
        "problems": list(found.problems),
    }


def _amount_json(amount: Amount) -> dict[str, Any]:
    return {
        "grams": amount.mass_g,
        "unweighed_containers": amount.unweighed,
        "portions": amount.portion_count,
        "money": amount.money / 100,
        "portions_without_money": amount.unpriced / 10,
    }


def _balance_json(one: Balance) -> dict[str, Any]:
    return {
        "food": one.food or None,
        "opening": _amount_json(one.opening),
        **{key.replace(" ", "_"): _amount_json(one.of(key)) for key in _ACCOUNTS},
        "moved": _amount_json(one.moved),
        "closing": _amount_json(one.closing),
        "frozen": _amount_json(one.frozen),
        "causes": {x: _amount_json(y) for x, y in one.causes.items()},
        "waste_share": one.waste_share,
        "adds_up": one.difference.is_nothing,
    }


def _measures_json(found: WasteReport) -> dict[str, Any]:
    said = found.measures
    return {name: getattr(said, name) for name in type(said).__slots__}
