"""Topics: one of a sensor, or a filter that stands for many."""

import pytest

from lidclock.domain.topics import SensorTopic, covers, read_filter, read_topic
from lidclock.errors import InputError


@pytest.mark.parametrize("text", ["", " ", "a\nb", "a\0", "x" * 201])
def test_what_is_no_topic_is_refused(text):
    with pytest.raises(InputError, match="is no topic"):
        read_topic(text)


@pytest.mark.parametrize("text", ["a/+", "#", "a+b"])
def test_a_sensor_has_one_topic(text):
    with pytest.raises(InputError, match="stands for many topics"):
        read_topic(text)


@pytest.mark.parametrize("text", ["", "a/#/b", "a#", "a/b+", "#a", "a\nb"])
def test_what_is_no_filter_is_refused(text):
    with pytest.raises(InputError, match="names no topics"):
        read_filter(text)


@pytest.mark.parametrize(
    ("filter_", "topic", "is_covered"),
    [
        # MQTT 5.0, section 4.7.1.2: "sport/tennis/player1/#" and "sport/#" take in
        # their parent as well; section 4.7.1.3 has the examples with a plus.
        ("sport/tennis/player1/#", "sport/tennis/player1", True),
        ("sport/tennis/player1/#", "sport/tennis/player1/ranking", True),
        ("sport/tennis/player1/#", "sport/tennis/player1/score/wimbledon", True),
        ("sport/#", "sport", True),
        ("sport/tennis/+", "sport/tennis/player1", True),
        ("sport/tennis/+", "sport/tennis/player1/ranking", False),
        ("sport/+", "sport", False),
        ("sport/+", "sport/", True),
        ("+/+", "/finance", True),
        ("/+", "/finance", True),
        ("+", "/finance", False),
        # Section 4.7.2.
        ("#", "$SYS/monitor", False),
        ("+/monitor/Clients", "$SYS/monitor/Clients", False),
        ("$SYS/#", "$SYS/monitor", True),
        ("a", "a", True),
        ("a", "A", False),
    ],
)
def test_a_filter_takes_in_what_the_standard_says(filter_, topic, is_covered):
    assert read_filter(filter_) == filter_
    assert covers(filter_, topic) == is_covered


def test_a_unit_is_one_of_two_or_none():
    with pytest.raises(ValueError, match="a unit is one of"):
        SensorTopic("a", "id", "k")
