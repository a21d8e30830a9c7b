"""What using the program showed to be missing or misleading, held by tests."""

import os
import subprocess
import sys

import pytest


@pytest.fixture
def soup(cook):
    cook.run(
        *("prep", "soup", "--category", "soup-stew", "--allergens", "milk"),
        *("--count", "2", "--portion", "300g", "--place", "Fridge", "--no-labels"),
    )
    return cook


def test_show_of_a_part_that_was_combined_names_where_it_went(soup):
    one, other = soup.codes()
    soup.run("combine", one, other)

    assert "combined into" in soup.see("show", one)


def test_a_contradiction_is_shown(soup):
    code = soup.codes()[0]
    soup.run("scan", code, "--use")
    soup.run("scan", code, "--freeze", "--anyway")

    seen = soup.see("show", code)

    assert "contradictions\n  placed in Freezer on Sat 31 Oct 17:40, but used" in seen


def test_what_is_missing_stays_on_the_lists(soup):
    code = soup.codes()[0]
    soup.run("missing", code)

    assert "missing: scan it into a place" in soup.see("list")
    assert [one["code"] for one in soup.data("due")["missing"]] == [code]
    assert soup.run("alert", code=3).stdout.startswith("missing")


def test_lists_show_the_hour_where_an_hour_clock_binds(soup):
    soup.run("scan", soup.codes()[0], "--to", "Counter")

    assert "use by 19:40 Sat 31 Oct" in soup.see("due")


def test_unmarked_rows_show_when_their_time_is_up(cook):
    cook.run("prep", "stew", "--category", "soup-stew", "--no-labels")

    assert "no place, use by 19:40 Sat 31 Oct" in cook.see("due")


def test_looking_at_a_lid_gives_json_too(soup):
    code = soup.codes()[0]

    assert soup.data("scan", code)["code"] == code


def test_the_loop_lists_its_words_and_ends_when_told(soup):
    seen = soup.see("scan", given="help\nquit\nFREEZE\n")

    assert seen.startswith("FREEZE, THAW")
    assert "now scan" not in seen


def test_a_kitchen_that_wants_readings_takes_them_with_the_scan(newcomer):
    newcomer.run("init", "--yes", "--want-readings")
    newcomer.run("prep", "soup", "--category", "soup-stew", "--no-labels")
    code = newcomer.codes()[0]
    newcomer.run("scan", code, "--to", "Fridge", "--temp", "3C")

    assert newcomer.data("show", code)["verdict"]["last_day"] == "2026-11-03"


def test_changing_a_food_keeps_what_is_not_named(soup):
    soup.run("food", "add", "soup", "--days", "2")

    food = soup.data("food", "list")[0]
    assert (food["allergens"], food["house_days"]) == (["milk"], 2)


def test_changing_a_food_says_how_to_apply_it_to_what_is_there(soup):
    seen = soup.see("food", "add", "soup", "--days", "2")

    assert "`lidclock correct CODE --food 'soup'`" in seen


def test_allergens_known_of_a_part_are_shown_where_others_are_not_recorded(soup):
    soup.run(
        *("prep", "pie", "--category", "cooked-leftovers", "--place", "Fridge"),
        *("--from", soup.codes()[0], "--no-labels"),
    )

    seen = soup.see("show", soup.codes("pie")[0])

    assert "allergens: milk; others not recorded" in seen


def test_a_lid_that_no_longer_says_the_last_day_counts_as_unlabelled(soup):
    code = soup.codes()[0]
    soup.run("label", code, "--out", "one.pdf")
    soup.run("correct", code, "--made", "30 Oct 17:40")

    assert "the lid says Tue 3 Nov 2026, guidance ends with" in soup.see("show", code)
    assert soup.data("show", code)["lid"] is not None


def test_undo_leaves_what_another_device_recorded(soup, monkeypatch):
    code = soup.codes()[0]
    monkeypatch.setenv("LIDCLOCK_DEVICE", "tablet")
    soup.run("scan", code, "--to", "Counter")
    monkeypatch.setenv("LIDCLOCK_DEVICE", "phone")

    assert "nothing to undo" in soup.fail(13, "undo")


