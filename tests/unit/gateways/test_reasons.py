"""A printer's keywords in a cook's words."""

import pytest

from lidclock.gateways.reasons import holding_up, plain, say_remedy, say_state


@pytest.mark.parametrize("degree", ["", "-error", "-warning", "-report"])
def test_the_degree_of_a_reason_is_left_out(degree):
    assert plain([f"media-empty{degree}"]) == ("media-empty",)


def test_none_is_no_reason():
    assert plain(["none"]) == ()


def test_what_does_not_stop_a_printer_is_not_in_the_way():
    assert holding_up(["media-low-warning", "marker-supply-low", "cover-open"]) == (
        "cover-open",
    )


@pytest.mark.parametrize(
    ("reason", "said", "remedy"),
    [
        ("media-empty-error", "is out of labels", "load roll-50x25"),
        ("media-needed", "waits for other labels", "load roll-50x25"),
        ("cover-open-error", "has its cover open", "close it"),
        ("media-jam", "has a label jammed in it", "clear it"),
        (
            "moving-to-paused",
            "is being paused",
            "resume it at the printer or its queue",
        ),
    ],
)
def test_each_hindrance_is_said_with_its_remedy(reason, said, remedy):
    assert say_state([reason]) == said
    assert say_remedy([reason], "roll-50x25") == remedy


def test_no_hindrance_is_nothing_to_say():
    assert say_state(["none"]) == ""
    assert say_remedy([], "roll-50x25") == ""
