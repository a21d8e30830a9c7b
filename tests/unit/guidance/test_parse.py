"""What the reader of rule files refuses, each time with file, line, table and key."""

import pytest

from lidclock.errors import GuidanceError
from lidclock.guidance.load import load_categories, load_cautions, load_set
from lidclock.guidance.parse import RuleFile, read_toml

HEAD = """\
[set]
title = "T"
authority = "A"
advice = "Ask."
cold_c = 5.0

[source.s]
authority = "A"
document = "D"
year = "2026"
url = "u"
verified = false
grade = "memory"

[[rule]]
"""
RULE = {
    "id": '"x.soup"',
    "kind": '"day-count"',
    "source": '"s"',
    "section": '"1"',
    "says": '"Three days."',
    "categories": '["soup-stew"]',
    "days": "3",
}
FIRST_LINE = HEAD.count("\n") + 1
NEEDS = {"exposure": {"hours": "2", "above_c": "5"}}


def rule_text(**changes):
    """The rule with some keys changed; None leaves one out."""
    lines = {**RULE, **changes}
    return "".join(f"{k} = {v}\n" for k, v in lines.items() if v is not None)


def read(text, file="mine.toml"):
    data = read_toml(file, text)
    reader = RuleFile(
        *("mine", data, load_categories(), load_cautions()), text=text, file=file
    )
    return reader.read(load_set)


def refusal(text):
    with pytest.raises(GuidanceError) as refused:
        read(text)
    return str(refused.value)


def only_rule(**changes):
    (rule,) = read(HEAD + rule_text(**changes)).rules
    return rule


def test_a_well_formed_set_is_read():
    rule = only_rule()

    assert (rule.id, rule.low, rule.high) == ("x.soup", 3, 3)
    assert rule.source.verified is False


def test_a_range_has_two_ends():
    rule = only_rule(days="[3, 4]")

    assert (rule.low, rule.high) == (3, 4)


def test_a_range_of_hours_keeps_its_low_end():
    rule = only_rule(kind='"elapsed"', days=None, hours="[12, 24]")

    assert (rule.low_hours, rule.hours) == (12, 24)


def test_a_group_of_categories_covers_everything_under_it():
    rule = only_rule(categories='["cheese"]', **{"except": '["hard-cheese"]'})

    assert {"cheese", "soft-cheese", "fresh-cheese"} <= rule.categories
    assert "hard-cheese" not in rule.categories


def test_categories_can_be_chosen_by_nature_and_need_of_control():
    rule = only_rule(categories=None, natures='["cooked"]', control="true")
    known = load_categories()

    assert {known[x].nature for x in rule.categories} == {"cooked"}
    assert "soup-stew" in rule.categories


@pytest.mark.parametrize(
    ("months", "days"), [("1", (28, 28)), ("[2, 3]", (59, 89)), ("12", (365, 365))]
)
def test_months_are_the_shortest_that_a_calendar_has(months, days):
    """February alone has 28; from 1 January, 31 + 28 = 59 and then 31 + 28 + 30."""
    rule = only_rule(days=None, months=months)

    assert (rule.low, rule.high) == days


