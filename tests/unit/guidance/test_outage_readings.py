"""A fridge or freezer that was measured while it had no power."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.guidance.load import load_categories
from lidclock.guidance.outage import judge_freezer
from lidclock.guidance.outage_readings import (
    Seen,
    judge_freezer_read,
    judge_fridge_read,
)

categories = st.sampled_from([*load_categories(), ""])
spans = st.floats(0, 60)


def fridge(category, hours_out, above_h=0.0, unknown_h=0.0, peak_c=None):
    seen = Seen(above_h, unknown_h, peak_c)
    return judge_fridge_read(category, hours_out, lambda _: seen)


def freezer(category, hours_out, peak_c, above_h=0.0, unknown_h=0.0, *, is_full=False):
    """A freezer whose warmest reading was `peak_c`, `above_h` of it above 4.4 °C."""

    def seen_at(limit_c):
        if peak_c <= limit_c:
            return Seen(0.0, unknown_h, peak_c)
        is_chart = 4 < limit_c < 5
        return Seen(above_h if is_chart else hours_out, unknown_h, peak_c)

    return judge_freezer_read(category, hours_out, is_full, seen_at, -18.0)


def test_what_was_never_too_warm_is_kept_however_long_it_took():
    judged = fridge("soup-stew", 9, peak_c=3.9)

    assert judged.decision == "keep"
    assert judged.why == (
        "9 h without power, read: never above 4.4 °C (40 °F), at most 3.9 °C (39 °F)",
    )


@pytest.mark.parametrize(
    ("above_h", "unknown_h", "decision"),
    [(2, 0, "keep"), (2.02, 0, "discard"), (0, 2, "keep"), (0, 2.02, "discard")],
)
def test_two_hours_above_the_chart_s_temperature_are_the_edge(
    above_h, unknown_h, decision
):
    assert fridge("soup-stew", 9, above_h, unknown_h).decision == decision


def test_silence_after_a_cold_reading_is_held_by_the_door_for_four_hours():
    assert fridge("soup-stew", 4, 0, 3).decision == "keep"
    assert fridge("soup-stew", 4, 0, 3).record == "us.home.po.fridge.hours"
    assert fridge("soup-stew", 4.02, 0, 3).decision == "discard"


def test_no_door_holds_where_a_reading_was_too_warm():
    assert fridge("soup-stew", 4, 0.5, 2).decision == "discard"


def test_what_was_not_measured_is_said():
    (why,) = fridge("soup-stew", 9, 3, 1.5, 9.0).why

    assert why == (
        "9 h without power, read: above 4.4 °C (40 °F) for 3 h, at most 9 °C (48 °F); "
        "then 1 h 30 min not measured"
    )


def test_what_the_chart_keeps_is_kept_when_warm():
    assert fridge("hard-cheese", 20, 20, 0, 22.0).decision == "keep"


@given(categories, spans, spans, spans, st.floats(0, 10))
def test_more_warmth_is_never_judged_milder(category, hours, above_h, unknown_h, more):
    less = fridge(category, hours, above_h, unknown_h).severity

    assert fridge(category, hours, above_h + more, unknown_h).severity >= less
    assert fridge(category, hours, above_h, unknown_h + more).severity >= less
    assert fridge(category, hours + more, above_h, unknown_h).severity >= less


def test_a_freezer_that_stayed_within_its_own_limit_keeps_everything():
    assert freezer("soup-stew", 60, -18.5).decision == "keep"
    assert freezer("ice-cream", 60, -18.5).decision == "keep"


@pytest.mark.parametrize("peak_c", [-2.0, 3.0, 4.4])
def test_a_freezer_not_above_the_chart_s_temperature_counts_as_icy(peak_c):
    judged = freezer("soup-stew", 60, peak_c)

    assert judged.decision == "refreeze"
    assert judged.record == judge_freezer("soup-stew", 60, False, "icy").record


def test_within_the_door_s_hours_air_below_melting_is_kept():
    assert freezer("soup-stew", 20, -1.0).decision == "keep"
    assert freezer("soup-stew", 20, 1.0).decision == "refreeze"
    assert freezer("soup-stew", 30, -1.0, is_full=True).decision == "keep"


def test_a_freezer_too_warm_for_too_long_is_judged_as_thawed():
    assert freezer("soup-stew", 60, 9.0, 2.0).decision == "refreeze"
    assert freezer("soup-stew", 60, 9.0, 2.1).decision == "discard"


def test_a_row_with_more_hours_is_met_after_them_only():
    few = freezer("whole-vegetables", 60, 9.0, 6.0)

    assert few.decision == "refreeze"
    assert few.record.endswith(".warm")
    assert few.why[-1].endswith(": for no more than 6 h")
    assert freezer("whole-vegetables", 60, 9.0, 6.1).decision == "discard"


def test_silence_in_a_freezer_past_the_door_s_hours_is_to_check():
    assert freezer("soup-stew", 24, -10.0, 0, 20).decision == "keep"
    assert freezer("soup-stew", 25, -10.0, 0, 20).decision == "check"
    assert freezer("whole-vegetables", 60, 9.0, 3.0, 20).decision == "check"


def test_silence_does_not_vouch_for_a_freezer_s_own_limit():
    assert freezer("soup-stew", 25, -18.5, 0, 1).decision == "refreeze"


def test_a_limit_that_only_keeps_ice_from_melting_does_not_vouch_for_food():
    """Where guidance gives no figure a freezer is held to 0 °C: food thaws below it."""
    judged = judge_freezer_read("ice-cream", 60, False, lambda _: Seen(0, 0, -1.0), 0.0)

    assert judged.decision == judge_freezer("ice-cream", 60, False, "icy").decision
    assert judged.decision == "discard"
