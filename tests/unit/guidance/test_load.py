"""The shipped sets: compiled as their rule files say, whole, and sourced."""

import pytest

from lidclock.errors import UnknownThingError
from lidclock.guidance.compile import (
    COMPILED,
    compiled,
    parse_categories,
    parse_source,
    source_names,
    unverified,
)
from lidclock.guidance.load import (
    load_categories,
    load_cautions,
    load_set,
    set_names,
)

EIGHT = {"us-food-code", "us-home", "uk-home", "uk-catering", "au", "nz", "ca", "ie"}


def test_the_eight_sets_are_shipped():
    assert set(set_names()) >= EIGHT


def test_every_rule_file_is_compiled():
    assert list(set_names()) == source_names()


@pytest.mark.parametrize(("name", "text"), list(compiled()), ids=lambda x: x[:20])
def test_the_compiled_files_are_fresh(name, text):
    """Renew them with `python -m lidclock.guidance.compile`."""
    assert (COMPILED / name).read_text("utf-8") == text


@pytest.mark.parametrize("name", set_names())
def test_a_compiled_set_equals_its_rule_file(name):
    assert load_set(name) == parse_source(name)


def test_the_compiled_categories_equal_their_file():
    assert (load_categories(), load_cautions()) == parse_categories()


def test_a_set_that_is_not_shipped_is_refused_with_those_that_are():
    with pytest.raises(UnknownThingError, match="us-home"):
        load_set("moon-base")


@pytest.mark.parametrize("name", set_names())
def test_every_shipped_rule_says_where_it_comes_from(name):
    for rule in load_set(name).rules:
        source = rule.source

        assert all((source.authority, source.document, source.year, source.url))
        assert all((rule.id, rule.section, rule.says))
        assert isinstance(source.verified, bool)
        assert source.verified or source.grade in ("memory", "secondary")


@pytest.mark.parametrize("name", set_names())
def test_no_shipped_rule_needs_an_approval(name):
    assert all(rule.approval is None for rule in load_set(name).rules)


@pytest.mark.parametrize("name", set_names())
def test_every_shipped_set_says_how_it_counts(name):
    assert load_set(name).counting.says


def test_a_look_before_a_release_lists_what_nobody_checked():
    listed = list(unverified())
    shaky = [
        rule.id
        for name in set_names()
        for rule in load_set(name).rules
        if not rule.source.verified
    ]

    assert len(listed) == len(shaky)
    assert any("us.fc.rop48" in line for line in listed)