@pytest.mark.parametrize(
    ("change", "complaint", "key"),
    [
        ({"colour": '"red"'}, "unknown key 'colour' for day-count; expected", "colour"),
        ({"source": '"nobody"'}, "no source called 'nobody'", "source"),
        ({"source": "7"}, "source is missing or not text", "source"),
        ({"section": '" "'}, "section is missing or not text", "section"),
        ({"says": "7"}, "says is missing or not text", "says"),
        ({"kind": '"guess"'}, "kind 'guess' is not one of", "kind"),
        ({"packs": '["jar"]'}, "no packs 'jar'; expected air, vacuum", "packs"),
        ({"packs": "7"}, "packs must be a list of words, not 7", "packs"),
        ({"made_by": '"me"'}, "made_by 'me' is not one of", "made_by"),
        ({"anchor": '"bought"'}, "anchor 'bought' is not one of", "anchor"),
        ({"categories": '["moon-dust"]'}, "no category 'moon-dust'", "categories"),
        ({"except": '["soup-stew"]'}, "that leaves no category", "categories"),
        ({"days": "0"}, "days must be a whole number", "days"),
        ({"days": "-1"}, "days must be a whole number", "days"),
        ({"days": "2.5"}, "days must be a whole number", "days"),
        ({"days": '"3"'}, "days must be a whole number", "days"),
        ({"days": "1001"}, "days must be a whole number", "days"),
        ({"days": "[4, 3]"}, "days must be a whole number", "days"),
        ({"days": "[1, 2, 3]"}, "days must be a whole number", "days"),
        ({"days": "true"}, "days must be a whole number", "days"),
        ({"months": "1"}, "days must be a whole number", "days"),
        ({"days": None, "months": "13"}, "months must be a whole number", "months"),
        ({"hours": "4"}, "unknown key 'hours' for day-count", "hours"),
        ({"barrier": '"needed"'}, "give barrier_ph or barrier_aw with it", "barrier"),
        ({"barrier_ph": "15"}, "barrier_ph must lie within 0 and 14", "barrier_ph"),
    ],
)
def test_a_malformed_rule_is_refused_with_its_place(change, complaint, key):
    text = HEAD + rule_text(**change)
    line = next(
        number
        for number, one in enumerate(text.splitlines(), start=1)
        if number >= FIRST_LINE and one.startswith(f"{key} =")
    )

    assert refusal(text).startswith(f"mine.toml line {line}: rule 1 (x.soup): ")
    assert complaint in refusal(text)


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"kind": '"elapsed"', "hours": "0"}, "hours must lie within 0 and 1000"),
        ({"kind": '"elapsed"', "hours": "[4, 2]"}, "or be [low, high]"),
        ({"kind": '"elapsed"'}, "hours is missing; a rule of kind elapsed needs it"),
        ({"kind": '"quality"'}, "months is missing; a rule of kind quality needs it"),
        (
            {"kind": '"exposure"', "hours": "2"},
            "above_c is missing; a rule of kind exposure needs it",
        ),
        (
            {"kind": '"exposure"', "hours": '"2"', "above_c": "5"},
            "hours must lie within",
        ),
        (
            {"kind": '"exposure"', "hours": "2", "above_c": "70", "below_c": "60"},
            "below_c must not lie below above_c",
        ),
        (
            {"kind": '"exposure"', "hours": "2", "above_c": "5", "states": '["moon"]'},
            "no states 'moon'; expected fridge",
        ),
        (
            {
                "kind": '"exposure"',
                "hours": "9",
                "above_c": "5",
                "time_only_hours": "9",
            },
            "time_only_hours 9 is not one of 6",
        ),
    ],
)
def test_a_kind_of_rule_wants_its_own_figures(change, complaint):
    assert complaint in refusal(HEAD + rule_text(**{"days": None, **change}))


def test_a_rule_without_an_id_is_refused():
    assert "rule 1 (no id): id is missing" in refusal(HEAD + rule_text(id=None))


def test_a_rule_without_a_source_is_refused():
    assert "source is missing" in refusal(HEAD + rule_text(source=None))


def test_an_id_used_twice_is_refused_where_it_stands_again():
    text = HEAD + rule_text() + "[[rule]]\n" + rule_text()
    line = FIRST_LINE + len(RULE) + 1

    assert refusal(text) == (
        f"mine.toml line {line}: rule 2 (x.soup): rule id 'x.soup' is used twice"
    )


def test_what_is_not_toml_is_refused_with_its_line():
    assert refusal('[set]\ntitle = "T\n').startswith("mine.toml line 2: not TOML")


def test_a_set_without_its_heading_is_refused():
    text = HEAD[HEAD.index("[source.s]") :] + rule_text()

    assert refusal(text) == "mine.toml: a [set] table is missing"


