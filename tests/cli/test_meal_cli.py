"""`meal` as a cook types it: on real databases, with the clock held."""

import json

import pytest

TUESDAY = "2026-11-03T08:00"
DINNER = "Thu 18:30 bun dough x6, radish"


@pytest.fixture
def host(cook):
    """Tue 3 Nov 08:00: four boxes of dough in the fridge, six days each; no radish."""
    cook.now = TUESDAY
    cook.run(
        *("prep", "bun dough", "--category", "yeast-dough-raw", "--days", "6"),
        *("--allergens", "wheat, milk", "--count", "4", "--portion", "300g"),
        *("--made", "today 07:50", "--place", "Fridge", "--no-labels"),
    )
    cook.run("food", "add", "radish", "--category", "soup-stew", "--no-allergens")
    return cook


def test_a_meal_is_added_and_what_is_short_is_said_at_once(host):
    seen = host.see("meal", "add", DINNER, "--name", "bun dinner", "--eaters", "4")

    assert seen.splitlines() == [
        "meal 1: Thu 5 Nov 18:30, bun dinner: bun dough ×6, radish, for 4",
        "short: 2 of 6 portions of bun dough by Thu 5 Nov 18:30",
        "short: 4 of 4 portions of radish by Thu 5 Nov 18:30",
    ]


def test_frozen_boxes_are_told_apart(host):
    for code in host.codes()[:3]:
        host.run("scan", code, "--freeze")
    seen = host.see("meal", "add", "Thu 18:30 bun dough x4")

    assert (
        "short: 3 of 4 portions of bun dough by Thu 5 Nov 18:30 (3 more are frozen)"
        in seen
    )


def test_meals_that_come_again_are_listed_by_day_with_their_number(host):
    host.run("meal", "add", DINNER, "--name", "bun dinner")
    host.run(
        *("meal", "add", "Tue 12:00 bun dough", "--eaters", "3"),
        *("--every", "Tue,Thu", "--until", "12 Nov"),
    )

    assert host.see("meal", "list").splitlines() == [
        "2  Tue 3 Nov 12:00   bun dough                         for 3  "
        "every week on Tue and Thu",
        "2  Thu 5 Nov 12:00   bun dough                         for 3  "
        "every week on Tue and Thu",
        "1  Thu 5 Nov 18:30   bun dinner: bun dough ×6, radish",
        "2  Tue 10 Nov 12:00  bun dough                         for 3  "
        "every week on Tue and Thu",
        "2  Thu 12 Nov 12:00  bun dough                         for 3  "
        "every week on Tue and Thu",
    ]


def test_lines_of_the_list_fit_a_hundred_columns(host):
    for number in range(8):
        host.run("food", "add", f"long food {number}", "--category", "soup-stew")
    foods = ", ".join(f"long food {number} x99" for number in range(8))
    host.run(
        *("meal", "add", f"Thu 18:30 {foods}", "--name", "a" * 60),
        *("--eaters", "112", "--spread", "6.5"),
        *("--rule", "FREQ=MONTHLY;BYDAY=1TH,3TH;COUNT=20"),
    )
    lines = host.see("meal", "list", "--within", "300d").splitlines()

    assert len(lines) > 10
    assert max(map(len, lines)) <= 100


def test_meals_within_a_span_and_those_after_it(host):
    host.run("meal", "add", DINNER)
    host.run("meal", "add", "24 Dec 18:30 bun dough")

    assert host.see("meal", "list", "--within", "1d").splitlines() == [
        "no meals within 24 h",
        "later: meals 1, 2",
    ]
    assert "later: meal 2" in host.see("meal", "list")
    assert "over: meal 1" in host.see("meal", "list", now="2026-11-06T08:00")


def test_an_empty_list_says_how_to_fill_it(host):
    assert host.see("meal", "list") == (
        "no meals yet: add one with `lidclock meal add`\n"
    )


def test_a_meal_is_shown_whole(host):
    host.run("meal", "add", "Thu 18:30 bun dough", "--every", "week")
    host.run("meal", "skip", "1", "12 Nov")

    assert host.see("meal", "show", "1").splitlines() == [
        "meal 1: Thu 5 Nov 18:30, bun dough",
        "every week on Thu",
        "then Thu 19 Nov 18:30, Thu 26 Nov 18:30, Thu 3 Dec 18:30",
        "left out on Thu 12 Nov 2026",
        "by the rule FREQ=WEEKLY",
    ]


