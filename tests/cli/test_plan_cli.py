"""`plan`: the kitchen's choices, typed, shown, taken back and merged."""

import pytest

TUESDAY = "2026-11-03T08:00"
ALL = (
    *("--card-hour", "17:00", "--card-hour", "7:30", "--most", "4", "--money", "EUR"),
    *("--worth", "3.5", "--freezing", "0.5", "--short", "9", "--service", "90%"),
    *("--cover", "4d", "--use-up", "Tue,Fri 18:00"),
)


@pytest.fixture
def host(cook):
    """A kitchen with one food, bun dough."""
    cook.now = TUESDAY
    cook.run("food", "add", "bun dough", "--category", "yeast-dough-raw")
    return cook


def test_what_nobody_chose_is_shown_as_it_comes(host):
    assert host.see("plan", "show").splitlines() == [
        "card hours         07:30",
        "proposals shown    at most 5",
        "a portion wasted   3.00",
        "a portion frozen   1.00",
        "a portion missing  not said: what is made should last on 95 % of days",
        "a making covers    3 days",
        "use up             every day at 18:30",
    ]


def test_every_choice_is_kept(host):
    host.run("plan", "set", *ALL)

    assert host.data("plan", "show") == {
        "card_hours": ["07:30", "17:00"],
        "most_shown": 4,
        "money": "EUR",
        "worth": 3.5,
        "freezing": 0.5,
        "short": 9.0,
        "service": 0.9,
        "cover_days": 4,
        "use_up_days": [1, 4],
        "use_up_at": "18:00",
        "foods": {},
    }


def test_what_is_not_named_stays_and_a_reset_choice_is_as_it_comes(host):
    host.run("plan", "set", *ALL)
    host.run("plan", "set", "--worth", "5")
    host.run("plan", "set", "--reset", "short", "--reset", "use-up")
    found = host.data("plan", "show")

    assert (found["worth"], found["freezing"], found["short"]) == (5.0, 0.5, None)
    assert (found["use_up_days"], found["use_up_at"]) == (
        [0, 1, 2, 3, 4, 5, 6],
        "18:30",
    )


def test_choosing_the_same_again_records_nothing(host):
    host.run("plan", "set", *ALL)
    before = host.event_count()
    host.run("plan", "set", "--money", "EUR")

    assert host.event_count() == before


def test_a_food_has_costs_of_its_own_and_the_rest_of_the_kitchen(host):
    host.run("plan", "set", "--money", "EUR", "--short", "9")
    host.run("plan", "food", "Bun Dough", "--worth", "2", "--thaw", "8h")
    seen = host.see("plan", "food", "bun dough", "--thick", "5cm", "--shape", "bag")

    assert seen.splitlines() == [
        "bun dough:",
        "  a portion wasted       2.00 EUR",
        "  a portion frozen       1.00 EUR",
        "  a portion missing      9.00 EUR",
        "  thaws in a fridge      8 h",
        "  on the counter before  not said",
        "  kept in                bag, 50 mm",
        "  model                  not said: see `lidclock ready --list`",
    ]
    assert host.see("plan", "show").splitlines()[-1] == (
        "bun dough  wasted 2.00, thaws in 8 h, bag 50 mm"
    )
    assert host.data("plan", "food", "bun dough")["counts"]["short"] == 9.0


def test_a_food_can_name_the_food_whose_model_it_goes_by(host):
    model = host.data("ready", "--list")[0]["id"]
    host.run("plan", "food", "bun dough", "--model", model)

    assert host.data("plan", "food", "bun dough")["model"] == model
    assert "ready --list" in host.fail(
        11, "plan", "food", "bun dough", "--model", f"{model}x"
    )


def test_undo_takes_back_a_choice_and_says_so(host):
    host.run("plan", "set", "--worth", "5")
    host.run("plan", "set", "--worth", "6")
    host.run("plan", "food", "bun dough", "--worth", "7")

    assert host.see("undo") == (
        "undone; what was said before of bun dough holds again: `lidclock plan show`\n"
    )
    assert host.data("plan", "show")["foods"] == {}
    assert host.see("undo") == (
        "undone; the choices before it hold again: `lidclock plan show`\n"
    )
    assert host.data("plan", "show")["worth"] == 5.0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "say what to choose"),
        (["--worth", "nan"], "within 0 and 1,000,000, not nan"),
        (["--worth", "inf"], "within 0 and 1,000,000, not inf"),
        (["--worth", "-1"], "within 0 and 1,000,000, not -1.0"),
        (["--worth", "1e9"], "within 0 and 1,000,000"),
        (["--freezing", "nan"], "what freezing a portion costs"),
        (["--short", "-0.01"], "what a missing portion costs"),
        (["--service", "100%"], "within 0.5 and 0.999"),
        (["--service", "49%"], "within 0.5 and 0.999"),
        (["--service", "0.95"], "write it like 95%"),
        (["--cover", "0d"], "within 1 and 60"),
        (["--cover", "61d"], "within 1 and 60"),
        (["--cover", "12h"], "not whole days"),
        (["--most", "0"], "within 1 and 20"),
        (["--most", "21"], "within 1 and 20"),
        (["--card-hour", "25:00"], "no such hour"),
        (["--card-hour", "7:30", "--card-hour", "07:30"], "stands twice"),
        (["--money", "a" * 9], "longer than 8"),
        (["--use-up", "Mon"], "days and the hour"),
        (["--use-up", "xyz 18:30"], "no days of the week"),
        (["--reset", "all"], "not one of"),
        (["--worth", "3", "--reset", "worth"], "made and reset"),
    ],
    ids=lambda x: " ".join(x) if isinstance(x, list) else "",
)
def test_a_choice_that_cannot_be_is_refused_and_nothing_is_recorded(host, words, says):
    before = host.event_count()

    assert says in host.fail(2, "plan", "set", *words)
    assert host.event_count() == before


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["bun doh", "--worth", "3"], 11, "did you mean bun dough?"),
        (["bun dough", "--worth", "nan"], 2, "a wasted portion costs"),
        (["bun dough", "--thaw", "0h"], 2, "hours to thaw"),
        (["bun dough", "--thaw", "11d"], 2, "within 0.1 and 240"),
        (["bun dough", "--thick", "0mm"], 2, "thickness in mm"),
        (["bun dough", "--thick", "5"], 2, "write it like 50mm"),
        (["bun dough", "--thick", "2m"], 2, "write it like 50mm"),
        (["bun dough", "--shape", "sphere"], 2, "not one of"),
    ],
    ids=lambda x: " ".join(x) if isinstance(x, list) else "",
)
def test_what_cannot_be_of_a_food_is_refused(host, words, code, says):
    assert says in host.fail(code, "plan", "food", *words)


def test_a_kitchen_may_have_no_use_up_meal(host):
    host.run("plan", "set", "--use-up", "never")

    assert "use up             never" in host.see("plan", "show")
    assert host.data("plan", "show")["use_up_days"] == []


def test_how_long_a_food_stands_on_the_counter_before_it_is_eaten(host):
    host.run("plan", "food", "bun dough", "--temper", "45min")

    assert "on the counter before  45 min" in host.see("plan", "food", "bun dough")
    assert "bun dough  45 min on the counter before" in host.see("plan", "show")
    assert "hours on the counter" in host.fail(
        2, "plan", "food", "bun dough", "--temper", "2d"
    )
