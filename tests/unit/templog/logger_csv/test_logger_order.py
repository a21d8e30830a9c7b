"""Day, month, year: what settles their order, and what does not."""

import pytest

from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.guess import guess
from lidclock.templog.logger_csv.order import OrderEvidence
from lidclock.templog.logger_csv.text import blocks


def evidence(*moments):
    text = "\n".join(["Time,Temp °C", *(f"{moment},4.5" for moment in moments), ""])
    found = OrderEvidence(guess(text.split("\n")).layout)
    return found, found.read(blocks([text.encode()], Findings()))


@pytest.mark.parametrize(
    ("moments", "order", "reason"),
    [
        (["05/10/2026 0:00", "31/10/2026 0:00"], "dmy", "since 31/10/2026 occurs"),
        (["05/10/2026 0:00", "10/31/2026 0:00"], "mdy", "since 10/31/2026 occurs"),
        (
            ["05/10/2026 23:59", "06/10/2026 00:00"],
            "dmy",
            "since 05/10/2026 23:59 is followed by 06/10/2026 00:00",
        ),
        (
            ["10/05/2026 23:59", "10/06/2026 00:00"],
            "mdy",
            "since 10/05/2026 23:59 is followed by 10/06/2026 00:00",
        ),
        (
            ["26-10-05 23:59", "26-10-06 00:00"],
            "ymd",
            "since 26-10-05 23:59 is followed by 26-10-06 00:00",
        ),
        (
            ["06/10/2026 00:00", "05/10/2026 23:59"],
            "dmy",
            "since 06/10/2026 00:00 is followed by 05/10/2026 23:59",
        ),
        (["12/10/2026 0:00", "13/10/2026 0:00"], "dmy", "since 13/10/2026 occurs"),
        (["10/12/2026 0:00", "10/13/2026 0:00"], "mdy", "since 10/13/2026 occurs"),
        (["05/05/2026 0:00"], "dmy", "which is the same either way"),
    ],
)
def test_one_row_or_two_settle_it(moments, order, reason):
    _, settled = evidence(*moments)

    assert settled is not None
    assert (settled.order, settled.reason) == (order, reason)


@pytest.mark.parametrize(
    "moments",
    [
        ["05/10/2026 0:00", "05/10/2026 0:01"],
        ["05/10/2026 0:00", "07/10/2026 0:00"],
        ["05/10/2026 0:00", "06/11/2026 0:00"],
    ],
)
def test_what_settles_nothing_is_left_open(moments):
    """Two days apart, or both numerals changed: no row tells."""
    found, settled = evidence(*moments)

    assert settled is None
    assert set(found.spans()) == {"dmy", "mdy"}


def test_it_may_be_settled_late_in_the_file():
    moments = [f"0{1 + n % 9}/0{1 + n // 9}/2026 0:00" for n in range(81)]

    assert evidence(*moments, "13/09/2026 0:00")[1].order == "dmy"


def test_dates_that_fit_no_order_together_are_named():
    found, settled = evidence("31/10/2026 0:00", "10/31/2026 0:00")

    assert settled is None
    assert found.contradiction == "10/31/2026 and 31/10/2026"
