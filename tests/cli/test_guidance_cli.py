"""`lidclock guidance`: sets, categories, explain, compare, use, add, tcs."""

import json

import pytest

RICE = ("prep", "rice", "--category", "cooked-rice", "--count", "1", "--no-labels")
QUESTION = {
    "guidance": "us-home",
    "zone": "America/New_York",
    "as_of": "2026-11-02T18:00",
    "food": {"category": "cooked-rice"},
    "history": [
        {"at": "2026-10-31T17:10", "did": "made"},
        {"at": "2026-10-31T18:00", "did": "placed", "state": "fridge", "temp_c": 3},
    ],
}
LOCAL = """\
[set]
extends = "us-home"
title = "Our county"
authority = "A county health department"
advice = "Ask the county health department."

[source.variance]
authority = "A county health department"
document = "Variance 12"
year = "2026"
url = "kept in the office"
verified = true
grade = "local"

[[rule]]
id = "ours.stew"
kind = "day-count"
source = "variance"
section = "2"
says = "Stews of this kitchen."
categories = ["soup-stew"]
made_by = "kitchen"
packs = ["air"]
days = 2
"""
LONGER = LOCAL.replace(
    "days = 2\n",
    'days = 6\nreplaces = "us.home.soup.fridge"\n'
    'approved_by = "A county health department"\napproved_on = 2026-10-01\n',
)


@pytest.fixture
def question(tmp_path):
    path = tmp_path / "question.json"
    path.write_text(json.dumps(QUESTION))
    return str(path)


def local(tmp_path, text, name="ours.toml"):
    path = tmp_path / name
    path.write_text(text)
    return str(path)


def test_the_sets_are_listed_with_how_they_count(newcomer):
    seen = newcomer.see("guidance", "sets")

    assert "uk-home: UK home guidance" in seen
    assert "Once thawed: 24 hours" in seen
    assert "unverified" in seen


def test_what_nobody_checked_is_listed(newcomer):
    seen = newcomer.see("guidance", "sets", "--unverified")

    assert "us-food-code: us.fc.rop48" in seen
    assert "memory, unverified" in seen


def test_the_tree_of_categories_shows_children_under_their_group(newcomer):
    lines = newcomer.see("guidance", "categories").splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("cheese "))

    assert lines[at + 1].startswith("  hard-cheese")


def test_a_category_is_found_by_everyday_words_with_its_figure(newcomer):
    seen = newcomer.see("guidance", "categories", "fried", "rice", "--set", "uk-home")

    assert seen.startswith("cooked-rice: Cooked rice\n")
    assert "uk-home: 1 day from making" in seen


def test_the_figures_shown_are_those_of_the_kitchens_set(cook):
    cook.run("guidance", "use", "au")

    assert "au: 2 days from making" in cook.see("guidance", "categories", "rice")


def test_words_that_fit_no_category_are_refused_with_the_way_on(newcomer):
    assert "try a plainer word" in newcomer.fail(11, "guidance", "categories", "xyzzy")


def test_compare_puts_every_set_side_by_side_the_strictest_first(newcomer, question):
    found = newcomer.data("guidance", "compare", question)
    days = {one["guidance"]: one["last_day"] for one in found}

    assert found[0]["guidance"] == "uk-catering"
    assert days["uk-home"] == days["uk-catering"] == "2026-10-31"
    assert days["au"] == days["nz"] == "2026-11-01"
    assert days["us-home"] == "2026-11-03"
    assert days["us-food-code"] == "2026-11-06"
    assert days["ca"] is None


def test_compare_says_what_differs_and_draws_the_days(newcomer, question):
    seen = newcomer.see("guidance", "compare", question)

    assert "6 days between the strictest (uk-catering) and the longest" in seen
    assert "○○●● 4 days" in seen
    assert "1 set gives no last day: that is no permission" in seen
    assert "its nearest row is cooked-leftovers" in " ".join(seen.split())


def test_compare_works_on_a_container_of_the_kitchen(stew):
    seen = stew.see("guidance", "compare", stew.codes()[0], "--set", "us-home")

    assert "us-home                      until Tue 3 Nov 2026" in seen


