"""Which sensor speaks under which topic, as a kitchen remembers it."""

from lidclock.domain.kitchens import Kitchen
from lidclock.domain.topics import SensorTopic
from lidclock.store import Kitchens
from lidclock.store.topics import Topics


def test_topics_come_back_in_order_and_the_latest_word_holds(database):
    with database.begin() as connection:
        topics = Topics(connection, "home")
        for one in (("b", "1", "c"), ("a", "2", ""), ("b", "3", "f")):
            topics.put(SensorTopic(*one))

        assert topics.all() == [SensorTopic("a", "2"), SensorTopic("b", "3", "f")]
        assert (topics.drop("a"), topics.drop("a")) == (True, False)
        assert topics.all() == [SensorTopic("b", "3", "f")]


def test_a_client_finds_what_it_left_behind(database):
    with database.begin() as connection:
        topics = Topics(connection, "home")
        topics.remember("me", "x")
        topics.remember("me", "y")

        assert (topics.recall("me"), topics.recall("other")) == ("y", "")


def test_kitchens_have_topics_of_their_own(database):
    with database.begin() as connection:
        Kitchens(connection).add(Kitchen("other", "Other", "UTC"))
        here, there = Topics(connection, "home"), Topics(connection, "other")
        here.put(SensorTopic("a", "1"))
        here.remember("me", "x")

        assert (there.all(), there.recall("me")) == ([], "")
        assert not there.drop("a")