def test_a_meal_is_changed_by_its_name(host):
    host.run("meal", "add", DINNER, "--name", "bun dinner", "--eaters", "4")
    seen = host.see("meal", "change", "bun dinner", "19:00", "--eaters", "2")

    assert seen.startswith(
        "meal 1: Thu 5 Nov 19:00, bun dinner: bun dough ×6, radish, for 2\n"
    )
    assert host.see("meal", "change", "1", "radish x1").startswith(
        "meal 1: Thu 5 Nov 19:00, bun dinner: radish ×1, for 2\n"
    )


def test_a_meal_that_came_again_happens_once(host):
    host.run("meal", "add", "Thu 18:30 bun dough", "--every", "week")
    host.run("meal", "change", "1", "--once")

    assert len(host.data("meal", "list", "--within", "60d")["meals"]) == 1


def test_undo_takes_back_an_added_meal_and_says_so(host):
    host.run("meal", "add", DINNER, "--name", "bun dinner")

    assert host.see("undo") == "undone; meal 1 is off the list: bun dinner\n"
    assert host.see("meal", "list").startswith("no meals yet")


def test_undo_takes_back_a_change_and_a_removal(host):
    host.run("meal", "add", DINNER)
    host.run("meal", "change", "1", "19:00")
    host.run("meal", "remove", "1")

    back = "meal 1: Thu 5 Nov {}, bun dough ×6, radish\n"
    assert host.see("undo") == f"undone; now {back.format('19:00')}"
    assert host.see("undo") == f"undone; now {back.format('18:30')}"


def test_the_data_of_a_meal(host):
    host.run("meal", "add", DINNER, "--eaters", "4", "--every", "week")
    found = host.data("meal", "show", "1")

    assert found["number"] == 1
    assert found["items"] == [
        {"food": "bun dough", "portions": 6},
        {"food": "radish", "portions": 4},
    ]
    assert found["next"][0]["at"] == "2026-11-05T18:30:00-05:00"
    assert found["next"][0]["key"] == f"{found['id']}/2026-11-05"
    assert found["short"][0] == {
        "food": "bun dough",
        "missing": 2,
        "wanted": 6,
        "frozen": 0,
        "undated": 0,
        "taken": 0,
    }
    (listed, _) = host.data("meal", "list")["meals"]
    assert (listed["number"], listed["day"]) == (1, "2026-11-05")
    assert host.data("meal", "remove", "1")["removed"] is True


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["yesterday 18:00 bun dough"], 2, "is over; give a time to come"),
        (["Thu bun dough"], 2, "say when it is eaten"),
        (["Thu 18:30"], 2, "say what is eaten"),
        (["Thu 18:30 bun dow"], 11, "did you mean bun dough?"),
        (["Thu 18:30 soap"], 11, "lidclock food add"),
        (["Thu 18:30 bun dough x0"], 2, "within 1 and 10,000, not 0"),
        (["Thu 18:30 bun dough x10001"], 2, "within 1 and 10,000"),
        (["Thu 18:30 bun dough, Bun Dough"], 2, "stands twice"),
        ([DINNER, "--eaters", "0"], 2, "not in the range"),
        ([DINNER, "--eaters", "-3"], 2, "not in the range"),
        ([DINNER, "--eaters", "1000000000"], 2, "not in the range"),
        ([DINNER, "--eaters", "4", "--spread", "-1"], 2, "spread must lie within"),
        ([DINNER, "--eaters", "4", "--spread", "nan"], 2, "spread must lie within"),
        ([DINNER, "--eaters", "4", "--spread", "inf"], 2, "spread must lie within"),
        ([DINNER, "--spread", "2"], 2, "needs eaters"),
        ([DINNER, "--every", "never"], 2, "day, week, weekday or days"),
        ([DINNER, "--every", "Mon"], 2, "begin on Mon 9 Nov 2026"),
        ([DINNER, "--every", "week", "--rule", "FREQ=DAILY"], 2, "not both"),
        ([DINNER, "--rule", "FREQ=HOURLY"], 2, "too often"),
        ([DINNER, "--rule", "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"], 2, "no day"),
        ([DINNER, "--until", "24 Dec"], 2, "needs --every"),
        ([DINNER, "--every", "day", "--until", "yesterday"], 2, "no day"),
        ([DINNER, "--every", "day", "--until", "3/4"], 2, "month in letters"),
        ([DINNER, "--name", "7"], 2, "taken for a number"),
    ],
    ids=lambda x: " ".join(x) if isinstance(x, list) else "",
)
def test_what_cannot_be_is_refused_and_nothing_is_recorded(host, words, code, says):
    before = host.event_count()

    assert says in host.fail(code, "meal", "add", *words)
    assert host.event_count() == before