def test_explain_numbers_the_limits_and_ends_with_the_cautions(newcomer, question):
    lines = newcomer.see("guidance", "explain", question).splitlines()

    assert lines[1] == "us-home: soon: use by Tue 3 Nov 2026"
    assert lines[2].startswith("1. us.home.rice_pasta.fridge: Wed 4 Nov 2026 00:00")
    assert "     day 4 is Tue 3 Nov 2026; the limit is the end of that day" in lines
    assert "cautions" in lines


def test_explain_takes_a_code_as_it_is_printed(stew):
    code = stew.codes()[0]

    seen = stew.see("guidance", "explain", code[:3], code[3:])

    assert seen.startswith(f"{code[:3]} {code[3:]}  stew\n")


def test_explain_of_neither_file_nor_code_is_refused(stew):
    assert "not a container code" in stew.fail(
        11, "guidance", "explain", "nowhere.json"
    )


def test_another_set_moves_every_last_day_and_says_how_many(stew):
    seen = stew.see("guidance", "use", "uk-home")

    assert "3  end earlier now" in seen
    assert "lids that say another day" not in stew.see("guidance", "use", "uk-home")


def test_a_set_that_is_not_there_changes_nothing(stew):
    stew.fail(11, "guidance", "use", "moon")

    assert "use by Tue 3 Nov" in stew.see("list")


def test_people_at_higher_risk_get_the_low_end(stew):
    """3 to 4 days from Sat 31 Oct: Mon 2 Nov."""
    stew.run("guidance", "use", "--high-risk")

    assert "use by Mon 2 Nov" in stew.see("list")
    stew.run("guidance", "use", "--no-high-risk")
    assert "use by Tue 3 Nov" in stew.see("list")


def test_a_kitchen_can_be_set_up_for_people_at_higher_risk(newcomer):
    seen = newcomer.see("init", "--yes", "--zone", "UTC", "--high-risk")

    assert "guidance: us-home, read for people at higher risk" in seen


def test_a_local_set_shortens(stew, tmp_path):
    seen = stew.see("guidance", "add", local(tmp_path, LOCAL))

    assert "3  end earlier now" in seen
    assert "use by Sun 1 Nov" in stew.see("list")


def test_a_local_set_is_only_looked_at_with_check(stew, tmp_path):
    seen = stew.see("guidance", "add", local(tmp_path, LOCAL), "--check")

    assert "ours is in order" in seen
    assert "use by Tue 3 Nov" in stew.see("list")


def test_a_longer_limit_says_who_approved_it_wherever_it_shows(stew, tmp_path):
    added = stew.see("guidance", "add", local(tmp_path, LONGER))
    code = stew.codes()[0]
    words = "approved by A county health department"

    assert words in added
    assert f"use by Thu 5 Nov ({words}, Thu 1 Oct 2026)" in stew.see("list")
    assert words in stew.see("show", code)
    assert words in stew.see("label", code, "--plain")
    limits = stew.data("guidance", "explain", code)["limits"]
    assert limits[0]["approved_on"] == "2026-10-01"


def test_a_longer_limit_without_approval_is_refused_with_its_line(stew, tmp_path):
    text = LOCAL.replace("days = 2", "days = 6")
    line = text.splitlines().index("days = 6") + 1

    said = stew.fail(16, "guidance", "add", local(tmp_path, text))

    assert f"ours.toml line {line}: rule 1 (ours.stew): 6 days would never bind" in said
    assert "us.home.soup.fridge allows 4" in said
    assert "use by Tue 3 Nov" in stew.see("list")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[set]\nextends = ", "line 2: not TOML"),
        (LOCAL.replace('extends = "us-home"\n', ""), "give extends, one of"),
        (LOCAL.replace("us-home", "moon"), "no guidance set 'moon'"),
        (LOCAL.replace("days = 2", "days = 0"), "days must be a whole number"),
    ],
)
def test_a_rule_file_that_is_wrong_is_refused_whole(stew, tmp_path, text, said):
    result = stew.run(
        *("guidance", "add", local(tmp_path, text)),
        code=11 if "moon" in text else 16,
    )

    assert said in result.stderr
    assert "use by Tue 3 Nov" in stew.see("list")


