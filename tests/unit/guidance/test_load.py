"""What the loader refuses, each time with file, rule and key."""

import pytest

from lidclock.errors import GuidanceError, UnknownThingError
from lidclock.guidance.load import load_set, parse_set, set_names

SOURCE = {
    "authority": "A",
    "document": "D",
    "year": "2026",
    "url": "u",
    "verified": False,
    "grade": "memory",
}
RULE = {
    "id": "x.soup",
    "kind": "day-count",
    "source": "s",
    "section": "1",
    "says": "Three days.",
    "categories": ["soup-stew"],
    "days": 3,
}


def a_set(*rules, **parts):
    head = {"title": "T", "authority": "A", "advice": "Ask.", "cold_c": 5.0}
    return {"set": head, "source": {"s": SOURCE}, "rule": list(rules), **parts}


def test_a_well_formed_set_is_read():
    (rule,) = parse_set("mine", a_set(RULE)).rules

    assert (rule.id, rule.low, rule.high) == ("x.soup", 3, 3)
    assert rule.source.verified is False


def test_a_range_has_two_ends():
    (rule,) = parse_set("mine", a_set({**RULE, "days": [3, 4]})).rules

    assert (rule.low, rule.high) == (3, 4)


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"colour": "red"}, "unknown key 'colour'"),
        ({"source": "nobody"}, "no source called 'nobody'"),
        ({"source": None}, "source is missing or not text"),
        ({"section": None}, "section is missing or not text"),
        ({"says": 7}, "says is missing or not text"),
        ({"kind": "guess"}, "kind 'guess' is not one of"),
        ({"pack": "jar"}, "pack 'jar' is not one of"),
        ({"made_by": "me"}, "made_by 'me' is not one of"),
        ({"anchor": "bought"}, "anchor 'bought' is not one of"),
        ({"categories": ["soup-stew", "moon-dust"]}, "no category 'moon-dust'"),
        ({"days": 0}, "days must be a whole number"),
        ({"days": -1}, "days must be a whole number"),
        ({"days": 2.5}, "days must be a whole number"),
        ({"days": "3"}, "days must be a whole number"),
        ({"days": 1001}, "days must be a whole number"),
        ({"days": [4, 3]}, "days must be a whole number"),
        ({"days": [1, 2, 3]}, "days must be a whole number"),
        ({"days": None}, "days must be a whole number"),
        ({"days": True}, "days must be a whole number"),
        ({"kind": "elapsed", "hours": 0}, "hours must lie within"),
        ({"kind": "exposure", "hours": "2"}, "hours must lie within"),
        ({"kind": "quality"}, "months must be a whole number"),
    ],
)
def test_a_malformed_rule_is_refused_with_its_place(change, complaint):
    with pytest.raises(GuidanceError) as refusal:
        parse_set("mine", a_set({**RULE, **change}))

    assert str(refusal.value).startswith("mine.toml: rule 1 (x.soup): ")
    assert complaint in str(refusal.value)


def test_a_rule_without_an_id_is_refused():
    rule = {key: value for key, value in RULE.items() if key != "id"}

    with pytest.raises(GuidanceError, match=r"mine.toml: rule 1 \(no id\): id is"):
        parse_set("mine", a_set(rule))


def test_an_id_used_twice_is_refused():
    with pytest.raises(GuidanceError, match=r"mine.toml: rule id 'x.soup' is used"):
        parse_set("mine", a_set(RULE, RULE))


def test_a_set_without_its_heading_is_refused():
    with pytest.raises(GuidanceError, match=r"mine.toml: a \[set\] table is missing"):
        parse_set("mine", {"rule": [RULE]})


def test_a_heading_without_advice_is_refused():
    with pytest.raises(GuidanceError, match=r"mine.toml: set: 'advice' is missing"):
        parse_set("mine", {"set": {"title": "T", "authority": "A", "cold_c": 5.0}})


@pytest.mark.parametrize("missing", sorted(SOURCE))
def test_a_source_that_does_not_say_everything_is_refused(missing):
    facts = {key: value for key, value in SOURCE.items() if key != missing}

    with pytest.raises(GuidanceError, match=rf"mine.toml: source.s: .*'{missing}'"):
        parse_set("mine", a_set(RULE, source={"s": facts}))


def test_a_way_of_counting_nobody_knows_is_refused():
    with pytest.raises(GuidanceError, match=r"mine.toml: counting: .*neither"):
        parse_set("mine", a_set(RULE, counting={"freeze_day": "maybe"}))


def test_an_unknown_key_of_counting_is_refused():
    with pytest.raises(GuidanceError, match=r"counting: unknown key 'moon'"):
        parse_set("mine", a_set(RULE, counting={"moon": "full"}))


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
        assert source.verified is (source.grade != "memory")


@pytest.mark.parametrize("name", set_names())
def test_every_shipped_set_says_how_it_counts(name):
    assert load_set(name).counting.says
