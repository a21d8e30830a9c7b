"""`prep`, `open`, `adopt`: what a cook sees after filling lids, and what is refused."""

import pytest

STEW = ("prep", "stew", "--category", "soup-stew")


def test_each_container_gets_a_line_with_its_date(cook):
    seen = cook.see(
        *(*STEW, "--count", "2", "--portion", "350g", "--made", "today 17:10"),
        *("--place", "Fridge"),
    )

    lines = seen.splitlines()

    assert lines[0] == "batch 1: stew, 2 containers, 700 g, made Sat 31 Oct 17:10"
    assert lines[1].endswith("stew  box 1 of 2  350 g  Fridge  use by Tue 3 Nov")
    assert lines[2].endswith("stew  box 2 of 2  350 g  Fridge  use by Tue 3 Nov")


def test_the_verdict_names_its_reason_and_source(cook):
    seen = cook.see(*STEW, "--made", "today 17:10", "--place", "Fridge")

    assert "keep: use by Tue 3 Nov 2026\n" in seen
    assert "day 1 is Sat 31 Oct 2026 (made)" in seen
    assert "FoodSafety.gov, Cold Food Storage Chart" in seen


def test_what_is_unknown_is_listed(cook):
    seen = cook.see(*STEW, "--made", "today 17:10", "--place", "Fridge")

    assert "not known: time before the first place: 30 min not recorded" in seen
    assert "not known: cooling: no log" in seen


def test_a_long_gap_says_what_was_charged_and_how_to_correct_it(cook):
    seen = cook.see(*STEW, "--made", "today 16:10", "--place", "Fridge", "--no-labels")

    code = cook.codes()[0]

    assert "1 h 30 min between making and Fridge are charged as counter time" in seen
    assert f"`lidclock correct {code} --placed TIME`" in seen


def test_the_correction_that_was_named_works(cook):
    cook.run(*STEW, "--made", "today 12:00", "--place", "Fridge", "--no-labels")
    code = cook.codes()[0]

    before = cook.data("show", code)["verdict"]["status"]
    seen = cook.see("correct", code, "--placed", "today 12:40")

    assert before == "over"
    assert "keep, use by Tue 3 Nov" in seen


def test_a_label_sheet_never_overwrites_another(cook):
    (cook.folder / "labels-batch-1.pdf").write_text("mine")
    seen = cook.see(*STEW)

    assert "labels: labels-batch-1-2.pdf (1 label, 1 page)" in seen
    assert (cook.folder / "labels-batch-1.pdf").read_text() == "mine"


def test_labels_go_where_they_are_asked_to(cook):
    cook.run(*STEW, "--labels", "stew.pdf", "--no-verify")

    assert (cook.folder / "stew.pdf").read_bytes().startswith(b"%PDF")


def test_plain_labels_are_printed_and_no_file_is_written(cook):
    seen = cook.see(*STEW, "--plain", "--place", "Fridge")

    assert "USE BY" in seen
    assert list(cook.folder.glob("*.pdf")) == []


def test_one_undo_takes_back_the_batch_and_its_labels(cook):
    cook.run(*STEW, "--count", "2")
    cook.run("undo")

    assert cook.data("list")["containers"] == []


def test_a_name_that_no_font_covers_leaves_no_batch_behind(cook):
    before = cook.event_count()
    refused = cook.fail(17, "prep", "stew \U00010a60", "--category", "soup-stew")

    assert "Error: " in refused
    assert cook.event_count() == before


def test_an_unknown_food_names_the_nearest_and_categories(stew):
    refused = stew.fail(11, "prep", "stewe", "--count", "2")

    assert refused.startswith("Error: no food 'stewe' yet; known: stew;")
    assert "--category (for example soup-stew)" in refused


def test_an_unknown_category_names_the_nearest(cook):
    refused = cook.fail(11, "prep", "stew", "--category", "soup-stw")

    assert "nearest: soup-stew" in refused


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (("--portion", "-5g"), 2),
        (("--portion", "0g"), 2),
        (("--portion", "9999kg"), 2),
        (("--portion", "heavy"), 2),
        (("--count", "0"), 2),
        (("--count", "1001"), 2),
        (("--count", "2", "--portion", "300g", "--total", "500g"), 2),
        (("--count", "9", "--total", "5g"), 2),
        (("--made", "tomorrow 10:00"), 2),
        (("--made", "3/4 10:00"), 2),
        (("--made", "8 Mar 2026 02:30"), 2),
        (("--made", "today 17:00", "--placed", "today 16:00", "--place", "Fridge"), 2),
        (("--placed", "today 17:00"), 2),
        (("--place", "Attic"), 11),
        (("--from", "XXXXXXX"), 11),
        (("--days", "0"), 2),
        (("--ph", "15"), 2),
        (("--pack", "jar"), 2),
        (("--allergens", ","), 2),
        (("--allergens", "milk", "--no-allergens"), 2),
        (("--labels", "no-such-folder/x.pdf"), 14),
    ],
)
def test_a_bad_batch_is_refused_and_nothing_is_recorded(cook, options, code):
    before = cook.event_count()
    refused = cook.fail(code, *STEW, *options)

    assert refused.startswith("Error: ")
    assert cook.event_count() == before


def test_an_input_that_is_used_up_needs_anyway(stew):
    code = stew.codes()[0]
    stew.run("scan", code, "--use", "--anyway")
    pie = ("prep", "pie", "--category", "cooked-leftovers", "--from", code)

    refused = stew.fail(12, *pie)
    stew.run(*pie, "--anyway")

    assert "record it all the same with --anyway" in refused
    assert len(stew.codes("pie")) == 1


def test_an_opened_pack_counts_from_its_opening(cook):
    seen = cook.see(
        *("open", "ham", "--category", "deli-meat-opened", "--place", "Fridge"),
        *("--mass", "200g", "--opened", "yesterday 18:00", "--lot", "L7"),
    )

    assert "day 1 is Fri 30 Oct 2026 (opened)" in seen
    assert "200 g  Fridge" in seen


@pytest.mark.parametrize("day", ["4/11", "Nov", "2026-02-30", "5 Nov 17:00"])
def test_a_makers_date_that_is_none_is_refused(cook, day):
    ham = ("open", "ham", "--category", "deli-meat-opened")

    assert cook.fail(2, *ham, "--use-by", day).startswith("Error: ")


def test_what_is_not_known_of_an_adopted_container_stays_unknown(cook):
    seen = cook.see("adopt", "stew", "--category", "soup-stew", "--place", "Fridge")

    assert "no last day" in seen
    assert "unknown: making time: not recorded" in seen


def test_an_adopted_container_keeps_the_code_on_its_lid(cook):
    cook.run("adopt", "stew", "--category", "soup-stew", "--code", "4F7 K2MC", code=2)
    cook.run("adopt", "stew", "--category", "soup-stew")
    code = cook.codes()[0]

    refused = cook.fail(13, "adopt", "stew", "--code", code)

    assert "is taken by another container" in refused


def test_placed_without_a_place_is_refused(cook):
    adopt = ("adopt", "stew", "--category", "soup-stew")

    assert "--placed needs --place" in cook.fail(2, *adopt, "--placed", "17:00")
