"""The books close: whatever happens, what came in is what went and what is there.

Generated days of a kitchen: fillings, takings, splits, mixtures, corrections of time.
Masses are booked beside the events by the generator itself.
"""

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from event_strategies import START, ledgers
from lidclock.domain.fold import fold
from lidclock.plan.amounts import NOTHING, Amount
from lidclock.plan.books import MOVED_IN, MOVED_OUT, Books, cooked_parts
from lidclock.plan.lots import portions_in
from lidclock.plan.waste import Period, altogether, balances

ALWAYS = Period(START - timedelta(days=9), START + timedelta(days=9))


def value(_, container):
    """A portion for each started 100 g, at 0.37 a gram: sums that do not come out."""
    portions = portions_in(container.filled_g, 100.0)
    return Amount(portions=portions * 10, money=round((container.filled_g or 0) * 37))


def postings(events):
    books = Books(value, cooked_parts(events))
    inventory = fold(events, books.heard)
    books.finish(inventory, events)
    return books.postings, inventory


def total(posted, period=ALWAYS):
    return altogether(balances(posted, period, lambda _: "not said"))


@given(ledgers(most=14))
def test_what_came_in_is_what_went_and_what_is_there(ledger):
    posted, inventory = postings(ledger.events)
    whole = total(posted)

    held = sum(
        round(one.mass_g * 10) for one in inventory.containers.values() if one.is_live
    )
    assert whole.closing.mass == held
    assert whole.of("made").mass == ledger.filled
    assert whole.difference == NOTHING


@given(ledgers(most=14), st.integers(-700, 200), st.integers(0, 200))
def test_any_period_closes_with_portions_and_money(ledger, began, length):
    posted, _ = postings(ledger.events)
    began_at = START + timedelta(minutes=began)
    period = Period(began_at, began_at + timedelta(minutes=length))

    foods = balances(posted, period, lambda _: "not said")

    assert [one.difference for one in foods.values() if one.difference != NOTHING] == []
    assert all(min(vars_of(one.closing)) >= 0 for one in foods.values())


def vars_of(amount):
    return (amount.mass, amount.portions, amount.money, amount.unpriced)


@given(ledgers(most=14))
def test_splits_and_mixtures_move_no_portion_and_no_cent_out_of_the_kitchen(ledger):
    posted, _ = postings(ledger.events)
    whole = total(posted)

    assert whole.of(MOVED_IN) == whole.of(MOVED_OUT)


@given(ledgers(most=10), st.integers(0, 120))
def test_the_stock_of_any_moment_is_what_the_events_until_then_make(ledger, minute):
    """Corrections of time, which come later than the moment, are left out."""
    events = [one for one in ledger.events if one.kind != "corrected"]
    moment = START + timedelta(minutes=minute)
    posted, _ = postings(events)

    then = fold([one for one in events if one.happened_at < moment])
    held = [x.mass_g for x in then.containers.values() if x.is_live]

    closing = total(posted, Period(ALWAYS.began, moment)).closing
    assert closing.mass == sum(round(mass * 10) for mass in held)


@given(ledgers(most=8))
def test_an_act_that_was_taken_back_leaves_the_books_as_they_were(ledger):
    before, _ = postings(ledger.before_last_act())
    undone, _ = postings([*ledger.events, *ledger.undo_last_act()])

    assert total(undone).accounts == total(before).accounts
    assert total(undone).closing == total(before).closing


@given(ledgers(most=10), st.randoms(use_true_random=False))
def test_the_order_in_which_events_arrive_is_no_matter(ledger, chance):
    shuffled = list(ledger.events)
    chance.shuffle(shuffled)

    assert total(postings(shuffled)[0]) == total(postings(ledger.events)[0])