def test_a_heading_without_advice_is_refused():
    text = HEAD.replace('advice = "Ask."\n', "")

    assert "line 1: set: advice is missing or not text" in refusal(text + rule_text())


@pytest.mark.parametrize("cold", ["", 'cold_c = "cold"\n', "cold_c = 60\n"])
def test_a_set_needs_a_cold_limit_that_can_be_one(cold):
    text = HEAD.replace("cold_c = 5.0\n", cold)

    assert "cold_c" in refusal(text + rule_text())


@pytest.mark.parametrize(
    "key", ["authority", "document", "year", "url", "verified", "grade"]
)
def test_a_source_that_does_not_say_everything_is_refused(key):
    head, _, source = HEAD.partition("[source.s]\n")
    lines = [one for one in source.splitlines() if not one.startswith(f"{key} =")]
    text = f"{head}[source.s]\n" + "\n".join(lines) + "\n" + rule_text()

    assert f"source.s: '{key}' is missing" in refusal(text)


def test_a_source_of_a_grade_nobody_knows_is_refused():
    text = HEAD.replace('"memory"', '"rumour"') + rule_text()

    assert "source.s: grade 'rumour' is not one of" in refusal(text)


def test_a_way_of_counting_nobody_knows_is_refused():
    text = HEAD.replace("[[rule]]", '[counting]\nfreeze_day = "maybe"\n[[rule]]')

    assert "counting: freeze_day 'maybe' is not one of" in refusal(text + rule_text())


def test_an_unknown_key_of_counting_is_refused():
    text = HEAD.replace("[[rule]]", '[counting]\nmoon = "full"\n[[rule]]')

    assert "counting: unknown key 'moon'" in refusal(text + rule_text())


def test_an_unknown_table_is_refused():
    text = HEAD.replace("[[rule]]", "[limits]\nsoup = 3\n[[rule]]")

    assert "unknown key 'limits'" in refusal(text + rule_text())


LOCAL = """\
[set]
extends = "us-home"
title = "Ours"
authority = "A health department"
advice = "Ask the health department."

[source.s]
authority = "A health department"
document = "D"
year = "2026"
url = "u"
verified = true
grade = "local"

[[rule]]
"""


def test_a_local_set_has_the_rules_of_the_set_it_extends_and_its_own():
    guidance = read(LOCAL + rule_text())
    ids = {rule.id for rule in guidance.rules}

    assert {rule.id for rule in load_set("us-home").rules} < ids
    assert "x.soup" in ids


def test_a_local_set_does_not_move_the_cold_limit():
    text = LOCAL.replace('advice = "Ask', 'cold_c = 8\nadvice = "Ask')

    assert "cold_c has no place here" in refusal(text + rule_text())


def approved(**more):
    facts = {
        "days": "6",
        "replaces": '"us.home.soup.fridge"',
        "approved_by": '"A health department"',
        "approved_on": "2026-11-02",
    }
    return rule_text(**{**facts, **more})


def test_a_longer_limit_names_who_approved_it_and_when():
    rule = read(LOCAL + approved()).rules[-1]

    assert rule.approval.authority == "A health department"
    assert rule.approval.on.isoformat() == "2026-11-02"


@pytest.mark.parametrize(
    "missing",
    [
        {"approved_by": None},
        {"approved_on": None},
        {"approved_on": '"yesterday"'},
        {"approved_by": '" "'},
    ],
)
def test_a_longer_limit_without_authority_and_date_is_refused(missing):
    assert "needs approved_by (the authority) and approved_on" in refusal(
        LOCAL + approved(**missing)
    )


def test_a_rule_that_stands_in_for_none_is_refused():
    text = LOCAL + approved(replaces='"us.home.moon.fridge"')

    assert "no rule 'us.home.moon.fridge' in the set it extends" in refusal(text)


def test_a_rule_stands_in_only_for_one_of_its_kind():
    text = LOCAL + approved(replaces='"us.home.2h"')

    assert "us.home.2h is another kind of rule" in refusal(text)