def test_a_local_set_may_not_take_the_name_of_a_shipped_one(stew, tmp_path):
    path = local(tmp_path, LOCAL, "uk-home.toml")

    assert "cannot name a local set" in stew.fail(16, "guidance", "add", path)


def test_a_file_that_is_not_there_is_refused(stew):
    assert "cannot read nowhere.toml" in stew.fail(2, "guidance", "add", "nowhere.toml")


def test_a_local_set_travels_with_an_export(stew, tmp_path, monkeypatch):
    stew.run("guidance", "add", local(tmp_path, LOCAL))
    stew.run("export", str(tmp_path / "out.jsonl"))
    monkeypatch.setattr(stew, "database", tmp_path / "second.db")
    stew.run("import", str(tmp_path / "out.jsonl"))

    assert "use by Sun 1 Nov" in stew.see("list")


def test_leaving_a_local_set_says_how_it_comes_back(stew, tmp_path):
    stew.run("guidance", "add", local(tmp_path, LOCAL))

    assert "the local set ours is put away" in stew.see("guidance", "use", "us-home")


def test_a_food_without_a_row_offers_its_nearest_as_a_choice(cook):
    cook.run("guidance", "use", "ca")
    seen = " ".join(cook.see(*RICE, "--place", "Fridge").split())

    assert "nearest row is cooked-leftovers (3 to 4 days, ca.left.fridge)" in seen


def test_the_tables_of_acidity_mark_the_cell(newcomer):
    seen = newcomer.see("guidance", "tcs", "--ph", "4.1")

    assert ">0.92           [no]     yes         yes          yes" in seen
    assert "no time/temperature control asked by these tables" in seen


def test_the_tables_want_a_number(newcomer):
    assert "give --ph, --aw or both" in newcomer.fail(2, "guidance", "tcs")


def test_assess_reads_for_people_at_higher_risk(newcomer):
    text = json.dumps({**QUESTION, "high_risk": True})
    found = json.loads(newcomer.see("assess", "-", given=text))

    assert (found["high_risk"], found["last_day"]) == (True, "2026-11-02")


def test_assess_hands_out_the_near_row(newcomer):
    text = json.dumps({**QUESTION, "guidance": "ca"})
    found = json.loads(newcomer.see("assess", "-", given=text))

    assert found["offer"]["category"] == "cooked-leftovers"
    assert found["offer"]["rule"] == "ca.left.fridge"


@pytest.mark.parametrize("value", ["yes", 1, None])
def test_a_risk_that_is_neither_true_nor_false_is_refused(newcomer, value):
    text = json.dumps({**QUESTION, "high_risk": value})

    assert "high_risk: expected true or false" in newcomer.fail(
        2, "assess", "-", given=text
    )


def test_show_says_how_the_list_in_force_declares_the_allergens(cook):
    cook.run(
        *("prep", "soup", "--category", "soup-stew", "--count", "1", "--no-labels"),
        *("--allergens", "celery, prawns, moon dust"),
    )
    code = cook.codes()[0]

    assert (
        "on the US list of allergens: crustacean shellfish; "
        "not on that list: celery, moon dust"
    ) in cook.see("show", code)
    cook.run("guidance", "use", "uk-home")
    assert (
        "on the EU and UK list of allergens: crustaceans, celery; "
        "not on that list: moon dust"
    ) in cook.see("show", code)


def test_the_allergens_of_a_food_follow_from_what_went_in(cook):
    made = ("--count", "1", "--no-labels", "--place", "Fridge")
    cook.run(
        *("prep", "sauce", "--category", "tomato-sauce", "--allergens", "celery"),
        *made,
    )
    cook.run(
        *("prep", "filling", "--category", "cooked-vegetables"),
        *("--allergens", "soya", "--from", cook.codes("sauce")[0], *made),
    )
    cook.run("guidance", "use", "uk-home")

    seen = cook.see("show", cook.codes("filling")[0])

    assert "on the EU and UK list of allergens: soybeans, celery" in seen


