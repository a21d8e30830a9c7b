"""What happens to one container: scanned, divided, corrected, labelled."""

import pytest

LIVES = [("scan", "--freeze"), ("scan", "--use"), ("cooled",), ("reheated",)] + [
    ("missing",),
    ("show",),
    ("correct", "--mass", "3g"),
    ("label", "--out", "x.pdf"),
]


def test_a_code_may_be_typed_with_its_gap(stew):
    code = stew.codes()[0]

    seen = stew.see("scan", code[:3], code[3:].lower())

    assert seen.startswith(f"{code[:3]} {code[3:]} stew, box 1 of 3: keep, use by Tue")


def test_looking_records_nothing(stew):
    before = stew.event_count()
    stew.run("scan", stew.codes()[0])

    assert stew.event_count() == before


@pytest.mark.parametrize("command", LIVES, ids=" ".join)
def test_an_unknown_code_is_refused_and_nothing_is_recorded(stew, command):
    before = stew.event_count()
    refused = stew.fail(11, command[0], "XXXXXXX", *command[1:])

    assert "XXXXXXX" in refused
    assert stew.event_count() == before


def test_a_mistyped_code_names_the_nearest_live_one(stew):
    code = stew.codes()[0]
    slip = ("0" if code[0] != "0" else "1") + code[1:]

    assert f"did you mean {code}?" in stew.fail(11, "show", slip)


@pytest.mark.parametrize(
    ("action", "said"),
    [
        (("--freeze",), "frozen"),
        (("--to", "Counter"), "in Counter"),
        (("--open",), "opened"),
        (("--use", "--anyway"), "used"),
        (("--discard", "smells"), "discarded (smells), 350 g"),
        (("--give", "neighbour"), "handed on"),
    ],
)
def test_each_action_says_what_was_recorded(stew, action, said):
    seen = stew.see("scan", stew.codes()[0], *action)

    assert seen.strip().partition(": ")[2].partition(";")[0] == said


def test_thawing_says_where_it_went(stew):
    code = stew.codes()[0]
    stew.run("scan", code, "--freeze")

    assert ": taken out to thaw in Fridge; keep" in stew.see("scan", code, "--thaw")


def thawed_and_frozen_again(stew):
    code = stew.codes()[0]
    for hour, action in ((18, "--freeze"), (19, "--thaw"), (20, "--freeze")):
        stew.now = f"2026-10-31T{hour}:00"
        stew.run("scan", code, action)
    stew.now = "2026-10-31T21:00"
    return code


def test_a_second_thaw_is_odd_and_recorded_with_anyway(stew):
    code = thawed_and_frozen_again(stew)

    refused = stew.fail(12, "scan", code, "--thaw")
    stew.run("scan", code, "--thaw", "--anyway")

    assert "was thawed once already" in refused
    assert stew.data("show", code)["state"] == "fridge"


def test_moving_a_box_from_the_freezer_to_a_fridge_is_a_thaw(stew):
    code = thawed_and_frozen_again(stew)

    assert "was thawed once" in stew.fail(12, "scan", code, "--to", "Fridge")


def test_thawing_what_was_never_frozen_is_refused(stew):
    refused = stew.fail(13, "scan", stew.codes()[0], "--thaw")

    assert "is not in a freezer" in refused


@pytest.mark.parametrize(
    "what",
    [
        ("--freeze", "--at", "tomorrow 10:00"),
        ("--freeze", "--at", "banana"),
        ("--freeze", "--at", "8 Mar 2026 02:30"),
        ("--freeze", "--at", "Fri 30 Oct 10:00"),
        ("--freeze", "--thaw"),
        ("--at", "17:20"),
        ("--anyway",),
    ],
)
def test_a_bad_scan_is_refused_and_nothing_is_recorded(stew, what):
    before = stew.event_count()
    stew.fail(2, "scan", stew.codes()[0], *what)

    assert stew.event_count() == before


def test_an_action_needs_a_code(stew):
    assert "name the CODE" in stew.fail(2, "scan", "--freeze")


def test_an_ended_container_is_odd_and_recorded_with_anyway(stew):
    code = stew.codes()[0]
    stew.run("scan", code, "--discard", "dropped")

    refused = stew.fail(12, "scan", code, "--use")
    stew.run("scan", code, "--use", "--anyway")

    assert "was already discarded" in refused
    assert stew.data("show", code)["history"][-1]["kind"] == "used"


def test_freezing_after_the_last_moment_is_odd(stew):
    code = stew.codes()[0]
    stew.now = "2026-11-05T10:00"

    refused = stew.fail(12, "scan", code, "--freeze")
    seen = stew.see("scan", code, "--freeze", "--anyway")

    assert "freezing does not bring it back" in refused
    assert "--at" in refused
    assert "OVER" in seen


def test_food_past_its_moment_may_not_be_handed_on(stew):
    code = stew.codes()[0]
    stew.now = "2026-11-05T10:00"

    assert "may not be handed on" in stew.fail(13, "scan", code, "--give", "jo")


def test_taking_part_says_what_is_left(stew):
    assert "120 g taken, 230 g left" in stew.see("take", stew.codes()[0], "120g")


