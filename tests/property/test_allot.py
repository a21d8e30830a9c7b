"""No way of giving containers to meals serves more, or leaves fewer to end unused."""

from datetime import UTC, datetime, timedelta
from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from lidclock.plan.allot import Need, allot
from lidclock.plan.lots import Lot

START = datetime(2026, 11, 3, tzinfo=UTC)
HOUR = timedelta(hours=1)
hours = st.integers(0, 8)


@st.composite
def lots(draw):
    count = draw(st.integers(0, 4))
    return [
        Lot(
            f"L{number}",
            "soup",
            draw(st.integers(1, 2)),
            draw(st.none() | hours.map(lambda h: START + h * HOUR)),
            draw(st.none() | hours.map(lambda h: START + h * HOUR)),
            draw(st.none() | st.just(START)),
        )
        for number in range(count)
    ]


needs = st.lists(
    st.tuples(hours, st.integers(1, 2)).map(
        lambda one: Need(START + one[0] * HOUR, "soup", one[1])
    ),
    max_size=4,
)


def serves(lot, need):
    begins = lot.ready_at is None or lot.ready_at <= need.at
    return begins and (lot.last_moment is None or need.at < lot.last_moment)


def best(stock, wanted):
    """Served and ended unused, by trying every way, portion by portion.

    The most served, and of those the fewest that end; a frozen one does not end.
    """
    portions = [need for need in wanted for _ in range(need.portions)]

    @cache
    def from_here(place, left):
        if place == len(portions):
            ends = sum(
                count
                for lot, count in zip(stock, left, strict=True)
                if lot.last_moment is not None
            )
            return (0, -ends)
        options = [from_here(place + 1, left)]
        for number, lot in enumerate(stock):
            if left[number] and serves(lot, portions[place]):
                rest = (*left[:number], left[number] - 1, *left[number + 1 :])
                served, ends = from_here(place + 1, rest)
                options.append((served + 1, ends))
        return max(options)

    served, ends = from_here(0, tuple(lot.portions for lot in stock))
    return served, -ends


@given(lots(), needs)
def test_nothing_serves_more_or_leaves_fewer_to_end(stock, wanted):
    found = allot(stock, wanted)

    served = sum(s.portions for one in found.servings for s in one.shares)
    ends = sum(found.left[lot.code] for lot in stock if lot.last_moment is not None)
    assert (served, ends) == best(stock, wanted)


@given(lots(), needs)
def test_portions_are_neither_made_nor_lost(stock, wanted):
    found = allot(stock, wanted)

    for lot in stock:
        given_out = sum(
            share.portions
            for one in found.servings
            for share in one.shares
            if share.lot is lot
        )
        assert given_out + found.left[lot.code] == lot.portions
    for one in found.servings:
        assert all(serves(share.lot, one.need) for share in one.shares)
