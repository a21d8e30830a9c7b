"""What a kitchen remembers of loggers' files."""

import pytest

from lidclock.domain.kitchens import Kitchen
from lidclock.store import Kitchens
from lidclock.store.logger_sources import LoggerSources


@pytest.fixture
def sources(database):
    with database.begin() as connection:
        yield LoggerSources(connection, "home")


def test_a_new_source_is_unknown(sources):
    assert sources.get("abc") is None


def test_what_was_put_comes_back_and_the_latest_holds(sources):
    sources.put("abc", {"unit": "F", "sensors": {"0|": ["x"]}})
    sources.put("abc", {"unit": "C"})
    sources.put("def", {"order": "dmy"})

    assert sources.get("abc") == {"unit": "C"}
    assert sources.get("def") == {"order": "dmy"}


def test_kitchens_remember_for_themselves(database):
    with database.begin() as connection:
        Kitchens(connection).add(Kitchen("other", "Other", "UTC"))
        LoggerSources(connection, "home").put("abc", {"unit": "F"})

        assert LoggerSources(connection, "other").get("abc") is None
