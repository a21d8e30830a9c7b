"""Which messages were stored, though the broker may not know."""

from datetime import UTC, datetime

from lidclock.gateways.in_doubt import InDoubt, Message

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)


def message(number, payload=b"4.5", topic="a", *, is_repeat=False):
    return Message(topic, payload, NOW, number, is_repeat=is_repeat)


def stored(*messages):
    """What another process knows after these were stored."""
    doubt = InDoubt()
    doubt.add(messages)
    return InDoubt.read(doubt.text())


def test_a_stored_message_that_comes_again_is_known():
    assert stored(message(7)).holds(message(7, is_repeat=True))


def test_another_message_with_the_same_number_is_not():
    doubt = stored(message(7))

    # The broker says that it sends it for the first time.
    assert not doubt.holds(message(7))
    assert not doubt.holds(message(7, b"4.6", is_repeat=True))
    assert not doubt.holds(message(7, topic="b", is_repeat=True))
    assert not doubt.holds(message(8, is_repeat=True))


def test_messages_that_the_broker_does_not_repeat_are_not_remembered():
    assert not stored(message(0)).holds(message(0, is_repeat=True))


def test_what_the_broker_has_heard_of_is_in_doubt_no_more():
    doubt = stored(message(1), message(2))
    doubt.settle([message(1)])

    assert not doubt.holds(message(1, is_repeat=True))
    assert doubt.holds(message(2, is_repeat=True))


def test_a_number_that_is_used_again_is_another_message():
    doubt = stored(message(1), message(1, b"5"))
    # The broker heard of the first; news of that may come late.
    doubt.settle([message(1)])

    assert doubt.holds(message(1, b"5", is_repeat=True))
    assert not doubt.holds(message(1, is_repeat=True))


def test_filters_are_remembered_and_nothing_is_known_at_first():
    doubt = InDoubt()
    doubt.filters = ("a", "b/#")

    assert InDoubt.read(doubt.text()).filters == ("a", "b/#")
    assert InDoubt.read("").filters == ()
