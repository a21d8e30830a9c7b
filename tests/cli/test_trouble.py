"""The database that is missing, locked, foreign, newer; Ctrl-C; a closed pipe."""

import os
import select
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

from lidclock.cli.main import COMMANDS


def start(cook, *args):
    """The real program in a process of its own, fed line by line."""
    settings = {
        **os.environ,
        "LIDCLOCK_DB": str(cook.database),
        "LIDCLOCK_NOW": cook.now,
    }
    return subprocess.Popen(
        [sys.executable, "-m", "lidclock", *args],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=settings,
        text=True,
    )


def answer(process, line):
    """What the loop says to one line, without waiting for its input to end."""
    process.stdin.write(line + "\n")
    process.stdin.flush()
    ready, _, _ = select.select([process.stdout], [], [], 60)
    assert ready, "no answer"
    return process.stdout.readline()


def test_a_missing_database_says_how_to_begin(newcomer):
    refused = newcomer.fail(14, "due")

    assert refused.startswith("Error: no kitchen yet: run `lidclock init`")
    assert not newcomer.database.exists()


def test_a_file_that_is_no_database_is_left_alone(newcomer):
    newcomer.database.write_text("a shopping list, not a database at all\n" * 40)
    newcomer.fail(14, "due")

    assert newcomer.database.read_text().startswith("a shopping list")


def test_another_programs_database_is_left_alone(newcomer):
    with closing(sqlite3.connect(newcomer.database)) as other:
        other.execute("CREATE TABLE song (name TEXT)")

    assert "belongs to another program" in newcomer.fail(14, "due")


def test_a_newer_database_is_refused(cook):
    with closing(sqlite3.connect(cook.database)) as newer:
        newer.execute("UPDATE alembic_version SET version_num = '9999'")
        newer.commit()

    assert "update lidclock" in cook.fail(14, "due")


def test_a_locked_database_is_named_and_nothing_is_recorded(stew, monkeypatch):
    # Waiting for the lock takes seconds by default; here it need not.
    monkeypatch.setattr(
        "lidclock.store.database.Database.open.__func__.__kwdefaults__",
        {"create": False, "busy_ms": 50},
    )
    code, before = stew.codes()[0], stew.event_count()
    with closing(sqlite3.connect(stew.database, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        refused = stew.fail(14, "scan", code, "--open")

    assert "locked by another program" in refused
    assert stew.event_count() == before


def test_a_read_only_database_is_named_and_nothing_is_recorded(stew):
    code, before = stew.codes()[0], stew.event_count()
    # Opened this way SQLite refuses to write even for root, whom no file mode stops.
    read_only = f"file:{stew.database}?mode=ro"

    refused = stew.fail(14, "--db", read_only, "scan", code, "--open")

    assert "is read-only: make the file and its folder writable" in refused
    assert stew.event_count() == before


def test_a_folder_is_no_database(newcomer):
    newcomer.database.mkdir()

    assert "is a folder" in newcomer.fail(14, "due")


def test_the_database_can_be_named_for_one_command(stew):
    other = str(stew.folder / "other.db")
    stew.run("--db", other, "init", "--yes", "--zone", "UTC")

    assert stew.see("--db", other, "list") == "nothing here\n"


def test_a_pretended_time_that_is_none_is_refused(stew):
    assert "is not a time" in stew.fail(2, "--now", "banana", "due")


def test_an_unknown_command_is_refused_in_one_line(newcomer):
    refused = newcomer.fail(2, "cook")

    assert refused == "Error: No such command 'cook' (see `main --help`)"


def test_an_unexpected_failure_is_one_line(stew, monkeypatch):
    monkeypatch.setattr("lidclock.app.lists.due", lambda *_: 1 // 0)

    assert "unexpected: ZeroDivisionError" in stew.fail(1, "due")


def test_an_unexpected_failure_is_traced_when_asked(stew, monkeypatch):
    monkeypatch.setattr("lidclock.app.lists.due", lambda *_: 1 // 0)
    monkeypatch.setenv("LIDCLOCK_DEBUG", "1")
    from click.testing import CliRunner

    from lidclock.cli.main import main

    settings = {"LIDCLOCK_DB": str(stew.database), "LIDCLOCK_NOW": stew.now}
    result = CliRunner(env=settings).invoke(main, ["due"])

    assert "Traceback" in result.stderr
    assert result.exit_code == 1


def test_the_loop_answers_each_line_at_once(stew):
    code = stew.codes()[0]
    process = start(stew, "scan")
    try:
        first, second = answer(process, "FREEZE"), answer(process, code)
    finally:
        _, errors = process.communicate()

    assert first == "freeze: now scan the lids\n"
    assert "frozen; 3 days left after thawing" in second
    assert (process.returncode, errors) == (0, "")


def test_ctrl_c_ends_the_loop_and_keeps_what_was_scanned(stew):
    code = stew.codes()[0]
    process = start(stew, "scan")
    answer(process, "FREEZE")
    answer(process, code)
    process.send_signal(signal.SIGINT)
    _, errors = process.communicate()

    assert process.returncode == 130
    assert errors == "stopped; everything scanned so far is recorded\n"
    assert stew.data("show", code)["state"] == "freezer"


def test_a_reader_that_leaves_early_sees_no_complaint(stew):
    process = start(stew, "show", stew.codes()[0])
    process.stdout.close()
    errors = process.stderr.read()
    process.stdin.close()
    process.wait()
    process.stderr.close()

    assert errors == ""


def test_the_loop_goes_on_after_a_mistake(stew):
    code = stew.codes()[0]

    answers = stew.see("scan", given=f"hello\nUSE\n\n{code}\n").splitlines()

    assert answers[0].startswith("! 'hello' is not a container code")
    assert answers[1] == "use: now scan the lids"
    assert answers[2].endswith(": used")


def test_the_loop_undoes_the_last_scan(stew):
    code = stew.codes()[0]
    stew.run("scan", given=f"FREEZE\n{code}\nUNDO\n")

    assert stew.data("show", code)["state"] == "fridge"


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_help_with_an_example(newcomer, name):
    seen = newcomer.see(name, "--help")

    assert "Example:" in seen or "Commands:" in seen


@pytest.mark.parametrize("args", [(), ("food",), ("place",)])
def test_a_family_without_a_command_shows_its_help(args):
    from click.testing import CliRunner

    from lidclock.cli.main import main

    result = CliRunner().invoke(main, list(args))

    assert result.exit_code == 2
    assert "Commands:" in result.stderr


def test_the_version_is_told(newcomer):
    from lidclock import __version__

    assert newcomer.see("--version") == f"lidclock, version {__version__}\n"
