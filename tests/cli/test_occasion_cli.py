"""`make --occasion`: before and after a dinner that comes again, and on record."""

import pytest

CLUB = ("make", "--occasion", "Rowing club")
COSTS = ("--short", "9", "--worth", "3")
# Mean 112; squares 36 + 36 + 36 + 36 over 4, so the standard deviation is 6.
CAME = {"1 Jul": 106, "1 Aug": 118, "1 Sep": 118, "1 Oct": 106, "15 Oct": 112}


@pytest.fixture
def club(cook):
    """Five dinners on record, out of order; the last three had portions."""
    for day in ("1 Oct", "1 Jul", "15 Oct", "1 Aug", "1 Sep"):
        cook.run(*CLUB, "--came", str(CAME[day]), "--on", day)
    return cook


def test_the_record_says_how_many_to_prepare(club):
    """112 + 6 x 0.6745 = 116.05, so 117."""
    seen = club.see(*CLUB, *COSTS)

    assert "prepare 117 portions for 112, give or take 6" in seen
    assert "on average of 5 times before" in seen
    assert "critical ratio 0.75" in seen
    answer = club.data(*CLUB, *COSTS)
    assert (answer["prepare"], answer["ratio"], answer["exact"]) == (117, 0.75, 116.047)
    assert (answer["basis"], answer["known"], answer["spread"]) == ("record", 5, 6)
    assert [one["came"] for one in answer["history"]["occasions"]] == list(
        CAME.values()
    )


def test_typed_numbers_of_earlier_ones_need_no_kitchen(newcomer):
    seen = newcomer.see("make", "--before", "106, 118,118 106,112", *COSTS)

    assert "prepare 117 portions for 112, give or take 6" in seen
    assert "on average of 5 times before" in seen
    assert not newcomer.database.exists()


def test_afterwards_it_is_recorded_and_the_next_forecast_goes_by_it(club):
    """Mean (560 + 115)/6 = 112.5; the same as last time, 112, was off by 3 too."""
    after = ("--came", "115", "--made", "117", "--wasted", "2")

    seen = club.see(*CLUB, *after)

    assert "115 came, 112 were expected: off by 3." in seen
    assert "The same as last time, 112, would have been off by 3." in seen
    assert "117 made: 2 left over, 0 missing." in seen
    assert "2 thrown away." in seen
    assert "The next time 112.5 are expected, give or take 5.5." in seen
    assert club.data(*CLUB)["eaters"] == 112.5


def test_undo_takes_it_back_and_the_forecast_with_it(club):
    club.run(*CLUB, "--came", "300")
    assert club.data(*CLUB)["known"] == 6

    seen = club.see("undo")

    assert "undone; Rowing club: 112 came on Thu 15 Oct 2026" in seen
    assert club.data(*CLUB)["eaters"] == 112


def test_the_same_day_once_more_replaces_what_was_said(club):
    club.run(*CLUB, "--came", "113", "--on", "15 Oct", "--eaters", "110.5")
    answer = club.data(*CLUB)

    last = answer["history"]["occasions"][-1]
    assert (answer["known"], last["came"], last["off_by"]) == (5, 113, 2.5)


def test_the_name_is_found_in_any_case_and_without_stray_blanks(club):
    assert club.data("make", "--occasion", "ROWING   club")["known"] == 5


def test_it_goes_along_with_export_and_import(club, tmp_path):
    file = tmp_path / "kitchen.jsonl"
    club.run("export", str(file))
    before = club.see(*CLUB)
    club.database.unlink()

    club.run("import", str(file))

    assert club.see(*CLUB) == before
    assert "0 new" in club.see("import", str(file))


def test_a_file_with_an_occasion_that_cannot_be_is_refused_whole(club, tmp_path):
    file = tmp_path / "kitchen.jsonl"
    club.run("export", str(file))
    text = file.read_text("utf-8")
    assert '"came": 118' in text
    file.write_text(text.replace('"came": 118', '"came": -118'), "utf-8")
    club.database.unlink()

    assert "how many came lies from 0" in club.fail(2, "import", str(file))
    assert not club.database.exists()


@pytest.mark.parametrize(
    ("code", "words", "said"),
    [
        (11, [], "no occasion 'Rowing club' on record; none is on record yet"),
        (2, ["--came", "3", "--on", "tomorrow"], "is still to come"),
        (2, ["--came", "3", "--made", "2", "--wasted", "3"], "3 wasted of 2 made"),
        (2, ["--came", "3", "--last-time", "2"], "leave --last-time out"),
        (2, ["--wasted", "3"], "--wasted goes with --came"),
        (2, ["--eaters", "3", "--before", "3"], "give one"),
        (2, ["--before", "some"], "'some' is not how many came"),
    ],
)
def test_what_makes_no_sense_is_refused_and_nothing_is_recorded(
    cook, code, words, said
):
    assert said in cook.fail(code, *CLUB, *words)
    assert "none is on record yet" in cook.fail(11, *CLUB)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--came", "3"], "goes with --eaters"),
        (["--eaters", "3", "--came", "3", "--wasted", "1"], "--occasion NAME"),
        (["--eaters", "3", "--came", "3", "--on", "today"], "--occasion NAME"),
    ],
)
def test_what_is_recorded_needs_a_name(newcomer, words, said):
    assert said in newcomer.fail(2, "make", *words)
