"""`slip`: what goes with food that is handed on, and what gets none."""

import pypdfium2
import pytest

SOON, SUNDAY = "2026-10-31T18:20", "2026-11-01T12:00"
# Made on Saturday at 17:10 under the US home charts: soup 3 to 4 days, day 4 is
# Tue 3 Nov.
PAST = "2026-11-04T08:00"


def test_the_slip_has_name_making_last_day_allergens_temperature_and_two_names(stew):
    (code, *_) = stew.codes()
    stew.run("cooled", code, "--temp", "4C")
    out = stew.folder / "slip.pdf"
    asked = ("slip", code, "--by", "Ana", "--to", "night shelter", "--out", str(out))
    stew.run(*asked, now=SUNDAY)
    page = pypdfium2.PdfDocument(out)[0].get_textpage().get_text_range()

    for words in (
        *("stew", f"{code[:3]} {code[3:]}", "350 g", "made Sat 31 Oct 2026 17:10"),
        *("use by Tue 3 Nov 2026", "allergens: none recorded as present"),
        "temperature of the food: 4 °C, Sat 31 Oct 2026 17:40",
        *("Given by: Ana", "Taken by: night shelter", "Signature"),
    ):
        assert words in page


def test_what_nobody_measured_or_named_is_said_and_left_to_write(stew):
    seen = stew.see("slip", stew.codes()[0], now=SUNDAY)

    assert "temperature of the food: not measured" in seen
    assert "not known: fridge temperature: no readings" in seen
    assert "Given by: ____" in seen
    assert "Taken by: ____" in seen


@pytest.mark.parametrize(
    ("before", "now", "why"),
    [
        ([], PAST, "it is past its last moment"),
        ([("scan", "{}", "--use")], SUNDAY, "it was already used"),
        ([("scan", "{}", "--to", "Counter")], SOON, "it was out of the cold, Sat"),
        (
            # On the buffet and back: within its limit, but not cold all along.
            [("scan", "{}", "--to", "Counter"), ("scan", "{}", "--to", "Fridge")],
            SUNDAY,
            "it was out of the cold, Sat 31 Oct 2026 18:00",
        ),
        (
            [("missing", "{}"), ("scan", "{}", "--to", "Fridge")],
            SUNDAY,
            "nobody knows where it was, Sat 31 Oct 2026 18:00",
        ),
    ],
)
def test_what_may_not_be_handed_on_is_refused_with_the_reason(stew, before, now, why):
    (code, other, _) = stew.codes()
    for at, command in enumerate(before):
        words = [code if word == "{}" else word for word in command]
        stew.run(*words, now=f"2026-10-31T18:{15 * at:02}")
    out = stew.folder / "slip.pdf"
    told = stew.fail(13, "slip", code, other, "--out", str(out), now=now)

    assert f"{code[:3]} {code[3:]} (stew) may not be handed on: {why}" in told
    assert not out.exists()
    found = {one["code"]: one for one in stew.data("slip", code, other, now=now)}
    assert found[code]["may_be_handed_on"] is False
    assert found[code]["refusal"].startswith(why)
    assert found[other]["may_be_handed_on"] is (now != PAST)


def test_what_measured_too_warm_gets_no_slip(stew):
    """9 °C is above 40 °F, 4.4 °C, which the charts name for a fridge."""
    (code, *_) = stew.codes()
    stew.run("temp", "Fridge", "9C", now="2026-10-31T18:00")
    told = stew.fail(13, "slip", code, now="2026-10-31T18:30")

    assert "it was at 9 °C, Sat 31 Oct 2026 " in told


def test_what_nobody_put_into_the_cold_gets_no_slip(cook):
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--no-allergens", "--no-labels")
    )
    told = cook.fail(13, "slip", cook.codes()[0], now="2026-10-31T18:00")

    assert "nobody recorded that it was put into the cold" in told


def test_what_has_no_last_day_gets_no_slip(cook):
    """The home charts give mixed salads no figure, so nobody can say until when."""
    cook.run(
        *("prep", "salad", "--category", "salads", "--no-allergens", "--no-labels"),
        *("--place", "Fridge"),
    )
    told = cook.fail(13, "slip", cook.codes()[0], now="2026-10-31T18:00")

    assert "it has no last day" in told


def test_what_was_frozen_with_no_day_left_gets_no_slip(stew):
    """Frozen at the end of its fourth day of four: all of them are used."""
    (code, other, _) = stew.codes()
    stew.run("scan", other, "--freeze", now="2026-11-01T12:00")
    stew.run("scan", code, "--freeze", now="2026-11-03T20:00")
    told = stew.fail(13, "slip", code, now="2026-11-10T12:00")

    assert "it is past its last moment" in told
    (found,) = stew.data("slip", other, now="2026-11-10T12:00")
    assert found["may_be_handed_on"] is True
