"""A fortnight of a home cook in New York, as she types it and as she sees it.

Bun dough of Sat 31 Oct 2026, a house rule of six days, a mushroom filling with a sauce
in it, pickled radish, the freezer, and what came of each. Dates are real calendar days.
"""

import pypdfium2
import pytest

from lidclock.cli.show import columns


def text_of(path):
    """The words on a PDF, one page after the other."""
    document = pypdfium2.PdfDocument(path)
    try:
        pages = [page.get_textpage().get_text_range() for page in document]
        return " ".join(" ".join(pages).split())
    finally:
        document.close()


def two_put_away(dough):
    first, second, *others = dough.codes("bun dough")
    dough.run("scan", given=f"TO=Fridge\n{first}\n{second}\n")
    return first, second, others


def all_put_away(dough):
    codes = dough.codes("bun dough")
    dough.run("scan", given="TO=Fridge\n" + "\n".join(codes) + "\n")
    return codes


def test_step_2_the_last_box_takes_the_smaller_share(dough):
    grams = [one["mass_g"] for one in dough.data("list")["containers"]]

    assert sorted(grams) == [307, 308, 308, 308, 308, 308]


def test_step_2_a_typed_mass_is_kept_and_the_leftover_shown(dough):
    box_4 = dough.codes()[3]

    seen = dough.see("correct", box_4, "--mass", "305g")

    assert "3 g of batch 1 in no container" in seen
    assert dough.data("show", box_4)["mass_g"] == 305


def test_step_3_labels_lie_in_the_folder_and_read_back(dough):
    assert (dough.folder / "labels-batch-1.pdf").exists()
    assert all(one["labelled"] for one in dough.data("list")["containers"])


@pytest.mark.parametrize(
    "words",
    ["bun dough", "BEST BY", "Thu 5 Nov 2026", "house rule", "made Sat 31 Oct 17:10"]
    + ["box 1 of 6", "box 6 of 6", "308 g", "WHEAT", "MILK"],
)
def test_step_3_each_lid_says_what_the_cook_needs(dough, words):
    assert words in text_of(dough.folder / "labels-batch-1.pdf")


def test_step_3_the_screen_says_that_every_symbol_read_back(cook):
    seen = cook.see("prep", "dough", "--category", "yeast-dough-raw", "--days", "6")

    assert (
        "labels: labels-batch-1.pdf (1 label, 1 page); every symbol read back" in seen
    )
    assert "best by Thu 5 Nov 2026 (house rule, no authority)" in seen


def test_step_4_boxes_that_were_forgotten_are_not_counted_as_stored(dough):
    two_put_away(dough)

    seen = dough.see("list")

    assert "bun dough: 2 containers, 616 g" in seen
    assert "4 labelled, no place" in seen


def filling_with_old_sauce(cook):
    cook.run(
        *("prep", "chilli sauce", "--category", "vinegar-sauce", "--days", "7"),
        *("--made", "Wed 28 Oct 18:00", "--placed", "Wed 28 Oct 18:30"),
        *("--place", "Fridge", "--portion", "400g", "--no-labels"),
    )
    sauce = cook.codes("chilli sauce")[0]
    cook.run(
        *("prep", "mushroom filling", "--category", "cooked-vegetables"),
        *("--days", "5", "--from", f"{sauce}=120g", "--place", "Fridge"),
        *("--made", "today 17:00", "--no-labels"),
    )
    return sauce, cook.codes("mushroom filling")[0]


def test_step_5_the_filling_ends_with_its_sauce_and_says_so(cook):
    _, filling = filling_with_old_sauce(cook)

    seen = cook.see("show", filling)

    assert "Tue 3 Nov 2026" in seen.splitlines()[1]
    assert "because of chilli sauce, which is in it" in seen


def test_step_5_the_sauce_that_went_in_is_gone_from_its_box(cook):
    sauce, _ = filling_with_old_sauce(cook)

    assert cook.data("show", sauce)["mass_g"] == 280


