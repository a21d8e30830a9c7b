"""`temp draw` on the command line: what is drawn, refused, and told."""

import re
import subprocess
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lidclock.app import temp_figure, temp_report, temps
from lidclock.app.sensors import need_sensor
from lidclock.app.session import Session
from lidclock.domain.moments import from_local, zone_of

MONDAY = "2026-11-02T12:00"
NEW_YORK = zone_of("America/New_York")


def at(text):
    """The instant of a New York wall-clock time."""
    return from_local(datetime.fromisoformat(text), NEW_YORK)


@pytest.fixture
def fridges(cook):
    """A kitchen at noon on Monday with a second fridge that a probe measured."""
    cook.now = MONDAY
    cook.run("place", "add", "Fridge 2", "--state", "fridge")
    cook.run(
        *("temp", "sensor", "add", "Probe", "--place", "Fridge 2", "--every", "1h"),
        *("--since", "2026-10-20T00:00"),
    )
    start = at("2026-10-31T00:00").timestamp()
    hours = np.arange(60)
    temps_c = np.where(hours < 54, 3.0, 7.0)
    with (
        closing(Session.open(cook.database, now=at(MONDAY))) as session,
        session.write() as unit,
    ):
        times_us = ((start + hours * 3600.0) * 1e6).astype("int64")
        temps.keep_readings(unit, need_sensor(unit, "Probe"), times_us, temps_c)
    return cook


def words_of(path):
    """The words of a PDF; the figure's fonts are embedded as type."""
    text = subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True
    ).stdout
    return re.sub(r"\s+", " ", text)


@pytest.mark.parametrize("name", ["week.png", "week.SVG", "week.pdf"])
def test_a_place_is_drawn_to_each_kind_of_file(fridges, name):
    before = fridges.event_count()
    seen = fridges.see("temp", "draw", "fridge 2", "--out", name)

    assert seen == f"drawing: {name} (Fridge 2, Mon 26 Oct to Mon 2 Nov 2026)\n"
    drawn = (fridges.folder / name).read_bytes()
    assert drawn[:5] in (b"\x89PNG\r", b"<?xml", b"%PDF-")
    assert fridges.event_count() == before


def test_a_figure_says_whose_limit_and_what_happened(fridges):
    if not any((Path(p) / "pdftotext").exists() for p in ("/bin", "/usr/bin")):
        pytest.skip("needs Poppler")
    fridges.run("temp", "draw", "Fridge 2", "--out", "week.pdf")
    words = words_of("week.pdf")

    assert "Fridge 2 (fridge) Mon 26 Oct to Mon 2 Nov 2026, guidance set us-home" in (
        words
    )
    assert "Limit: at most 4.4 °C; the cold limit of US home storage charts (" in words
    # A line from 3 to 7 °C between 04:00 and 05:00 crosses 40 °F in minute 21.
    assert "Excursion Mon 2 Nov 04:21 to now: 6 h 38 min, highest 7 °C." in words
    assert "Sun 1 Nov 02:00: clocks go back 1 h." in words


def test_figures_are_grey_and_replace_what_was_there(fridges):
    path = fridges.folder / "week.png"
    path.write_text("old")
    fridges.run("temp", "draw", "--all", "--out", "week.png")
    red, green, blue = Image.open(path).convert("RGB").split()

    assert red.tobytes() == green.tobytes() == blue.tobytes()
    assert [x.name for x in fridges.folder.glob("*unfinished*")] == []


def test_places_that_nobody_measures_are_named(fridges):
    seen = fridges.see("temp", "draw", "--all", "--out", "all.pdf", "--containers")

    assert seen == "drawing: all.pdf (1 place, Mon 26 Oct to Mon 2 Nov 2026)\n"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("Fridge", "--out", "a.png"), 13, "Fridge has no readings, so there is noth"),
        (("Fridge 2", "--out", "a.gif"), 2, "must end in one of .png, .svg, .pdf"),
        (("Cellar", "--out", "a.png"), 11, "no place 'Cellar'"),
        (
            ("Fridge 2", "--out", "a.png", "--until", "2026-10-30T12:00"),
            13,
            "has no readings up to Fri 30 Oct 2026 12:00",
        ),
        (("Fridge 2", "--out", "a.png", "--until", "2026-11-03T12:00"), 2, "future"),
        (("Fridge 2", "--out", "a.png", "--since", "0min"), 2, "must end after it"),
        (("Fridge 2", "--out", "no/a.png"), 14, "cannot write no/a.png"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_one_line(fridges, words, code, says):
    assert says in fridges.fail(code, "temp", "draw", *words)
    assert not (fridges.folder / "a.png").exists()


def test_one_place_or_all(fridges):
    for words in (("Fridge 2", "--all"), ()):
        shown = fridges.run("temp", "draw", *words, "--out", "a.png", code=2).stderr
        assert "name one place, or say --all" in shown


def test_with_no_reading_anywhere_there_is_nothing_to_draw(cook):
    refused = cook.fail(13, "temp", "draw", "--all", "--out", "a.png")

    assert "no place has readings, so there is nothing to draw" in refused


def test_a_week_of_silence_is_drawn(fridges):
    fridges.now = "2026-11-12T12:00"
    seen = fridges.see("temp", "draw", "Fridge 2", "--out", "a.png")

    assert seen == "drawing: a.png (Fridge 2, Thu 5 Nov to Thu 12 Nov 2026)\n"


def test_a_name_that_the_font_lacks_is_drawn_by_number(fridges):
    fridges.run("place", "add", "冷蔵庫", "--state", "fridge")
    fridges.run("temp", "冷蔵庫", "4C")
    seen = fridges.see("temp", "draw", "冷蔵庫", "--out", "a.png").splitlines()

    assert seen[1] == (
        "冷蔵庫 is drawn as place 5: the font of figures has no 冷 蔵 庫"
    )


def test_containers_are_counted_while_they_stand_there(stew):
    """Three boxes from 17:40 on, two from 19:00 on; before, none."""
    stew.now = "2026-10-31T19:00"
    stew.run("scan", stew.codes()[0], "--use")
    now = at("2026-10-31T20:00")
    with closing(Session.open(stew.database, now=now)) as session:
        place = session.place("Fridge")
        with session.read() as unit:
            found = temp_report.reports(unit, [place], timedelta(hours=12))
            times, numbers = temp_figure._counts(unit, found)["fridge"]

    assert list(numbers) == [0, 3, 2]
    assert times[0] == (now - timedelta(hours=12)).timestamp()
    assert list(times[1:]) == [
        at("2026-10-31T17:40").timestamp(),
        at("2026-10-31T19:00").timestamp(),
    ]
