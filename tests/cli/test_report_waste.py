"""The month's card, and a box that is past its last moment: what a cook sees."""

import json

import pytest
from PIL import Image


def put_away(dough):
    codes = dough.codes("bun dough")
    dough.run("scan", given="TO=Fridge\n" + "\n".join(codes) + "\n")
    return codes


def on_friday(dough):
    """Fri 6 Nov: six boxes of Sat 31 Oct, best by Thu 5 Nov by the house's rule."""
    codes = put_away(dough)
    dough.now = "2026-11-06T09:00"
    return codes


def test_a_box_past_its_day_offers_discarding_or_what_was_done_before(dough):
    box_6 = on_friday(dough)[5]

    seen = dough.see("scan", box_6)

    assert "OVER, best by was Thu 5 Nov (house rule): discard" in seen
    assert "used or frozen before that? --use or --freeze with --at TIME" in seen


@pytest.mark.parametrize(
    ("action", "did"), [("--use", "used"), ("--freeze", "frozen"), ("--open", "opened")]
)
def test_what_is_done_now_is_refused_with_the_command_that_says_when(
    dough, action, did
):
    box_6 = on_friday(dough)[5]
    count = dough.event_count()

    refused = dough.fail(12, "scan", box_6, action)

    assert f"if it was {did} before that, give the time with --at" in refused
    assert f"`lidclock scan {box_6} {action} --at TIME`" in refused
    assert dough.event_count() == count


def test_it_had_been_eaten_before_and_is_marked_late(dough):
    box_6 = on_friday(dough)[5]

    seen = dough.see("scan", box_6, "--use", "--at", "Wed 18:00")

    assert "box 6 of 6: used (marked late)" in seen
    assert "[recorded Fri 6 Nov 09:00]" in dough.see("show", box_6)


def test_it_had_been_frozen_before_and_its_days_are_those_of_then(dough):
    """Frozen on Tue 3 Nov, its day 4: two of six days are left."""
    box_6 = on_friday(dough)[5]

    seen = dough.see("scan", box_6, "--freeze", "--at", "Tue 3 Nov 20:00")

    assert "frozen (marked late); 2 days left after thawing" in seen


def test_it_had_been_handed_on_before(dough):
    box_6 = on_friday(dough)[5]

    refused = dough.fail(13, "scan", box_6, "--give", "Jo", "--at", "Fri 6 Nov 08:00")
    seen = dough.see("scan", box_6, "--give", "Jo", "--at", "Wed 4 Nov 18:00")

    assert "may not be handed on" in refused
    assert "handed on (marked late)" in seen


def test_a_time_after_the_last_moment_is_no_way_round(dough):
    box_6 = on_friday(dough)[5]

    refused = dough.fail(12, "scan", box_6, "--use", "--at", "Fri 6 Nov 07:00")

    assert "past its last moment: discard it" in refused


def test_what_was_used_in_time_is_not_called_late(dough):
    codes = put_away(dough)
    dough.now = "2026-11-03T18:00"

    seen = dough.see("scan", codes[0], "--use", "--at", "Mon 18:00")

    assert "marked late" not in seen


@pytest.fixture
def month(dough):
    """Ilse's fortnight: 1, 5 frozen; 2, 3, 4 eaten; 6 forgotten; 5 is then missing.

    The batch weighed 1847 g: five boxes of 308 g and box 6 of 307 g.
    """
    codes = put_away(dough)
    for number in (0, 4):
        dough.run("scan", codes[number], "--freeze")
    dough.now = "2026-11-02T18:00"
    dough.run("scan", codes[3], "--use", "--anyway")
    dough.now = "2026-11-05T12:00"
    dough.run("scan", codes[1], "--use")
    dough.now = "2026-11-06T09:00"
    dough.run("scan", codes[5], "--discard", "forgotten")
    dough.run("scan", codes[2], "--use", "--at", "Thu 5 Nov 19:00")
    dough.now = "2026-11-14T10:00"
    dough.run("missing", codes[4])
    return dough


def test_the_card_says_what_became_of_every_gram(month):
    lines = month.see("report", "waste").splitlines()

    assert lines[0] == "Home, Sun 18 Oct 2026 to Sat 14 Nov 2026 (28 days)"
    said = {line.split("  ")[0]: line.split()[-3:] for line in lines if "  " in line}
    assert said["made"] == ["1847", "g", "6"]
    assert said["eaten"] == ["924", "g", "3"]
    assert said["wasted"] == ["307", "g", "1"]
    assert said["missing"] == ["308", "g", "1"]
    assert [line.split() for line in lines if line.startswith("together")] == [
        ["together", "1847", "g", "6"]
    ] * 2
    still = "still there 308 g 1 of it frozen 308 g, 1 portion"
    assert still in [" ".join(line.split()) for line in lines]