def test_a_backup_is_restored_on_a_machine_that_has_no_folder_yet(soup):
    soup.run("backup", "copy.db")
    soup.database = soup.folder / "new" / "machine" / "kitchen.db"

    soup.run("restore", "copy.db")

    assert len(soup.codes()) == 2


def test_a_full_screen_pipe_is_one_clear_line(soup):
    environment = {
        **os.environ,
        "LIDCLOCK_DB": str(soup.database),
        "LIDCLOCK_NOW": soup.now,
    }
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "lidclock", "list"],
            env=environment,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )

    assert done.returncode == 14
    assert done.stderr.startswith("Error: input or output failed: No space left")


def test_a_lid_without_the_hour_that_now_binds_is_no_longer_right(soup):
    code = soup.codes()[0]
    soup.now = "2026-11-03T09:00"
    soup.run("label", code, "--out", "one.pdf")

    seen = soup.see("scan", code, "--to", "Counter")

    assert "print a new label" in seen


def test_a_frozen_pack_shows_its_makers_date_everywhere(cook):
    cook.run(
        *("open", "ham", "--category", "deli-meat-opened", "--no-allergens"),
        *("--use-by", "2 Nov 2026", "--place", "Freezer"),
    )
    cook.now = "2026-11-02T12:00"

    assert "1 day left after thawing, use by Mon 2 Nov" in cook.see("due")
    assert cook.run("alert", code=3).stdout.startswith("check")


def test_what_is_over_without_a_known_age_has_its_moment_in_json(cook):
    cook.run(
        *("adopt", "soup", "--category", "soup-stew", "--mass", "500g"),
        *("--place", "Counter", "--placed", "31 Oct 12:00"),
    )

    one = cook.data("list")["containers"][0]

    assert (one["status"], one["last_day"]) == ("over", "2026-10-31")


def test_a_torn_read_does_not_end_the_loop(soup):
    code = soup.codes()[0]
    done = subprocess.run(
        [sys.executable, "-m", "lidclock", "scan"],
        env={
            **os.environ,
            "LIDCLOCK_DB": str(soup.database),
            "LIDCLOCK_NOW": soup.now,
        },
        input=b"\xff\xfe\n" + code.encode() + b"\n",
        capture_output=True,
        check=False,
    )

    told = done.stdout.decode()
    assert "is not a container code" in told
    assert "keep, use by Tue 3 Nov" in told


def test_the_actions_can_be_copied_by_hand(cook):
    seen = cook.see("label", "--actions", "--plain").splitlines()

    assert seen[0] == "FREEZE   FREEZE   then scan lids into the freezer"
    assert "Freezer  TO=2     then scan lids into it" in seen


def test_actions_as_text_and_as_a_sheet_name_the_same_symbols(cook):
    seen = cook.see(
        "label", "--actions", "--plain", "--out", "actions.pdf"
    ).splitlines()

    assert seen[-1] == f"actions: actions.pdf ({len(seen) - 1} symbols)"


def test_the_words_of_the_action_list_are_understood_by_the_loop(soup):
    code = soup.codes()[0]
    listed = soup.see("label", "--actions", "--plain").splitlines()
    freezer = next(line.split()[1] for line in listed if line.startswith("Freezer"))

    assert "frozen" in soup.see("scan", given=f"{freezer}\n{code}\n")


def test_a_name_that_is_cut_on_the_lid_is_told(cook):
    long = "slow roasted tomato, aubergine and butter bean casserole " * 2
    seen = cook.see("prep", long, "--category", "soup-stew", "--count", "2")

    assert "name shortened on 2 lids" in seen.splitlines()


def test_a_name_that_is_whole_on_the_lid_is_not_remarked_on(soup):
    assert "shortened" not in soup.see("label", soup.codes()[0], "--out", "one.pdf")


def test_the_help_of_a_kitchen_that_wants_readings_says_how_they_come(newcomer):
    seen = " ".join(newcomer.see("init", "--help").split())

    assert "`scan CODE --to PLACE --temp 3C`" in seen
