"""Readings out of a kitchen and into another: nothing lost, nothing doubled."""

import json

import pytest

from .conftest import Cook

MONDAY = "2026-11-02T12:00"
KINDS = ["csv", "parquet"]


@pytest.fixture(params=KINDS)
def file(request):
    """A file name of each kind; Parquet where pyarrow is installed."""
    if request.param == "parquet":
        pytest.importorskip("pyarrow")
    return f"readings.{request.param}"


@pytest.fixture
def full(cook):
    """Two sensors and a hand, moved, checked, put right; odd names and handles."""
    cook.begin("readings of two sensors", lambda: fill(cook))
    cook.now, cook.who = MONDAY, "cy"
    return cook


def fill(cook):
    cook.now, cook.who = MONDAY, "=ann"
    for name in ("=1+1", 'Probe, "B"'):
        cook.run("temp", "sensor", "add", name, "--place", "Fridge", "--since", "6:00")
    for minute, said in enumerate(("4.2", "6.4375", "-0.1", "4.125", "7")):
        at = f"today 8:{minute:02}"
        cook.run("temp", "Fridge", f"{said}C", "--at", at, "--sensor", "=1+1")
    cook.run("temp", "Fridge", "4C", "--at", "8:00", "--sensor", 'Probe, "B"')
    cook.who = "bo"
    cook.run("temp", "Freezer", "-18C")
    cook.run("temp", "Freezer", "8C", "--at", "today 7:00")
    cook.who = "cy"
    cook.run("temp", "Freezer", "-17C", "--at", "today 6:00")
    cook.run("temp", "correct", "Freezer", "-18.5C", "--at", "7:00", "--reason", "slip")
    cook.run("temp", "sensor", "move", "=1+1", "Freezer", "--at", "today 9:00")
    cook.run("temp", "offset", "=1+1", "--ice-point", "0.4C", "--at", "today 8:02")
    cook.run("temp", "lag", "Fridge", "45min")


@pytest.fixture
def other(tmp_path, beginnings):
    """A kitchen elsewhere, with the usual places."""
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    cook = Cook(folder, beginnings)
    cook.now = MONDAY
    cook.run("init", "--yes", "--zone", "America/New_York")
    return cook


def told(cook):
    """Everything there is to say about places and sensors, but for lists' moments."""
    return [cook.data("temp", "list"), cook.data("temp", "sensor", "list")]


def test_another_kitchen_says_the_same(full, other, file):
    written = full.see("temp", "export", file)
    brought = other.see("temp", "load", file)

    assert written == f"written: {file} (9 readings)\n"
    assert brought == "9 new readings, 0 already here\n"
    assert told(other) == told(full)


def test_there_and_back_is_the_same_file(full, other, file):
    full.run("temp", "export", file)
    other.run("temp", "load", file)
    full.run("temp", "export", "one.csv")
    other.run("temp", "export", "two.csv")
    texts = [(full.folder / name).read_text() for name in ("one.csv", "two.csv")]

    assert texts[0] == texts[1]


def test_the_same_file_twice_changes_nothing(full, file):
    before = told(full)
    full.run("temp", "export", file)

    assert full.see("temp", "load", file) == "0 new readings, 9 already here\n"
    assert told(full) == before


def test_no_cell_of_a_csv_holds_a_formula(full):
    full.run("temp", "export", "readings.csv")
    head, *rows = (full.folder / "readings.csv").read_text().splitlines()
    cells = [cell for row in rows for cell in row.split(",")]

    assert json.loads(head.removeprefix("# "))["sensors"][0]["name"] == "=1+1"
    assert rows[1].split(",")[1:3] == ["2026-11-02T13:00:00Z", "4.2"]
    assert not [cell for cell in cells if cell[0] in "=+@"]


def test_one_sensor_can_be_taken_alone(full, other, file):
    full.run("temp", "export", file, "--sensor", 'probe, "b"')
    other.run("temp", "load", file)

    assert [one["name"] for one in other.data("temp", "sensor", "list")] == (
        ['Probe, "B"']
    )


def test_a_name_that_is_taken_and_a_place_that_is_missing_are_told(full, other, file):
    full.run("place", "add", "Cellar", "--state", "fridge")
    full.run("temp", "sensor", "move", "=1+1", "Cellar")
    full.run("temp", "export", file)
    other.run("temp", "sensor", "add", "=1+1", "--place", "Fridge")
    lines = other.see("temp", "load", file).splitlines()

    assert lines[1:] == [
        "note: there is another sensor '=1+1' here: this one is called '=1+1 (2)'",
        "note: this kitchen has no place 'Cellar'; add it with `lidclock place add`",
    ]


def test_an_export_is_not_taken_for_a_loggers_file(full, other, file):
    full.run("temp", "export", file)

    assert f"comes in with `lidclock temp load {file}`" in (
        other.fail(2, "temp", "import", file, "--place", "Fridge", "--yes")
    )
    assert other.data("temp", "sensor", "list") == []


def test_an_existing_file_is_never_overwritten(full, file):
    (full.folder / file).write_text("mine")

    assert "exists already: name a new file" in full.fail(13, "temp", "export", file)
    assert (full.folder / file).read_text() == "mine"


@pytest.mark.parametrize(
    ("harm", "says"),
    [
        (lambda _: "time;value\n1;2\n", "does not begin with the head of an export"),
        (lambda text: text.replace("readings 1", "readings 2"), "is no export of read"),
        (
            lambda text: text.replace("temp_c", "temp_f", 1),
            "line 2: expected sensor",
        ),
        (lambda text: text.replace("6.4375", "6,4375"), "line 4: too many values"),
        (lambda text: text.replace("6.4375", "warm"), "line 4: could not convert"),
        (lambda text: text.replace("6.4375", "nan"), "line 4: 'nan' is no temperature"),
        (
            lambda text: text.replace(",2026-11-02T13:01:00Z", ",soon"),
            "line 4: Invalid",
        ),
        (lambda text: text.replace("Z,0\n", "Z,9\n"), "by '9', which means nothing"),
        (lambda text: text.replace('"id":"', '"id":"x'), "which the head of the file"),
        (lambda text: text[: len(text) // 3], "no export of readings"),
    ],
)
def test_a_changed_file_is_refused_whole(full, other, harm, says):
    full.run("temp", "export", "readings.csv")
    path = full.folder / "readings.csv"
    path.write_text(harm(path.read_text()))

    assert says in other.fail(2, "temp", "load", "readings.csv")
    assert other.data("temp", "sensor", "list") == []


def test_text_that_is_no_text_is_refused(full):
    (full.folder / "readings.csv").write_bytes(b"# {\xff\xfe")

    assert "is not UTF-8 text" in full.fail(2, "temp", "load", "readings.csv")


def test_a_parquet_file_of_others_is_refused(full):
    arrow = pytest.importorskip("pyarrow")
    parquet = pytest.importorskip("pyarrow.parquet")
    parquet.write_table(arrow.table({"at": [1], "temp_c": [4.0]}), "other.parquet")
    (full.folder / "text.parquet").write_text("not at all")

    assert "is no export of readings" in full.fail(2, "temp", "load", "other.parquet")
    assert "is no Parquet file" in full.fail(2, "temp", "load", "text.parquet")
    assert "cannot read none.parquet" in full.fail(2, "temp", "load", "none.parquet")


def test_without_pyarrow_it_is_said_how_to_install_it(full, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "pyarrow", None)

    assert "install it with `pip install 'lidclock[fast]'`" in (
        full.fail(13, "temp", "export", "readings.parquet")
    )