def test_the_card_says_why_it_was_wasted_and_how_boxes_were_taken(month):
    """307 g of the 1539 g that left is 19.9 %; median of 2, 5, 5 days is 5."""
    seen = month.see("report", "waste")

    assert "Wasted, 19.9% of what left" in seen
    assert "past its day" in seen
    assert "used in time" in seen
    assert "3 of 3" in seen
    assert "marked late: in time, written down after  1" in seen
    assert "saved on the last day                     2" in seen
    assert "age when used, median                     5 days" in seen
    assert "frozen, median                            5 days left  2 containers" in seen


def test_a_box_taken_before_the_open_one_is_out_of_order(dough):
    codes = put_away(dough)
    dough.now = "2026-11-01T12:00"
    dough.run("scan", codes[1], "--open")
    dough.now = "2026-11-02T18:00"
    dough.run("scan", codes[3], "--use", "--anyway")
    dough.now = "2026-11-04T18:00"
    dough.run("scan", codes[1], "--use")

    measures = dough.data("report", "waste")["measures"]

    assert (measures["picks"], measures["out_of_order"]) == (2, 1)


def test_what_a_fridge_did_later_does_not_make_an_earlier_pick_wrong(cook):
    """The older box is taken on Monday noon; on Monday night the other fridge fails.

    By Tuesday the younger box was over since Monday night, but nobody knew that then.
    """
    cook.run("place", "add", "Cellar", "--state", "fridge")
    for day, place in (("31 Oct", "Fridge"), ("1 Nov", "Cellar")):
        cook.now = "2026-11-01T18:00"
        cook.run(
            *("prep", "stew", "--category", "soup-stew", "--no-allergens"),
            *("--made", f"{day} 12:00", "--placed", f"{day} 12:30", "--place", place),
            "--no-labels",
        )
    older = cook.codes()[0]
    cook.now = "2026-11-02T12:00"
    cook.run("scan", older, "--use")
    cook.now = "2026-11-03T09:00"
    for hour in (18, 19, 20, 21, 22):
        cook.run("temp", "Cellar", "12C", "--at", f"Mon 2 Nov {hour}:00")
    younger = cook.codes()[0]

    measures = cook.data("report", "waste")["measures"]

    assert cook.data("show", younger)["verdict"]["status"] == "over"
    assert (measures["picks"], measures["out_of_order"]) == (1, 0)


def test_a_cause_word_counts_before_the_facts(dough):
    box_6 = on_friday(dough)[5]
    dough.run("scan", box_6, "--discard", "too much: guests did not come")

    causes = dough.data("report", "waste")["total"]["causes"]

    assert {cause: one["grams"] for cause, one in causes.items()} == {
        "made too much": 307.0
    }


def test_a_warm_fridge_that_made_the_limit_is_the_cause(stew):
    """Nine degrees from 8 to 12 on Sunday: two hours above the limit were used up."""
    stew.now = "2026-11-01T12:00"
    for hour in (8, 9, 10, 11, 12):
        stew.run("temp", "Fridge", "9C", "--at", f"today {hour:02}:00")
    stew.run("scan", stew.codes()[0], "--discard", "had to")

    assert list(stew.data("report", "waste")["total"]["causes"]) == ["cold failure"]


def test_a_box_that_nobody_marked_is_a_mystery(cook):
    cook.run("adopt", "brown stew", "--category", "soup-stew", "--no-allergens")
    code = cook.codes()[0]
    cook.run("scan", code, "--discard", "")

    total = cook.data("report", "waste")["total"]

    assert total["wasted"]["unweighed_containers"] == 1
    assert total["wasted"]["grams"] == 0
    assert list(total["causes"]) == ["mystery"]
    assert "1 not weighed" in cook.see("report", "waste")


def test_money_that_nobody_knows_is_not_nought(stew):
    stew.run("scan", stew.codes()[0], "--discard", "dropped")

    seen = stew.see("report", "waste")

    assert "money: not known" in seen
    assert "0.00" not in seen


RECIPE = """
name = "barley stew"
currency = "EUR"
makes = { count = 3, portion = "350 g" }
inputs = [
  { name = "barley", mass = "300 g", price = 2.00, price_per = "1 kg" },
  { name = "roots", mass = "800 g", price = 3.00, price_per = "1 kg", yield = 0.8 },
]
"""


def test_money_comes_from_the_recipe_by_which_it_was_made(cook):
    """0.60 + 0.8 / 0.8 x 3.00 = 3.60 for 1050 g: 1.20 for a box of 350 g."""
    (cook.folder / "stew.toml").write_text(RECIPE, "utf-8")
    cook.run("recipe", "add", "stew.toml")
    cook.run(
        *("prep", "barley stew", "--category", "soup-stew", "--no-allergens"),
        *("--count", "3", "--portion", "350g", "--recipe", "barley stew"),
        *("--place", "Fridge", "--no-labels"),
    )
    cook.run("scan", cook.codes()[0], "--discard", "dropped")

    report = cook.data("report", "waste")

    assert report["money"] == "EUR"
    assert report["total"]["made"]["money"] == 3.6
    assert report["total"]["wasted"]["money"] == 1.2
    assert report["foods"][0]["money_from"] == ["barley stew, version 1"]
    assert "money by barley stew, version 1: barley stew" in cook.see("report", "waste")


