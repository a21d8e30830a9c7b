"""First to end first out, against first made first out, where lives differ.

Trace worked out by hand in the project's notes on planning (derived, no publication):
batch A of 3 made on day 1 keeps to day 7, batch B of 4 made on day 2 to day 5; wanted
are 2, 1, 2, 1 and 1 on days 2 to 6. By last day nothing is wasted or missing; by age
one of B ends unused and the last meal goes without.
"""

from datetime import UTC, datetime, timedelta

from lidclock.plan.allot import Need, allot
from lidclock.plan.lots import Lot

DAY = timedelta(days=1)
START = datetime(2026, 11, 1, tzinfo=UTC)
NOON = timedelta(hours=12)
WANTED = {2: 2, 3: 1, 4: 2, 5: 1, 6: 1}
BATCHES = {"A": (1, 7, 3), "B": (2, 5, 4)}


def trace(lots):
    needs = [
        Need(START + day * DAY + NOON, "soup", portions)
        for day, portions in WANTED.items()
    ]
    found = allot(lots, needs)
    log = [
        (day, share.lot.code, share.portions)
        for day, one in zip(WANTED, found.servings, strict=True)
        for share in one.shares
    ]
    return log, sum(found.left.values()), found.short


def lot(code):
    made, last, portions = BATCHES[code]
    ends = START + (last + 1) * DAY
    return Lot(code, "soup", portions, ends, made_at=START + made * DAY)


def test_by_last_day_nothing_is_wasted_or_missing():
    assert trace([lot("A"), lot("B")]) == (
        [(2, "B", 2), (3, "B", 1), (4, "B", 1), (4, "A", 1), (5, "A", 1), (6, "A", 1)],
        0,
        0,
    )


def test_by_age_one_is_wasted_and_one_is_missing():
    """The rule that is not used here, played by hand."""
    stock = {code: portions for code, (_, _, portions) in BATCHES.items()}
    short = 0
    for day, wanted in WANTED.items():
        for code, (_, last, _) in BATCHES.items():
            taken = min(wanted, stock[code]) if day <= last else 0
            stock[code] -= taken
            wanted -= taken
        short += wanted

    assert (sum(stock.values()), short) == (1, 1)