def test_step_7_a_frozen_box_pauses_with_the_days_it_has_left(dough):
    box_1 = all_put_away(dough)[0]

    seen = dough.see("scan", box_1, "--freeze")

    assert "box 1 of 6: frozen; 5 days left after thawing" in seen
    assert "the lid still says Thu 5 Nov 2026: print a new label" in seen
    assert dough.data("show", box_1)["verdict"]["status"] == "paused"


def test_step_7_a_new_label_says_how_many_days_were_used(dough):
    box_1 = all_put_away(dough)[0]
    dough.run("scan", box_1, "--freeze")
    dough.run("label", box_1, "--out", "frozen.pdf")

    words = text_of(dough.folder / "frozen.pdf")

    assert "FROZEN" in words
    assert "1 of 6 days used" in words


def test_step_8_an_opened_jar_joins_the_list_with_its_own_day(dough):
    dough.now = "2026-11-01T12:00"
    dough.run("open", "radish", "--category", "pickles-opened", "--place", "Fridge")

    jar = dough.data("list", "--food", "radish")["containers"][0]

    assert jar["opened_at"] == "2026-11-01T12:00:00-05:00"
    assert jar["place"] == "Fridge"


def test_step_8_a_makers_date_that_is_sooner_binds(dough):
    dough.now = "2026-11-01T12:00"
    radish = ("open", "radish", "--category", "pickles-opened", "--place", "Fridge")

    seen = dough.see(*radish, "--use-by", "4 Nov")

    assert "use by Wed 4 Nov" in seen
    assert "the maker's date is Wed 4 Nov 2026" in seen


def box_2_is_open(dough):
    codes = all_put_away(dough)
    dough.now = "2026-11-01T12:00"
    dough.run("scan", codes[1], "--open")
    dough.now, dough.who = "2026-11-02T18:00", "jo"
    return codes


def test_step_9_the_open_box_is_named_before_another_is_used(dough):
    codes = box_2_is_open(dough)

    seen = dough.fail(12, "scan", codes[3], "--use")

    assert f"take {codes[1][:3]} {codes[1][3:]} first (box 2, already open" in seen


def test_step_9_one_word_overrides_and_his_handle_is_kept(dough):
    codes = box_2_is_open(dough)
    dough.run("scan", codes[3], "--use", "--anyway")

    history = dough.data("show", codes[3])["history"]

    assert [(one["kind"], one["who"]) for one in history][-1] == ("used", "jo")


def test_step_9_in_the_loop_a_second_scan_overrides(dough):
    codes = box_2_is_open(dough)

    answers = dough.see("scan", given=f"USE\n{codes[3]}\n{codes[3]}\n").splitlines()

    assert answers[1].startswith("? take ")
    assert answers[2].endswith("box 4 of 6: used")


def test_step_12_a_box_past_its_day_offers_only_discarding(dough):
    codes = all_put_away(dough)
    dough.now = "2026-11-06T09:00"

    verdict = dough.data("show", codes[5])["verdict"]

    assert (verdict["status"], verdict["next"]) == ("over", ["discard"])


def test_step_12_using_it_is_refused_unless_it_was_earlier(dough):
    codes = all_put_away(dough)
    dough.now = "2026-11-06T09:00"

    refused = dough.fail(12, "scan", codes[5], "--use")

    assert "past its last moment" in refused
    assert "give the time with --at" in refused


def test_step_12_the_reason_and_the_grams_are_kept(dough):
    codes = all_put_away(dough)
    dough.now = "2026-11-06T09:00"
    dough.run("scan", codes[5], "--discard", "forgotten")

    seen = dough.data("show", codes[5])

    assert (seen["ended"], seen["ended_reason"]) == ("discarded", "forgotten")
    assert seen["mass_g"] == 307


def test_step_13_a_thawed_box_has_the_days_it_had_left(dough):
    box_1 = all_put_away(dough)[0]
    dough.run("scan", box_1, "--freeze")
    dough.now = "2026-11-13T08:00"

    seen = dough.see("scan", box_1, "--thaw")

    assert "best by Tue 17 Nov (house rule)" in seen


def test_columns_that_are_empty_everywhere_are_left_out():
    assert columns([["a", "", "bc"], ["dd", "", "e"]]) == ["a   bc", "dd  e"]
