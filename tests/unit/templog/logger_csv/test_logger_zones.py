"""Local times as instants: the hour that comes twice, the hour that never comes.

New York, 1 Nov 2026: at 02:00 EDT (06:00 UTC) clocks go back to 01:00 EST. On 8 Mar
2026 at 02:00 EST (07:00 UTC) they go on to 03:00 EDT.
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.rows import NO_OFFSET, Rows
from lidclock.templog.logger_csv.words import say_local
from lidclock.templog.logger_csv.zones import Localiser, ZoneClock

NEW_YORK = ZoneInfo("America/New_York")
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")
MINUTE_US = 60_000_000


def us(moment):
    naive = moment.replace(tzinfo=UTC)
    return (naive - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(microseconds=1)


def rows_of(local_us, offsets=None):
    count = len(local_us)
    nothing = np.zeros((count, 1))
    return Rows(
        np.arange(1, count + 1),
        np.array(local_us, np.int64),
        np.array(offsets or [NO_OFFSET] * count, np.int64),
        nothing,
        nothing,
        np.zeros(count, np.int64),
    )


def localise(local_us, zone=NEW_YORK, *, parts=1, offsets=None):
    """UTC of each local time, None where there is none; what was said."""
    findings = Findings()
    localiser = Localiser(ZoneClock(zone), findings, say_local)
    found = []
    for part in np.array_split(np.array(local_us, np.int64), parts):
        at_us, good = localiser.instants(rows_of(part.tolist(), offsets))
        found += [int(at) if ok else None for at, ok in zip(at_us, good, strict=True)]
    return found, [one.say() for one in findings.all()]


def shown(instants, zone):
    """What a clock in the zone shows at each instant, microseconds since 1970."""
    return [
        us(datetime.fromtimestamp(at / 1_000_000, UTC).astimezone(zone))
        for at in instants
    ]


def every(minutes, start, count):
    return [us(start) + place * minutes * MINUTE_US for place in range(count)]


@pytest.mark.parametrize("minutes", [1, 7, 15, 30, 45, 60, 90, 120, 180])
@pytest.mark.parametrize("newest_first", [False, True])
def test_through_the_repeated_hour_the_order_of_rows_tells(minutes, newest_first):
    instants = every(minutes, datetime(2026, 10, 31, 20), 1200 // minutes + 8)
    local = shown(instants, NEW_YORK)
    if newest_first:
        local, instants = local[::-1], instants[::-1]

    assert localise(local) == (instants, [])


@pytest.mark.parametrize("parts", [2, 3, 10, 50])
def test_it_does_so_across_batches(parts):
    instants = every(5, datetime(2026, 10, 31, 20), 240)

    assert localise(shown(instants, NEW_YORK), parts=parts) == (instants, [])


def test_a_half_hour_that_comes_twice_is_no_different():
    """Lord Howe goes back by 30 minutes: 5 Apr 2026 02:00 to 01:30."""
    instants = every(10, datetime(2026, 4, 4, 10), 100)

    assert localise(shown(instants, LORD_HOWE), LORD_HOWE) == (instants, [])


def test_two_rows_out_of_order_are_no_second_pass():
    instants = every(1, datetime(2026, 11, 1, 4, 30), 180)
    instants[50], instants[51] = instants[51], instants[50]

    assert localise(shown(instants, NEW_YORK)) == (instants, [])


def test_a_logger_that_lost_the_first_pass_is_in_the_second():
    """Rows stop at 00:29 EDT and go on at 01:30 EST without a gap to 02:00 on."""
    first = every(1, datetime(2026, 11, 1, 4), 30)
    second = every(1, datetime(2026, 11, 1, 6, 30), 60)

    assert localise(shown([*first, *second], NEW_YORK)) == ([*first, *second], [])


def test_a_logger_that_lost_the_second_pass_is_in_the_first():
    first = every(1, datetime(2026, 11, 1, 4), 90)
    later = every(1, datetime(2026, 11, 1, 7, 10), 30)

    assert localise(shown([*first, *later], NEW_YORK)) == ([*first, *later], [])


def test_an_hour_that_came_once_is_read_as_the_earlier_and_told():
    """A logger whose own clock stands still on summer time: no row tells."""
    local = every(1, datetime(2026, 11, 1, 0, 30), 120)

    found, said = localise(local)

    four_h = 4 * 60 * MINUTE_US
    five_h = 5 * 60 * MINUTE_US
    assert found[:90] == [one + four_h for one in local[:90]]
    assert found[90:] == [one + five_h for one in local[90:]]
    assert said == [
        "lines 31, 32 and 58 more: clocks went back from Sun 1 Nov 2026 02:00 to Sun "
        "1 Nov 2026 01:00, and the rows do not tell which of the two hours it was: "
        "read as the earlier; if its clock was never changed, give --zone -05:00"
    ]


def test_the_skipped_hour_is_told_and_left_out():
    local = every(30, datetime(2026, 3, 8, 1), 5)

    found, said = localise(local)

    five_h = 5 * 60 * MINUTE_US
    four_h = 4 * 60 * MINUTE_US
    assert found == [
        *(local[0] + five_h, local[1] + five_h, None, None, local[4] + four_h)
    ]
    assert said == [
        "lines 3 and 4: clocks jumped from Sun 8 Mar 2026 02:00 to Sun 8 Mar 2026 "
        "03:00, no time between them exists; if its clock was never changed, give "
        "--zone -05:00"
    ]


def test_an_offset_in_the_row_settles_everything():
    local = every(30, datetime(2026, 11, 1, 1), 2)

    found, said = localise(local, offsets=[-5 * 60 * MINUTE_US] * 2)

    assert found == [one + 5 * 60 * MINUTE_US for one in local]
    assert said == []


def test_an_export_appended_twice_has_both_passes_twice():
    instants = every(5, datetime(2026, 10, 31, 20), 240)

    assert localise(shown([*instants, *instants], NEW_YORK)) == (
        [*instants, *instants],
        [],
    )


@pytest.mark.parametrize(
    ("local", "word", "hours"),
    [
        (datetime(2026, 7, 1), "EDT", -4),
        (datetime(2026, 12, 1), "EST", -5),
        (datetime(2026, 11, 1, 1, 30), "EDT", -4),
        (datetime(2026, 11, 1, 1, 30), "EST", -5),
        (datetime(2026, 7, 1), "EST", None),
        (datetime(2026, 7, 1), "CEST", None),
    ],
)
def test_a_word_means_what_it_means_in_the_zone_then(local, word, hours):
    expected = None if hours is None else hours * 60 * MINUTE_US

    assert ZoneClock(NEW_YORK).word(us(local), word) == expected