@pytest.mark.parametrize(
    "masses", [("-5g",), ("0g",), ("351g",), ("heavy",), (), ("1g", "2g"), ("1e9kg",)]
)
def test_a_bad_mass_is_refused_and_nothing_is_recorded(stew, masses):
    before = stew.event_count()
    stew.fail(2, "take", stew.codes()[0], *masses)

    assert stew.event_count() == before


def test_splitting_keeps_the_clock_and_the_grams(stew):
    code = stew.codes()[0]
    seen = stew.see("split", code[:3], code[3:], "120g", "100g")

    assert seen.count("use by Tue 3 Nov\n") == 2
    assert f"130 g stay in {code[:3]} {code[3:]}" in seen


def test_combining_keeps_the_earliest_last_day(stew):
    stew.now = "2026-11-01T12:00"
    stew.run(
        *("prep", "stew", "--portion", "300g", "--place", "Fridge", "--no-labels"),
    )
    codes = stew.codes("stew")

    seen = stew.see("combine", codes[0], codes[3])

    assert "650 g  Fridge  use by Tue 3 Nov" in seen


def test_combining_different_foods_asks_what_they_became(stew):
    stew.run("prep", "rice", "--category", "cooked-rice", "--no-labels")
    codes = stew.codes()

    assert "say what the mixture is" in stew.fail(2, "combine", codes[0], codes[3])


def test_a_missing_container_is_off_the_lists_until_it_is_placed(stew):
    code = stew.codes()[0]
    stew.run("missing", code)
    gone = code not in stew.codes()
    stew.run("scan", code, "--to", "Fridge")

    assert gone
    assert code in stew.codes()


def test_temperatures_are_kept_in_celsius(stew):
    code = stew.codes()[0]
    stew.run("cooled", code, "--temp", "41F")

    assert stew.data("show", code)["history"][-1]["body"] == {"temp_c": 5.0}


def test_a_corrected_fact_stays_visible(stew):
    code = stew.codes()[0]
    seen = stew.see("correct", code, "--made", "today 16:00")

    assert "all 3 containers of batch 1 move" in seen
    assert "made batch 1  [corrected: Sat 31 Oct 16:00]" in stew.see("show", code)


def test_a_fact_that_was_taken_back_stays_visible(stew):
    code = stew.codes()[0]
    stew.run("scan", code, "--open")
    stew.run("undo")

    seen = stew.see("show", code)

    assert "opened  [taken back]" in seen
    assert stew.data("show", code)["opened_at"] is None


def test_one_event_can_be_voided_by_its_id(stew):
    code = stew.codes()[0]
    stew.run("scan", code, "--open")
    event = stew.data("show", code)["history"][-1]["id"]

    seen = stew.see("correct", event, "--void")

    assert seen.startswith("opened: taken back; ")
    assert stew.data("show", code)["opened_at"] is None


@pytest.mark.parametrize(
    "options",
    [
        (),
        ("--void",),
        ("--made", "tomorrow 10:00"),
        ("--placed", "Fri 30 Oct 10:00"),
        ("--mass", "0g"),
    ],
)
def test_a_bad_correction_is_refused_and_nothing_is_recorded(stew, options):
    before = stew.event_count()
    stew.fail(2, "correct", stew.codes()[0], *options)

    assert stew.event_count() == before


def test_an_unknown_event_id_is_refused(stew):
    event = "01a21246-fcff-76d2-8805-a79d673f41ba"

    assert "no event" in stew.fail(11, "correct", event, "--void")


def test_undo_with_nothing_to_take_back_is_refused(cook):
    assert "nothing to undo" in cook.fail(13, "undo")


def test_all_unlabelled_lids_are_labelled_on_one_sheet(stew):
    seen = stew.see("label", "--unlabelled", "--out", "all.pdf")

    assert seen == (
        "labels: all.pdf (3 labels, 1 page); every symbol read back\n"
        "the sheet goes on at label 4: next time `--start 4`\n"
    )


def test_a_sheet_that_is_used_up_does_not_go_on(stew):
    seen = stew.see("label", "--unlabelled", "--start", "28", "--out", "all.pdf")

    assert "goes on" not in seen
    assert "there is no cell 31" in stew.fail(
        17, "label", "--batch", "1", "--start", "31", "--out", "more.pdf"
    )


def test_with_every_lid_labelled_there_is_nothing_to_do(stew):
    stew.run("label", "--batch", "1", "--out", "all.pdf", "--start", "5")

    refused = stew.fail(2, "label", "--unlabelled", "--out", "more.pdf")

    assert "every container has a label" in refused


def test_the_sheet_of_actions_is_written(cook):
    seen = cook.see("label", "--actions", "--out", "actions.pdf")

    assert seen == "actions: actions.pdf (12 symbols)\n"


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (("--batch", "1"), 2),
        (("--batch", "9", "--out", "x.pdf"), 2),
        (("--batch", "1", "--out", "x.pdf", "--stock", "moon"), 17),
        (("--batch", "1", "--out", "x.pdf", "--start", "31"), 17),
        (("--batch", "1", "--out", "none/x.pdf"), 14),
        (("--out", "x.pdf"), 2),
    ],
)
def test_a_bad_label_request_is_refused_and_nothing_is_recorded(stew, options, code):
    before = stew.event_count()
    stew.fail(code, "label", *options)

    assert stew.event_count() == before
