"""A stock-take on a real database: loaded once, and right when it is recorded."""

from lidclock.app import corrections, moves, prep, transfer
from lidclock.app.prep import Order
from lidclock.app.session import Session
from lidclock.app.stock_take import Answer, StockTake, last_stock_takes
from lidclock.domain.foods import Food

LOST = Answer("lost")


def filled(session, count=3):
    with session.write() as unit:
        order = Order(
            Food("stew", category="soup-stew"),
            count=count,
            portion_g=300.0,
            place=session.place("Freezer"),
        )
        return prep.prep(unit, order).codes


def counted(session, *codes, place="Freezer"):
    take = StockTake.of(session, place)
    for code in codes:
        take.hear(code)
    return take


def last(session):
    with session.read() as unit:
        return last_stock_takes(unit)


def test_lids_of_the_place_are_answered_without_the_database(opened, monkeypatch):
    """The place is loaded once: with 2,000 boxes in it a scan waits for nothing."""
    session = opened("2026-10-31T18:00")
    codes = filled(session)
    take = StockTake.of(session, "Freezer")
    monkeypatch.setattr(session, "read", None)

    assert [take.hear(code) for code in codes][-1] == "3 of 3  stew box 3"


def test_what_another_device_used_meanwhile_is_not_missing(opened):
    session, other = opened("2026-10-31T18:00"), opened("2026-10-31T18:05")
    codes = filled(session)
    take = counted(session, codes[0])
    with other.write() as unit:
        moves.use(unit, codes[1], anyway=True)

    done = take.record({codes[1]: LOST, codes[2]: LOST}, moves=False)

    assert done.answered == {"lost": (codes[2],)}
    assert done.taken.missing == (codes[2],)
    assert (done.taken.seen, done.taken.expected) == (1, 2)


def test_what_somebody_moved_here_meanwhile_is_seen(opened):
    session, other = opened("2026-10-31T18:00"), opened("2026-10-31T18:05")
    codes = filled(session)
    with session.write() as unit:
        moves.thaw(unit, codes[0])
    take = counted(session, *codes)
    assert [one.code for one in take.report().found.elsewhere] == [codes[0]]
    with other.write() as unit:
        moves.freeze(unit, codes[0])

    found = take.report().found

    assert [one.code for one in found.seen] == codes
    assert found.elsewhere == ()


def test_an_answer_about_what_was_seen_is_not_recorded(opened):
    session = opened("2026-10-31T18:00")
    codes = filled(session)

    done = counted(session, *codes).record({codes[0]: LOST}, moves=False)

    assert done.answered == {}
    assert done.taken.missing == ()


def test_still_there_counts_as_seen_and_records_nothing_of_it(opened):
    session = opened("2026-10-31T18:00")
    codes = filled(session)

    done = counted(session, codes[0]).record(
        {codes[1]: Answer("still there")}, moves=False
    )

    assert (done.taken.seen, done.taken.missing) == (2, (codes[2],))
    with session.read() as unit:
        assert unit.snapshots.get(codes[1]).place == "Freezer"


def test_the_last_stock_take_of_each_place_is_remembered_until_undone(opened):
    first, later = opened("2026-10-31T18:00"), opened("2026-11-14T09:00")
    codes = filled(first)
    counted(first, *codes).record({}, moves=False)
    counted(first, place="Fridge").record({}, moves=False)
    assert last(first) == {"freezer": first.now, "fridge": first.now}

    counted(later, *codes).record({}, moves=False)
    assert last(later) == {"freezer": later.now, "fridge": first.now}

    with later.write() as unit:
        corrections.undo(unit)
    assert last(later) == {"freezer": first.now, "fridge": first.now}


def test_no_stock_take_is_none(opened):
    assert last(opened("2026-10-31T18:00")) == {}


def merged(session, other):
    """Everything that `session` knows goes to `other` as well."""
    with session.read() as unit:
        document = transfer.read_lines(transfer.export_lines(unit), "export")
    with other.write() as unit:
        transfer.import_document(unit, document)
        assert transfer.rebuild(unit)


def test_two_devices_that_merge_agree_on_what_was_counted_and_undone(opened, tmp_path):
    here = opened("2026-10-31T18:00")
    codes = filled(here)
    with here.read() as unit:
        document = transfer.read_lines(transfer.export_lines(unit), "export")
    transfer.ensure_kitchen(tmp_path / "other.db", document)
    there = Session.open(tmp_path / "other.db", now=here.now, device="other")
    try:
        merged(here, there)
        counted(there, codes[0]).record(dict.fromkeys(codes[1:], LOST), moves=False)
        merged(there, here)

        assert last(here) == last(there) == {"freezer": here.now}
        with here.read() as unit:
            assert len(unit.snapshots.missing()) == 2

        with there.write() as unit:
            corrections.undo(unit)
        merged(there, here)

        assert last(here) == {}
        with here.read() as unit:
            assert unit.snapshots.missing() == []
    finally:
        there.close()
