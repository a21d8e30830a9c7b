"""`order`: an order form on the screen, as data and on paper.

The figures of the trade's form are `par.order` of tests/external/data, held there.
"""

import json
import re
from fractions import Fraction

import pypdfium2
import pytest

SALAD = """
name = "bean salad"
makes = { count = 35, portion = "185 g" }
[[inputs]]
name = "white beans"
mass = "3 kg"
[[inputs]]
name = "celery"
mass = "3475 g"
yield = "75%"
"""
COVER = ("--lead", "2", "--review", "3")
FLAT = ("order", "flatbread=10", "--have", "flatbread=28", *COVER)


@pytest.fixture
def salad(cook, tmp_path):
    file = tmp_path / "salad.toml"
    file.write_text(SALAD, "utf-8")
    cook.run("recipe", "add", str(file))
    return cook


def test_22_to_order_where_28_are_there_and_10_a_day_last_5_days(cook):
    seen = cook.see(*FLAT)

    assert "To last 5 days: 2 until it comes, 3 until the next order." in seen
    assert "flatbread: order 22" in seen
    assert "10 a day for 5 days · 28 on hand" in seen
    assert "half the time it is not quite enough" in " ".join(seen.split())
    (line,) = cook.data(*FLAT)["items"]
    assert (line["needed"], line["on_hand"], line["order"]) == ("50", "28", 22)


def test_parts_are_rounded_up_to_whole_ones_and_never_below_none(cook):
    """5 x 0.5 - 1 = 1.5, so 2; 5 x 1 - 6 is below none."""
    words = (
        "order",
        "lemons=1/2",
        "limes=1",
        "--have",
        "lemons=1",
        "--have",
        "limes=6",
    )
    lines = cook.data(*words, *COVER)["items"]

    assert [one["order"] for one in lines] == [2, 0]
    assert "limes: enough is there" in cook.see(*words, *COVER)


def test_what_a_recipe_takes_is_told_as_bought_before_trimming(salad):
    """117 x 230 g are 26,910 of 6,475 g. Celery: 3,475 g x that / 0.75 = 19,256.1 g
    to buy, of which 14,442.0 g stay; 2 kg are there, so 17,257 g. Beans need no
    trimming: 12,467.95 g, so 12,468.
    """
    words = ("--recipe", "bean salad", "--once", "117", "--portion", "230g")
    found = salad.data("order", *words, "--have", "Celery=2 kg")["recipe"]
    beans, celery = found["inputs"]

    factor = Fraction(117 * 230, 35 * 185)
    assert found["portions"] == 117
    assert beans["order"] == 12468
    bought = float(3475 * factor / Fraction("0.75"))
    assert float(celery["needed"]) == pytest.approx(bought, abs=1e-9)
    assert float(celery["weighed_in"]) == pytest.approx(bought * 0.75, abs=1e-9)
    assert (celery["yield"], celery["order"]) == ("0.75", 17257)
    seen = salad.see("order", *words)
    assert "14442 g to weigh in, at a yield of 75 %" in seen
    assert "as if nothing were" in seen


def test_portions_of_each_day_and_of_an_occasion_add_up(salad):
    """10 a day for 5 days and 20 beside them are 70: twice what is written."""
    words = ("--recipe", "bean salad", "--daily", "10", "--once", "20", *COVER)
    found = salad.data("order", *words)["recipe"]

    assert found["portions"] == 70
    assert [one["order"] for one in found["inputs"]] == [6000, 9267]
    assert found["inputs"][0]["for_one_occasion"].startswith("1714.2857")


def test_the_form_for_paper_has_boxes_to_write_in(cook, tmp_path):
    out = tmp_path / "order.pdf"
    assert "wrote:" in cook.see(*FLAT, "--out", str(out))
    document = pypdfium2.PdfDocument(out)
    text = re.sub(r"\s", "", document[0].get_textpage().get_text_range())
    document.close()

    for words in ("Orderform", "flatbread:order22", "Ordered", "Came", "Initials"):
        assert words in text


@pytest.mark.parametrize(
    ("code", "words", "said"),
    [
        (2, [], "say what to order"),
        (2, ["flatbread"], "write a name and a number, such as flatbread=10"),
        (2, ["a=1", "A=2"], "'A' stands twice"),
        (2, ["a=lots"], "a, used a day: 'lots' is not a number"),
        (2, ["a=1,000"], "is not a number"),
        (2, ["a=99999999"], "is not a number from 0 to 10,000,000"),
        (2, ["a=1", "--have", "b=2"], "'b' is on hand, but nothing takes any of it"),
        (2, ["a=1", "--lead", "0", "--review", "0"], "at least one"),
        (2, ["a=1", "--lead", "0.5"], "is not a whole number"),
        (2, ["a=1", "--lead", "367"], "is not a number from 0 to 366"),
        (11, ["--recipe", "soup", "--once", "2"], "no recipe 'soup'"),
        (2, ["--recipe", "bean salad"], "say how many portions of bean salad"),
        (
            2,
            ["--recipe", "bean salad", "--once", "2", "--have", "peas=1kg"],
            "'peas' does not go in: there are white beans, celery",
        ),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_line(salad, code, words, said):
    assert said in salad.fail(code, "order", *words)


def test_json_alone_on_the_line(cook):
    assert json.loads(cook.run(*FLAT, "--json").stdout)["cover_days"] == 5
