"""`export`, `import`, `backup`, `restore`, `rebuild`, `assess` as commands."""

import json
import resource
import sqlite3
from contextlib import closing, contextmanager

import pytest

SOUP = {
    "guidance": "us-home",
    "zone": "America/New_York",
    "as_of": "2026-11-02T18:00",
    "food": {"category": "soup-stew"},
    "history": [
        {"at": "2026-10-31T17:10", "did": "made"},
        {"at": "2026-10-31T17:40", "did": "placed", "state": "fridge"},
    ],
}


@contextmanager
def files_of_at_most(size, database):
    """Let no file grow beyond `size`, as if the disk were full (setrlimit, POSIX).

    The database is open meanwhile: its side files then need not grow.
    """
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    with closing(sqlite3.connect(database)) as reader:
        reader.execute("SELECT count(*) FROM container").fetchone()
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
        try:
            yield
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, before)


def test_an_export_makes_the_same_kitchen_elsewhere(stew):
    stew.run("export", "kitchen.jsonl")
    before = stew.see("list")
    stew.database = stew.folder / "other.db"

    seen = stew.see("import", "kitchen.jsonl")

    assert "kitchen 'Home' is ready in" in seen
    assert stew.see("list") == before


def test_importing_twice_adds_nothing(stew):
    stew.run("export", "kitchen.jsonl")

    seen = stew.see("import", "kitchen.jsonl")

    assert seen == "0 new events, 8 already here\n"


def test_an_export_never_overwrites(stew):
    stew.run("export", "kitchen.jsonl")

    assert "exists already" in stew.fail(13, "export", "kitchen.jsonl")


def test_an_export_to_nowhere_is_refused(stew):
    assert "cannot write" in stew.fail(14, "export", "no-folder/kitchen.jsonl")


@pytest.mark.parametrize("kind", ["jsonl", "csv"])
def test_an_export_that_finds_no_room_leaves_no_file(stew, kind):
    before = sorted(stew.folder.iterdir())
    with files_of_at_most(100, stew.database):
        refused = stew.fail(14, "export", "--format", kind, "kitchen.out")

    assert refused == "Error: cannot write kitchen.out: File too large"
    assert sorted(stew.folder.iterdir()) == before


def test_the_csv_has_a_row_for_each_container(stew):
    rows = stew.see("export", "--format", "csv").splitlines()

    assert rows[0].startswith("code,food,place,")
    assert len(rows) == 4


@pytest.mark.parametrize("text", ["", "hello\n", "{}\n", "[1]\n", "\x00"])
def test_a_file_that_is_no_export_is_refused(cook, text):
    (cook.folder / "bad.jsonl").write_text(text)

    assert "bad.jsonl" in cook.fail(2, "import", "bad.jsonl")


def test_a_broken_line_is_named_and_nothing_is_imported(stew):
    lines = stew.see("export").splitlines()
    (stew.folder / "cut.jsonl").write_text("\n".join([*lines[:3], lines[3][:40]]))
    stew.database = stew.folder / "other.db"

    refused = stew.fail(2, "import", "cut.jsonl")

    assert "cut.jsonl line 4: not JSON" in refused
    assert not stew.database.exists()


@pytest.mark.parametrize("kind", ["made", "placed", "noted"])
def test_an_event_without_its_facts_is_refused(stew, kind):
    head, *events = stew.see("export").splitlines()
    emptied = []
    for line in events:
        event = json.loads(line)
        emptied.append({**event, "body": {}} if event["kind"] == kind else event)
    text = "\n".join([head, *map(json.dumps, emptied)])
    (stew.folder / "odd.jsonl").write_text(text)
    stew.database = stew.folder / "other.db"

    assert "odd.jsonl: an event lacks" in stew.fail(2, "import", "odd.jsonl")
    assert not stew.database.exists()


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("corrected", {"event": "ID", "set": {"happened_at": "junk"}}),
        ("corrected", {"event": "ID", "set": {"happened_at": 7}}),
    ],
)
def test_a_correction_that_spoils_what_is_only_here_is_refused(stew, kind, body):
    """The event that it corrects is not in the file."""
    head, *rest = stew.see("export", "-").splitlines()
    filled = next(json.loads(x) for x in rest if json.loads(x)["kind"] == "filled")
    body = {**body, "event": filled["id"]}
    event = {**filled, "id": "0" * 36, "kind": kind, "body": body}
    (stew.folder / "odd.jsonl").write_text(f"{head}\n{json.dumps(event)}\n")

    assert "nothing was imported" in stew.fail(2, "import", "odd.jsonl")
    assert stew.see("export", "-").splitlines() == [head, *rest]