def test_handing_on_says_what_giving_to_others_needs(stew):
    seen = stew.see("scan", stew.codes()[0], "--give", "neighbour")

    assert "handed on; selling or giving food to the public can need a permit" in seen


def test_a_mark_on_tape_that_is_too_late_is_told_when_it_is_taken_in(cook):
    """Made on Sat 31 Oct: the last of 4 days is Tue 3 Nov; the tape says Thu 5 Nov."""
    seen = cook.see(
        *("adopt", "soup", "--category", "soup-stew", "--made", "today 17:00"),
        *("--place", "Fridge", "--placed", "today 17:20", "--marked", "5 Nov 2026"),
    )

    assert (
        "the mark is a fault: the lid says Thu 5 Nov 2026, "
        "guidance ends with Tue 3 Nov 2026; print a new label"
    ) in seen


def test_a_mark_on_tape_that_is_not_too_late_is_no_fault(cook):
    seen = cook.see(
        *("adopt", "soup", "--category", "soup-stew", "--made", "today 17:00"),
        *("--place", "Fridge", "--placed", "today 17:20", "--marked", "3 Nov 2026"),
    )

    assert "fault" not in seen


def test_scanning_a_lid_whose_mark_is_too_late_says_so(stew):
    code = stew.codes()[0]
    stew.run("label", code, "--plain")
    stew.run("guidance", "use", "uk-home")

    assert "the mark is a fault" in stew.see("scan", code, "--to", "Fridge")


def test_printing_over_a_late_mark_says_to_take_the_old_one_off(stew, tmp_path):
    code = stew.codes()[0]
    stew.run("label", code, "--plain")
    stew.run("guidance", "use", "uk-home")

    seen = stew.see("label", code, "--out", str(tmp_path / "new.pdf"))

    assert "1 old mark later than the limit: take it off the lid" in seen


HAM = (
    *("adopt", "ham", "--category", "cooked-meat-poultry", "--made-by", "maker"),
    *("--made", "today 08:00", "--use-by", "30 Dec 2026"),
    *("--place", "Fridge", "--placed", "today 08:00"),
)


def test_an_opened_pack_does_not_keep_the_date_on_it(cook):
    cook.run("guidance", "use", "uk-home")
    cook.run(*HAM)
    code = cook.codes()[0]

    assert "use by Wed 30 Dec" in cook.see("list")
    assert "use by" not in cook.see("scan", code, "--open")
    assert "leaves it to the pack" in cook.see("show", code)


def test_what_is_taken_from_a_pack_opens_it(cook):
    cook.run("guidance", "use", "uk-home")
    cook.run(*HAM, "--mass", "400g")
    code = cook.codes()[0]
    cook.run("take", code, "100g")

    assert "leaves it to the pack" in cook.see("show", code)


def test_an_approval_shows_beside_the_kitchens_own_count_too(cook, tmp_path):
    """Approved for 6 days; the kitchen keeps it 5, which the set alone forbids."""
    cook.run("guidance", "add", local(tmp_path, LONGER))
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--days", "5", "--count", "1"),
        *("--made", "today 17:00", "--place", "Fridge", "--no-labels"),
    )

    assert "use by Wed 4 Nov (approved by A county health department" in (
        cook.see("list")
    )


def test_an_approval_that_is_still_to_come_is_refused(stew, tmp_path):
    text = LONGER.replace("2026-10-01", "2999-01-01")

    assert "approved_on 2999-01-01 is in the future" in stew.fail(
        16, "guidance", "add", local(tmp_path, text)
    )


def test_a_frozen_lid_with_an_unverified_figure_says_so(cook):
    cook.run(
        *("prep", "tofu", "--category", "tofu", "--count", "1", "--place", "Freezer"),
        *("--made", "today 17:00", "--placed", "today 17:20", "--no-labels"),
    )

    assert "days left after thawing (unverified)" in cook.see("list")
    assert "unverified figure" in cook.see("label", cook.codes()[0], "--plain")


def test_a_local_set_can_be_compared_by_its_name(stew, tmp_path):
    stew.run("guidance", "add", local(tmp_path, LOCAL))
    code = stew.codes()[0]

    assert "* ours" in stew.see("guidance", "compare", code, "--set", "ours")