def test_a_recipe_without_a_price_says_which(cook):
    (cook.folder / "stew.toml").write_text(
        RECIPE.replace("price = 2.00, price_per", "# price_per"), "utf-8"
    )
    text = RECIPE.replace(', price = 2.00, price_per = "1 kg"', "")
    (cook.folder / "stew.toml").write_text(text, "utf-8")
    cook.run("recipe", "add", "stew.toml")
    cook.run(
        *("prep", "barley stew", "--category", "soup-stew", "--no-allergens"),
        *("--recipe", "barley stew", "--no-labels"),
    )

    assert "barley stew, version 1: no price of barley" in cook.see("report", "waste")


def test_a_food_without_a_price_beside_one_with_is_a_question_mark(cook):
    (cook.folder / "stew.toml").write_text(RECIPE, "utf-8")
    cook.run("recipe", "add", "stew.toml")
    cook.run(
        *("prep", "barley stew", "--category", "soup-stew", "--no-allergens"),
        *("--portion", "350g", "--recipe", "barley stew", "--no-labels"),
    )
    cook.run("prep", "rice", "--category", "cooked-rice", "--no-labels")

    lines = cook.see("report", "waste").splitlines()

    made = next(line for line in lines if line.startswith("made"))
    assert made.endswith("1.20 + ?  1 not weighed")
    money = lines[
        next(n for n, x in enumerate(lines) if x.startswith("By food, EUR")) :
    ]
    assert money[2].split()[:2] == ["rice", "?"]
    assert "money: of 1 of 2 portions; of the rest it is not known (?)" in lines


def test_the_table_of_foods_says_where_each_gram_went(month):
    month.run(
        *("prep", "rice", "--category", "cooked-rice", "--portion", "250.5g"),
        "--no-labels",
    )

    lines = month.see("report", "waste").splitlines()

    head = next(n for n, x in enumerate(lines) if x.startswith("By food, grams"))
    assert lines[head].split()[3:] == [
        *("came", "in", "eaten", "wasted", "missing", "there", "frozen", "waste")
    ]
    assert lines[head + 1].split()[2:] == [
        *("1847", "924", "307", "308", "308", "308", "20%")
    ]
    assert lines[head + 2].split() == ["rice", "250.5", "250.5"]


def test_one_food_alone(month):
    month.run("prep", "rice", "--category", "cooked-rice", "--no-labels")

    report = month.data("report", "waste", "--food", "BUN DOUGH")

    assert [one["food"] for one in report["foods"]] == ["bun dough"]
    assert report["total"]["made"]["grams"] == 1847


def test_the_figure_is_drawn_and_named(month):
    seen = month.see("report", "waste", "--out", "waste.png")

    assert seen.endswith("drawing: waste.png\n")
    with Image.open(month.folder / "waste.png") as drawn:
        assert drawn.width > 1000


def test_json_is_whole_and_adds_up(month):
    report = json.loads(month.see("report", "waste", "--json", "--out", "waste.svg"))

    assert report["total"]["adds_up"] is True
    assert (report["from"], report["until"]) == ("2026-10-18", "2026-11-14")
    assert [one["from"] for one in report["weeks"]] == [
        *("2026-10-18", "2026-10-25", "2026-11-01", "2026-11-08"),
    ]
    assert report["weeks"][2]["causes"]["past its day"]["grams"] == 307
    assert (month.folder / "waste.svg").read_text("utf-8").startswith("<?xml")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--until", "20 Nov 2026"), "Fri 20 Nov 2026 is in the future"),
        (("--from", "5 Nov", "--until", "1 Nov"), "turn the days round"),
        (("--from", "1 Jan 1950"), "give a later --from"),
        (("--from", "5 Nov 17:00"), "is a time; here a whole day is meant"),
        (("--from", "3/4"), "write the month in letters"),
        (("--food", "nosuch"), "no food 'nosuch' yet"),
        (("--out", "waste.doc"), "must end in one of .png, .svg, .pdf"),
    ],
)
def test_what_cannot_be_reported_is_one_line(month, words, says):
    code = 11 if "--food" in words else 2

    assert says in month.fail(code, "report", "waste", *words)


def test_an_empty_kitchen_says_so(cook):
    assert "nothing was made, opened or there" in cook.see("report", "waste")


def test_every_line_fits_the_screen(month):
    month.run(
        *("prep", "a very long name of a stew that nobody would ever type in full"),
        *("--category", "soup-stew", "--no-labels", "--portion", "99kg"),
        *("--count", "40"),
    )

    assert max(map(len, month.see("report", "waste").splitlines())) <= 100