@pytest.mark.parametrize("value", ["NaN", "Infinity", '"much"', "[]", "1e999"])
@pytest.mark.parametrize("key", ["mass_g", "total_g"])
def test_a_mass_that_is_none_is_refused(stew, key, value):
    head, *rest = stew.see("export", "-").splitlines()
    lines = []
    for line in rest:
        event = json.loads(line)
        if key in event["body"]:
            event["body"][key] = "HERE"
        lines.append(json.dumps(event).replace('"HERE"', value))
    (stew.folder / "odd.jsonl").write_text("\n".join([head, *lines]) + "\n")
    stew.database = stew.folder / "other.db"

    stew.fail(2, "import", "odd.jsonl")


def test_a_file_that_is_missing_cannot_be_imported(cook):
    assert "cannot read nothing.jsonl" in cook.fail(2, "import", "nothing.jsonl")


def test_a_backup_comes_back_after_a_loss(stew):
    before = stew.see("list")
    stew.run("backup", "copy.db")
    stew.database.unlink()
    stew.run("restore", "copy.db")

    assert stew.see("list") == before


def test_a_backup_comes_back_on_a_machine_without_a_data_folder(stew):
    before = stew.see("list")
    stew.run("backup", "copy.db")
    stew.database = stew.folder / "fresh" / "data" / "kitchen.db"
    stew.run("restore", "copy.db")

    assert stew.see("list") == before


def test_a_restore_that_fails_makes_no_data_folder(newcomer):
    newcomer.database = newcomer.folder / "fresh" / "kitchen.db"

    assert "there is no file" in newcomer.fail(14, "restore", "nothing.db")
    assert not newcomer.database.parent.exists()


def test_a_restore_under_a_file_is_refused(stew):
    stew.run("backup", "copy.db")
    stew.database = stew.folder / "copy.db" / "kitchen.db"

    assert "cannot make" in stew.fail(14, "restore", "copy.db")


def test_restoring_over_a_kitchen_needs_replace(stew):
    stew.run("backup", "copy.db")
    stew.run("scan", stew.codes()[0], "--use", "--anyway")

    stew.fail(13, "restore", "copy.db")
    stew.run("restore", "copy.db", "--replace")

    assert len(stew.codes()) == 3


def test_a_backup_never_overwrites(stew):
    stew.run("backup", "copy.db")

    assert "exists already" in stew.fail(13, "backup", "copy.db")


def test_restoring_what_is_no_backup_is_refused(stew):
    (stew.folder / "note.txt").write_text("not a database, just a note\n" * 60)

    stew.fail(14, "restore", "note.txt", "--replace")

    assert len(stew.codes()) == 3


def test_a_rebuild_proves_the_lists_equal(stew):
    seen = stew.see("rebuild")

    assert seen == "rebuilt: nothing differed from the ledger\n"


def test_a_rebuild_puts_right_what_differed_and_says_so(stew):
    with closing(sqlite3.connect(stew.database)) as vandal:
        vandal.execute("UPDATE container SET mass_g = 1")
        vandal.commit()

    first, again = stew.fail(1, "rebuild"), stew.see("rebuild")

    assert first == "Error: the lists differed from the ledger; they were put right"
    assert again == "rebuilt: nothing differed from the ledger\n"


def test_assess_judges_one_document(newcomer):
    seen = newcomer.see("assess", "-", given=json.dumps(SOUP))

    verdict = json.loads(seen)

    assert len(seen.splitlines()) == 1
    assert (verdict["status"], verdict["last_day"]) == ("soon", "2026-11-03")


def test_assess_reads_a_file_and_can_spread_its_answer(newcomer):
    (newcomer.folder / "soup.json").write_text(json.dumps(SOUP))

    seen = newcomer.see("assess", "soup.json", "--indent")

    assert seen.startswith('{\n  "status": "soon"')


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "null", "1" * 5000, "[" * 100000, '{"zone": 1}', "\udcff"]
    + [json.dumps({**SOUP, **change}) for change in ({"zone": "x"}, {"food": {}})]
    + [json.dumps({**SOUP, "history": [{"at": "0001-01-01T00:00", "did": "made"}]})]
    + [json.dumps({**SOUP, "maker_use_by": "9999-12-31"})],
)
def test_a_malformed_document_is_one_line_and_exit_two(newcomer, text):
    given = text.encode("utf-8", "surrogateescape")

    assert newcomer.fail(2, "assess", given=given).startswith("Error: ")


def test_assess_of_a_missing_file_is_refused(newcomer):
    assert "cannot read" in newcomer.fail(2, "assess", "nothing.json")
