"""A kitchen's recipes: every version stays."""

from datetime import UTC, datetime

import pytest

from lidclock.domain.kitchens import Kitchen
from lidclock.store import Kitchens
from lidclock.store.recipes import Kept, Recipes

NOON = datetime(2026, 10, 31, 16, tzinfo=UTC)


def kept(name="Soup", version=1, text="one", who="ilse"):
    return Kept(name, version, text, True, NOON, who)


@pytest.fixture
def recipes(database):
    with database.begin() as connection:
        yield Recipes(connection, "home")


def test_what_was_kept_comes_back_whole(recipes):
    recipes.add(kept())

    assert recipes.versions("SOUP") == recipes.all() == [kept()]


def test_versions_are_in_order_and_the_latest_is_listed(recipes):
    for version in (1, 2, 10):
        recipes.add(kept(version=version, text=f"text {version}"))

    assert [one.version for one in recipes.versions("soup")] == [1, 2, 10]
    assert [one.text for one in recipes.all()] == ["text 10"]


def test_a_version_is_never_overwritten(recipes):
    recipes.add(kept())

    assert recipes.add(kept(text="two")) is False
    assert recipes.versions("soup") == [kept()]


def test_without_a_text_it_is_off_the_list(recipes):
    recipes.add(kept())
    recipes.add(kept(version=2, text=""))

    assert recipes.all() == []
    assert len(recipes.versions("soup")) == 2


def test_kitchens_keep_recipes_for_themselves(database):
    with database.begin() as connection:
        Kitchens(connection).add(Kitchen("other", "Other", "UTC"))
        Recipes(connection, "home").add(kept())

        assert Recipes(connection, "other").all() == []
        assert Recipes(connection, "other").versions("soup") == []