def test_a_meal_that_is_not_there_is_refused_with_the_nearest(host):
    assert "meal add" in host.fail(11, "meal", "show", "1")
    host.run("meal", "add", DINNER, "--name", "bun dinner")

    assert "nearest: 1 (bun dinner)" in host.fail(11, "meal", "show", "bun")
    assert "meal list" in host.fail(11, "meal", "show", "9")
    host.run("meal", "remove", "1")
    assert "taken off the list" in host.fail(11, "meal", "show", "1")


def test_meals_go_into_another_kitchen_file_and_merging_again_changes_nothing(host):
    host.run("meal", "add", DINNER, "--every", "week")
    host.run("meal", "skip", "1", "Thu")
    host.run("plan", "set", "--worth", "4")
    before = host.see("meal", "list", "--within", "30d"), host.see("plan", "show")
    host.run("export", "all.jsonl")
    host.database = host.folder / "other.db"
    host.run("import", "all.jsonl")
    after = host.see("meal", "list", "--within", "30d"), host.see("plan", "show")

    assert after == before
    assert host.see("import", "all.jsonl").startswith("0 new events")
    assert (host.see("meal", "list", "--within", "30d"), host.see("plan", "show")) == (
        before
    )
    assert "nothing differed" in host.see("rebuild")


def altered(host, change):
    """An export with a meal in it, its lines changed by `change`."""
    host.run("meal", "add", DINNER)
    lines = host.run("export").stdout.splitlines()
    host.run("undo")
    found = []
    for line in lines:
        facts = json.loads(line)
        if facts.get("subject", "").startswith("meal/"):
            change(facts)
        found.append(json.dumps(facts))
    (host.folder / "bad.jsonl").write_text("\n".join(found), "utf-8")


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (["meal"], 5, "expected an object"),
        (["meal", "eaters"], 0, "eaters must lie within"),
        (["meal", "spread"], -1.0, "spread must lie within"),
        (["meal", "zone"], "Mars/Base", "unknown time zone"),
        (["meal", "items"], [["bun dough"]], "a body that fails"),
        (["meal", "rule"], "FREQ=SECONDLY", "too often"),
        (["meal", "begins"], "\x1b[2J", "a body that fails"),
    ],
)
def test_a_malformed_meal_in_a_file_is_refused_and_nothing_is_lost(
    host, path, value, says
):
    def change(facts):
        place = facts["body"]
        for key in path[:-1]:
            place = place[key]
        place[path[-1]] = value
        facts["id"] = facts["id"][:-4] + "0000"

    altered(host, change)
    before = host.run("export").stdout
    error = host.fail(2, "import", "bad.jsonl")

    assert says in error
    assert "bad.jsonl: meal/" in error
    assert host.run("export").stdout == before
    assert host.see("meal", "list").startswith("no meals yet")


def test_a_correction_in_a_file_cannot_spoil_a_meal_that_is_here(host):
    host.run("meal", "add", DINNER)
    head, *rest = host.run("export").stdout.splitlines()
    told = json.loads(rest[-1])
    fix = {
        **told,
        "id": told["id"][:-4] + "0000",
        "kind": "corrected",
        "act": "",
        "body": {"event": told["id"], "set": {"meal": "nothing"}},
    }
    (host.folder / "fix.jsonl").write_text(f"{head}\n{json.dumps(fix)}\n", "utf-8")
    count = host.event_count()

    assert "expected an object" in host.fail(2, "import", "fix.jsonl")
    assert host.event_count() == count
    assert "bun dough ×6" in host.see("meal", "list")


def test_names_from_elsewhere_reach_the_screen_as_text(host):
    def change(facts):
        facts["body"]["meal"]["name"] = "tea\x1b[2J\u202eyad"
        facts["id"] = facts["id"][:-4] + "0000"
        facts["subject"] += "0"

    altered(host, change)
    host.run("import", "bad.jsonl")
    (listed,) = host.data("meal", "list")["meals"]
    assert listed["name"] == "tea\x1b[2J\u202eyad"
    seen = host.see("meal", "list") + host.see("meal", "show", str(listed["number"]))

    assert "tea" in seen
    assert not {"\x1b", "\u202e"} & set(seen)


def test_a_meal_of_the_night_when_clocks_change_is_told_at_its_hour(host):
    host.now = "2026-10-31T12:00"
    host.run("meal", "add", "Sat 18:30 bun dough", "--every", "day")
    days = host.data("meal", "list", "--within", "3d")["meals"]

    assert [one["at"] for one in days] == [
        "2026-10-31T18:30:00-04:00",
        "2026-11-01T18:30:00-05:00",
        "2026-11-02T18:30:00-05:00",
    ]
