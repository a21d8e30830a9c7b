"""A stock-take says the same whatever the order of scans, and loses no container."""

from __future__ import annotations

import random
from collections import Counter
from datetime import UTC, datetime

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidclock.app import moves, prep, setup
from lidclock.app.prep import Order
from lidclock.app.session import Session
from lidclock.app.stock_take import StockTake
from lidclock.domain.codes import ALPHABET, check_symbol
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.stock_takes import compare

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)
CODES = [f"C{number:03}" for number in range(30)]
standings = st.sampled_from(["dated", "paused", "unknown", "ended"])
places = st.sampled_from(["Freezer", "Fridge", ""])
endings = st.sampled_from(["used", "discarded", "missing", "given"])


@st.composite
def kitchens(draw: st.DrawFn) -> list[Snapshot]:
    """Containers in any place and state, each with a code of its own."""
    codes = draw(st.lists(st.sampled_from(CODES), unique=True))
    return [_container(draw, code) for code in codes]


def _container(draw: st.DrawFn, code: str) -> Snapshot:
    standing = draw(standings)
    kind = draw(endings) if standing == "ended" else ""
    place, number = draw(places), draw(st.none() | st.integers(1, 3))
    return Snapshot(
        code, "stew", standing, place=place, end_kind=kind, batch_number=number
    )


scans = st.lists(st.sampled_from(CODES))


@given(kitchens(), scans, scans, st.randoms())
def test_order_and_repeats_make_no_difference(known, scanned, again, chance):
    more = [*scanned, *(code for code in again if code in scanned)]
    chance.shuffle(more)
    mixed = list(known)
    chance.shuffle(mixed)

    assert compare("Freezer", mixed, more) == compare("Freezer", known, scanned)


@given(kitchens(), scans)
def test_each_container_and_each_scan_is_told_once(known, scanned):
    found = compare("Freezer", known, scanned)

    told = Counter(
        [one.code for one in (*found.seen, *found.missing)]
        + [one.code for one in (*found.elsewhere, *found.ended)]
        + list(found.strangers)
    )
    here = {x.code for x in known if x.standing != "ended" and x.place == "Freezer"}
    assert told == Counter(here | set(scanned))


@given(kitchens(), scans, st.sampled_from(CODES))
def test_one_more_scan_never_makes_more_missing(known, scanned, code):
    before = compare("Freezer", known, scanned).missing
    after = compare("Freezer", known, [*scanned, code]).missing

    assert [one for one in before if one.code != code] == list(after)


@given(
    st.lists(st.integers(0, 9), max_size=25),
    st.lists(st.text(alphabet=ALPHABET, min_size=6, max_size=6), max_size=3),
    st.lists(st.text(max_size=12), max_size=3),
    st.integers(0, 1000),
)
@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_whole_stock_take_reports_the_same_in_any_order(
    tmp_path_factory, picked, strangers, scrawls, seed
):
    """On a real database: eight boxes here, one elsewhere, one used, and strangers."""
    path = tmp_path_factory.mktemp("kitchen") / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Story", "America/New_York"))
    session = Session.open(path, now=NOW, device="a")
    try:
        codes = _filled(session)
        lines = [codes[index] for index in picked]
        lines += [text + check_symbol(text) for text in strangers]
        lines += [text for text in scrawls if text.strip().upper() != "DONE"]

        first = _report(session, lines)

        random.Random(seed).shuffle(lines)
        assert _report(session, [*lines, *lines]) == first
    finally:
        session.close()


def _filled(session):
    where = {place.state: place for place in session.places}
    food = Food("stew", category="soup-stew")
    with session.write() as unit:
        order = Order(food, count=10, portion_g=300.0, place=where["freezer"])
        codes = [view.code for view in prep.prep(unit, order).views]
        moves.place(unit, codes[8], where["fridge"])
        moves.use(unit, codes[9], anyway=True)
    return codes


def _report(session, lines):
    take = StockTake.of(session, "Freezer")
    for line in lines:
        take.hear(line)
    return take.report()
