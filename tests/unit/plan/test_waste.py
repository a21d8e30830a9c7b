"""Books and measures worked out by hand."""

from datetime import UTC, datetime, timedelta
from itertools import count
from zoneinfo import ZoneInfo

import pytest

from lidclock.domain.events import Event
from lidclock.domain.fold import fold
from lidclock.plan.amounts import NOTHING, Amount, tenths
from lidclock.plan.books import Books, cooked_parts
from lidclock.plan.causes import (
    ACCIDENT,
    CAUSE_WORDS,
    COLD,
    MYSTERY,
    NOT_SAID,
    PAST_DAY,
    QUALITY,
    TOO_MUCH,
    Stood,
    cause_of,
)
from lidclock.plan.picks import Watch, middle
from lidclock.plan.waste import Period, altogether, balances, waste_share, weekly

BEGAN = datetime(2026, 10, 31, 12, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
MONTH = Period(BEGAN - DAY, BEGAN + 28 * DAY)


class Kitchen:
    """Events in the order in which they are told, an hour apart."""

    def __init__(self):
        self.events, self._ids, self.at = [], count(1), BEGAN

    def tell(self, kind, subject, act="", **body):
        self.at += HOUR
        event = Event(
            *(f"e{next(self._ids):04}", kind, subject, self.at, self.at, "UTC"),
            act=act,
            body=body,
        )
        self.events.append(event)
        return event

    def fill(self, code, mass_g, food="stew", **body):
        self.tell("made", f"batch {code}", number=1, food=food, count=1)
        self.tell("filled", code, batch=f"batch {code}", mass_g=mass_g, **body)

    def balances(self, period=MONTH):
        books = Books(_dollar, cooked_parts(self.events))
        inventory = fold(self.events, books.heard)
        books.finish(inventory, self.events)
        return balances(books.postings, period, lambda _: NOT_SAID), books

    def whole(self, period=MONTH):
        return altogether(self.balances(period)[0])


def _dollar(_, __):
    """Every container is one portion, worth one of the money."""
    return Amount(portions=10, money=100)


def grams(amount):
    return amount.mass / 10


def test_a_box_taken_in_thirds_is_eaten_to_the_cent():
    """100 g at 1.00: 33.3 g are 33 cents; 33.4 of the 66.7 g left are 33.55 of their 67

    cents, so 34; the last 33.3 g have the 33 that are left.
    """
    kitchen = Kitchen()
    kitchen.fill("A", 100.0)
    found = []
    for mass_g in (33.3, 33.4, 33.3):
        kitchen.tell("taken", "A", mass_g=mass_g)
        found.append(kitchen.whole().of("eaten"))

    assert [(one.mass, one.money) for one in found] == [
        (333, 33),
        (667, 67),
        (1000, 100),
    ]


def test_what_is_split_keeps_its_worth_and_is_not_made_again():
    """300 g worth 1.00: 200 g go out with 67 cents, half of them each: 34 and 33."""
    kitchen = Kitchen()
    kitchen.fill("A", 300.0)
    for code in "BC":
        kitchen.tell("filled", code, parent="A", mass_g=100.0)
    kitchen.tell("split", "A", into={"B": 100.0, "C": 100.0})
    kitchen.tell("used", "B")
    kitchen.tell("discarded", "C", reason="")

    whole = kitchen.whole()

    assert grams(whole.of("made")) == 300
    assert (whole.of("eaten").money, whole.of("wasted").money) == (34, 33)
    assert (grams(whole.closing), whole.closing.money) == (100, 33)
    assert whole.difference == NOTHING


def test_a_mixture_of_two_foods_moves_them_and_makes_nothing():
    kitchen = Kitchen()
    kitchen.fill("A", 300.0)
    kitchen.fill("B", 50.0, food="sauce")
    kitchen.tell("filled", "C", food="stew", mass_g=350.0, **{"from": ["A", "B"]})
    kitchen.tell("combined", "C", **{"from": ["A", "B"]})
    kitchen.tell("combined", "A", into="C")
    kitchen.tell("combined", "B", into="C")

    foods, _ = kitchen.balances()

    assert grams(foods["sauce"].moved) == -50
    assert grams(foods["stew"].moved) == 50
    assert (foods["stew"].closing.money, foods["sauce"].closing.money) == (200, 0)
    assert altogether(foods).moved == NOTHING


def test_a_mixture_weighed_anew_says_so():
    """The scale says 340 g where 350 g went in: ten grams stuck to the spoon."""
    kitchen = Kitchen()
    kitchen.fill("A", 300.0)
    kitchen.fill("B", 50.0)
    filled = kitchen.tell("filled", "C", food="stew", mass_g=350.0)
    kitchen.tell("combined", "C", **{"from": ["A", "B"]})
    kitchen.tell("combined", "A", into="C")
    kitchen.tell("combined", "B", into="C")
    kitchen.tell("corrected", "C", event=filled.id, set={"mass_g": 340.0})

    whole = kitchen.whole()

    assert (grams(whole.moved), whole.moved.money) == (-10, 0)
    assert whole.difference == NOTHING


def test_what_went_into_another_batch_was_not_eaten():
    kitchen = Kitchen()
    kitchen.fill("A", 400.0, food="sauce")
    kitchen.tell("made", "batch F", "cook", number=2, food="filling", **{"from": ["A"]})
    kitchen.tell("taken", "A", "cook", mass_g=120.0)
    kitchen.tell("taken", "A", "lunch", mass_g=30.0)

    whole = kitchen.whole()

    assert (grams(whole.of("cooked")), grams(whole.of("eaten"))) == (120, 30)


def test_what_nobody_weighed_is_a_container_and_no_grams():
    kitchen = Kitchen()
    kitchen.fill("A", None)
    kitchen.fill("B", 200.0)
    kitchen.tell("discarded", "A", reason="")

    whole = kitchen.whole()

    assert whole.of("wasted") == Amount(unweighed=1, portions=10, money=100)
    assert (whole.of("made").mass, whole.of("made").unweighed) == (2000, 1)
    assert whole.closing.unweighed == 0


def test_missing_and_found_within_the_period_was_never_away():
    kitchen = Kitchen()
    kitchen.fill("A", 200.0)
    kitchen.tell("missing", "A")
    is_missing = kitchen.whole().of("missing")
    kitchen.tell("found", "A")

    assert grams(is_missing) == 200
    assert kitchen.whole().of("missing") == NOTHING
    assert grams(kitchen.whole().closing) == 200


def test_found_after_a_period_in_which_it_was_missing_comes_in_again():
    kitchen = Kitchen()
    kitchen.fill("A", 200.0)
    kitchen.tell("missing", "A")
    later = Period(kitchen.at + HOUR / 2, MONTH.ended)
    kitchen.tell("found", "A")
    kitchen.tell("used", "A")

    whole = kitchen.whole(later)

    assert whole.opening == NOTHING
    assert (grams(whole.of("found")), grams(whole.of("eaten"))) == (200, 200)


def test_what_was_eaten_before_the_period_is_no_opening_stock():
    kitchen = Kitchen()
    kitchen.fill("A", 200.0)
    kitchen.fill("B", 100.0)
    kitchen.tell("used", "A")
    later = Period(kitchen.at + HOUR, MONTH.ended)

    whole = kitchen.whole(later)

    assert (grams(whole.opening), whole.of("made"), whole.of("eaten")) == (
        *(100, NOTHING, NOTHING),
    )


def test_a_discard_that_was_taken_back_wastes_nothing():
    kitchen = Kitchen()
    kitchen.fill("A", 200.0)
    gone = kitchen.tell("discarded", "A", reason="")
    kitchen.tell("corrected", "A", event=gone.id, void=True)

    assert kitchen.whole().of("wasted") == NOTHING


def test_of_two_ends_the_earlier_counts():
    """Eaten by one and thrown away by another, an hour later: eaten, once."""
    kitchen = Kitchen()
    kitchen.fill("A", 200.0)
    kitchen.tell("used", "A")
    kitchen.tell("discarded", "A", reason="")

    whole = kitchen.whole()

    assert (grams(whole.of("eaten")), whole.of("wasted")) == (200, NOTHING)


def test_the_share_is_of_what_left():
    """307 g of 300 + 1847 - 1000 = 1147 g: 26.766 %."""
    share = waste_share(307, opening=300, made=1847, closing=1000)

    assert share == pytest.approx(0.26766, abs=1e-5)


@pytest.mark.parametrize(("made", "closing"), [(0, 0), (100, 100)])
def test_there_is_no_share_where_nothing_left(made, closing):
    assert waste_share(0, made=made, closing=closing) is None


def test_weeks_hold_what_was_wasted_in_them():
    kitchen = Kitchen()
    kitchen.fill("A", 200.0)
    kitchen.fill("B", 100.0)
    kitchen.tell("used", "B")
    edge = kitchen.at + HOUR / 2
    kitchen.tell("discarded", "A", reason="")
    _, books = kitchen.balances()

    first, second = weekly(
        books.postings, [BEGAN, edge, MONTH.ended], lambda _: QUALITY
    )

    assert (first.causes, first.share) == ({}, 0.0)
    assert (second.causes[QUALITY].mass, second.share) == (2000, 1.0)


OVER = Stood("dated", BEGAN)
WARM = Stood("dated", BEGAN, is_warm=True)
KEPT = Stood("dated", BEGAN + DAY)
UNKNOWN = Stood("unknown")


@pytest.mark.parametrize(
    ("reason", "stood", "cause"),
    [
        ("not said", OVER, PAST_DAY),
        ("forgotten", OVER, PAST_DAY),
        ("forgotten", WARM, COLD),
        ("forgotten", KEPT, NOT_SAID),
        ("not said", UNKNOWN, MYSTERY),
        ("not said", Stood("paused"), NOT_SAID),
        ("not said", None, NOT_SAID),
        ("Too much: two guests did not come", OVER, TOO_MUCH),
        ("mystery", KEPT, MYSTERY),
        ("power cut", KEPT, COLD),
        ("Freezer burn", KEPT, QUALITY),
        ("freezer failed", KEPT, COLD),
        ("dropped it", OVER, ACCIDENT),
        ("quality", WARM, QUALITY),
        ("coldslaw was dull", KEPT, NOT_SAID),
        ("", OVER, PAST_DAY),
    ],
)
def test_the_cause_is_what_was_said_else_what_the_facts_tell(reason, stood, cause):
    assert cause_of(reason, stood, BEGAN) == cause


def test_each_cause_word_says_its_own_cause():
    told = {
        word: cause_of(f"{word}: so", None, BEGAN)
        for words in CAUSE_WORDS.values()
        for word in words
    }

    assert told == {
        word: cause for cause, words in CAUSE_WORDS.items() for word in words
    }


@pytest.mark.parametrize("mass_g", [None, float("nan"), float("inf"), -3.0, 1e300])
def test_a_figure_that_is_no_mass_was_not_weighed(mass_g):
    assert tenths(mass_g) is None


def watched(kitchen, ends):
    """The watch over a kitchen in which each box is over at the moment in `ends`."""

    def stand(_, container, __):
        over_at = ends.get(container.code)
        return Stood("dated" if over_at else "unknown", over_at)

    watch = Watch(MONTH, ZoneInfo("UTC"), stand)
    fold(kitchen.events, watch.heard)
    return watch


def three_boxes():
    kitchen = Kitchen()
    for code in "ABC":
        kitchen.fill(code, 100.0)
    return kitchen


def test_a_box_taken_before_one_that_ends_sooner_is_out_of_order():
    kitchen = three_boxes()
    kitchen.tell("used", "C")

    watch = watched(
        kitchen, {"A": BEGAN + DAY, "B": BEGAN + 2 * DAY, "C": BEGAN + 3 * DAY}
    )

    assert [(one.code, one.earlier) for one in watch.picks] == [("C", ("A", "B"))]
    assert len(watch.out_of_order) == 1


def test_boxes_for_one_meal_have_no_order():
    """C, then A and B within the hour: all three went to the table together."""
    kitchen = three_boxes()
    for code in "CAB":
        kitchen.tell("used", code)
        kitchen.at -= HOUR - timedelta(minutes=5)

    watch = watched(
        kitchen, {"A": BEGAN + DAY, "B": BEGAN + 2 * DAY, "C": BEGAN + 3 * DAY}
    )

    assert (len(watch.picks), watch.out_of_order) == (3, [])


def test_one_that_is_over_or_frozen_or_missing_is_not_to_be_taken_first():
    kitchen = three_boxes()
    kitchen.tell("placed", "A", place="Freezer", state="freezer")
    kitchen.tell("missing", "B")
    kitchen.fill("D", 100.0)
    kitchen.tell("used", "C")
    ends = {"A": BEGAN + DAY, "B": BEGAN + DAY, "C": BEGAN + 3 * DAY, "D": BEGAN}

    assert watched(kitchen, ends).out_of_order == []


def test_at_the_same_last_moment_the_open_one_goes_first_then_the_oldest():
    kitchen = three_boxes()
    kitchen.tell("opened", "C")
    kitchen.tell("used", "B")
    same = BEGAN + 5 * DAY

    (pick,) = watched(kitchen, dict.fromkeys("ABC", same)).picks

    assert pick.earlier == ("A", "C")


def test_late_saves_and_late_marks_are_told_apart():
    kitchen = three_boxes()
    used = [kitchen.tell("used", code) for code in "ABC"]
    ends = {
        "A": used[0].happened_at + 20 * HOUR,
        "B": used[1].happened_at + 30 * HOUR,
        "C": used[2].happened_at - HOUR,
    }

    rescues = watched(kitchen, ends).rescues

    assert [one.is_late_save for one in rescues] == [True, False, False]
    assert [one.was_over for one in rescues] == [False, False, True]


def test_the_median_is_of_what_is_known():
    assert middle([3, None, 1, 8]) == 3
    assert middle([None]) is None
