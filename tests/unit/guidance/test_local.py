"""What a local rule file may add, and what it may not without an approval."""

import pytest

from lidclock.app.guidance import read_local
from lidclock.domain.foods import Food
from lidclock.errors import GuidanceError

HEAD = """\
[set]
extends = "{base}"
title = "Ours"
authority = "A county"
advice = "Ask the county."
{counting}
[source.s]
authority = "A county"
document = "D"
year = "2026"
url = "u"
verified = true
grade = "local"

[[rule]]
"""
RULE = {
    "id": '"ours.x"',
    "kind": '"day-count"',
    "source": '"s"',
    "section": '"1"',
    "says": '"Ours."',
    "categories": '["soup-stew"]',
    "days": "2",
}
APPROVAL = {"approved_by": '"A county"', "approved_on": "2026-10-01"}


def written(base="us-home", counting="", **changes):
    rule = {**RULE, **changes}
    lines = "".join(f"{k} = {v}\n" for k, v in rule.items() if v is not None)
    return HEAD.format(base=base, counting=counting) + lines


def refusal(text):
    with pytest.raises(GuidanceError) as refused:
        read_local(text, "ours.toml")
    return str(refused.value)


def test_a_shorter_limit_needs_nobody():
    rule = read_local(written(), "ours.toml").rules[-1]

    assert (rule.high, rule.approval) == (2, None)


def test_a_limit_that_names_no_pack_is_about_packs_with_air():
    guidance = read_local(written(), "ours.toml")

    assert guidance.plan_for(Food("soup", "soup-stew", pack="vacuum")).dated == ()


def test_a_longer_limit_would_never_bind():
    assert "6 days would never bind" in refusal(written(days="6"))


def test_a_limit_where_the_set_gives_none_needs_an_approval():
    said = refusal(written(base="ca", categories='["cooked-rice"]'))

    assert "ca gives no figure for cooked-rice, made here" in said
    assert "or is kind house" in said


def test_a_limit_where_the_set_gives_none_stands_with_an_approval():
    text = written(base="ca", categories='["cooked-rice"]', **APPROVAL)
    rule = read_local(text, "ours.toml").rules[-1]

    assert rule.approval.authority == "A county"


def test_hours_where_the_set_gives_none_need_an_approval_too():
    text = written(kind='"elapsed"', days=None, hours="500", categories='["cream"]')

    assert "us-home gives no figure for cream" in refusal(text)


def test_a_house_rule_fills_a_gap():
    text = written(kind='"house"', categories='["cream"]', days="5")
    plan = read_local(text, "ours.toml").plan_for(Food("cream", "cream"))

    assert [rule.kind for rule in plan.dated] == ["house"]


def test_a_house_rule_fills_no_gap_that_is_a_warning():
    text = written(base="ca", kind='"house"', categories='["garlic-in-oil"]', days="5")
    plan = read_local(text, "ours.toml").plan_for(Food("oil", "garlic-in-oil"))

    assert plan.dated == ()


def test_a_house_rule_beside_an_authority_is_refused():
    assert "an authority gives a figure: us.home.soup.fridge" in refusal(
        written(kind='"house"')
    )


@pytest.mark.parametrize("kind", ["exempt", "on-pack"])
def test_what_would_settle_an_open_question_is_refused(kind):
    said = refusal(written(kind=f'"{kind}"', days=None, categories='["cream"]'))

    assert f"{kind} would settle what us-home leaves open; use house" in said


def test_a_longer_time_out_of_the_cold_is_refused():
    text = written(
        kind='"exposure"',
        days=None,
        hours="9",
        above_c="5",
        ceiling_c="60",
        time_only_hours="6",
        replaces='"us.home.2h"',
    )

    assert "a longer time needs an approval" in refusal(text)


def test_a_shorter_time_out_of_the_cold_is_read():
    text = written(kind='"exposure"', days=None, hours="1", above_c="5")

    assert read_local(text, "ours.toml").rules[-1].hours == 1


@pytest.mark.parametrize(
    ("base", "counting"),
    [
        ("us-home", 'freeze_day = "free"'),
        ("us-home", 'thaw_day = "free"'),
        ("us-home", "fresh_hours = 200"),
        ("uk-home", "fresh_hours = 48"),
        ("uk-home", 'refreeze = "fridge-thawed"'),
        ("uk-home", "reheats = 3"),
    ],
)
def test_a_milder_way_of_counting_is_refused(base, counting):
    said = refusal(written(base=base, counting=f"[counting]\n{counting}\n"))

    assert "count days more mildly" in said
    assert "counting" in said


def test_a_stricter_way_of_counting_is_read():
    text = written(counting='[counting]\nrefreeze = "never"\n')

    assert read_local(text, "ours.toml").counting.refreeze == "never"


@pytest.mark.parametrize("name", ["us-home", "Our Rules", "a--b", "-", "7"])
def test_a_name_that_cannot_be_is_refused(name):
    text = written().replace("[set]\n", f'[set]\nid = "{name}"\n')
    if name == "7":
        text = text.replace('id = "7"', "id = 7")

    assert "cannot name a local set" in refusal(text)


@pytest.mark.parametrize(
    "limit",
    [
        {"kind": '"elapsed"', "days": None, "hours": "1000"},
        {"days": "300", "anchor": '"opened"'},
    ],
)
def test_a_limit_that_another_control_lifts_is_not_filled_in_by_the_side(limit):
    """At pH 4.9 the ten days of uk.vp10 are lifted, and nothing is left."""
    text = written(
        base="uk-catering",
        categories='["cooked-leftovers"]',
        packs='["vacuum"]',
        made_by='"kitchen"',
        **limit,
    )

    assert "uk-catering gives no figure for chicken-nuggets" in refusal(text)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"says": '"two\\nlines"'}, "says must be one line"),
        ({"says": '"\\u001b[31mred"'}, "says must be one line"),
        ({"id": '"' + "x" * 700 + '"'}, "id must be one line of at most"),
        ({"control": '"no"'}, "control must be true or false"),
        ({"kind": '"house"', "categories": '["cream"]', "days": "367"}, "days must be"),
    ],
)
def test_what_would_not_stand_on_a_screen_or_a_label_is_refused(change, said):
    assert said in refusal(written(**change))


@pytest.mark.parametrize("text", ["x = " + "[" * 100_000, "x = " + "9" * 5000])
def test_what_the_reader_of_toml_chokes_on_is_refused_like_anything_else(text):
    assert "ours.toml" in refusal(text)


def test_a_mark_of_the_byte_order_is_no_fault():
    assert read_local("\ufeff" + written(), "ours.toml").id == "ours"


def test_a_shorter_limit_of_its_own_holds_for_acid_food_as_well():
    text = written(base="us-food-code", categories='["tomato-sauce"]', days="3")
    plan = read_local(text, "ours.toml").plan_for(Food("s", "tomato-sauce", ph=4.0))

    assert [rule.id for rule in plan.dated] == ["ours.x"]
