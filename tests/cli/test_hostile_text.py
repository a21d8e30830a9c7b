"""Text that would command a terminal or a spreadsheet reaches both as text.

Names, reasons and lots are typed, scanned or imported from elsewhere. A terminal takes
ESC and the second set of controls for commands (ECMA-48), a spreadsheet a leading sign
for a formula (OWASP ASVS 5.0, 1.2.10). What is written is text, JSON, CSV and PDF;
nothing here writes HTML or SVG.
"""

import csv
import io
import json
import re

import pytest
from click.testing import CliRunner

# Title of the window; clear the screen; colour by a single control; turned round.
TITLE, CLEAR, COLOUR = "\x1b]0;pwned\x07", "\x1b[2J\x1b[H", "\x9b31m"
HOSTILE = f"mould{TITLE}{CLEAR}{COLOUR}\u202eyad\x7f\rok"
COMMANDS = re.compile(r"[^\n\t\x20-\x7e\xa0-\u2027\u202f-\u2065\u206a-\U0010ffff]")
FORMULAS = ("=1+1", "+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", " =1+1", "\uff1d1")


@pytest.fixture(autouse=True)
def _as_on_a_terminal(monkeypatch):
    """Click takes colours out of what goes into a pipe; on a terminal it does not."""
    invoke = CliRunner.invoke
    monkeypatch.setattr(
        CliRunner, "invoke", lambda *args, **more: invoke(*args, **more, color=True)
    )


@pytest.fixture
def hostile(stew):
    """A kitchen whose first box bears hostile words wherever words are kept."""
    first, second, _ = stew.codes()
    stew.run("scan", first, "--discard", "mould")
    stew.run("scan", second, "--give", "shelter")
    hostile = {"stew": f"st{CLEAR}ew", "mould": HOSTILE, "shelter": f"{TITLE}shelter"}
    stew.import_with(hostile)
    stew.first = first
    return stew


NAMED = "list, alert, due, find st, food list, undo, export --format csv, scan CODE"
TOLD = f"{NAMED}, show CODE, export"


@pytest.mark.parametrize("command", TOLD.split(", "))
def test_no_command_to_the_terminal_is_printed(hostile, command):
    hostile.now = "2026-11-03T12:00"  # the last day: due, and worth an alert
    words = command.replace("CODE", hostile.first).split()
    result = hostile.run(*words, code=3 if command == "alert" else 0)

    assert COMMANDS.findall(result.stdout + result.stderr) == []
    if command in NAMED.split(", "):
        assert "st\u241b[2J\u241b[Hew" in result.stdout


def test_the_words_are_seen_with_a_sign_for_each_control(hostile):
    seen = hostile.see("show", hostile.first)

    assert "mould\u241b]0;pwned\u2407\u241b[2J\u241b[H\ufffd31m\ufffdyad\u2421" in seen


def test_json_stays_valid_and_keeps_every_character(hostile):
    result = hostile.run("show", hostile.first, "--json")

    assert json.loads(result.stdout)["ended_reason"] == HOSTILE
    assert COMMANDS.findall(result.stdout) == []


def test_an_export_keeps_every_character(hostile):
    reasons = [
        event["body"].get("reason")
        for event in map(json.loads, hostile.see("export").splitlines()[1:])
    ]

    assert HOSTILE in reasons


def test_an_error_is_text_as_well(stew):
    told = stew.fail(11, "show", f"4F7{COLOUR}K2M0")

    assert COMMANDS.findall(told) == []


def test_what_a_scanner_types_is_answered_in_text(stew):
    """A symbol may hold anything; the answer to it is one line of text."""
    answer = stew.run("scan", given=f"{TITLE}{COLOUR}4F7\nquit\n").stdout

    assert answer.count("\n") == 1
    assert COMMANDS.findall(answer) == []


def cells(cook):
    return list(csv.DictReader(io.StringIO(cook.see("export", "--format", "csv"))))


@pytest.mark.parametrize("reason", FORMULAS)
def test_no_cell_of_the_csv_is_a_formula(stew, reason):
    code = stew.codes()[0]
    stew.run("scan", code, "--discard", reason)

    row = next(row for row in cells(stew) if row["code"] == code)

    assert row["reason"][0] == "'"
    assert row["reason"].lstrip("'").lstrip("\t\u240d ") == reason.lstrip("\t\r ")


@pytest.mark.parametrize("lot", ["12-3", "a=b", "x@y", "2 + 2", "L-1"])
def test_a_sign_within_a_cell_changes_nothing(cook, lot):
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--no-allergens", "--count", "1"),
        *("--portion", "350g", "--made", "today 17:10", "--place", "Fridge"),
        *("--lot", lot, "--no-labels"),
    )

    assert [row["lot"] for row in cells(cook)] == [lot]


def test_separators_within_a_cell_make_no_further_row(stew):
    stew.run("scan", stew.codes()[0], "--discard", "mould")
    stew.import_with({"mould": 'a,b";c\u2028d\x0be\x85f\ng'})

    rows = cells(stew)

    assert len(rows) == 3
    assert 'a,b";c\ufffdd\u240be\ufffdf' in {row["reason"][:12] for row in rows}


def test_the_file_and_the_screen_hold_the_same_csv(hostile):
    hostile.run("export", "--format", "csv", "all.csv")

    assert (hostile.folder / "all.csv").read_text("utf-8") == hostile.see(
        "export", "--format", "csv"
    )


def test_hostile_names_are_refused_where_they_are_typed(cook):
    for name in (TITLE, CLEAR, "stew\u202e", "st\new\x00"):
        told = cook.fail(
            2, "prep", name, "--category", "soup-stew", "--count", "1", "--no-labels"
        )

        assert "is not a name" in told
        assert COMMANDS.findall(told) == []
